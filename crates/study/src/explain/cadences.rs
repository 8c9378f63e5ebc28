//! Where a line cadences, how, and how strongly.

use linewright_chart::Timeline;
use linewright_compose::Line;
use linewright_rulebook::plan::{Cadence, Clarity, PhrasePlace, Plan};
use linewright_rulebook::style::Style;
use linewright_rulebook::{AMBIGUOUS, RuleBook, Strength, cadence_rule, read};
use linewright_theory::Pitch;

/// A cadence that a line makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Landing {
    /// Index of the bar in the timeline.
    pub bar: usize,
    /// How it cadences.
    pub kind: Cadence,
    /// How strongly, in thousandths of a full finding: more where the bar before was unclear.
    pub strength: Strength,
    /// What it would be worth in the style, were it planned, in milli-points.
    pub points: i32,
    /// Whether the plan asks for it.
    pub planned: bool,
    /// Where in its phrase the bar lies, where a plan may cadence.
    pub place: Option<PhrasePlace>,
}

/// All cadences of a line, by bar, then in the order of their kinds.
pub fn landings(line: &Line) -> Vec<Landing> {
    let mut plan = line.plan.clone();
    for bar in &line.reading.bars {
        if bar.clarity <= AMBIGUOUS {
            plan.bars[bar.bar].clarity = Clarity::Ambiguous;
        }
    }
    let pitches = crate::study::pitches(line);
    hear(&line.book, &line.style, &line.timeline, &plan, &pitches)
}

/// All cadences of some notes over the slots of a plan: the rulebook hears them once with each
/// kind of cadence wished everywhere, and what it finds is what is there.
pub(crate) fn hear(
    book: &RuleBook,
    style: &Style,
    timeline: &Timeline,
    plan: &Plan,
    pitches: &[Pitch],
) -> Vec<Landing> {
    let mut landings = Vec::new();
    for kind in Cadence::ALL {
        let wished = wishing(timeline, plan, kind);
        let reading = read(book, style, &wished, pitches);
        for finding in &reading.findings {
            if book.entry(finding.rule).rule != cadence_rule(kind) {
                continue;
            }
            let bar = finding.place.bar(plan);
            landings.push(Landing {
                bar,
                kind,
                strength: finding.strength,
                points: finding.points.unwrap_or(0),
                planned: plan.bars[bar].cadence == Some(kind),
                place: plan.place_of_cadence(bar),
            });
        }
    }
    landings.sort_by_key(|landing| (landing.bar, landing.kind));
    landings
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
