//! A piece as one part as written: what every format of notation takes.

use linewright_compose::Line;
use linewright_notation::{BarLine, Measure, Score};

use super::{ExportError, Piece};
use crate::repeats::with_repeats;
use crate::score::{Under, score};

/// The lines of a piece as one part, one after the other; where there are several, each begins
/// a section by its name, with a bar of rest before it where the piece asks for that. Metre, key
/// and tempo stand where they are new. Unless it is to be `unrolled`, a line keeps the repeats of
/// its chart where it allows that.
pub(super) fn sheet(
    piece: &dyn Piece,
    under: &[Under],
    unrolled: bool,
) -> Result<Score, ExportError> {
    let lines = piece.lines();
    let mut parts = lines.iter().map(|line| part(line, under, unrolled));
    let mut whole = parts.next().ok_or_else(ExportError::no_line)?;
    if lines.len() == 1 {
        return Ok(whole);
    }
    let mut names = piece.names().into_iter();
    named(&mut whole, names.next());
    for mut part in parts {
        named(&mut part, names.next());
        if let Some(first) = part.measures.first_mut() {
            first.time = new(first.time, &whole, |measure| measure.time);
            first.key = new(first.key, &whole, |measure| measure.key);
            first.tempo = new(first.tempo, &whole, |measure| measure.tempo);
        }
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

/// A line as a part, with the repeats of its chart where it allows that, unless it is to be
/// `unrolled`.
pub(super) fn part(line: &Line, under: &[Under], unrolled: bool) -> Score {
    let score = score(line, under);
    let played: Vec<usize> = line.timeline.bars.iter().map(|bar| bar.written).collect();
    let repeats = (!unrolled).then(|| with_repeats(&score, &played)).flatten();
    repeats.unwrap_or(score)
}

/// Names the line in the section of its first measure.
fn named(part: &mut Score, name: Option<String>) {
    if let Some(last) = part.measures.last_mut() {
        last.right = BarLine::Double;
    }
    if let Some(first) = part.measures.first_mut() {
        first.section = name;
    }
}

/// What is told where a part goes on after another, if it is not in force there already.
fn new<T: PartialEq>(
    told: Option<T>,
    before: &Score,
    of: impl Fn(&Measure) -> Option<T>,
) -> Option<T> {
    let in_force = before.measures.iter().rev().find_map(of);
    told.filter(|told| in_force.as_ref() != Some(told))
}
