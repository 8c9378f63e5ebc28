//! Charts that are given as files.

use linewright_chart::Chart;
use linewright_diagnostic::Diagnostics;

use crate::given::{extension, scores};

/// The extensions of files in which charts stand as notation, in lower case: MusicXML plain and
/// compressed, and ABC. [`read_chart`] takes a file with any other one as chart text.
pub const SCORE_EXTENSIONS: [&str; 4] = ["musicxml", "mxl", "xml", "abc"];

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
) -> Result<(Chart, Diagnostics), Diagnostics> {
    let extension = extension(name);
    if !SCORE_EXTENSIONS.contains(&extension.as_str()) {
        return Chart::read(name, bytes);
    }
    let (scores, mut problems) = scores(&extension, bytes, which)?;
    // Each of these files gives one part.
    let score = scores.into_iter().next().unwrap_or_default();
    let (chart, remarks) = Chart::from_score(&score)?;
    problems.extend(remarks);
    Ok((chart, problems))
}
