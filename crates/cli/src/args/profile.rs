//! The arguments of `linewright profile`.

use std::ops::RangeInclusive;
use std::path::PathBuf;

use clap::Args;

use super::Colour;
use crate::keys::AskedKey;
use crate::{examples, values};

#[derive(Debug, Args)]
#[command(after_help = examples::PROFILE)]
pub struct Profile {
    /// The lines: files as for `explain`, or folders of them. Without any, lines are composed in
    /// the style of --style.
    #[arg(required_unless_present = "style")]
    pub lines: Vec<PathBuf>,

    /// The chart that the lines are played over: a file, or - for the standard input. When not
    /// given, the chord symbols that stand in the files with the lines.
    #[arg(long, short = 'C', value_name = "FILE")]
    pub chart: Option<PathBuf>,

    #[command(flatten)]
    pub chart_part: super::ChartPart,

    /// The style to compose in, or to read given lines in: a name, or a file that ends with
    /// .toml. Given lines are read in their own style when it is not given.
    #[arg(long, short, value_name = "NAME|FILE.toml")]
    pub style: Option<String>,

    /// The seeds of lines that are composed, one line each.
    #[arg(long, value_name = "M-N", default_value = "1-50", value_parser = values::seeds)]
    pub seeds: RangeInclusive<u64>,

    /// Compare with the lines of this file or folder. Can be given several times.
    #[arg(long, value_name = "FILE|FOLDER")]
    pub against: Vec<PathBuf>,

    /// Compare with lines that are composed in this style over the chart.
    #[arg(
        long,
        value_name = "NAME|FILE.toml",
        requires = "chart",
        conflicts_with = "against"
    )]
    pub against_style: Option<String>,

    /// Write it to a file: .csv, .txt or .json. Can be given several times.
    #[arg(long, short, value_name = "FILE")]
    pub output: Vec<PathBuf>,

    /// Overwrite files that exist.
    #[arg(long, requires = "output")]
    pub force: bool,

    /// Which track of MIDI files, part of MusicXML files or tune (by its number) of ABC files.
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,

    /// How many times the form is played; as each line tells when not given, and once in lines
    /// that are composed.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(1..=4096))]
    pub choruses: Option<u16>,

    /// Move the chart to a key. Major and minor stay as they are: a tonic alone will do.
    #[arg(long, short, value_name = "KEY", value_parser = AskedKey::read)]
    pub key: Option<AskedKey>,

    /// The width of the page in columns.
    #[arg(long, short, value_name = "COLUMNS", default_value_t = 100, allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(20..=1000))]
    pub width: u16,

    /// Whether to colour.
    #[arg(long, value_name = "WHEN", default_value = "auto")]
    pub colour: Colour,
}
