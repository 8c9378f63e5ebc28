//! What a student's line should lose marks for.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;

use linewright_rulebook::Place;
use linewright_rulebook::plan::Cadence;
use linewright_rulebook::style::Criterion;
use linewright_theory::Member;

use super::{Found, Judge};

/// Something that is wrong.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// This is there and should not be.
    Found(&'static str),
    /// This should be there and is not.
    Missing(&'static str),
    /// None of the grade's devices is in two bars.
    NoDevice,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Fault::Found(name) => (*name).to_owned(),
            Fault::Missing(name) => format!("no {name}"),
            Fault::NoDevice => "no device".to_owned(),
        };
        f.pad(&text)
    }
}

/// What is wrong, and where.
pub type Faults = BTreeSet<(Fault, Place)>;

/// What every fault belongs to, and which share of one place's marks it costs, in thousandths:
/// the order is that of the report.
pub const FAULTS: &[(Fault, Criterion, i64)] = &[
    (Fault::Found("third"), Criterion::Harmony, 1000),
    (Fault::Found("seventh"), Criterion::Harmony, 1000),
    (Fault::Found("colour-tone"), Criterion::Harmony, 1000),
    (Fault::Found("scale-tone"), Criterion::Harmony, 1000),
    (Fault::Found("chromatic-tone"), Criterion::Harmony, 1000),
    (
        Fault::Found("chromatic-on-the-beat"),
        Criterion::Harmony,
        1000,
    ),
    (Fault::Found("open-ending"), Criterion::Harmony, 1000),
    (Fault::Found("outside-bar"), Criterion::Harmony, 1000),
    (Fault::Found("third-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("fifth-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("seventh-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("colour-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("outside-arrival"), Criterion::Arrivals, 1000),
    (Fault::Missing("slash-bass"), Criterion::Arrivals, 1000),
    (Fault::Found("anticipation"), Criterion::Arrivals, 1000),
    (
        Fault::Found("unresolved-chromatic"),
        Criterion::Arrivals,
        1000,
    ),
    (
        Fault::Missing("beat-one-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (
        Fault::Missing("own-root-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (
        Fault::Missing("next-root-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (Fault::Found("awkward-leap"), Criterion::Motion, 1000),
    (Fault::Found("tritone"), Criterion::Motion, 1000),
    (Fault::Found("leap-into-the-end"), Criterion::Motion, 1000),
    (Fault::Found("unrecovered-leap"), Criterion::Motion, 1000),
    (Fault::Found("leaps-one-way"), Criterion::Motion, 500),
    (Fault::Found("three-alike"), Criterion::Motion, 1000),
    (Fault::Found("thin-bar"), Criterion::Order, 500),
    (Fault::Found("cell-again"), Criterion::Order, 1000),
    (Fault::Found("too-wide-leap"), Criterion::Range, 1000),
    (Fault::Found("out-of-range"), Criterion::Range, 1000),
    (Fault::NoDevice, Criterion::Device, 1000),
];

impl Judge<'_> {
    /// The pairs of bars in which one of the grade's devices is asked for.
    pub fn pairs(&self) -> &[[usize; 2]] {
        &self.pairs
    }

    /// All that is wrong.
    pub fn faults(&self) -> Faults {
        self.faults_in(0..self.plan.bars.len())
    }

    /// All that is wrong in some bars.
    pub fn faults_in(&self, bars: Range<usize>) -> Faults {
        let mut faults = Faults::new();
        for check in &self.charged {
            let found = check.found(self, bars.clone());
            let full = found.filter(|(_, how)| *how == Found::Fully);
            faults.extend(full.map(|(place, _)| (Fault::Found(check.rule), place)));
        }
        faults.extend(bars.clone().flat_map(|bar| self.missing_in(bar)));
        for &pair in &self.pairs {
            if pair.iter().any(|bar| bars.contains(bar)) && self.devices_in(pair).is_empty() {
                faults.insert((Fault::NoDevice, Place::Bar(pair[0])));
            }
        }
        faults
    }

    /// What one place's share of a criterion is, in thousandths of a mark.
    pub fn price(&self, criterion: Criterion) -> i64 {
        let order = Criterion::ALL.iter().position(|one| *one == criterion);
        let total = i64::from(self.style.marks.totals[order.expect("a criterion")]) * 1000;
        let bars = self.plan.bars.iter().filter(|bar| !bar.slots.is_empty());
        let places = match criterion {
            Criterion::Arrivals => (0..self.notes.len()).filter(|&at| self.arrives(at)).count(),
            Criterion::Cadences => bars.filter(|bar| bar.cadence.is_some()).count(),
            Criterion::Device => self.pairs.len(),
            _ => bars.count(),
        };
        total / places.max(1) as i64
    }

    /// Whether the style asks for a thing, and charges for it where it is not there.
    fn asks(&self, name: &str) -> bool {
        self.style.marks.expected.contains_key(name)
    }

    /// What the plan and the chart ask of a bar, and is not there.
    fn missing_in(&self, bar: usize) -> Vec<(Fault, Place)> {
        let row = self.row(bar);
        let mut missing = Vec::new();
        for at in row.clone().filter(|_| self.asks("slash-bass")) {
            let slash = self.slot(at).ground.chord.bass.is_some();
            if slash && self.is_new_chord(at) && self.member(at) != Member::Root {
                missing.push((Fault::Missing("slash-bass"), Place::Note(at)));
            }
        }
        if self.keeps_cadence(bar) == Some(false) {
            let (name, place) = match self.plan.bars[bar].cadence {
                Some(Cadence::BeatOne) => ("beat-one-cadence", Place::Note(row.start)),
                Some(Cadence::OwnRoot) => ("own-root-cadence", Place::Bar(bar)),
                Some(Cadence::NextRoot) => ("next-root-cadence", Place::Note(row.end - 1)),
                None => return missing,
            };
            if self.asks(name) {
                missing.push((Fault::Missing(name), place));
            }
        }
        missing
    }
}
