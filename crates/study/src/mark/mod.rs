//! Marks for a line, by criterion, each from the rulebook.
//!
//! Every criterion has its total in the style. It is shared out among its places (bars,
//! arrivals, planned cadences, pairs of bars), and a fault at a place costs a share of that. No
//! criterion falls below nothing. A bar that should have notes and has none loses its share of
//! every criterion. A criterion without a place in this form, such as cadences
//! where the style plans none, does not count.

mod class;
mod fix;
mod marked;
mod means;
mod mend;
mod scheme;

use std::collections::BTreeMap;

use linewright_compose::Line;
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Criterion;
use linewright_rulebook::{FULL, Finding, Label, Place, Rule, RuleBook, RuleId};

pub use class::{Assessed, Change, Class, Entry, Located};
pub use marked::{Asked, Fix, Marked};
pub use means::Means;
pub use mend::Mend;
pub use scheme::{Scheme, criterion_of};

/// The marks of one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Those that count here.
    pub criteria: Vec<CriterionMark>,
    /// The share of the total that passes, in percent.
    pub pass: u8,
}

impl Mark {
    /// What can be had, in thousandths of a mark.
    pub fn total(&self) -> i64 {
        self.criteria.iter().map(|criterion| criterion.total).sum()
    }

    /// What was got, in thousandths of a mark.
    pub fn got(&self) -> i64 {
        self.criteria.iter().map(|criterion| criterion.got).sum()
    }

    /// What passes, in thousandths of a mark.
    pub fn pass(&self) -> i64 {
        self.total() * i64::from(self.pass) / 100
    }

    /// Whether the line passes.
    pub fn passes(&self) -> bool {
        self.got() >= self.pass()
    }

    /// All faults, in the order of their places.
    pub fn faults(&self) -> impl Iterator<Item = &Fault> {
        self.criteria.iter().flat_map(|criterion| &criterion.faults)
    }
}

/// The marks for one criterion.
#[derive(Clone, Debug, PartialEq)]
pub struct CriterionMark {
    /// Which.
    pub criterion: Criterion,
    /// What can be had, in thousandths of a mark.
    pub total: i64,
    /// What was got, in thousandths of a mark.
    pub got: i64,
    /// What speaks for the line: rules that found something good, and how often, most first.
    pub credit: Vec<(RuleId, usize)>,
    /// What was taken off, in the order of places.
    pub faults: Vec<Fault>,
}

/// Something that costs marks.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong.
    pub what: Wrong,
    /// Where; for a missing device, the first bar of the pair.
    pub place: Place,
    /// What it costs, in thousandths of a mark. A criterion that is used up costs no more.
    pub cost: i64,
}

impl Fault {
    /// Whether this is the same fault, whatever it costs.
    fn is(&self, other: &Self) -> bool {
        (self.what, self.place) == (other.what, other.place)
    }
}

/// What is wrong at a place.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// A rule found something that it should not.
    Found(RuleId),
    /// A rule should have found something, and did not.
    Missing(RuleId),
    /// None of the grade's own devices is in a pair of bars: this one and the next.
    NoDevice,
}

/// Marks a line that has been read, by the scheme of its plan.
pub fn mark(line: &Line, scheme: &Scheme) -> Mark {
    let mut faults = faults(&line.book, scheme, &line.plan, &line.reading.findings);
    let criteria = scheme.criteria().map(|(criterion, total)| {
        let mut faults = faults.remove(&criterion).unwrap_or_default();
        faults.sort_by_key(|fault| (order(&line.plan, fault.place), fault.place));
        let cost: i64 = faults.iter().map(|fault| fault.cost).sum();
        CriterionMark {
            criterion,
            total,
            got: scheme.got(total, cost),
            credit: credit(line, scheme, criterion),
            faults,
        }
    });
    Mark {
        criteria: criteria.collect(),
        pass: line.style.marks.pass,
    }
}

/// The faults among the findings of a whole line, by criterion.
pub(crate) fn faults(
    book: &RuleBook,
    scheme: &Scheme,
    plan: &Plan,
    findings: &[Finding],
) -> BTreeMap<Criterion, Vec<Fault>> {
    let mut faults: BTreeMap<Criterion, Vec<Fault>> = BTreeMap::new();
    let (expected, pairs) = (scheme.expected(), scheme.pairs());
    for fault in faults_among(book, scheme, plan, findings, expected, pairs) {
        let criterion = match fault.what {
            Wrong::Found(rule) | Wrong::Missing(rule) => criterion_of(book.entry(rule).rule),
            Wrong::NoDevice => Criterion::Device,
        };
        faults.entry(criterion).or_default().push(fault);
    }
    faults
}

