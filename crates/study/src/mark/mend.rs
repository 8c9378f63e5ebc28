//! The one change that mends a fault.

use std::collections::BTreeMap;

use linewright_compose::Line;
use linewright_rulebook::plan::Plan;
use linewright_rulebook::{Around, Evaluator, Finding, Place, RuleId, hangs_on};
use linewright_theory::Pitch;

use super::{Fault, Scheme, Wrong, bar_of_device, faults_among};
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
    /// The rules that marks hang on.
    marked: Evaluator,
    /// All rules.
    all: Evaluator,
    /// For each slot, every change of its note.
    tried: BTreeMap<usize, Vec<Tried>>,
    /// What the score changes by with a change.
    scores: BTreeMap<(usize, Pitch), i64>,
}

/// A change of one note.
struct Tried {
    pitch: Pitch,
    /// Marks that the places around cost after it, less what they cost before.
    cost: i64,
    /// What the faults cost that are mended by it, whatever others it makes.
    mended: i64,
    /// What is wrong there after it.
    wrong: Vec<Fault>,
}

impl<'a> Changes<'a> {
    /// None tried yet.
    pub(super) fn new(line: &'a Line, scheme: &'a Scheme) -> Self {
        Changes {
            line,
            scheme,
            played: pitches(line),
            marked: scheme.evaluator(&line.book),
            all: Evaluator::of(&line.book),
            tried: BTreeMap::new(),
            scores: BTreeMap::new(),
        }
    }

    /// All changes that can gain so many marks where these are the faults of the line: a change
    /// gains no more than what the faults cost that it mends. The most that is mended first.
    pub(super) fn that_mend(&mut self, wrong: &[Fault], gain: i64) -> Vec<Mend> {
        let line = self.line;
        let mut found: Vec<(i64, Mend)> = Vec::new();
        let slots = 0..line.plan.slots.len();
        for slot in slots.filter(|&slot| wrong.iter().any(|fault| can_mend(line, fault, slot))) {
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
        let mut fewest = -1;
        let mut best: Vec<Mend> = Vec::new();
        for slot in slots_of(self.line, fault) {
            for tried in self.of(slot) {
                if tried.cost > fewest || tried.wrong.iter().any(|now| now.is(fault)) {
                    continue;
                }
                if tried.cost < fewest {
                    best.clear();
                }
                fewest = tried.cost;
                let pitch = tried.pitch;
                best.push(Mend { slot, pitch });
            }
        }
        if best.len() < 2 {
            return best.pop();
        }
        let scores = self.scores_of(&best);
        let first = best.iter().zip(scores).min_by_key(|(mend, score)| {
            let played = i32::from(self.played[mend.slot].midi());
            let size = (i32::from(mend.pitch.midi()) - played).abs();
            (std::cmp::Reverse(*score), size, mend.slot, mend.pitch)
        });
        first.map(|(mend, _)| *mend)
    }

    /// What the score changes by with each of some changes.
    fn scores_of(&mut self, mends: &[Mend]) -> Vec<i64> {
        let line = self.line;
        let mut scores = Vec::new();
        for of_slot in mends.chunk_by(|one, other| one.slot == other.slot) {
            let slot = of_slot[0].slot;
            let mut around: Option<(Around, i64)> = None;
            for mend in of_slot {
                let score = *self.scores.entry((slot, mend.pitch)).or_insert_with(|| {
                    let points = |found: &[Finding]| -> i64 {
                        let points = found.iter().filter_map(|finding| finding.points);
                        points.map(i64::from).sum()
                    };
                    let (around, before) = around.get_or_insert_with(|| {
                        let (style, plan) = (&line.style, &line.plan);
                        let mut around = Around::new(&self.all, style, plan, &self.played, slot);
                        let before = points(around.findings_with(self.played[slot]));
                        (around, before)
                    });
                    points(around.findings_with(mend.pitch)) - *before
                });
                scores.push(score);
            }
        }
        scores
    }

    /// Every change of one note.
    fn of(&mut self, slot: usize) -> &[Tried] {
        let (line, scheme, played) = (self.line, self.scheme, &self.played);
        let marked = &self.marked;
        self.tried.entry(slot).or_insert_with(|| {
            let spot = Spot::new(line, scheme, slot);
            let mut around = Around::new(marked, &line.style, &line.plan, played, slot);
            let before = spot.wrong(around.findings_with(played[slot]));
            let cost = |wrong: &[Fault]| wrong.iter().map(|fault| fault.cost).sum::<i64>();
            let cost_before = cost(&before);
            let range = line.style.range;
            let pitches = (range.low.midi()..=range.high.midi()).filter_map(Pitch::new);
            pitches
                .filter(|pitch| *pitch != played[slot])
                .map(|pitch| {
                    let wrong = spot.wrong(around.findings_with(pitch));
                    let still = |fault: &Fault| {
                        let same = wrong.iter().find(|now| now.is(fault));
                        same.map_or(0, |now| now.cost)
                    };
                    let mended = before.iter();
                    let mended = mended.map(|fault| (fault.cost - still(fault)).max(0)).sum();
                    Tried {
                        pitch,
                        cost: cost(&wrong) - cost_before,
                        mended,
                        wrong,
                    }
                })
                .collect()
        })
    }
}

/// What can be wrong around the note of a slot, whatever note that is.
struct Spot<'a> {
    line: &'a Line,
    scheme: &'a Scheme,
    /// What should be found there, where, and what it costs where it is not.
    expected: Vec<(RuleId, Place, i64)>,
    /// The pairs of bars that have no device but what is found there.
    pairs: Vec<[usize; 2]>,
}

