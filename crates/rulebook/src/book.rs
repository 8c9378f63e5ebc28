//! The rulebook of one style: every rule with its weight.

use crate::style::{Style, Weight, unknown_rule};
use linewright_diagnostic::Diagnostic;

use crate::by_look::ByLook;
use crate::rule::{FULL, Look, Rule, RuleId, Strength};
use crate::rules::RULES;
use crate::window::{
    BarWindow, CellWindow, EchoWindow, IntervalWindow, NoteWindow, OrderWindow, ShapeWindow,
    StepWindow,
};

/// One rule with the style's weight.
#[derive(Copy, Clone, Debug)]
pub struct Entry {
    /// The rule's place in the list.
    pub id: RuleId,
    /// The rule.
    pub rule: &'static Rule,
    /// The style's weight for it.
    pub weight: Weight,
}

/// Every rule with the style's weight, in the order of the list.
#[derive(Clone, Debug)]
pub struct RuleBook {
    entries: Vec<Entry>,
    /// The tests that weigh anything, hard limits first: what is forbidden is then left early.
    tests: ByLook<Weighing>,
}

/// How a rulebook weighs the findings of a rule.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Weighing {
    rule: RuleId,
    weight: Weight,
    counted: Counted,
}

/// How much of a finding counts.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Counted {
    /// As much as its strength.
    ByStrength,
    /// As often as it is full: one that is not full does not count at all.
    ByWholes,
    /// One, however strong.
    Once,
}

impl RuleBook {
    /// The rulebook of a style.
    ///
    /// # Errors
    /// A weight for a rule that does not exist, with the nearest name.
    pub fn new(style: &Style) -> Result<Self, Diagnostic> {
        let marks = &style.marks;
        let marked = marks
            .faults
            .keys()
            .chain(marks.expected.keys())
            .chain(&marks.devices);
        for name in style.weights.keys().chain(marked) {
            if !RULES.iter().any(|rule| rule.name == name) {
                let fault = unknown_rule(name, RULES.iter().map(|rule| rule.name));
                return Err(fault.within(&format!("style `{}`", style.name)));
            }
        }
        Ok(Self::weighed(|_, rule| style.weight(rule.name)))
    }

    /// A rulebook with other weights than a style's, in which a finding counts as often as it
    /// is full: one that is not full does not count at all.
    pub fn of_whole_findings(weight: impl Fn(RuleId, &Rule) -> Weight) -> Self {
        Self::of(weight, Counted::ByWholes)
    }

    /// A rulebook with other weights than a style's, in which a finding counts as one, however
    /// strong it is.
    pub fn of_any_findings(weight: impl Fn(RuleId, &Rule) -> Weight) -> Self {
        Self::of(weight, Counted::Once)
    }

    /// A rulebook with other weights than a style's.
    pub fn weighed(weight: impl Fn(RuleId, &Rule) -> Weight) -> Self {
        Self::of(weight, Counted::ByStrength)
    }

    fn of(weight: impl Fn(RuleId, &Rule) -> Weight, counted: Counted) -> Self {
        let entry = |(at, rule): (usize, &&'static Rule)| {
            let (id, rule) = (RuleId(at as u8), *rule);
            let weight = weight(id, rule);
            Entry { id, rule, weight }
        };
        let entries: Vec<Entry> = RULES.iter().enumerate().map(entry).collect();
        let weighs = |entry: &&Entry| entry.weight != Weight::ZERO;
        let mut weighed: Vec<&Entry> = entries.iter().filter(weighs).collect();
        weighed.sort_by_key(|entry| entry.weight != Weight::Never);
        let test = |entry: &Entry| {
            let weighing = Weighing {
                rule: entry.id,
                weight: entry.weight,
                counted,
            };
            (entry.rule.look, weighing)
        };
        let tests = weighed.into_iter().map(test).collect();
        Self { entries, tests }
    }

    /// The same rulebook with other weights for some rules, and, where it is `lenient`, with a
    /// heavy price for what it forbids instead: for passages between notes that are given and
    /// may break the limits themselves.
    pub fn with(&self, other: &[(&Rule, Weight)], lenient: bool) -> Self {
        Self::weighed(|id, rule| {
            let own = self.entry(id).weight;
            let named = other.iter().find(|(named, _)| *named == rule);
            match named.map_or(own, |(_, weight)| *weight) {
                Weight::Never if lenient => Weight::Milli(-100_000),
                weight => weight,
            }
        })
    }

    /// Every rule, in the order of the list.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// A rule by its id.
    pub fn entry(&self, id: RuleId) -> &Entry {
        &self.entries[usize::from(id.0)]
    }

