//! A piece as one part as written: what every format of notation takes.

use linewright_compose::Line;
use linewright_notation::{BarLine, Measure, Score};

use super::{ExportError, Piece};
use crate::form::{as_on_the_page, sign_first_repeat};
use crate::score::{Under, score};

/// The lines of a piece as one part, one after the other; where there are several, each begins
/// a section by its name, with a bar of rest before it where the piece asks for that. Metre, key
/// and tempo stand where they are new. A line keeps the repeats and jumps of its chart where it
/// allows that and its page with them `stays`; a jump leads to the beginning or a sign of the
/// whole part, so that one of several lines has none.
pub(super) fn sheet(
    piece: &dyn Piece,
    under: &[Under],
    stays: impl Fn(&[Measure]) -> bool,
) -> Result<Score, ExportError> {
    let lines = piece.lines();
    let alone = lines.len() == 1;
    let keeps = |page: &[Measure]| {
        let jumps = || page.iter().any(|measure| measure.jump.is_some());
        (alone || !jumps()) && stays(page)
    };
    let mut parts = lines.iter().map(|line| part(line, under, keeps));
    let mut whole = parts.next().ok_or_else(ExportError::no_line)?;
    if alone {
        return Ok(whole);
    }
    let mut names = piece.names().into_iter();
    named(&mut whole, names.next());
    for mut part in parts {
        named(&mut part, names.next());
        sign_first_repeat(&mut part.measures);
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

/// A line as a part, with the repeats and jumps of its chart where it allows that and its page
/// with them `stays`.
pub(super) fn part(line: &Line, under: &[Under], stays: impl Fn(&[Measure]) -> bool) -> Score {
    let score = score(line, under);
    let page = as_on_the_page(&score, &line.timeline);
    page.filter(|page| stays(&page.measures)).unwrap_or(score)
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
