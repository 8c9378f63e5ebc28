//! Beams: direction, slope, height, and the beams of each note value.

use linewright_notation::written::Beam;

use crate::content::Content;
use crate::geometry::{Bounds, SPACE, Step};
use crate::mark::{Kind, Mark, Shape};
use crate::metrics::{BEAM, BEAM_STEP, BEAM_STUB, STEM, STEM_UNDER_BEAM};
use crate::notes::{self, Stem, free_stem};
use crate::staff::height;

/// Between a beam and an accidental under it.
const SIGN_GAP: i64 = 30;

/// Places the stems of a group under one beam and draws the beams. `xs` are the left ends of the
/// measure's heads, by item.
pub(crate) fn draw(
    content: &Content,
    (first, last): (usize, usize),
    xs: &[i64],
    stems: &mut [Option<Stem>],
    marks: &mut Vec<Mark>,
) {
    let group = first..=last;
    let items = &content.items[group.clone()];
    let places: Vec<i64> = items
        .iter()
        .filter_map(|item| item.note.as_ref())
        .map(|head| head.place)
        .collect();
    let up = points_up(&places);
    let sign = if up { -1 } else { 1 };
    let most = items.iter().map(|item| item.value.beams()).max();
    let deepest = most.unwrap_or(1) as i64 - 1;
    for (item, at) in items.iter().zip(group.clone()) {
        if let Some(head) = &item.note {
            stems[at] = Some(free_stem(item, head, xs[at], up));
        }
    }
    let stem_x = |at: usize| stems[at].map_or(xs[at], |stem| stem.x);
    let (left, right) = (stem_x(first), stem_x(last));
    let rise = slope(&places, right - left);
    let line = |x: i64| rise * (x - left) / (right - left).max(1);
    // The beam lies where the shortest stem is long enough, and no farther in than the middle
    // line; all heights are turned so that the stems point down.
    let length = STEM_UNDER_BEAM + deepest * (BEAM_STEP - 60);
    let thickness = BEAM + deepest * BEAM_STEP;
    // Nor may it touch an accidental that stands under it.
    let clear_of_sign = |at: usize| {
        let head = content.items[at].note.as_ref()?;
        let bounds = notes::accidental_of(head, xs[at])?.bounds();
        let reach = (sign * bounds.top).max(sign * bounds.bottom);
        let nearest = [bounds.left, bounds.right].map(|x| sign * line(x));
        let nearest = nearest.into_iter().min().unwrap_or(0);
        Some(reach + SIGN_GAP + thickness - nearest)
    };
    let base = group
        .clone()
        .zip(&places)
        .map(|(at, &place)| {
            let tip = sign * height(place) + length;
            let tip = tip.max(0) - sign * line(stem_x(at));
            let under = (at > first).then(|| clear_of_sign(at));
            tip.max(under.flatten().unwrap_or(tip))
        })
        .max()
        .unwrap_or(0);
    let tip = |x: i64| sign * base + line(x);
    let tips: Vec<(usize, i64)> = group.clone().map(|at| (at, stem_x(at))).collect();
    for &(at, x) in &tips {
        if let Some(stem) = &mut stems[at] {
            stem.tip = tip(x);
        }
    }
    let place = Some(content.items[first].place);
    let mut beam = |from: i64, to: i64, level: i64| {
        // A beam's outer edge is at the stems' tips; further ones lie towards the heads.
        let inward = -sign * (level * BEAM_STEP);
        let edge = |x: i64| tip(x) + inward;
        let inner = -sign * BEAM;
        let corners = [
            (from, edge(from)),
            (to, edge(to)),
            (to, edge(to) + inner),
            (from, edge(from) + inner),
        ];
        let ys = corners.map(|(_, y)| y);
        let bounds = Bounds::new(
            from,
            ys.into_iter().min().unwrap_or(0),
            to,
            ys.into_iter().max().unwrap_or(0),
        );
        let [a, b, c, d] = corners;
        let steps = vec![
            Step::Move(a.0, a.1),
            Step::Line(b.0, b.1),
            Step::Line(c.0, c.1),
            Step::Line(d.0, d.1),
            Step::Close,
        ];
        marks.push(Mark::path(Kind::Beam, bounds, Shape::Fill(steps)).at(place));
    };
    for level in 0..=deepest {
        let mut from = left;
        for (item, &(_, x)) in items.iter().zip(&tips) {
            match item.beams.get(level as usize) {
                Some(Beam::Begin) => from = x,
                Some(Beam::End) => beam(from, x + STEM, level),
                Some(Beam::Forward) => beam(x, x + BEAM_STUB, level),
                Some(Beam::Backward) => beam(x + STEM - BEAM_STUB, x + STEM, level),
                Some(Beam::Continue) | None => {}
            }
        }
    }
}

/// Whether the stem of an item points up, under its beam or alone.
pub(crate) fn stem_points_up(content: &Content, item: usize) -> bool {
    let group = content
        .beams
        .iter()
        .find(|&&(first, last)| (first..=last).contains(&item));
    let (first, last) = group.copied().unwrap_or((item, item));
    let heads = content.items[first..=last].iter();
    let places: Vec<i64> = heads
        .filter_map(|item| Some(item.note.as_ref()?.place))
        .collect();
    points_up(&places)
}

/// The note farthest from the middle line decides; down when both sides are as far.
fn points_up(places: &[i64]) -> bool {
    let highest = places.iter().copied().max().unwrap_or(0);
    let lowest = places.iter().copied().min().unwrap_or(0);
    -lowest > highest
}

/// How much the beam falls from left to right: by the interval of its ends, less than they do,
/// and level where a note between lies beyond both. `width` is not negative.
fn slope(places: &[i64], width: i64) -> i64 {
    let (Some(&first), Some(&last)) = (places.first(), places.last()) else {
        return 0;
    };
    let between = &places[1..places.len() - 1];
    let beyond = between
        .iter()
        .any(|&place| place >= first.max(last) || place <= first.min(last));
    if beyond {
        return 0;
    }
    let most = match (last - first).abs() {
        0 => 0,
        1 => SPACE / 4,
        2 => SPACE / 2,
        3 => SPACE * 3 / 4,
        _ => SPACE,
    };
    let fall = most.min(width / 4);
    if last > first { -fall } else { fall }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_farthest_note_decides_the_direction() {
        assert!(points_up(&[-5, 3]));
        assert!(!points_up(&[-3, 5]));
        assert!(!points_up(&[-3, 3]));
    }

    #[test]
    fn beams_follow_the_ends_but_lie_flatter() {
        assert_eq!(slope(&[0, 0], 900), 0);
        assert!(slope(&[0, 2], 900) < 0);
        assert!(slope(&[2, 0], 900) > 0);
        assert!(slope(&[0, 12], 900).abs() <= SPACE);
        assert_eq!(slope(&[0, 5, 1], 900), 0);
        assert_ne!(slope(&[0, 1, 2], 900), 0);
    }
}
