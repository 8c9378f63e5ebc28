//! Draws one system around its middle line: y 0 is the middle line, x 0 the left end.

use crate::context::Context;
use crate::geometry::{Bounds, SPACE};
use crate::layout::{Layout, Spot};
use crate::mark::{Kind, Mark};
use crate::metrics::STAFF_LINE;
use crate::notes::{self, free_stem, stem_up};
use crate::plan::Plan;
use crate::{above, beam, below, tension, tie, tuplet};

/// A drawn system.
pub(crate) struct System {
    pub marks: Vec<Mark>,
    pub top: i64,
    pub bottom: i64,
}

/// Draws a system that is stretched to a width.
pub(crate) fn draw(context: &Context, plan: &Plan, width: i64) -> System {
    let mut marks = Vec::new();
    let mut layout = Layout::new(context, plan, width);
    for line in -2..=2 {
        let y = line * SPACE;
        let bounds = Bounds::new(0, y - STAFF_LINE / 2, layout.width, y + STAFF_LINE / 2);
        marks.push(Mark::block(Kind::StaffLine, bounds));
    }
    marks.extend(plan.head.marks.iter().cloned());
    for (bar, measure) in plan.bars.iter().zip(&layout.measures) {
        marks.extend(bar.marks.iter().cloned().map(|mut mark| {
            mark.shift(measure.right, 0);
            mark
        }));
    }
    for measure in &mut layout.measures {
        draw_notes(measure, &mut marks);
    }
    tie::draw(context, &layout, &mut marks);
    for measure in &layout.measures {
        for &group in &measure.content.tuplets {
            tuplet::draw(
                measure.content,
                group,
                &measure.xs,
                &measure.stems,
                &mut marks,
            );
        }
    }
    above::draw(context, &layout, &mut marks);
    below::draw(&layout, &mut marks);
    tension::draw(context, &layout, &mut marks);
    let bounds = marks
        .iter()
        .map(|mark| mark.bounds)
        .reduce(Bounds::with)
        .unwrap_or(Bounds::new(0, -2 * SPACE, 0, 2 * SPACE));
    System {
        marks,
        top: bounds.top,
        bottom: bounds.bottom,
    }
}

fn draw_notes(measure: &mut Spot, marks: &mut Vec<Mark>) {
    let content = measure.content;
    for (at, item) in content.items.iter().enumerate() {
        if let Some(head) = &item.note {
            measure.stems[at] = Some(free_stem(item, head, measure.xs[at], stem_up(head)));
        }
    }
    for &group in &content.beams {
        beam::draw(content, group, &measure.xs, &mut measure.stems, marks);
    }
    for (at, item) in content.items.iter().enumerate() {
        let beamed = notes::beamed(content, at);
        notes::draw(item, measure.xs[at], measure.stems[at], beamed, marks);
    }
}
