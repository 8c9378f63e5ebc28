//! Passages for tests, written as a musician would: a chart, a line of note
//! names, and what the plan wishes.
//!
//! ```text
//! let heard = over("| C7 | F7 |").line("C2 D2 G2 E2 | F2 A2 C3 A2");
//! assert_eq!(heard.notes("half-step-approach"), [(2, 1, FULL)]);
//! ```
//!
//! Every rule weighs one point, so that every finding is kept and nothing is
//! forbidden. Every line is heard in all twelve keys: a finding that depends
//! on the key (the register apart) fails the test.

use std::fmt;
use std::sync::Arc;

use crate::plan::{BarPlan, Cadence, Clarity, Dice, Figure, Plan, Purpose};
use crate::style::{Feel, Library, Style, Weight};
use linewright_chart::Chart;
use linewright_theory::{Note, Pitch};

use crate::book::RuleBook;
use crate::finding::{Finding, Place};
use crate::reading::{BarReading, Reading, read};
use crate::rule::{Family, RuleId, Strength};
use crate::rules::{RULES, rule_named};

/// The style `handbook`, with one point for every rule.
pub(crate) fn even_style() -> Style {
    let mut style = Library::builtin().style("handbook").unwrap();
    style.weights = RULES
        .iter()
        .map(|rule| (rule.name.to_owned(), Weight::Milli(1000)))
        .collect();
    style
}

/// The chart of a text, which must be right.
pub(crate) fn chart(text: &str) -> Chart {
    Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
}

/// Note names, with bar lines that are skipped.
pub(crate) fn pitches(notes: &str) -> Vec<Pitch> {
    notes
        .split_whitespace()
        .filter(|word| *word != "|")
        .map(|word| word.parse::<Note>().unwrap().pitch().unwrap())
        .collect()
}

/// A chart with a plan that wishes nothing yet: no cadence, no shift, no bar
/// meant clear or ambiguous, tension in the middle, the register around D2.
#[derive(Clone)]
pub(crate) struct Passage {
    chart: Chart,
    pub style: Style,
    pub plan: Plan,
}

impl fmt::Debug for Passage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?}\n{}{:#?}",
            self.style.feel, self.chart, self.plan.bars
        )
    }
}

/// A passage in four (or in the metre that the chart's header gives).
pub(crate) fn over(text: &str) -> Passage {
    Passage::new(chart(text), even_style())
}

/// A passage in two, without pick-ups.
pub(crate) fn in_two(text: &str) -> Passage {
    let mut style = even_style();
    style.feel = Feel::InTwo;
    style.plan.pick_up = 0;
    Passage::new(chart(text), style)
}

impl Passage {
    pub fn new(chart: Chart, style: Style) -> Self {
        let timeline = chart.unroll().unwrap();
        let plan = Plan::draw(&timeline, &style, &mut Dice::new(1, 0, Purpose::Plan));
        let mut plan = plan.without_wishes(Pitch::new(38).unwrap());
        plan.bars.iter_mut().for_each(|bar| bar.tension = 500);
        Self { chart, style, plan }
    }

    fn bar(&mut self, bar: usize) -> &mut BarPlan {
        &mut self.plan.bars[bar - 1]
    }

    /// The plan asks bar `bar` (from 1) to cadence.
    pub fn cadence(mut self, bar: usize, cadence: Cadence) -> Self {
        self.bar(bar).cadence = Some(cadence);
        self
    }

    /// The plan wants bar `bar` to be clear, or ambiguous.
    pub fn clarity(mut self, bar: usize, clarity: Clarity) -> Self {
        self.bar(bar).clarity = clarity;
        self
    }

    /// Bar `bar` (from 1) wishes for these degrees.
    pub fn figure(mut self, bar: usize, figure: Figure) -> Self {
        self.bar(bar).figure = Some(figure);
        self
    }

    /// The plan wants so much tension, in thousandths.
    pub fn tension(mut self, bar: usize, tension: u16) -> Self {
        self.bar(bar).tension = tension;
        self
    }

    /// The plan moves the register at this beat, to `centre`.
    pub fn shift(mut self, bar: usize, beat: u8, centre: &str) -> Self {
        let centre = pitches(centre)[0];
        (self.bar(bar).shift, self.bar(bar).centre) = (true, centre);
        let at = self.slot(bar, beat);
        self.plan.slots[at].shift = true;
        for slot in &mut self.plan.slots[at..] {
            slot.centre = centre;
        }
        self
    }

    /// The style's limits on leaps, in semitones: anywhere, and at a shift.
    pub fn limits(mut self, leap: u8, shift: u8) -> Self {
        (self.style.largest_leap, self.style.largest_shift) = (leap, shift);
        self
    }

    /// Number of the note on a beat, both counted from 1.
    pub fn slot(&self, bar: usize, beat: u8) -> usize {
        let here = |slot: &crate::plan::Slot| slot.bar + 1 == bar && slot.beat + 1 == beat;
        let found = self.plan.slots.iter().position(here);
        found.unwrap_or_else(|| panic!("no note begins on beat {beat} of bar {bar}"))
    }

