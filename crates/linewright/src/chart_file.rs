//! Charts that are given as files.

use std::fmt;

use linewright_chart::{Chart, Faults};
use linewright_notation::Problems;

use crate::given::{extension, scores};

/// The extensions of files in which charts stand as notation, in lower case: MusicXML plain and
/// compressed, and ABC. [`read_chart`] takes a file with any other one as chart text.
pub const SCORE_EXTENSIONS: [&str; 4] = ["musicxml", "mxl", "xml", "abc"];

/// What is wrong with the file of a chart.
#[derive(Debug)]
pub enum ChartFault {
    /// In a chart text.
    Text(Faults),
    /// In a file of notation.
    Score(Problems),
}

impl fmt::Display for ChartFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ChartFault::Text(faults) => faults.fmt(f),
            ChartFault::Score(problems) => problems.fmt(f),
        }
    }
}

impl std::error::Error for ChartFault {}

/// Reads the chart in a file: chart text, or the chord symbols of a lead sheet or part in
/// MusicXML or ABC, whose notes are left aside. The file's name tells which. `which` names the
/// part of a MusicXML file, or the number of an ABC tune.
///
/// The problems are what was read otherwise than written.
///
/// # Errors
/// What is wrong with the file, and where.
pub fn read_chart(
    name: &str,
    bytes: &[u8],
    which: Option<&str>,
) -> Result<(Chart, Problems), ChartFault> {
    let extension = extension(name);
    if !SCORE_EXTENSIONS.contains(&extension.as_str()) {
        let chart = Chart::parse(name, bytes).map_err(ChartFault::Text)?;
        return Ok((chart, Problems::default()));
    }
    let (scores, mut problems) = scores(&extension, bytes, which).map_err(ChartFault::Score)?;
    // Each of these files gives one part.
    let score = scores.into_iter().next().unwrap_or_default();
    let (chart, remarks) = Chart::from_score(&score).map_err(ChartFault::Score)?;
    problems.extend(remarks);
    Ok((chart, problems))
}
