//! Players' lines, read from a folder that is not here: `excerpt-NNx.chart` with its
//! `excerpt-NNx.line.txt`. NN is the tune, x the excerpt of it.

use std::path::Path;
use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_notation::{QUARTER, line_text};

use super::Run;

/// The variable that names the folder.
pub const FOLDER: &str = "LINEWRIGHT_PRACTICE";

/// A chart, and what a player played over it.
#[derive(Clone, Debug)]
pub struct Excerpt {
    /// The number of the tune: excerpts of one belong together.
    pub tune: u32,
    /// The chart as played.
    pub chart: Arc<Timeline>,
    /// The line.
    pub runs: Vec<Run>,
}

/// All excerpts of a folder, in order of their names.
///
/// # Errors
/// What cannot be read, and why; or that no excerpt is there.
pub fn excerpts(folder: &Path) -> Result<Vec<Excerpt>, String> {
    let told = |error| format!("{}: {error}", folder.display());
    let files = std::fs::read_dir(folder).map_err(|e| told(e.to_string()))?;
    let names = files.flatten().map(|file| file.file_name());
    let mut found: Vec<(String, u32)> = names
        .filter_map(|name| {
            let name = name.to_str()?.strip_suffix(".chart")?;
            let number = name.strip_prefix("excerpt-")?;
            let number = number.trim_end_matches(|c: char| c.is_ascii_lowercase());
            Some((name.to_owned(), number.parse().ok()?))
        })
        .collect();
    found.sort();
    if found.is_empty() {
        let hint = "name a folder with files such as excerpt-01a.chart and excerpt-01a.line.txt";
        return Err(told(format!("no excerpt is here\n  hint: {hint}")));
    }
    let read = |(name, tune): &(String, u32)| {
        let bytes = |ending: &str| {
            let path = folder.join(format!("{name}.{ending}"));
            std::fs::read(&path).map_err(|e| format!("{}: {e}", path.display()))
        };
        excerpt(name, *tune, &bytes("chart")?, &bytes("line.txt")?)
    };
    found.iter().map(read).collect()
}

fn excerpt(name: &str, tune: u32, chart: &[u8], line: &[u8]) -> Result<Excerpt, String> {
    let chart = Chart::parse(name, chart).and_then(|chart| chart.unroll());
    let chart = Arc::new(chart.map_err(|e| e.to_string())?);
    let (scores, _) = line_text::read(line).map_err(|e| format!("{name}: {e}"))?;
    let (bars, lines) = (chart.bars.len(), scores.len());
    let [score] = &scores[..] else {
        return Err(format!("{name}: {lines} lines, not one"));
    };
    if score.measures.len() != bars {
        let told = score.measures.len();
        return Err(format!("{name}: {told} bars of line over {bars} of chart"));
    }
    let mut notes = Vec::new();
    for (bar, measure) in score.measures.iter().enumerate() {
        for event in &measure.events {
            if let Some(pitch) = event.note.and_then(|note| note.pitch()) {
                notes.push((bar, (event.at / QUARTER) as u8, pitch.midi()));
            }
        }
    }
    let runs = Run::all(&chart, &notes);
    Ok(Excerpt { tune, chart, runs })
}
