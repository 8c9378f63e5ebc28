//! The one change that mends a fault.

use std::collections::BTreeMap;
use std::ops::Range;

use linewright_plan::Plan;
use linewright_rules::{Finding, Line, Place, findings_around, hangs_on};
use linewright_theory::Pitch;

use super::{Fault, Scheme, Wrong, bar_of, faults};
use crate::study::pitches;

/// One changed note.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Mend {
    /// The slot.
    pub slot: usize,
    /// The note to play there instead.
    pub pitch: Pitch,
}

/// Every change that was tried, with what it leaves wrong around it.
pub(super) struct Changes<'a> {
    line: &'a Line,
    scheme: &'a Scheme,
    played: Vec<Pitch>,
    /// For each slot, every change of its note.
    tried: BTreeMap<usize, Vec<Tried>>,
}

/// A change of one note.
struct Tried {
    pitch: Pitch,
    /// Marks that the bars around cost after it, less what they cost before.
    cost: i64,
    /// Their score after it, less that before.
    score: i64,
    /// What the faults cost that are mended by it, whatever others it makes.
    mended: i64,
    /// What is wrong there after it.
    wrong: Vec<(Wrong, Place)>,
}

impl<'a> Changes<'a> {
    /// None tried yet.
    pub(super) fn new(line: &'a Line, scheme: &'a Scheme) -> Self {
        Changes {
            line,
            scheme,
            played: pitches(line),
            tried: BTreeMap::new(),
        }
    }

    /// All changes that can gain so many marks where these are the faults of the line: a change
    /// gains no more than what the faults cost that it mends. The most that is mended first.
    pub(super) fn that_mend(&mut self, wrong: &[Fault], gain: i64) -> Vec<Mend> {
        let plan = &self.line.plan;
        let can_mend = |slot: usize, fault: &Fault| match (fault.what, fault.place) {
            (Wrong::NoDevice, Place::Bar(bar)) => reaches_pair(plan, slot, bar),
            (_, place) => hangs_on(plan, place, slot),
        };
        let slots = (0..plan.slots.len())
            .filter(|&slot| wrong.iter().any(|fault| can_mend(slot, fault)))
            .collect::<Vec<_>>();
        let mut found: Vec<(i64, Mend)> = Vec::new();
        for slot in slots {
            for tried in self.of(slot).iter().filter(|tried| tried.mended >= gain) {
                let pitch = tried.pitch;
                found.push((tried.mended, Mend { slot, pitch }));
            }
        }
        found.sort_by_key(|(mended, _)| std::cmp::Reverse(*mended));
        found.into_iter().map(|(_, mend)| mend).collect()
    }

    /// The one change that mends a fault.
    ///
    /// Of the notes that it hangs on, over the style's range, the change that costs the fewest
    /// marks, and among equals the highest score in the style, then the smallest move, then the
    /// earliest and lowest note. `None` where no single note mends the fault without costing more
    /// than it saves.
    pub(super) fn mend(&mut self, fault: &Fault) -> Option<Mend> {
        let mut best: Option<((i64, i64, i32), Mend)> = None;
        for slot in slots_of(self.line, fault) {
            let played = i32::from(self.played[slot].midi());
            for tried in self.of(slot) {
                if tried.cost >= 0 || tried.wrong.contains(&(fault.what, fault.place)) {
                    continue;
                }
                let near = -(i32::from(tried.pitch.midi()) - played).abs();
                let key = (-tried.cost, tried.score, near);
                if best.as_ref().is_none_or(|(best, _)| key > *best) {
                    let pitch = tried.pitch;
                    best = Some((key, Mend { slot, pitch }));
                }
            }
        }
        best.map(|(_, mend)| mend)
    }

    /// Every change of one note.
    fn of(&mut self, slot: usize) -> &[Tried] {
        let (line, scheme, played) = (self.line, self.scheme, &self.played);
        self.tried.entry(slot).or_insert_with(|| {
            // A change reaches the bar after the next, and the pairs that it lies in.
            let bar = line.plan.slots[slot].bar;
            let bars = bar.saturating_sub(2)..(bar + 4).min(line.plan.bars.len());
            let scheme = scheme.within(&line.plan, &bars);
            let here = |place: Place| bars.contains(&bar_of(&line.plan, place));
            let (mut now, kept): (Vec<Finding>, Vec<Finding>) = line
                .reading
                .findings
                .iter()
                .filter(|finding| here(finding.place))
                .partition(|finding| hangs_on(&line.plan, finding.place, slot));
            let heard = |changed: &[Finding]| {
                let points = changed.iter().filter_map(|finding| finding.points);
                let score: i64 = points.map(i64::from).sum();
                let all = [kept.as_slice(), changed].concat();
                let faults = faults(&line.book, &scheme, &line.plan, &all);
                let wrong: Vec<(Wrong, Place, i64)> = faults
                    .values()
                    .flatten()
                    .map(|fault| (fault.what, fault.place, fault.cost))
                    .collect();
                let cost: i64 = faults.values().flatten().map(|fault| fault.cost).sum();
                (cost, score, wrong)
            };
            let (cost_before, score_before, before) = heard(&now);
            let mut notes = played.clone();
            let range = line.style.range;
            let pitches = (range.low.midi()..=range.high.midi()).filter_map(Pitch::new);
            pitches
                .filter(|pitch| *pitch != played[slot])
                .map(|pitch| {
                    notes[slot] = pitch;
                    now = findings_around(&line.book, &line.style, &line.plan, &notes, slot);
                    let (cost, score, after) = heard(&now);
                    let still = |what: Wrong, place: Place| {
                        let mut same = after.iter().filter(|now| (now.0, now.1) == (what, place));
                        same.next().map_or(0, |now| now.2)
                    };
                    let mended = before
                        .iter()
                        .map(|&(what, place, cost)| (cost - still(what, place)).max(0))
                        .sum();
                    let wrong = after.iter().map(|now| (now.0, now.1)).collect();
                    Tried {
                        mended,
                        pitch,
                        cost: cost - cost_before,
                        score: score - score_before,
                        wrong,
                    }
                })
                .collect()
        })
    }
}

/// Whether a device in the bar of this index or the next can hang on the note of a slot: on one of
/// these bars, of the bar before, or on the first note after them, which an approach leads to.
fn reaches_pair(plan: &Plan, slot: usize, bar: usize) -> bool {
    let own = plan.slots[slot].bar;
    let last = plan.bars[(bar + 1).min(plan.bars.len() - 1)].slots.end;
    (bar.saturating_sub(1)..bar + 2).contains(&own) || slot == last
}

/// The slots whose notes may mend a fault.
fn slots_of(line: &Line, fault: &Fault) -> Range<usize> {
    match (fault.place, fault.what) {
        (Place::Note(at), _) => at.saturating_sub(2)..at + 1,
        (Place::Bar(bar), Wrong::NoDevice) => {
            let next = (bar + 1).min(line.plan.bars.len() - 1);
            line.plan.bars[bar].slots.start..line.plan.bars[next].slots.end
        }
        (Place::Bar(bar), _) => line.plan.bars[bar].slots.clone(),
    }
}
