//! Pages on the terminal.

use linewright::text::Options;
use linewright::{Fingers, Paper, Piece, Settings, Theme, Timeline, Under};

use crate::args::{Colour, Instrument, Page, Sheet, SheetPaper, SheetTheme, UnderNotes, YesNo};
use crate::exit::Failure;
use crate::{bars, output};

/// What a page shows; the bars are checked where the piece is known.
pub fn options(asked: &Page, timeline: Option<&Timeline>) -> Result<Options, Failure> {
    if let Some(timeline) = timeline {
        check_bars(asked, timeline)?;
    }
    Ok(Options {
        width: asked.look.width.into(),
        colour: false,
        bars: asked.bars.clone(),
        plan: !asked.no_plan,
        reasons: asked.reasons,
    })
}

/// What exporters are told.
pub fn settings(page: Options, sheet: &Sheet) -> Settings {
    let fingers = Fingers {
        neck: sheet.neck.map(Instrument::bass),
        open_strings: sheet.open_strings == YesNo::Yes,
    };
    let under = |under: &UnderNotes| match under {
        UnderNotes::Degrees => Some(Under::Degrees),
        UnderNotes::Functions => Some(Under::Functions),
        UnderNotes::Cadences => Some(Under::Cadences),
        UnderNotes::Fingering => Some(Under::Fingering(fingers)),
        UnderNotes::Nothing => None,
    };
    Settings {
        page,
        under: sheet.under.iter().filter_map(under).collect(),
        staff_under: None,
        unrolled: sheet.unroll,
        tension: sheet.tension,
        paper: match sheet.paper {
            SheetPaper::A4 => Paper::A4,
            SheetPaper::Letter => Paper::Letter,
        },
        theme: match sheet.theme {
            SheetTheme::Light => Theme::Light,
            SheetTheme::Dark => Theme::Dark,
        },
    }
}

/// Whether the piece has the bars that are asked for.
pub fn check_bars(asked: &Page, timeline: &Timeline) -> Result<(), Failure> {
    match &asked.bars {
        Some(bars) => bars::places(bars, timeline).map(|_| ()),
        None => Ok(()),
    }
}

/// Prints pages until the reader is gone.
pub struct Printer {
    options: Options,
    pages: usize,
    gone: bool,
}

impl Printer {
    /// Prints pages with these options, coloured as asked.
    pub fn new(asked: &Page, options: Options) -> Self {
        Self::coloured(asked.look.colours.colour, options)
    }

    /// Prints pages with these options, coloured or not.
    pub fn coloured(colour: Colour, options: Options) -> Self {
        Self {
            options: Options {
                colour: output::is_coloured(colour),
                ..options
            },
            pages: 0,
            gone: false,
        }
    }

    /// Prints a page, with a blank line before all but the first.
    pub fn print(&mut self, piece: &dyn Piece) -> Result<(), Failure> {
        if self.gone {
            return Ok(());
        }
        let before = if self.pages > 0 { "\n" } else { "" };
        self.pages += 1;
        match output::bytes(format!("{before}{}", piece.page(&self.options)).as_bytes()) {
            Err(failure) if failure.is_quiet() => {
                // Files are still to be written.
                self.gone = true;
                Ok(())
            }
            result => result,
        }
    }
}
