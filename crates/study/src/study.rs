//! A given line, read by the rulebook.

use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_compose::Line;
use linewright_compose::Role;
use linewright_notation::Score;
use linewright_rulebook::StyleBook;
use linewright_rulebook::plan::{BarPlan, Dice, Heard, Onset, Plan, Purpose};
use linewright_rulebook::{AMBIGUOUS, read};
use linewright_theory::Pitch;

use crate::align::{Aligned, align};
use crate::explain::hear;
use crate::remark::{Remark, What};

/// Where the plan comes from under which a line is read.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum PlanSource {
    /// Drawn again, as it was for the style_book.
    Drawn {
        /// The seed.
        seed: u64,
        /// The line's number within the seed, from 0.
        line: u64,
    },
    /// Inferred from the line.
    Inferred,
}

/// A given line, laid over its chart and read under a plan.
#[derive(Clone, Debug)]
pub struct Study {
    /// The line.
    pub line: Line,
    /// Where its plan comes from.
    pub plan: PlanSource,
    /// The bars of its timeline, pick-ups aside, that have a chord and in which nothing sounds.
    pub silent: Vec<usize>,
    /// What was moved or left out when it was laid over the chart.
    pub remarks: Vec<Remark>,
}

impl Study {
    /// Lays a part over a form and reads it in the style of the book, under the plan that it
    /// was composed by where `drawn` tells one and its rhythm is that plan's, else under the
    /// plan that it seems to follow.
    pub fn of(
        style_book: &StyleBook,
        timeline: &Arc<Timeline>,
        score: &Score,
        drawn: Option<(u64, u64)>,
    ) -> Self {
        let Aligned {
            onsets,
            pitches,
            written,
            silent,
            mut remarks,
        } = align(score, timeline);
        let redrawn = drawn.and_then(|(seed, line)| {
            let dice = &mut Dice::new(seed, line, Purpose::Plan);
            let plan = Plan::draw(timeline, style_book.style(), dice);
            if has_rhythm(&plan, &onsets) {
                return Some((plan, PlanSource::Drawn { seed, line }));
            }
            remarks.push(Remark::of_line(What::OtherRhythm));
            None
        });
        let (plan, source) = redrawn.unwrap_or_else(|| {
            let plan = infer(style_book, timeline, &onsets, &pitches);
            (plan, PlanSource::Inferred)
        });
        let mut line = Line::given(style_book, timeline, plan, &pitches);
        line.written = written;
        line.credits.student.clone_from(&score.student);
        if line.credits.composer.is_none() {
            line.credits.composer.clone_from(&score.composer);
        }
        if score.played {
            line.spell_as_read();
        }
        Self {
            line,
            plan: source,
            silent,
            remarks,
        }
    }

    /// How many notes lie between the beats and are not judged.
    pub fn between(&self) -> usize {
        between(&self.line)
    }

    /// The pitches of the line, one for each slot of its plan.
    pub fn pitches(&self) -> Vec<Pitch> {
        pitches(&self.line)
    }
}

/// The pitches of a line, one for each slot of its plan.
pub fn pitches(line: &Line) -> Vec<Pitch> {
    line.reading.notes.iter().map(|note| note.pitch).collect()
}

/// How many notes of a line lie between the beats.
pub fn between(line: &Line) -> usize {
    let events = line.written.iter().flatten();
    events
        .filter(|written| matches!(written.role, Role::Between(_)))
        .count()
}

/// Whether the slots of a plan begin and last as these onsets do.
fn has_rhythm(plan: &Plan, onsets: &[Vec<Onset>]) -> bool {
    let slot = |bar: &BarPlan| {
        let slots = plan.slots[bar.slots.clone()].iter();
        slots
            .map(|slot| (slot.beat, slot.beats))
            .collect::<Vec<_>>()
    };
    let row = |row: &Vec<Onset>| row.iter().map(|at| (at.beat, at.beats)).collect::<Vec<_>>();
    plan.bars.iter().map(slot).eq(onsets.iter().map(row))
}

/// The plan that a line seems to follow.
fn infer(
    style_book: &StyleBook,
    timeline: &Timeline,
    onsets: &[Vec<Onset>],
    pitches: &[Pitch],
) -> Plan {
    let (book, style) = (style_book.book(), style_book.style());
    let plan = Plan::over(timeline, style, onsets);
    let mut landings = hear(book, style, timeline, &plan, pitches);
    // Strongest first; the sort keeps the order of equals.
    landings.sort_by_key(|landing| std::cmp::Reverse(landing.points));
    let mut heard = vec![Heard::default(); plan.bars.len()];
    for landing in landings {
        heard[landing.bar].cadences.push(landing.kind);
    }
    for bar in read(book, style, &plan, pitches).bars {
        heard[bar.bar].ambiguous = bar.clarity <= AMBIGUOUS;
    }
    plan.inferred(timeline, style, &heard, pitches)
}
