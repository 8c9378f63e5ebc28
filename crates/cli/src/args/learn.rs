//! The arguments of `linewright learn`.

use std::path::PathBuf;

use clap::Args;

use super::Look;
use crate::{examples, values};

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::LEARN), after_long_help = examples::LEARN)]
pub struct Learn {
    /// Folders of lines, or files as for `explain`, each with its chart beside it.
    ///
    /// The chart of a line is the .chart file in its folder with whose name the name of the line
    /// begins: `tune.chart` for `tune.line.txt`. A line with chord symbols of its own needs none.
    /// Folders in a folder are not read.
    #[arg(value_name = "FOLDER", required = true)]
    pub lines: Vec<PathBuf>,

    /// The chart that all lines are played over.
    #[arg(long, short = 'C', value_name = "FILE")]
    pub chart: Option<PathBuf>,

    #[command(flatten)]
    pub chart_part: super::ChartPart,

    /// Which track of MIDI files, part of MusicXML files or tune (by its number) of ABC files.
    #[arg(long, value_name = "NAME", hide_short_help = true)]
    pub part: Option<String>,

    /// The style to begin with: what the lines tell nothing about stays as it is there.
    #[arg(long, short, value_name = "NAME|FILE.toml", default_value = "plain", value_parser = values::Name(values::styles), hide_possible_values = true)]
    pub style: String,

    /// How far weights may go from those of the style, in points for each point of its
    /// temperature: 0.1 keeps near it, 2 trusts the lines.
    #[arg(long, value_name = "POINTS", default_value = "0.5", allow_negative_numbers = true, value_parser = values::temperature)]
    pub freedom: u32,

    /// Keep what the style forbids, and leave out lines that break it. Else what they break becomes
    /// a matter of weight.
    #[arg(long)]
    pub keep_limits: bool,

    /// The lines begin and end with their tunes: learn how to open and to close as well.
    #[arg(long)]
    pub whole: bool,

    /// Into how many parts the lines are dealt, each of them held out once to try what the others
    /// teach; 0 for none.
    ///
    /// Lines of one tune stay together: those whose files are called alike up to the last digit,
    /// such as `tune-3a` and `tune-3b`.
    #[arg(long, value_name = "N", default_value_t = 5, allow_negative_numbers = true, value_parser = values::number::<u8, 0, 100>)]
    pub folds: u8,

    /// Also compose so many lines over each chart in the old and in the new style, and count them
    /// beside the lines that were learned from; 0 for none.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u8, 0, 100>)]
    pub composed: u8,

    /// The seed of all draws: the same one gives the same style.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u64, 0, { u64::MAX }>)]
    pub seed: u64,

    /// How many lines are drawn over each line's chords at each step of the search.
    #[arg(long, value_name = "N", default_value_t = 100, allow_negative_numbers = true, value_parser = values::number::<u16, 2, 10_000>, hide_short_help = true)]
    pub samples: u16,

    /// The name of the style; that of its file when not given.
    #[arg(long, value_name = "NAME", value_parser = values::style_name)]
    pub name: Option<String>,

    /// Write it to a file: .toml for the style, .csv, .txt or .json for what is told of it. Can be
    /// given several times.
    #[arg(long, short, value_name = "FILE", help_heading = "Files")]
    pub output: Vec<PathBuf>,

    /// Overwrite files that exist.
    #[arg(long, requires = "output", help_heading = "Files")]
    pub force: bool,

    #[command(flatten)]
    pub look: Look,
}
