//! The arguments of `linewright profile`.

use std::ops::RangeInclusive;
use std::path::PathBuf;

use clap::Args;

use super::{Look, StyleChoice};
use crate::keys::AskedKey;
use crate::{examples, values};

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::PROFILE), after_long_help = examples::PROFILE)]
pub struct Profile {
    /// The lines: files as for `explain`, or folders of them. Without any, lines are composed in
    /// the style of --style.
    #[arg(required_unless_present_any = ["style", "grade"])]
    pub lines: Vec<PathBuf>,

    /// The chart that the lines are played over: a file, or - for the standard input. When not
    /// given, the chord symbols that stand in the files with the lines.
    #[arg(long, short = 'C', value_name = "FILE")]
    pub chart: Option<PathBuf>,

    #[command(flatten)]
    pub chart_part: super::ChartPart,

    #[command(flatten)]
    pub style: StyleChoice,

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
    #[arg(long, short, value_name = "FILE", help_heading = "Files")]
    pub output: Vec<PathBuf>,

    /// Overwrite files that exist.
    #[arg(long, requires = "output", help_heading = "Files")]
    pub force: bool,

    /// Which track of MIDI files, part of MusicXML files or tune (by its number) of ABC files.
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,

    /// How many times the form is played; as each line tells when not given, and once in lines
    /// that are composed.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::number::<u16, 1, 4096>)]
    pub choruses: Option<u16>,

    /// The key that given lines are written in, if it is not the chart's own; major and minor stay.
    #[arg(long, value_name = "KEY", value_parser = AskedKey::read)]
    pub line_key: Option<AskedKey>,

    /// Compose in this key: the chart is moved. Major and minor stay as they are: a tonic alone
    /// will do.
    #[arg(long, short, value_name = "KEY", value_parser = AskedKey::read)]
    pub key: Option<AskedKey>,

    #[command(flatten)]
    pub look: Look,
}
