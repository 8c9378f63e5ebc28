//! The arguments of staff pages and files of notation.

use clap::{Args, ValueEnum};

use super::Instrument;

#[derive(Debug, Args)]
#[command(next_help_heading = "Staff pages and notation")]
pub struct Sheet {
    /// What stands under the notes. Can be given several times.
    ///
    /// In .musicxml, .mxl and .abc files and on staff pages (.svg, .pdf, .png, .html). When not
    /// given, nothing; on the .svg, .pdf and .png pages of `explain` degrees, functions and
    /// cadences.
    #[arg(long, value_name = "WHAT")]
    pub under: Vec<UnderNotes>,

    /// Whether fingerings use open strings; without, only for what has no other place.
    #[arg(long, default_value = "yes", hide_short_help = true)]
    pub open_strings: YesNo,

    /// What fingerings are for; the line's own instrument when not given.
    #[arg(long, value_name = "INSTRUMENT", hide_short_help = true)]
    pub neck: Option<Instrument>,

    /// Write every bar as it is played. When not given, the repeats and jumps of the chart stay
    /// where the line is the same each time and the format allows it; .html files and pages with
    /// a curve of tension are always unrolled.
    #[arg(long, hide_short_help = true)]
    pub unroll: bool,

    /// Draw a curve of tension under the systems of staff pages.
    #[arg(long, hide_short_help = true)]
    pub tension: bool,

    /// The paper of .pdf files, and that .html files are printed on.
    #[arg(long, default_value = "a4", hide_short_help = true)]
    pub paper: SheetPaper,

    /// The colours of staff pages; a .html file takes those of the browser.
    #[arg(long, default_value = "light", hide_short_help = true)]
    pub theme: SheetTheme,
}

/// What stands under the notes.
#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum UnderNotes {
    /// The degree over the chord.
    Degrees,
    /// What the note does, in short words.
    Functions,
    /// A mark under the note that a planned cadence lands on: on beat one, on the last beat on the
    /// chord's own root, or there on the next root.
    Cadences,
    /// The finger, and the string where it changes.
    Fingering,
    /// Nothing.
    Nothing,
}

#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum YesNo {
    /// Yes.
    Yes,
    /// No.
    No,
}

/// The paper of a staff page.
#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetPaper {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

/// The colours of a staff page.
#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetTheme {
    /// Dark on white.
    Light,
    /// Light on a dark ground.
    Dark,
}
