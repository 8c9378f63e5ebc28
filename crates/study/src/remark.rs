//! What a reader should know of how a line was read.

use std::fmt;

use linewright_theory::Note;

/// Something that was read otherwise than written, or left out.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// The bar as players count it, from 1; `None` for the line as a whole.
    pub bar: Option<usize>,
    /// What.
    pub what: What,
}

/// What was read otherwise than written, or left out.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// The part begins with a pick-up, which the chart has not.
    PickupLeftOut,
    /// The part ends before this bar of the chart.
    LineEnds {
        /// The first bar without notes.
        before_bar: usize,
    },
    /// The part has measures after the end of the chart.
    MeasuresLeftOver {
        /// How many.
        count: usize,
    },
    /// A measure is longer or shorter than the bar.
    OtherLength {
        /// Its length in beats.
        beats: f64,
        /// The beats of the bar.
        wanted: u8,
    },
    /// A note lies beyond the end of the bar.
    BeyondTheBar {
        /// The note.
        note: Note,
    },
    /// A note sounds where the chart has no chord.
    OverNoChord {
        /// Its beat, from 1.
        beat: u8,
        /// The note.
        note: Note,
    },
    /// The part says which plan it was written under, but its rhythm is another.
    OtherRhythm,
    /// The part was played in another time than the chart's, and was cut into its bars by time.
    CutAnew,
}

impl Remark {
    /// A remark on the line as a whole.
    pub fn of_line(what: What) -> Self {
        Self { bar: None, what }
    }

    /// A remark on one bar.
    pub fn at(bar: usize, what: What) -> Self {
        Self {
            bar: Some(bar),
            what,
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(bar) = self.bar {
            write!(f, "bar {bar}: ")?;
        }
        match &self.what {
            What::PickupLeftOut => {
                f.write_str("the line begins with a pick-up, which the chart has not; it was left out")
            }
            What::LineEnds { before_bar } => write!(
                f,
                "the line ends before bar {before_bar}; the bars from there on have no notes"
            ),
            What::MeasuresLeftOver { count } => {
                let s = if *count == 1 { "" } else { "s" };
                write!(f, "the line goes on for {count} bar{s} after the end of the chart")
            }
            What::OtherLength { beats, wanted } => write!(
                f,
                "the line has {beats} beats here, the chart {wanted}; its notes were counted from the bar line"
            ),
            What::BeyondTheBar { note } => {
                write!(f, "{note} lies beyond the end of the bar and was left out")
            }
            What::OverNoChord { beat, note } => write!(
                f,
                "{note} on beat {beat} sounds where the chart has no chord, so there is nothing to judge it by"
            ),
            What::OtherRhythm => f.write_str(
                "the line's rhythm is not the one that its plan was drawn for, so a plan was inferred",
            ),
            What::CutAnew => f.write_str(
                "the line's measures are not those of the chart; its notes were laid over the chart by time",
            ),
        }
    }
}
