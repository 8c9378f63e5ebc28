//! The prices of faults over one plan: they depend on the form and the plan, not on the notes.

use linewright_chart::Timeline;
use linewright_rulebook::plan::{Plan, Slot};
use linewright_rulebook::style::{Criterion, DevicesOver, Style};
use linewright_rulebook::{
    Evaluator, Family, Place, Rule, RuleBook, RuleId, most_by_one_note, possible_places,
};

use super::bar_of_device;

/// The criterion that a rule belongs to.
pub fn criterion_of(rule: &Rule) -> Criterion {
    match rule.family {
        Family::Tone | Family::Clarity => Criterion::Harmony,
        Family::Arrival | Family::Approach => Criterion::Arrivals,
        Family::Cadence => Criterion::Cadences,
        Family::Melody => Criterion::Motion,
        Family::Order => Criterion::Order,
        Family::Register => Criterion::Range,
    }
}

/// What faults cost over one plan.
#[derive(Clone, Debug)]
pub struct Scheme {
    /// Total of each criterion in thousandths of a mark; 0 for one that does not count here.
    totals: [i64; 7],
    /// By rule number, what a full finding costs, in thousandths of a mark.
    faults: Vec<i64>,
    /// What should be found, where, and what it costs where it is not.
    expected: Vec<(RuleId, Place, i64)>,
    /// By rule number, whether it is expected anywhere.
    asked: Vec<bool>,
    /// By rule number, whether it is one of the grade's own devices.
    devices: Vec<bool>,
    /// Pairs of neighbouring bars that have room for a device.
    pairs: Vec<[usize; 2]>,
    /// What a pair without any costs, in thousandths of a mark.
    pair_price: i64,
    /// How many bars should have notes, and how many have none.
    whole: usize,
    silent: usize,
}

impl Scheme {
    /// The scheme of a style over a plan, in which as many bars as `silent` have no notes but
    /// should have some.
    pub fn of(
        book: &RuleBook,
        style: &Style,
        timeline: &Timeline,
        plan: &Plan,
        silent: usize,
    ) -> Self {
        let marks = &style.marks;
        let bars: Vec<usize> = (0..plan.bars.len())
            .filter(|&bar| !plan.bars[bar].slots.is_empty())
            .collect();
        let devices: Vec<bool> = book
            .entries()
            .iter()
            .map(|entry| marks.devices.iter().any(|device| device == entry.rule.name))
            .collect();
        let pairs = pairs(book, style, timeline, plan, &bars, &devices);
        let planned = plan.bars.iter().filter(|bar| bar.cadence.is_some()).count();
        let arrivals = plan.slots.iter().filter(|slot| slot.is_arrival()).count();
        let places = |criterion| match criterion {
            Criterion::Arrivals => arrivals,
            Criterion::Cadences => planned,
            Criterion::Device => pairs.len(),
            _ => bars.len(),
        };
        let whole = bars.len() + silent;
        let at = |criterion: Criterion| criterion as usize;
        let mut totals = [0; 7];
        let mut prices = [0; 7];
        for criterion in Criterion::ALL {
            let count = places(criterion) as i64;
            if count > 0 {
                totals[at(criterion)] = i64::from(marks.totals[at(criterion)]) * 1000;
                // The bars without notes would have had their part of the places.
                prices[at(criterion)] =
                    totals[at(criterion)] * bars.len() as i64 / (count * whole as i64);
            }
        }
        let price =
            |rule: &Rule, share: u16| prices[at(criterion_of(rule))] * i64::from(share) / 1000;
        let faults = book
            .entries()
            .iter()
            .map(|entry| price(entry.rule, marks.fault(entry.rule.name, entry.weight)))
            .collect();
        let mut expected = Vec::new();
        let mut asked = vec![false; book.entries().len()];
        for entry in book.entries() {
            let Some(&share) = marks.expected.get(entry.rule.name) else {
                continue;
            };
            let price = price(entry.rule, share);
            for place in possible_places(entry.rule, style, plan) {
                expected.push((entry.id, place, price));
                asked[usize::from(entry.id.number())] = true;
            }
        }
        Self {
            totals,
            faults,
            expected,
            asked,
            devices,
            pairs,
            pair_price: prices[at(Criterion::Device)],
            whole,
            silent,
        }
    }

    /// What the bars without notes cost of a criterion's total, in thousandths of a mark.
    pub fn silence_price(&self, total: i64) -> i64 {
        if self.silent == 0 {
            return 0;
        }
        total * self.silent as i64 / self.whole as i64
    }

