//! The tension curve under a system.

use crate::context::Context;
use crate::geometry::{Bounds, SPACE, Step};
use crate::layout::Layout;
use crate::mark::{Kind, Mark, Shape};
use crate::skyline::Skyline;
use crate::typeset::Run;

/// The height of the full scale.
const HEIGHT: i64 = 5 * SPACE / 2;
/// Space over it.
const GAP: i64 = SPACE;
const LINE: i64 = 34;
const LABEL: i64 = 280;

/// Draws the curve through the middles of the measures. It begins and ends at the height that it
/// has at the neighbouring system, so that the curve goes on.
pub(crate) fn draw(context: &Context, layout: &Layout, marks: &mut Vec<Mark>) {
    let known: Vec<(i64, i64)> = layout
        .measures
        .iter()
        .filter_map(|measure| {
            let value = context.tension[measure.number]?;
            Some(((measure.inner + measure.right) / 2, value))
        })
        .collect();
    let (Some(first), Some(last)) = (layout.measures.first(), layout.measures.last()) else {
        return;
    };
    let (Some(&(_, left)), Some(&(_, right))) = (known.first(), known.last()) else {
        return;
    };
    let tension = |at: Option<usize>| at.and_then(|at| *context.tension.get(at)?);
    let before = tension(first.number.checked_sub(1)).unwrap_or(left);
    let after = tension(Some(last.number + 1)).unwrap_or(right);
    let mut points = vec![(first.inner, (before + left) / 2)];
    points.extend(&known);
    points.push((last.right, (right + after) / 2));

    let skyline = Skyline::new(marks.iter().map(|mark| mark.bounds));
    let top = skyline.bottom(i64::MIN, i64::MAX, 2 * SPACE) + GAP;
    let bottom = top + HEIGHT;
    let points: Vec<(i64, i64)> = points
        .into_iter()
        .map(|(x, value)| (x, bottom - value * HEIGHT / 1000))
        .collect();
    let curve = through(&points);
    let (start, end) = (first.inner, last.right);
    let mut area = curve.clone();
    area.extend([
        Step::Line(end, bottom),
        Step::Line(start, bottom),
        Step::Close,
    ]);
    let bounds = Bounds::new(start, top - LINE / 2, end, bottom + LINE / 2);
    let base = vec![Step::Move(start, bottom), Step::Line(end, bottom)];
    marks.push(Mark {
        kind: Kind::Tension,
        bounds,
        place: None,
        shapes: vec![
            Shape::Wash(area),
            Shape::Stroke(LINE / 3, base),
            Shape::Stroke(LINE, curve),
        ],
    });
    let label = Run::plain(&context.font, "tension", LABEL);
    if label.width() + 60 <= start {
        let x = start - 60 - label.width();
        marks.push(label.mark(Kind::TensionLabel, x, bottom));
    }
}

/// A smooth curve through points that never leaves the heights of its two neighbours: tangents
/// are level at peaks and at most three times the flatter side elsewhere.
fn through(points: &[(i64, i64)]) -> Vec<Step> {
    let mut steps = vec![Step::Move(points[0].0, points[0].1)];
    let rise = |at: usize| {
        let ((x, y), (next_x, next_y)) = (points[at], points[at + 1]);
        (next_y - y) * 1000 / (next_x - x).max(1)
    };
    let tangent = |at: usize| {
        if at == 0 || at + 1 == points.len() {
            return 0;
        }
        let (one, other) = (rise(at - 1), rise(at));
        if one.signum() != other.signum() {
            return 0;
        }
        let mean = (one + other) / 2;
        let most = 3 * one.abs().min(other.abs());
        mean.clamp(-most, most)
    };
    for at in 0..points.len() - 1 {
        let ((x, y), (next_x, next_y)) = (points[at], points[at + 1]);
        let third = (next_x - x) / 3;
        steps.push(Step::Curve(
            x + third,
            y + third * tangent(at) / 1000,
            next_x - third,
            next_y - third * tangent(at + 1) / 1000,
            next_x,
            next_y,
        ));
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_stays_between_its_points() {
        let points = [(0, 100), (300, 0), (600, 90), (900, 100), (1200, 20)];
        for step in through(&points) {
            if let Step::Curve(_, a, _, b, _, y) = step {
                for height in [a, b, y] {
                    assert!((0..=100).contains(&height), "{step:?}");
                }
            }
        }
    }
}
