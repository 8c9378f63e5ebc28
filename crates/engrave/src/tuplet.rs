//! The figure of a tuplet, and its bracket where no beam joins the notes.

use crate::content::{Content, Tuplet};
use crate::geometry::{Bounds, SPACE, Step};
use crate::glyph::Glyph;
use crate::mark::{Kind, Mark, Place, Shape};
use crate::metrics::FRAME;
use crate::notes::Stem;
use crate::value::Drawn;

/// Distance from beam, stem or staff to the figure.
const GAP: i64 = 110;
/// Size of the figure in thousandths.
const SIZE: i64 = 880;
/// Half the gap in the bracket.
const HALF_GAP: i64 = 190;

/// Draws the figure of a tuplet on the side of the stems, outside the staff. `marks` holds
/// what the notes have.
pub(crate) fn draw(
    content: &Content,
    tuplet: Tuplet,
    xs: &[i64],
    stems: &[Option<Stem>],
    marks: &mut Vec<Mark>,
) {
    let Tuplet { first, last, .. } = tuplet;
    let place = Some(content.items[first].place);
    let glyph = match tuplet.number {
        3 => Glyph::Tuplet3,
        5 => Glyph::Tuplet5,
        _ => Glyph::Tuplet7,
    };
    let up = (first..=last)
        .find_map(|at| stems[at])
        .is_none_or(|stem| stem.up);
    let sign = if up { -1 } else { 1 };
    let (left, right) = (xs[first], end(content, last, xs));
    // Clear of all that the notes have, and of ties that pass.
    let places: Vec<Place> = (first..=last).map(|at| content.items[at].place).collect();
    let passes = |mark: &Mark| {
        mark.kind == Kind::Tie && mark.bounds.left < right && left < mark.bounds.right
    };
    let edge = marks
        .iter()
        .filter(|mark| mark.place.is_some_and(|place| places.contains(&place)) || passes(mark))
        .map(|mark| {
            if up {
                -mark.bounds.top
            } else {
                mark.bounds.bottom
            }
        })
        .fold(2 * SPACE, i64::max);
    let middle = match (stems[first], stems[last]) {
        (Some(one), Some(other)) if !tuplet.bracket => (one.x + other.x) / 2,
        _ => (left + right) / 2,
    };
    let own = glyph.bounds(SIZE);
    let figure = own.bottom - own.top;
    let top = match up {
        true => -edge - GAP - figure,
        false => edge + GAP,
    };
    let x = middle - (own.left + own.right) / 2;
    marks.push(Mark::sized(Kind::Tuplet, glyph, x, top - own.top, SIZE).at(place));
    if !tuplet.bracket {
        return;
    }
    let y = top + figure / 2;
    let hook = y - sign * 120;
    for (outer, inner) in [(left, middle - HALF_GAP), (right, middle + HALF_GAP)] {
        if (inner - outer).abs() < FRAME || (inner > outer) != (outer == left) {
            continue;
        }
        let steps = vec![
            Step::Move(outer, hook),
            Step::Line(outer, y),
            Step::Line(inner, y),
        ];
        let half = FRAME / 2;
        let bounds = Bounds::new(
            outer.min(inner) - half,
            y.min(hook) - half,
            outer.max(inner) + half,
            y.max(hook) + half,
        );
        marks.push(Mark::path(Kind::TupletBracket, bounds, Shape::Stroke(FRAME, steps)).at(place));
    }
}

fn end(content: &Content, item: usize, xs: &[i64]) -> i64 {
    let last = &content.items[item];
    let glyph = match &last.note {
        Some(head) => last.value.head(head.ghost),
        None => last.value.rest(),
    };
    xs[item] + glyph.width()
}