    /// What is got of a criterion's total where its faults cost so much, in thousandths of a
    /// mark.
    pub(super) fn got(&self, total: i64, cost: i64) -> i64 {
        (total - self.silence_price(total) - cost).max(0)
    }

    /// The criteria that count here, with their totals in thousandths of a mark.
    pub fn criteria(&self) -> impl Iterator<Item = (Criterion, i64)> {
        let all = Criterion::ALL.into_iter().zip(self.totals);
        all.filter(|(_, total)| *total > 0)
    }

    /// Whether it costs anything that a rule finds something, or that it does not.
    pub(super) fn counts(&self, rule: RuleId) -> bool {
        self.fault_price(rule) > 0 || self.asked[usize::from(rule.number())]
    }

    /// The rules that marks hang on, ready to evaluate.
    pub(super) fn evaluator(&self, book: &RuleBook) -> Evaluator {
        Evaluator::of_some(book, |rule| self.counts(rule) || self.is_device(rule))
    }

    /// What a full finding of a rule costs, in thousandths of a mark.
    pub fn fault_price(&self, rule: RuleId) -> i64 {
        self.faults[usize::from(rule.number())]
    }

    /// What one changed note can cost a criterion more, at the most, in thousandths of a mark.
    pub(super) fn most_by_one_note(&self, book: &RuleBook, criterion: Criterion) -> i64 {
        let entries = book.entries().iter();
        let of_it = entries.filter(|entry| criterion_of(entry.rule) == criterion);
        of_it
            .map(|entry| {
                let (fault, expected) = self.prices(entry.id);
                (fault + expected) * most_by_one_note(entry.rule)
            })
            .sum()
    }

    /// What a full finding of a rule costs, and what its absence costs at each place where it
    /// is expected, in thousandths of a mark.
    pub(super) fn prices(&self, rule: RuleId) -> (i64, i64) {
        let expected = self.expected.iter().find(|(id, ..)| *id == rule);
        (
            self.fault_price(rule),
            expected.map_or(0, |(.., price)| *price),
        )
    }

    /// What should be found, where, and what it costs where it is not.
    pub fn expected(&self) -> &[(RuleId, Place, i64)] {
        &self.expected
    }

    /// Whether a rule is one of the grade's own devices.
    pub fn is_device(&self, rule: RuleId) -> bool {
        self.devices[usize::from(rule.number())]
    }

    /// Pairs of neighbouring bars that have room for a device.
    pub fn pairs(&self) -> &[[usize; 2]] {
        &self.pairs
    }

    /// What a pair of bars without any device costs, in thousandths of a mark.
    pub fn pair_price(&self) -> i64 {
        self.pair_price
    }
}

/// The bars two by two, where one of them at least has room for a device.
fn pairs(
    book: &RuleBook,
    style: &Style,
    timeline: &Timeline,
    plan: &Plan,
    bars: &[usize],
    devices: &[bool],
) -> Vec<[usize; 2]> {
    let mut room = vec![false; plan.bars.len()];
    for (entry, _) in book
        .entries()
        .iter()
        .zip(devices)
        .filter(|(_, device)| **device)
    {
        for place in possible_places(entry.rule, style, plan) {
            room[bar_of_device(entry.rule, plan, place)] = true;
        }
    }
    // A bar of one note, as at a break, is no place for a device.
    let full: Vec<usize> = bars
        .iter()
        .copied()
        .filter(|&bar| !timeline.bars[bar].pickup && plan.bars[bar].slots.len() > 1)
        .collect();
    // Over one chord the two bars may begin anywhere; elsewhere bars go by twos.
    let neighbours = |step: usize| full.windows(2).step_by(step).map(|pair| [pair[0], pair[1]]);
    match style.marks.devices_over {
        DevicesOver::AnyHarmony => neighbours(2)
            .filter(|pair| pair[0] + 1 == pair[1] && pair.iter().any(|&bar| room[bar]))
            .collect(),
        DevicesOver::OneChord => {
            let mut pairs: Vec<[usize; 2]> = Vec::new();
            for pair in neighbours(1).filter(|pair| holds_one_chord(plan, *pair)) {
                if pairs.last().is_none_or(|last| last[1] < pair[0]) {
                    pairs.push(pair);
                }
            }
            pairs
        }
    }
}

/// Whether two neighbouring bars have one chord between them.
fn holds_one_chord(plan: &Plan, [first, second]: [usize; 2]) -> bool {
    let row = plan.bars[first].slots.start..plan.bars[second].slots.end;
    let chord = |slot: &Slot| slot.ground.chord;
    let slots = &plan.slots[row];
    first + 1 == second && slots.iter().all(|slot| chord(slot) == chord(&slots[0]))
}
