//! What every line keeps, judged from its notes, the chords under them and the
//! plan alone, by code that shares nothing with the rules.

use linewright_compose::Line;
use linewright_rulebook::plan::{BarPlan, Cadence, Clarity};
use linewright_rulebook::rules::tone::CHROMATIC_TONE;
use linewright_theory::PitchClass;

use crate::limits::limits;

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
    /// What the style forbids is not there.
    Limits,
    /// Notes lie in the range of the style.
    Range,
    /// Every note does something besides being chromatic.
    Function,
    /// Neighbouring bars are not alike.
    Variety,
    /// Wide leaps are recovered, or planned register shifts.
    Recovery,
    /// A cadence is planned after every bar meant to be ambiguous.
    Landing,
    /// The points add up to the score.
    Sum,
}

/// The MIDI numbers of a line.
fn midi(line: &Line) -> Vec<i32> {
    line.reading
        .notes
        .iter()
        .map(|note| i32::from(note.pitch.midi()))
        .collect()
}

/// Semitones of a note above a pitch class.
fn above(midi: i32, class: PitchClass) -> i32 {
    (midi - i32::from(class.get())).rem_euclid(12)
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
        let midi = midi(line);
        assert_eq!(midi.len(), line.plan.slots.len());
        for at in 0..midi.len() {
            self.note(line, &midi, at);
        }
        for bar in 0..line.plan.bars.len() {
            self.bar(line, &midi, bar);
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

    fn note(&mut self, line: &Line, midi: &[i32], at: usize) {
        let (slot, style) = (&line.plan.slots[at], &*line.style);
        let range = i32::from(style.range.low.midi())..=i32::from(style.range.high.midi());
        if !range.contains(&midi[at]) {
            self.fault(
                Promise::Range,
                line,
                slot.bar,
                &format!("{} of {range:?}", midi[at]),
            );
        }
        let functions = &line.reading.notes[at].functions;
        if functions
            .iter()
            .all(|function| *function.rule.rule() == CHROMATIC_TONE)
        {
            self.fault(
                Promise::Function,
                line,
                slot.bar,
                "a note without a function",
            );
        }
        for limit in limits(line, midi, at) {
            self.fault(Promise::Limits, line, slot.bar, limit);
        }
        if at > 0 {
            self.leap(line, midi, at);
        }
    }

    /// A leap beyond a fifth is turned back by a step or a third, or it is the register shift of
    /// the plan.
    fn leap(&mut self, line: &Line, midi: &[i32], at: usize) {
        let (slot, leap) = (&line.plan.slots[at], midi[at] - midi[at - 1]);
        let turned = midi.get(at + 1).is_some_and(|next| {
            let back = next - midi[at];
            (1..=4).contains(&back.abs()) && (back > 0) != (leap > 0)
        });
        if leap.abs() > 7 && !slot.shift && !turned {
            self.fault(
                Promise::Recovery,
                line,
                slot.bar,
                &format!("a leap of {leap} left open"),
            );
        }
    }

    fn bar(&mut self, line: &Line, midi: &[i32], bar: usize) {
        let plan = &line.plan.bars[bar];
        let slots = plan.slots.clone();
        if slots.is_empty() {
            return;
        }
        if let Some(cadence) = plan.cadence {
            self.cadences += 1;
            self.cadences_kept += usize::from(keeps(line, midi, bar, cadence));
        }
        let lands = |next: &BarPlan| next.cadence.is_some();
        let next = line.plan.bars.get(bar + 1);
        if plan.clarity == Clarity::Ambiguous && !next.is_some_and(lands) {
            self.fault(
                Promise::Landing,
                line,
                bar,
                "ambiguous, and no cadence follows",
            );
        }
        let Some(before) = bar.checked_sub(1).map(|before| &line.plan.bars[before]) else {
            return;
        };
        let cell = |slots: std::ops::Range<usize>| -> Vec<i32> {
            let two = slots.len() <= 2;
            let root = |at: usize| line.plan.slots[at].ground.root;
            let degree = |at| {
                if two {
                    midi[at]
                } else {
                    above(midi[at], root(at))
                }
            };
            slots.map(degree).collect()
        };
        if slots.len() > 1 && cell(before.slots.clone()) == cell(slots) {
            self.fault(Promise::Variety, line, bar, "the cell of the bar before");
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
        let notes = |line: &Line| -> Vec<(usize, u8, i32)> {
            let places = line.plan.slots.iter().map(|slot| (slot.bar, slot.beat));
            places
                .zip(midi(line))
                .map(|((bar, beat), midi)| (bar, beat, midi))
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

/// Whether a bar cadences in the way that is planned, from its notes alone.
fn keeps(line: &Line, midi: &[i32], bar: usize, cadence: Cadence) -> bool {
    let slots = &line.plan.slots;
    let row = line.plan.bars[bar].slots.clone();
    let (first, last) = (row.start, row.end - 1);
    let is_root = |at: usize| above(midi[at], slots[at].ground.line_root) == 0;
    match cadence {
        Cadence::BeatOne => {
            let step = midi[first] - midi[first - 1];
            is_root(first) && matches!(step, -2 | -1 | 1 | 2 | -7 | 5)
        }
        Cadence::OwnRoot => {
            let own = |&at: &usize| slots[at].ground.chord == slots[last].ground.chord;
            is_root(last) && !(first..last).filter(own).any(is_root)
        }
        Cadence::NextRoot => {
            let next = slots.get(last + 1);
            next.is_some_and(|next| above(midi[last], next.ground.line_root) == 0)
        }
    }
}
