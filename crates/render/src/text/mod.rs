//! The page of a line: chords, notes, degrees and functions, bar by bar.
//!
//! ```text
//! Backyard blues
//! F major · 140 beats a minute · double bass, E1 to G3 · 1 chorus, 12 bars
//! style plain · how bold: 0.7 · score +105.30
//!
//! [A]
//!         | 1 statement        | 2 departure        | …
//! chords  | F7                 | Bb7                | …
//! notes   | F2   A2   C3   B2  | Bb2  D3   F3   E3  | …
//! degrees | 1    3    5    #11 | 1    3    5    #11 | …
//! why     | cad1           ½↓  |           nbr  ½↑  | …
//!
//! made by linewright 0.1.0 · style hash 0123456789abcdef · seed 1 · line 1 · MIDI program 33
//! ```
//!
//! A row of a system begins with its name, and its bars stand between `|`. The row `notes`
//! holds one word for each beat, with blanks between: a note with its octave as it sounds
//! (C4 is middle C), `.` for a beat through which the note before is held, `r` for a rest.
//! So the bars of all `notes` rows in order are the line, and can be read back. Columns line
//! up beat by beat.
//!
//! A system has four bars where the width allows, else two, else one; a bar that is wider
//! than the page stands alone and sticks out. A section and a chorus begin a new system.

mod bar;
mod class;
mod explained;
mod header;
mod learned;
mod legend;
mod marked;
mod ordered;
mod paint;
mod plan;
mod profiled;
mod reasons;
mod system;
mod table;
#[cfg(test)]
mod tests;
mod varied;

use std::ops::RangeInclusive;

use linewright_compose::Line;

pub(crate) use bar::shown_functions;
use paint::Paint;

pub use class::class;
pub use explained::{Details, explained};
pub use learned::learned;
pub use marked::marked;
pub use ordered::ordered;
pub use profiled::{compared, profiled};
pub use varied::varied;

/// What a page shows, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// The width of the page in columns.
    pub width: usize,
    /// Whether to colour with ANSI escapes.
    pub colour: bool,
    /// The bars to show, as played and counted from 1 (a pick-up bar is 0); all when
    /// `None`.
    pub bars: Option<RangeInclusive<usize>>,
    /// Whether to add the plan: what every bar was meant to do, and what it does.
    pub plan: bool,
    /// Whether to add the reasons: every finding with its points, summed up to the score.
    pub reasons: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            width: 100,
            colour: false,
            bars: None,
            plan: false,
            reasons: false,
        }
    }
}

/// The bars that are shown, as indices in the timeline.
fn shown(line: &Line, options: &Options) -> Vec<usize> {
    let wanted = |number: usize| {
        options
            .bars
            .as_ref()
            .is_none_or(|bars| bars.contains(&number))
    };
    (0..line.timeline.bars.len())
        .filter(|&bar| wanted(line.timeline.bar_number(bar)))
        .collect()
}

/// The page of a line. Ends with a line break.
pub fn page(line: &Line, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let shown = shown(line, options);
    let mut page = header::header(line, options, paint);
    page.push_str(&system::systems(line, &shown, options, paint));
    if options.plan {
        page.push_str(&plan::plan(line, &shown, paint));
    }
    if options.reasons {
        page.push_str(&reasons::reasons(line, &shown, paint));
    }
    page.push_str(&legend::legend(line, &shown, options.width, paint));
    page.push_str(&header::last_line(line, options));
    page
}

/// A sentence in lines of the page's width, behind a dash.
fn wrapped(sentence: &str, width: usize) -> String {
    let mut text = String::from("-");
    let mut column = 1;
    for word in sentence.split(' ') {
        let size = word.chars().count();
        if column > 1 && column + 1 + size > width {
            text.push_str("\n ");
            column = 1;
        }
        text.push(' ');
        text.push_str(word);
        column += 1 + size;
    }
    text.push('\n');
    text
}
