//! What lines are like: how often they do what.

use linewright_plan::{Beat, Clarity, Slot};
use linewright_rules::{AMBIGUOUS, Line};
use linewright_theory::Member;

/// What is counted as a share of the times that it could have been.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Habit {
    /// The root on beat one, of beats one with a new chord.
    RootOnNew,
    /// The root on beat one, of beats one with a held chord.
    RootOnHeld,
    /// Half steps, of moves into beat one.
    HalfIntoOne,
    /// Whole steps, of moves into beat one.
    WholeIntoOne,
    /// Repeated notes, of moves.
    Repeats,
    /// Moves up, of moves.
    Up,
    /// Moves down, of moves.
    Down,
    /// Chromatic notes, of notes.
    Chromatic,
    /// Bars that came out unclear, of bars meant to be ambiguous.
    Ambiguous,
    /// Sixths or wider, of moves where the plan moves the register.
    Shifts,
    /// Leaps beyond a fifth, of moves.
    WideLeaps,
}

/// How many habits there are.
const COUNT: usize = Habit::WideLeaps as usize + 1;

/// What the lines of one style are like.
#[derive(Clone, Debug, Default)]
pub struct Habits {
    lines: u64,
    /// For each habit, how often it was found and how often it could have been.
    shares: [(u64, u64); COUNT],
    /// Lowest and highest MIDI number.
    range: Option<(u8, u8)>,
}

impl Habits {
    fn count(&mut self, habit: Habit, found: bool) {
        let (part, whole) = &mut self.shares[habit as usize];
        *part += u64::from(found);
        *whole += 1;
    }

    fn reaches(&mut self, low: u8, high: u8) {
        let (lowest, highest) = self.range.unwrap_or((low, high));
        self.range = Some((lowest.min(low), highest.max(high)));
    }

    /// Counts one line.
    pub fn add(&mut self, line: &Line) {
        self.lines += 1;
        let (slots, notes) = (&line.plan.slots, &line.reading.notes);
        for (slot, note) in slots.iter().zip(notes) {
            let midi = note.pitch.midi();
            self.reaches(midi, midi);
            self.count(Habit::Chromatic, note.member == Member::Outside);
            if slot.strength == Beat::Down {
                let beat_one = if slot.chord_starts {
                    Habit::RootOnNew
                } else {
                    Habit::RootOnHeld
                };
                self.count(beat_one, note.member == Member::Root);
            }
        }
        for (slot, pair) in slots.iter().skip(1).zip(notes.windows(2)) {
            let [from, to] = [0, 1].map(|n| i32::from(pair[n].pitch.midi()));
            self.step(slot, to - from);
        }
        for bar in &line.reading.bars {
            if line.plan.bars[bar.bar].clarity == Clarity::Ambiguous {
                self.count(Habit::Ambiguous, bar.clarity <= 2 * AMBIGUOUS);
            }
        }
    }

    /// Counts a move of so many semitones into a slot.
    fn step(&mut self, slot: &Slot, step: i32) {
        self.count(Habit::Repeats, step == 0);
        self.count(Habit::Up, step > 0);
        self.count(Habit::Down, step < 0);
        self.count(Habit::WideLeaps, step.abs() > 7);
        if slot.strength == Beat::Down {
            self.count(Habit::HalfIntoOne, step.abs() == 1);
            self.count(Habit::WholeIntoOne, step.abs() == 2);
        }
        if slot.shift {
            self.count(Habit::Shifts, step.abs() >= 8);
        }
    }

    /// Adds what was counted in other lines.
    pub fn join(&mut self, other: Habits) {
        self.lines += other.lines;
        for (share, more) in self.shares.iter_mut().zip(other.shares) {
            *share = (share.0 + more.0, share.1 + more.1);
        }
        if let Some((low, high)) = other.range {
            self.reaches(low, high);
        }
    }

    /// How many lines were counted.
    pub fn lines(&self) -> u64 {
        self.lines
    }

    /// How often a habit was found.
    pub fn times(&self, habit: Habit) -> u64 {
        self.shares[habit as usize].0
    }

    /// A habit in hundredths of the times that it could have been; not a
    /// number where it never could.
    pub fn percent(&self, habit: Habit) -> f64 {
        let (part, whole) = self.shares[habit as usize];
        percent(part, whole)
    }

    /// Lowest and highest MIDI number, 0 where no note was counted.
    pub fn range(&self) -> (u8, u8) {
        self.range.unwrap_or_default()
    }
}

/// A part of a whole in hundredths; not a number where there is no whole.
pub fn percent(part: u64, whole: u64) -> f64 {
    part as f64 * 100.0 / whole as f64
}
