//! What every line keeps, as the judge has it; and that what is said of a line agrees with that.

use linewright_compose::Line;
use linewright_rulebook::plan::{BarPlan, Clarity};
use linewright_rulebook::rules::tone::CHROMATIC_TONE;

use crate::judge::Judge;

/// How the lines of one style keep what every line keeps.
#[derive(Default)]
pub struct Promises {
    /// The style's name.
    pub style: String,
    /// Cadences that were planned.
    pub cadences: usize,
    /// Those of them that the lines make.
    pub cadences_kept: usize,
    /// Notes of each two lines over one chart that were compared.
    pub compared: usize,
    /// Those of them that are not in both lines.
    pub changed: usize,
    /// What must never be, each with its chart, seed and bar.
    faults: Vec<(Promise, String)>,
}

/// One thing that every line keeps.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Promise {
    /// What the style forbids is not there, and nothing of it is said to be.
    Limits,
    /// Notes lie in the range of the style.
    Range,
    /// Where the style forbids chromatic notes that lead nowhere, every note does something besides
    /// being chromatic, and something is said of it.
    Function,
    /// Where the style forbids copies and sequences, neighbouring bars are not alike.
    Variety,
    /// Where the style forbids others, wide leaps are recovered, or planned register shifts.
    Recovery,
    /// A cadence is planned after every bar meant to be ambiguous.
    Landing,
    /// The points add up to the score.
    Sum,
}

impl Promises {
    /// Nothing counted yet in a style.
    pub fn new(style: &str) -> Self {
        Self {
            style: style.to_owned(),
            ..Self::default()
        }
    }

    /// Adds what was counted in other lines.
    pub fn join(&mut self, other: Promises) {
        self.cadences += other.cadences;
        self.cadences_kept += other.cadences_kept;
        self.compared += other.compared;
        self.changed += other.changed;
        self.faults.extend(other.faults);
    }

    /// Counts a line.
    pub fn add(&mut self, line: &Line) {
        let judge = Judge::new(line);
        for at in 0..judge.notes.len() {
            self.note(line, &judge, at);
        }
        for bar in 0..line.plan.bars.len() {
            self.bar(line, &judge, bar);
        }
        for (rule, place) in judge.forbidden() {
            self.fault(Promise::Limits, line, place.bar(&line.plan), rule);
        }
        self.sums(line);
    }

    fn fault(&mut self, promise: Promise, line: &Line, bar: usize, what: &str) {
        let place = format!(
            "{}, seed {}, bar {bar} (from 0)",
            line.timeline.title, line.origin.seed
        );
        self.faults
            .push((promise, format!("{} in {place}: {what}", line.style.name)));
    }

    fn note(&mut self, line: &Line, judge: &Judge, at: usize) {
        let (bar, midi) = (judge.slot(at).bar, judge.notes[at].midi());
        if !judge.is_in_range(at) {
            let what = format!("{midi} is out of range");
            self.fault(Promise::Range, line, bar, &what);
        }
        if judge.forbids("unresolved-chromatic") && !judge.has_function(at) {
            self.fault(Promise::Function, line, bar, "a note without a function");
        }
        let mut said = line.reading.notes[at].functions.iter();
        let silent = said.all(|function| *line.book.entry(function.rule).rule == CHROMATIC_TONE);
        if judge.forbids("unresolved-chromatic") && silent {
            let what = "a note of which no function is said";
            self.fault(Promise::Function, line, bar, what);
        }
        // A leap beyond a fifth is turned back, or it is the register shift of the plan.
        let turned = || at + 1 < judge.notes.len() && judge.turns_back(at + 1);
        if judge.forbids("unrecovered-leap") && judge.leaps_wide(at) && !turned() {
            let what = format!("a leap of {} left open", judge.into(at));
            self.fault(Promise::Recovery, line, bar, &what);
        }
    }

    fn bar(&mut self, line: &Line, judge: &Judge, bar: usize) {
        if let Some(kept) = judge.keeps_cadence(bar) {
            self.cadences += 1;
            self.cadences_kept += usize::from(kept);
        }
        let plan = &line.plan.bars[bar];
        if plan.slots.is_empty() {
            return;
        }
        let lands = |next: &BarPlan| next.cadence.is_some();
        let next = line.plan.bars.get(bar + 1);
        if plan.clarity == Clarity::Ambiguous && !next.is_some_and(lands) {
            let what = "ambiguous, and no cadence follows";
            self.fault(Promise::Landing, line, bar, what);
        }
        let copies = judge.forbids("cell-again") && judge.forbids("sequence");
        if copies && judge.is_like_the_bar_before(bar) {
            let what = "the cell of the bar before";
            self.fault(Promise::Variety, line, bar, what);
        }
    }

    /// The reasons of a line are its score: all findings, and what stands at notes and bars.
    fn sums(&mut self, line: &Line) {
        let reading = &line.reading;
        let findings: i64 = reading
            .findings
            .iter()
            .filter_map(|f| f.points)
            .map(i64::from)
            .sum();
        let notes: i64 = reading.notes.iter().map(|note| note.points).sum();
        let bars: i64 = reading.bars.iter().map(|bar| bar.points).sum();
        if findings != reading.score || notes + bars != reading.score {
            let sums = format!("{findings} and {notes} + {bars}, not {}", reading.score);
            self.fault(Promise::Sum, line, 0, &sums);
        }
        if reading
            .findings
            .iter()
            .any(|finding| finding.points.is_none())
        {
            self.fault(Promise::Limits, line, 0, "a finding that the style forbids");
        }
    }

    /// Counts the notes of a line that another one over its chart does not have at their beat.
    pub fn compare(&mut self, other: &Line, line: &Line) {
        let notes = |line: &Line| -> Vec<(usize, u8, u8)> {
            let notes = line.plan.slots.iter().zip(&line.reading.notes);
            notes
                .map(|(slot, note)| (slot.bar, slot.beat, note.pitch.midi()))
                .collect()
        };
        let (other, line) = (notes(other), notes(line));
        self.compared += line.len();
        // Both are in order of place.
        self.changed += line
            .iter()
            .filter(|note| other.binary_search(note).is_err())
            .count();
    }

    /// Whether no line broke anything.
    pub fn are_kept(&self) -> bool {
        self.faults.is_empty()
    }

    /// Where a promise was broken.
    pub fn broken(&self, promise: Promise) -> impl Iterator<Item = &String> {
        let broken = self.faults.iter().filter(move |(kept, _)| *kept == promise);
        broken.map(|(_, what)| what)
    }
}