    /// The first rule that forbids a note.
    pub fn ban_on_note(&self, window: &NoteWindow) -> Option<&'static Rule> {
        self.ban(|look| {
            if let Look::Note(test) = look {
                test(window)
            } else {
                0
            }
        })
    }

    /// The first rule that forbids a move: its interval, or where that leads.
    pub fn ban_on_move(
        &self,
        interval: &IntervalWindow,
        step: &StepWindow,
    ) -> Option<&'static Rule> {
        self.ban(|look| match look {
            Look::Interval(test) => test(interval),
            Look::Step(test) => test(step),
            _ => 0,
        })
    }

    fn ban(&self, strength: impl Fn(&Look) -> Strength) -> Option<&'static Rule> {
        let bans =
            |entry: &&Entry| entry.weight == Weight::Never && strength(&entry.rule.look) != 0;
        self.entries.iter().find(bans).map(|entry| entry.rule)
    }

    /// Milli-points of a note, or `None` where a rule forbids it.
    pub fn note(&self, window: &NoteWindow) -> Option<i32> {
        sum(&self.tests.note, |test| test(window))
    }

    /// Milli-points of an interval, or `None` where a rule forbids it.
    pub fn interval(&self, window: &IntervalWindow) -> Option<i32> {
        sum(&self.tests.interval, |test| test(window))
    }

    /// Milli-points of a move over its chords, or `None` where a rule forbids it.
    pub fn step(&self, window: &StepWindow) -> Option<i32> {
        sum(&self.tests.step, |test| test(window))
    }

    /// Milli-points of two moves in a row, or `None` where a rule forbids them.
    pub fn shape(&self, window: &ShapeWindow) -> Option<i32> {
        sum(&self.tests.shape, |test| test(window))
    }

    /// Milli-points of the order of a bar's degrees, or `None` where a rule forbids it.
    pub fn order(&self, window: &OrderWindow) -> Option<i32> {
        sum(&self.tests.order, |test| test(window))
    }

    /// Milli-points of a bar's degrees, or `None` where a rule forbids them.
    pub fn cell(&self, window: &CellWindow) -> Option<i32> {
        sum(&self.tests.cell, |test| test(window))
    }

    /// How it weighs moves: where two rulebooks weigh alike, [`RuleBook::interval`] and
    /// [`RuleBook::step`] are the same.
    pub fn move_weights(&self) -> Vec<Weighing> {
        weighings(&self.tests.interval)
            .chain(weighings(&self.tests.step))
            .collect()
    }

    /// The same of moves over their chords, whatever their intervals.
    pub fn step_weights(&self) -> Vec<Weighing> {
        weighings(&self.tests.step).collect()
    }

    /// The same of two moves in a row.
    pub fn shape_weights(&self) -> Vec<Weighing> {
        weighings(&self.tests.shape).collect()
    }

    /// The same of the order of a bar's degrees.
    pub fn order_weights(&self) -> Vec<Weighing> {
        weighings(&self.tests.order).collect()
    }

    /// The same of a bar's degrees, and of how clear and how tense it is.
    pub fn cell_weights(&self) -> Vec<Weighing> {
        weighings(&self.tests.cell)
            .chain(weighings(&self.tests.bar))
            .collect()
    }

    /// Whether it weighs anything how clear and how tense a bar is.
    pub fn hears_clarity(&self) -> bool {
        !self.tests.bar.is_empty()
    }

    /// Milli-points of how clear and how tense a bar is, or `None` where a rule forbids it.
    pub fn bar(&self, window: &BarWindow) -> Option<i32> {
        sum(&self.tests.bar, |test| test(window))
    }

    /// Milli-points of a bar that begins like the bar before, or `None` where
    /// a rule forbids it.
    pub fn echo(&self, window: &EchoWindow) -> Option<i32> {
        sum(&self.tests.echo, |test| test(window))
    }
}

fn weighings<Test>(tests: &[(Test, Weighing)]) -> impl Iterator<Item = Weighing> {
    tests.iter().map(|(_, weighing)| *weighing)
}

fn sum<Test: Copy>(tests: &[(Test, Weighing)], strength: impl Fn(Test) -> Strength) -> Option<i32> {
    tests.iter().try_fold(0_i32, |sum, &(test, weighing)| {
        let strength = strength(test);
        let strength = match weighing.counted {
            Counted::ByStrength => strength,
            Counted::ByWholes => strength / FULL * FULL,
            Counted::Once => strength.min(1) * FULL,
        };
        Some(sum.saturating_add(weighing.weight.times(strength)?))
    })
}
