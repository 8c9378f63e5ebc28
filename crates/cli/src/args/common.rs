//! Arguments that several commands take.

use std::path::{Path, PathBuf};

use clap::Args;

use super::Colour;
use crate::values;

/// The chart.
#[derive(Debug, Args)]
pub struct ChartGiven {
    /// The chart: a file, or - for the standard input.
    ///
    /// A .musicxml, .mxl or .abc file is read for its chord symbols, any other one as chart text.
    #[arg(value_name = "CHART", required_unless_present = "chart_by_name")]
    chart: Option<PathBuf>,

    /// The same by name.
    #[arg(
        long = "chart",
        short = 'C',
        id = "chart_by_name",
        value_name = "FILE",
        conflicts_with = "chart",
        hide_short_help = true
    )]
    by_name: Option<PathBuf>,

    #[command(flatten)]
    part: ChartPart,
}

impl ChartGiven {
    /// The file.
    pub fn path(&self) -> &Path {
        let path = self.chart.as_deref().or(self.by_name.as_deref());
        path.unwrap_or(Path::new("-"))
    }

    /// Which of several charts in it.
    pub fn part(&self) -> Option<&str> {
        self.part.name()
    }
}

/// Which of several charts in a file.
#[derive(Debug, Args)]
pub struct ChartPart {
    /// Which tune of a chart file in ABC (by its number), or part of one in MusicXML.
    #[arg(
        long = "chart-part",
        value_name = "NAME",
        id = "chart_part",
        hide_short_help = true
    )]
    name: Option<String>,
}

impl ChartPart {
    /// Its name, or its number.
    pub fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }
}

/// The style.
#[derive(Debug, Args)]
pub struct StyleChoice {
    /// The style: a name (see `linewright styles`), or a .toml file.
    ///
    /// When not given: the one that a given line was made in, else the one that suits the chart:
    /// waltz in 3/4, two-feel where its feel is "in two", else plain. The page says which.
    #[arg(long, short, value_name = "NAME|FILE.toml", value_parser = values::Name(values::styles), hide_possible_values = true)]
    style: Option<String>,

    /// The style of a grade: the same as --style grade-N.
    #[arg(long, short, value_name = "1-8", conflicts_with = "style", value_parser = values::number::<u8, 1, 8>)]
    grade: Option<u8>,
}

impl StyleChoice {
    /// The name of the style, or of its file.
    pub fn name(&self) -> Option<String> {
        let grade = self.grade.map(|grade| format!("grade-{grade}"));
        grade.or_else(|| self.style.clone())
    }
}

/// The files that are written.
#[derive(Debug, Args)]
#[command(next_help_heading = "Files")]
pub struct Files {
    /// Write to a file: .mid to hear it, .pdf to print it, .html to practise with.
    ///
    /// Its extension says the format: .mid, .txt, .json, .musicxml, .mxl, .abc, .svg, .pdf, .png,
    /// or .html, a page that plays. Can be given several times.
    ///
    /// Several lines go to a file each: {line} in the name becomes the line's number, and without
    /// it -1, -2 and so on come before the extension. Of marked lines, {name} becomes the name of
    /// the file that a line was read from; a .csv, .txt or .json file without it has the table of
    /// all. In a .mid file the answers of `vary` sound one after the other, with a bar of rest
    /// between.
    #[arg(long, short, value_name = "FILE")]
    pub output: Vec<PathBuf>,

    /// Overwrite files that exist.
    #[arg(long, requires = "output")]
    pub force: bool,
}

/// How the page looks on the terminal.
#[derive(Debug, Args)]
pub struct Look {
    /// The width of the page in columns.
    #[arg(long, short, value_name = "COLUMNS", default_value_t = 100, allow_negative_numbers = true, value_parser = values::number::<u16, 20, 1000>, hide_short_help = true)]
    pub width: u16,

    #[command(flatten)]
    pub colours: Colours,
}

/// Whether the page has colours.
#[derive(Debug, Args)]
pub struct Colours {
    /// Whether to colour.
    #[arg(
        long,
        visible_alias = "color",
        value_name = "WHEN",
        default_value = "auto",
        hide_short_help = true
    )]
    pub colour: Colour,
}
