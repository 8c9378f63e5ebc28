//! A given line, read by the rulebook.

use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_compose::Composer;
use linewright_notation::Score;
use linewright_plan::{Cadence, Dice, Heard, Onset, Plan, Purpose};
use linewright_rules::{AMBIGUOUS, Line, Place, Reading, cadence_rule, read};
use linewright_theory::Pitch;

use crate::align::{Aligned, Ornament, align};
use crate::remark::{Remark, What};

/// Where the plan comes from under which a line is read.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum PlanSource {
    /// Drawn again, as it was for the composer.
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
    /// What decorates it; not judged.
    pub ornaments: Vec<Ornament>,
    /// What was moved or left out when it was laid over the chart.
    pub remarks: Vec<Remark>,
}

impl Study {
    /// Lays a part over a form and reads it in the composer's style, under the plan that it
    /// was composed by where `drawn` tells one and its rhythm is that plan's, else under the
    /// plan that it seems to follow.
    pub fn of(
        composer: &Composer,
        timeline: &Arc<Timeline>,
        score: &Score,
        drawn: Option<(u64, u64)>,
    ) -> Self {
        let Aligned {
            onsets,
            pitches,
            ornaments,
            mut remarks,
        } = align(score, timeline);
        let redrawn = drawn.and_then(|(seed, line)| {
            let dice = &mut Dice::new(seed, line, Purpose::Plan);
            let plan = Plan::draw(timeline, composer.style(), dice);
            if has_rhythm(&plan, &onsets) {
                return Some((plan, PlanSource::Drawn { seed, line }));
            }
            remarks.push(Remark::of_line(What::OtherRhythm));
            None
        });
        let (plan, source) = redrawn.unwrap_or_else(|| {
            let plan = infer(composer, timeline, &onsets, &pitches);
            (plan, PlanSource::Inferred)
        });
        let line = composer.given(timeline, plan, &pitches);
        Self {
            line,
            plan: source,
            ornaments,
            remarks,
        }
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

/// Whether the slots of a plan begin and last as these onsets do.
fn has_rhythm(plan: &Plan, onsets: &[Vec<Onset>]) -> bool {
    let slot = |bar: &linewright_plan::BarPlan| {
        let slots = plan.slots[bar.slots.clone()].iter();
        slots
            .map(|slot| (slot.beat, slot.beats))
            .collect::<Vec<_>>()
    };
    let row = |row: &Vec<Onset>| row.iter().map(|at| (at.beat, at.beats)).collect::<Vec<_>>();
    plan.bars.iter().map(slot).eq(onsets.iter().map(row))
}

/// The plan that a line seems to follow: the rulebook hears it once with each kind of cadence
/// wished everywhere, and what it finds is what is there.
fn infer(
    composer: &Composer,
    timeline: &Timeline,
    onsets: &[Vec<Onset>],
    pitches: &[Pitch],
) -> Plan {
    let style = composer.style();
    let plan = Plan::over(timeline, style, onsets);
    let mut heard = vec![Heard::default(); plan.bars.len()];
    let mut strengths = vec![Vec::new(); plan.bars.len()];
    for kind in Cadence::ALL {
        let wished = wishing(timeline, &plan, kind);
        let reading = read(composer.book(), style, &wished, pitches);
        for bar in &reading.bars {
            heard[bar.bar].ambiguous = bar.clarity <= AMBIGUOUS;
            if bar.cadence == Some(kind) {
                strengths[bar.bar].push((weight(composer, &reading, &wished, bar.bar, kind), kind));
            }
        }
    }
    for (heard, mut found) in heard.iter_mut().zip(strengths) {
        // Strongest first; the sort keeps the order of equals.
        found.sort_by_key(|(points, _)| std::cmp::Reverse(*points));
        heard.cadences = found.into_iter().map(|(_, kind)| kind).collect();
    }
    plan.inferred(timeline, style, &heard, pitches)
}

/// The plan with a cadence of one kind in every bar that has room for it.
fn wishing(timeline: &Timeline, plan: &Plan, kind: Cadence) -> Plan {
    let mut wished = plan.clone();
    for (bar, at) in timeline.bars.iter().enumerate() {
        let room = !at.pickup && plan.has_room(bar, kind);
        wished.bars[bar].cadence = room.then_some(kind);
    }
    wished
}

/// Points of the cadence that a bar makes.
fn weight(composer: &Composer, reading: &Reading, plan: &Plan, bar: usize, kind: Cadence) -> i64 {
    let name = cadence_rule(kind);
    let here = |place| match place {
        Place::Bar(at) => at == bar,
        Place::Note(at) => plan.slots[at].bar == bar,
    };
    let found = reading.findings.iter().filter(|finding| {
        here(finding.place) && composer.book().entry(finding.rule).rule.name == name
    });
    found
        .map(|finding| i64::from(finding.points.unwrap_or(0)))
        .sum()
}
