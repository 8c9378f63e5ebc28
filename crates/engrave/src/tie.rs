//! Ties: on which side of the notes, from where to where.

use crate::beam;
use crate::content::{Content, Item};
use crate::context::Context;
use crate::geometry::{Bounds, Step};
use crate::layout::{Layout, Spot};
use crate::mark::{Kind, Mark, Place, Shape};
use crate::metrics::{STEM, TIE};
use crate::notes;
use crate::staff::height;

/// From the middle of a head up or down to the ends of a tie.
const LIFT: i64 = 160;
/// From the middle of a head to the ends of a tie that stands over or under it.
const ASIDE: i64 = 70;
/// Between the end of a tie and a stem, a bar line or a dot.
const CLEAR: i64 = 40;
/// The least length of the second half of a tie, at the left end of a system.
const HALF: i64 = 230;

/// A note that a tie begins or ends at.
#[derive(Copy, Clone)]
struct End<'a> {
    spot: &'a Spot<'a>,
    at: usize,
}

impl<'a> End<'a> {
    fn item(&self) -> &'a Item {
        &self.spot.content.items[self.at]
    }

    fn tied(&self) -> bool {
        let note = self.item().note.as_ref();
        note.is_some_and(|head| head.tied)
    }

    fn stem_up(&self) -> bool {
        beam::stem_points_up(self.spot.content, self.at)
    }

    /// The ends of a tie at this note: where one comes in, and where one goes out.
    fn x(&self, under: bool) -> (i64, i64) {
        let (item, middle) = (self.item(), self.spot.middle(self.at));
        let (mut into, mut out) = (middle - ASIDE, middle + ASIDE);
        let up = self.stem_up();
        let beamed = notes::beamed(self.spot.content, self.at);
        // A stem on the side of the tie is at the right of the head or at its left.
        if item.value.halvings > 0 && up != under {
            match self.spot.stems[self.at] {
                Some(stem) if up => out = out.max(stem.x + STEM + CLEAR),
                Some(stem) => into = into.min(stem.x - CLEAR),
                None => {}
            }
        }
        if item.value.dotted {
            let dot = notes::dot_end(item, up, beamed);
            out = out.max(self.spot.xs[self.at] + dot + CLEAR);
        }
        (into, out)
    }
}

/// Draws the ties of a system, also those that lead into it and out of it.
pub(crate) fn draw(context: &Context, layout: &Layout, marks: &mut Vec<Mark>) {
    let ends: Vec<End> = layout
        .measures
        .iter()
        .flat_map(|spot| (0..spot.content.items.len()).map(move |at| End { spot, at }))
        .collect();
    let (Some(first), Some(last)) = (ends.first(), ends.last()) else {
        return;
    };
    if let Some((content, at)) = before(context, first.spot.number)
        && content.items[at].note.as_ref().is_some_and(|n| n.tied)
        && first.item().note.is_some()
    {
        let from_up = beam::stem_points_up(content, at);
        let under = is_under(from_up, has_flag(content, at), first.stem_up());
        let to = first.x(under).0;
        let from = (first.spot.inner + CLEAR).min(to - HALF);
        marks.extend(tie(first.item(), from, to, under));
    }
    for pair in ends.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if !from.tied() || to.item().note.is_none() {
            continue;
        }
        let flag = has_flag(from.spot.content, from.at);
        let under = is_under(from.stem_up(), flag, to.stem_up());
        marks.extend(tie(from.item(), from.x(under).1, to.x(under).0, under));
    }
    if last.tied() {
        let next = context.contents.get(last.spot.number + 1);
        let to_up = match next.and_then(|next| next.items.first()) {
            Some(item) if item.note.is_some() => {
                next.is_some_and(|next| beam::stem_points_up(next, 0))
            }
            _ => last.stem_up(),
        };
        let flag = has_flag(last.spot.content, last.at);
        let under = is_under(last.stem_up(), flag, to_up);
        let to = last.spot.right - CLEAR;
        marks.extend(tie(last.item(), last.x(under).1, to, under));
    }
}

/// The last item before a measure.
fn before<'a>(context: &'a Context, measure: usize) -> Option<(&'a Content, usize)> {
    let content = &context.contents[measure.checked_sub(1)?];
    Some((content, content.items.len().checked_sub(1)?))
}

fn has_flag(content: &Content, item: usize) -> bool {
    content.items[item].value.beams() > 0 && !notes::beamed(content, item)
}

/// A tie lies on the side of the heads, away from the stems; over the notes where these point
/// both ways, but never through a flag. Common practice, no source.
fn is_under(from_up: bool, flag: bool, to_up: bool) -> bool {
    from_up && (to_up || flag)
}

fn tie(item: &Item, from: i64, to: i64, under: bool) -> Option<Mark> {
    let head = item.note.as_ref()?;
    let sign = if under { 1 } else { -1 };
    let y = height(head.place) + sign * LIFT;
    Some(curve(from, to, y, under, Some(item.place)))
}

/// A tie between two points at a height; `down` tells where it bulges.
fn curve(from: i64, to: i64, y: i64, down: bool, place: Option<Place>) -> Mark {
    let length = (to - from).max(0);
    let sign = if down { 1 } else { -1 };
    let depth = (70 + length / 9).clamp(90, 260);
    let (near, far) = (from + length * 3 / 10, to - length * 3 / 10);
    // A curve with both control points at a depth reaches three quarters of it.
    let half = TIE * 2 / 3;
    let (outer, inner) = (y + sign * (depth + half), y + sign * (depth - half));
    let steps = vec![
        Step::Move(from, y),
        Step::Curve(near, outer, far, outer, to, y),
        Step::Curve(far, inner, near, inner, from, y),
        Step::Close,
    ];
    let bulge = y + sign * (depth + half) * 3 / 4;
    let bounds = Bounds::new(from, y.min(bulge), to.max(from), y.max(bulge));
    Mark::path(Kind::Tie, bounds, Shape::Fill(steps)).at(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn longer_ties_bulge_more_and_only_so_far() {
        let bulge = |length| {
            let bounds = curve(0, length, 0, true, None).bounds();
            bounds.bottom - bounds.top
        };
        assert!(bulge(300) < bulge(1200));
        assert_eq!(bulge(4000), bulge(9000));
        let above = curve(0, 500, 100, false, None).bounds();
        assert!(above.bottom == 100 && above.top < 100);
    }
}