impl<'a> Spot<'a> {
    fn new(line: &'a Line, scheme: &'a Scheme, slot: usize) -> Self {
        let (plan, book) = (&line.plan, &line.book);
        let expected = scheme.expected().iter();
        let expected = expected
            .filter(|(rule, place, _)| hangs_on(plan, &book.entry(*rule).rule.look, *place, slot));
        // Devices that stay, whatever the note is.
        let stays = |finding: &&Finding| {
            let look = &book.entry(finding.rule).rule.look;
            scheme.is_device(finding.rule) && !hangs_on(plan, look, finding.place, slot)
        };
        let kept = line.reading.findings.iter().filter(stays);
        let kept: Vec<usize> = kept
            .map(|finding| bar_of_device(book.entry(finding.rule).rule, plan, finding.place))
            .collect();
        let near = |pair: &&[usize; 2]| reaches_pair(plan, slot, pair[0]);
        let bare = |pair: &&[usize; 2]| !kept.iter().any(|bar| pair.contains(bar));
        let pairs = scheme.pairs().iter().filter(near).filter(bare);
        Spot {
            line,
            scheme,
            expected: expected.copied().collect(),
            pairs: pairs.copied().collect(),
        }
    }

    /// What is wrong there with these findings.
    fn wrong(&self, findings: &[Finding]) -> Vec<Fault> {
        let Line { book, plan, .. } = self.line;
        faults_among(
            book,
            self.scheme,
            plan,
            findings,
            &self.expected,
            &self.pairs,
        )
    }
}

/// Whether a fault can be mended by a change of the note of a slot.
pub(super) fn can_mend(line: &Line, fault: &Fault, slot: usize) -> bool {
    match (fault.what, fault.place) {
        (Wrong::NoDevice, Place::Bar(bar)) => reaches_pair(&line.plan, slot, bar),
        (Wrong::NoDevice, Place::Note(_)) => false,
        (Wrong::Found(rule) | Wrong::Missing(rule), place) => {
            hangs_on(&line.plan, &line.book.entry(rule).rule.look, place, slot)
        }
    }
}

/// Whether a device in the bar of this index or the next can hang on the note of a slot: on one of
/// these bars, of the bar before, or on the first note after them, which an approach leads to.
pub(super) fn reaches_pair(plan: &Plan, slot: usize, bar: usize) -> bool {
    let own = plan.slots[slot].bar;
    let last = plan.bars[(bar + 1).min(plan.bars.len() - 1)].slots.end;
    (bar.saturating_sub(1)..bar + 2).contains(&own) || slot == last
}

/// The slots whose notes are offered to mend a fault: of those that can, the note and the two
/// before it, the bar, or the pair of bars.
fn slots_of(line: &Line, fault: &Fault) -> Vec<usize> {
    let bars = &line.plan.bars;
    let slots = match (fault.place, fault.what) {
        (Place::Note(at), _) => at.saturating_sub(2)..at + 1,
        (Place::Bar(bar), Wrong::NoDevice) => {
            let next = (bar + 1).min(bars.len() - 1);
            bars[bar].slots.start..bars[next].slots.end
        }
        (Place::Bar(bar), _) => bars[bar].slots.clone(),
    };
    slots.filter(|&slot| can_mend(line, fault, slot)).collect()
}
