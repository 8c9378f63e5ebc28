//! The rulebook of one style: every rule with its weight.

use linewright_style::{Style, StyleFault, Weight, unknown_rule};

use crate::registry::RULES;
use crate::rule::{FULL, Look, Rule, RuleId, Strength};
use crate::window::{BarWindow, EchoWindow, NoteWindow, ShapeWindow, StepWindow};

/// One rule with the style's weight.
#[derive(Copy, Clone, Debug)]
pub struct Entry {
    /// The rule's place in the registry.
    pub id: RuleId,
    /// The rule.
    pub rule: &'static Rule,
    /// The style's weight for it.
    pub weight: Weight,
}

/// Every rule with the style's weight, in registry order.
#[derive(Clone, Debug)]
pub struct RuleBook {
    entries: Vec<Entry>,
    note: Weighed<fn(&NoteWindow) -> Strength>,
    step: Weighed<fn(&StepWindow) -> Strength>,
    shape: Weighed<fn(&ShapeWindow) -> Strength>,
    bar: Weighed<fn(&BarWindow) -> Strength>,
    echo: Weighed<fn(&EchoWindow) -> Strength>,
    /// Whether findings count by whole ones only.
    whole: bool,
}

/// The tests of one kind of window that weigh anything, with their weights.
type Weighed<Test> = Vec<(Test, Weight)>;

impl RuleBook {
    /// The rulebook of a style.
    ///
    /// # Errors
    /// A weight for a rule that does not exist, with the nearest name.
    pub fn new(style: &Style) -> Result<Self, StyleFault> {
        let marks = &style.marks;
        let marked = marks
            .faults
            .keys()
            .chain(marks.expected.keys())
            .chain(&marks.devices);
        for name in style.weights.keys().chain(marked) {
            if !RULES.iter().any(|rule| rule.name == name) {
                let (message, hint) = unknown_rule(name, RULES.iter().map(|rule| rule.name));
                let source = format!("style `{}`", style.name);
                return Err(StyleFault::new(source, message).hint(hint));
            }
        }
        Ok(Self::weighed(|_, rule| style.weight(rule.name)))
    }

    /// A rulebook with other weights than a style's, in which a finding counts as often as it
    /// is full: one that is not full does not count at all.
    pub fn of_whole_findings(weight: impl Fn(RuleId, &Rule) -> Weight) -> Self {
        Self {
            whole: true,
            ..Self::weighed(weight)
        }
    }

    /// A rulebook with other weights than a style's.
    pub fn weighed(weight: impl Fn(RuleId, &Rule) -> Weight) -> Self {
        let entries: Vec<Entry> = RULES
            .iter()
            .enumerate()
            .map(|(at, rule)| {
                let id = RuleId(at as u8);
                let weight = weight(id, rule);
                Entry { id, rule, weight }
            })
            .collect();
        let mut book = Self {
            entries: Vec::new(),
            note: Vec::new(),
            step: Vec::new(),
            shape: Vec::new(),
            bar: Vec::new(),
            echo: Vec::new(),
            whole: false,
        };
        for entry in entries.iter().filter(|entry| entry.weight != Weight::ZERO) {
            match entry.rule.look {
                Look::Note(test) => book.note.push((test, entry.weight)),
                Look::Step(test) => book.step.push((test, entry.weight)),
                Look::Shape(test) => book.shape.push((test, entry.weight)),
                Look::Bar(test) => book.bar.push((test, entry.weight)),
                Look::Echo(test) => book.echo.push((test, entry.weight)),
            }
        }
        book.bans_first();
        book.entries = entries;
        book
    }

    /// The same rulebook with other weights for some rules, and, where it is `lenient`, with a
    /// heavy price for what it forbids instead: for passages between notes that are given and
    /// may break the limits themselves.
    pub fn with(&self, other: &[(&str, Weight)], lenient: bool) -> Self {
        Self::weighed(|id, rule| {
            let own = self.entry(id).weight;
            let named = other.iter().find(|(name, _)| *name == rule.name);
            match named.map_or(own, |(_, weight)| *weight) {
                Weight::Never if lenient => Weight::Milli(-100_000),
                weight => weight,
            }
        })
    }

    /// Puts hard limits before weights: what is forbidden is then left early.
    fn bans_first(&mut self) {
        fn sort<Test>(weighed: &mut Weighed<Test>) {
            weighed.sort_by_key(|(_, weight)| *weight != Weight::Never);
        }
        sort(&mut self.note);
        sort(&mut self.step);
        sort(&mut self.shape);
        sort(&mut self.bar);
        sort(&mut self.echo);
    }

    /// Every rule, in registry order.
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

    /// The first rule that forbids a move.
    pub fn ban_on_step(&self, window: &StepWindow) -> Option<&'static Rule> {
        self.ban(|look| {
            if let Look::Step(test) = look {
                test(window)
            } else {
                0
            }
        })
    }

    fn ban(&self, strength: impl Fn(&Look) -> Strength) -> Option<&'static Rule> {
        let bans =
            |entry: &&Entry| entry.weight == Weight::Never && strength(&entry.rule.look) != 0;
        self.entries.iter().find(bans).map(|entry| entry.rule)
    }

    /// Milli-points of a note, or `None` where a rule forbids it.
    pub fn note(&self, window: &NoteWindow) -> Option<i32> {
        sum(self.whole, &self.note, |test| test(window))
    }

    /// Milli-points of a move, or `None` where a rule forbids it.
    pub fn step(&self, window: &StepWindow) -> Option<i32> {
        sum(self.whole, &self.step, |test| test(window))
    }

    /// Milli-points of two moves in a row, or `None` where a rule forbids them.
    pub fn shape(&self, window: &ShapeWindow) -> Option<i32> {
        sum(self.whole, &self.shape, |test| test(window))
    }

    /// Milli-points of a bar's degrees, or `None` where a rule forbids them.
    pub fn bar(&self, window: &BarWindow) -> Option<i32> {
        sum(self.whole, &self.bar, |test| test(window))
    }

    /// Milli-points of a bar that begins like the bar before, or `None` where
    /// a rule forbids it.
    pub fn echo(&self, window: &EchoWindow) -> Option<i32> {
        sum(self.whole, &self.echo, |test| test(window))
    }
}

fn sum<Test: Copy>(
    whole: bool,
    weighed: &Weighed<Test>,
    strength: impl Fn(Test) -> Strength,
) -> Option<i32> {
    weighed.iter().try_fold(0_i32, |sum, &(test, weight)| {
        let strength = strength(test);
        let strength = if whole {
            strength / FULL * FULL
        } else {
            strength
        };
        Some(sum.saturating_add(weight.times(strength)?))
    })
}