/// The faults among some findings, where so much is expected and these pairs of bars ask for a
/// device.
fn faults_among(
    book: &RuleBook,
    scheme: &Scheme,
    plan: &Plan,
    findings: &[Finding],
    expected: &[(RuleId, Place, i64)],
    pairs: &[[usize; 2]],
) -> Vec<Fault> {
    // Half a fault is none: it stays a matter of taste.
    let counted = findings
        .iter()
        .filter(|finding| scheme.counts(finding.rule));
    let mut found: Vec<(RuleId, Place, i64)> = counted
        .map(|finding| {
            (
                finding.rule,
                finding.place,
                i64::from(finding.strength / FULL),
            )
        })
        .collect();
    found.sort_unstable();
    found.dedup_by(|next, kept| {
        let same = (next.0, next.1) == (kept.0, kept.1);
        kept.2 += if same { next.2 } else { 0 };
        same
    });
    let mut faults = Vec::new();
    for &(rule, place, times) in &found {
        let cost = scheme.fault_price(rule) * times;
        if cost > 0 {
            let what = Wrong::Found(rule);
            faults.push(Fault { what, place, cost });
        }
    }
    for &(rule, place, cost) in expected {
        let at = found.binary_search_by_key(&(rule, place), |found| (found.0, found.1));
        let there = at.is_ok_and(|at| found[at].2 > 0);
        if !there && cost > 0 {
            let what = Wrong::Missing(rule);
            faults.push(Fault { what, place, cost });
        }
    }
    for pair in pairs {
        let has = findings.iter().any(|finding| {
            let rule = book.entry(finding.rule).rule;
            scheme.is_device(finding.rule)
                && pair.contains(&bar_of_device(rule, plan, finding.place))
        });
        if !has {
            let (what, place) = (Wrong::NoDevice, Place::Bar(pair[0]));
            let cost = scheme.pair_price();
            faults.push(Fault { what, place, cost });
        }
    }
    faults
}

/// What speaks for the line under one criterion.
fn credit(line: &Line, scheme: &Scheme, criterion: Criterion) -> Vec<(RuleId, usize)> {
    let mut counts: BTreeMap<RuleId, usize> = BTreeMap::new();
    for finding in &line.reading.findings {
        let rule = line.book.entry(finding.rule).rule;
        let good = finding.points.is_some_and(|points| points > 0);
        let counts_here = match criterion {
            Criterion::Device => scheme.is_device(finding.rule),
            _ => good && criterion_of(rule) == criterion,
        };
        if counts_here {
            *counts.entry(finding.rule).or_default() += 1;
        }
    }
    let mut counts: Vec<(RuleId, usize)> = counts.into_iter().collect();
    counts.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
    counts
}

/// Parts of a sum in whole units: each rounded down, but those with the largest remainders up, so
/// that they add up to the sum, rounded down. No part may be negative.
pub fn in_units(parts: &[i64], unit: i64) -> Vec<i64> {
    let mut whole: Vec<i64> = parts.iter().map(|part| part / unit).collect();
    let missing = parts.iter().sum::<i64>() / unit - whole.iter().sum::<i64>();
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by_key(|&nth| std::cmp::Reverse(parts[nth] % unit));
    // Fewer are missing than there are remainders.
    let missing = usize::try_from(missing).unwrap_or(0);
    order.iter().take(missing).for_each(|&nth| whole[nth] += 1);
    whole
}

/// The bar in which a device is heard: that of the note which bears its name. An approach belongs
/// to the bar that it leads out of.
pub(crate) fn bar_of_device(rule: &Rule, plan: &Plan, place: Place) -> usize {
    match place {
        Place::Note(at) if is_before(rule) && at > 0 => plan.slots[at - 1].bar,
        _ => place.bar(plan),
    }
}

/// Whether a rule names the note before the one at which it finds something.
fn is_before(rule: &Rule) -> bool {
    matches!(rule.label, Label::Before(_) | Label::BothBefore(_))
}

/// Bar and beat of a place, as people count them; a bar as a whole has no beat.
pub fn bar_and_beat(line: &Line, place: Place) -> (usize, Option<u8>) {
    let number = line.timeline.bar_number(place.bar(&line.plan));
    match place {
        Place::Bar(_) => (number, None),
        Place::Note(at) => (number, Some(line.plan.slots[at].beat + 1)),
    }
}

fn order(plan: &Plan, place: Place) -> usize {
    match place {
        Place::Note(at) => at,
        Place::Bar(bar) => plan.bars[bar].slots.start,
    }
}