    /// The passage so many semitones higher, with the same wishes.
    pub fn transposed(&self, semitones: i32) -> Self {
        let mut moved = Self::new(self.chart.transposed_by(semitones), self.style.clone());
        for (bar, wished) in moved.plan.bars.iter_mut().zip(&self.plan.bars) {
            *bar = wished.clone();
        }
        for (slot, wished) in moved.plan.slots.iter_mut().zip(&self.plan.slots) {
            (slot.shift, slot.centre) = (wished.shift, wished.centre);
        }
        moved
    }

    /// Reads a line of note names with a bar line between bars.
    pub fn line(&self, notes: &str) -> Heard {
        let bars: Vec<usize> = notes
            .split('|')
            .map(|bar| bar.split_whitespace().count())
            .collect();
        let wanted: Vec<usize> = self.plan.bars.iter().map(|bar| bar.slots.len()).collect();
        assert_eq!(bars, wanted, "notes in each bar of `{notes}`");
        self.pitches(&pitches(notes))
    }

    /// Reads a line in all twelve keys.
    pub fn pitches(&self, pitches: &[Pitch]) -> Heard {
        let heard = self.read(pitches);
        for semitones in (-6..6).filter(|semitones| *semitones != 0) {
            let moved: Vec<Pitch> = pitches
                .iter()
                .map(|pitch| pitch.shifted(semitones).unwrap())
                .collect();
            let there = self.transposed(semitones).read(&moved);
            assert_eq!(
                there.apart_from_register(),
                heard.apart_from_register(),
                "the same line sounds different {semitones} semitones away"
            );
        }
        heard
    }

    /// Reads a line in this key alone.
    pub fn read(&self, pitches: &[Pitch]) -> Heard {
        let book = Arc::new(RuleBook::new(&self.style).unwrap());
        let reading = read(&book, &self.style, &self.plan, pitches);
        Heard {
            passage: self.clone(),
            book,
            reading,
        }
    }
}

/// A line that has been read.
pub(crate) struct Heard {
    passage: Passage,
    pub book: Arc<RuleBook>,
    pub reading: Reading,
}

impl Heard {
    fn strength(&self, rule: &str, place: Place) -> Option<Strength> {
        assert!(rule_named(rule).is_some(), "no rule called {rule}");
        let here = |finding: &&Finding| {
            finding.place == place && self.book.entry(finding.rule).rule.name == rule
        };
        let found = self.reading.findings.iter().find(here);
        found.map(|finding| finding.strength)
    }

    /// How strongly a rule finds something at the note on a beat, both counted
    /// from 1.
    pub fn on(&self, rule: &str, bar: usize, beat: u8) -> Option<Strength> {
        self.strength(rule, Place::Note(self.passage.slot(bar, beat)))
    }

    /// How strongly a rule finds something at a bar, counted from 1.
    pub fn at_bar(&self, rule: &str, bar: usize) -> Option<Strength> {
        self.strength(rule, Place::Bar(bar - 1))
    }

    /// Every note at which a rule finds something: its bar and beat, counted
    /// from 1, and how strongly.
    pub fn notes(&self, rule: &str) -> Vec<(usize, u8, Strength)> {
        let slots = self.passage.plan.slots.iter();
        slots
            .map(|slot| (slot.bar + 1, slot.beat + 1))
            .filter_map(|(bar, beat)| self.on(rule, bar, beat).map(|found| (bar, beat, found)))
            .collect()
    }

    /// Every bar, counted from 1, at which a rule finds something, and how
    /// strongly.
    pub fn bars(&self, rule: &str) -> Vec<(usize, Strength)> {
        (1..=self.passage.plan.bars.len())
            .filter_map(|bar| self.at_bar(rule, bar).map(|found| (bar, found)))
            .collect()
    }

    /// Whether a rule finds nothing in the whole line.
    pub fn never(&self, rule: &str) -> bool {
        assert!(rule_named(rule).is_some(), "no rule called {rule}");
        let is = |finding: &Finding| self.book.entry(finding.rule).rule.name == rule;
        !self.reading.findings.iter().any(is)
    }

    /// What has been computed of a bar, counted from 1.
    pub fn bar(&self, bar: usize) -> &BarReading {
        let found = self.reading.bars.iter().find(|read| read.bar + 1 == bar);
        found.unwrap_or_else(|| panic!("bar {bar} has no notes"))
    }

    /// The long names of a note's functions, strongest first.
    pub fn functions(&self, bar: usize, beat: u8) -> Vec<&'static str> {
        let note = &self.reading.notes[self.passage.slot(bar, beat)];
        note.functions
            .iter()
            .map(|function| function.name.long)
            .collect()
    }

    /// Every finding of a rule that does not look at the register.
    fn apart_from_register(&self) -> Vec<(RuleId, Place, Strength)> {
        let findings = self.reading.findings.iter();
        findings
            .filter(|finding| self.book.entry(finding.rule).rule.family != Family::Register)
            .map(|finding| (finding.rule, finding.place, finding.strength))
            .collect()
    }
}
