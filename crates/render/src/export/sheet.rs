//! A piece as one part as written: what every format of notation takes.

use linewright_notation::{BarLine, Measure, Score};

use super::{ExportError, Piece};
use crate::score::{Under, score};

/// The lines of a piece as one part, one after the other; where there are several, each begins
/// a section `line 1`, `line 2`, with a bar of rest before it where the piece asks for that.
pub(super) fn sheet(piece: &dyn Piece, under: &[Under]) -> Result<Score, ExportError> {
    let lines = piece.lines();
    let mut parts = lines.iter().map(|line| score(line, under));
    let mut whole = parts.next().ok_or_else(ExportError::no_line)?;
    if lines.len() == 1 {
        return Ok(whole);
    }
    named(&mut whole, 1);
    for (number, mut part) in (2..).zip(parts) {
        named(&mut part, number);
        if piece.rests_between()
            && let Some(last) = whole.measures.last().cloned()
        {
            whole.measures.push(Measure {
                right: BarLine::Double,
                ..Measure::new(last.ticks)
            });
        }
        whole.measures.extend(part.measures);
    }
    if let Some(last) = whole.measures.last_mut() {
        last.right = BarLine::Final;
    }
    Ok(whole)
}

/// Names the line in the section of its first measure.
fn named(part: &mut Score, number: usize) {
    if let Some(last) = part.measures.last_mut() {
        last.right = BarLine::Double;
    }
    if let Some(first) = part.measures.first_mut() {
        first.section = Some(format!("line {number}"));
    }
}
