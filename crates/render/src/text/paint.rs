//! Colours of the page, or none.

use anstyle::{AnsiColor, Style};

/// What a piece of the page is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The title.
    Title,
    /// Names of rows, bar lines, roles.
    Frame,
    /// A section, a chorus.
    Section,
    /// A chord symbol.
    Chord,
    /// A note.
    Note,
    /// A degree.
    Degree,
    /// The word for an ordinary function.
    Function,
    /// The word for an approach.
    Approach,
    /// A cadence.
    Cadence,
    /// A note outside the scale; points that are taken away.
    Outside,
    /// Plain text.
    Plain,
}

/// Colours, or none.
#[derive(Copy, Clone, Debug)]
pub(super) struct Paint {
    colour: bool,
}

impl Paint {
    pub(super) fn new(colour: bool) -> Self {
        Self { colour }
    }

    /// The text in the colour of its part.
    pub(super) fn paint(self, part: Part, text: &str) -> String {
        let style = style(part);
        if self.colour && style != Style::new() && !text.is_empty() {
            format!("{style}{text}{style:#}")
        } else {
            text.to_owned()
        }
    }

    /// The same, with blanks after it to fill `width` columns.
    pub(super) fn cell(self, part: Part, text: &str, width: usize) -> String {
        let blanks = width.saturating_sub(text.chars().count());
        format!("{}{:blanks$}", self.paint(part, text), "")
    }
}

fn style(part: Part) -> Style {
    let colour = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match part {
        Part::Title => Style::new().bold().underline(),
        Part::Frame => Style::new().dimmed(),
        Part::Section => colour(AnsiColor::Magenta).bold(),
        Part::Chord => colour(AnsiColor::Cyan),
        Part::Note => Style::new().bold(),
        Part::Approach => colour(AnsiColor::Yellow),
        Part::Cadence => colour(AnsiColor::Green),
        Part::Outside => colour(AnsiColor::Red),
        Part::Degree | Part::Function | Part::Plain => Style::new(),
    }
}
