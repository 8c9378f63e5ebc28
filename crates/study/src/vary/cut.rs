//! A few bars of a line as a line of their own.

use std::ops::Range;
use std::sync::Arc;

use linewright_compose::Line;
use linewright_compose::written::{Role, settle};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::read;

use crate::excerpt::excerpt;
use crate::study::pitches;

/// Some neighbouring bars of a line as a line of their own, read by themselves.
pub fn cut(line: &Line, bars: Range<usize>) -> Line {
    let part = excerpt(&line.plan, bars.clone());
    let mut slots = part.plan.slots;
    for slot in &mut slots {
        slot.bar -= bars.start;
    }
    let plan = Plan {
        bars: part.plan.bars[bars.clone()].to_vec(),
        slots,
    };
    let mut written = line.written[bars.clone()].to_vec();
    for row in written.iter_mut().flatten() {
        if let Role::Walk(slot) = &mut row.role {
            *slot -= part.slots.start;
        }
    }
    settle(&mut written);
    let mut timeline = (*line.timeline).clone();
    timeline.bars = timeline.bars[bars].to_vec();
    timeline.choruses = 1;
    timeline.key = timeline.bars[0].key;
    timeline.tempo = timeline.bars[0].tempo;
    let reading = read(&line.book, &line.style, &plan, &pitches(line)[part.slots]);
    Line {
        timeline: Arc::new(timeline),
        plan,
        reading,
        written,
        ..line.clone()
    }
}
