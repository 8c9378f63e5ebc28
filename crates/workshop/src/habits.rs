//! What lines are like: how often they do what, counted from their notes, chart and plan alone.

use std::collections::BTreeMap;

use linewright_compose::Line;
use linewright_rulebook::plan::Clarity;
use linewright_theory::Member;

use crate::judge::{Judge, UNCLEAR};

/// What is counted as a share of the times that it could have been.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
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
}

/// What the lines of one style are like.
#[derive(Clone, Debug, Default)]
pub struct Habits {
    lines: u64,
    wide_leaps: u64,
    /// Lowest and highest MIDI number.
    range: Option<(u8, u8)>,
    /// How often each was, and how often it could have been.
    shares: BTreeMap<Habit, (u64, u64)>,
}

impl Habits {
    /// Counts one line.
    pub fn add(&mut self, line: &Line) {
        let judge = Judge::new(line);
        self.lines += 1;
        for at in 0..judge.notes.len() {
            self.widen(judge.notes[at].midi(), judge.notes[at].midi());
            let member = judge.member(at);
            self.count(Habit::Chromatic, member == Member::Outside);
            if judge.is_beat_one(at) {
                let habit = if judge.is_new_chord(at) {
                    Habit::RootOnNew
                } else {
                    Habit::RootOnHeld
                };
                self.count(habit, member == Member::Root);
            }
            if at > 0 {
                self.add_move(&judge, at);
            }
        }
        for (bar, plan) in line.plan.bars.iter().enumerate() {
            if plan.clarity == Clarity::Ambiguous && !plan.slots.is_empty() {
                self.count(Habit::Ambiguous, judge.clarity(bar) <= UNCLEAR);
            }
        }
    }

    fn add_move(&mut self, judge: &Judge, at: usize) {
        let semitones = judge.into(at);
        self.count(Habit::Repeats, semitones == 0);
        self.count(Habit::Up, semitones > 0);
        self.count(Habit::Down, semitones < 0);
        if judge.is_beat_one(at) {
            self.count(Habit::HalfIntoOne, semitones.abs() == 1);
            self.count(Habit::WholeIntoOne, semitones.abs() == 2);
        }
        if judge.slot(at).shift {
            self.count(Habit::Shifts, semitones.abs() >= 8);
        }
        self.wide_leaps += u64::from(semitones.abs() > 7);
    }

    /// Adds what was counted in other lines.
    pub fn join(&mut self, other: Habits) {
        self.lines += other.lines;
        self.wide_leaps += other.wide_leaps;
        if let Some((low, high)) = other.range {
            self.widen(low, high);
        }
        for (habit, (part, whole)) in other.shares {
            let share = self.shares.entry(habit).or_default();
            *share = (share.0 + part, share.1 + whole);
        }
    }

    fn count(&mut self, habit: Habit, found: bool) {
        let share = self.shares.entry(habit).or_default();
        *share = (share.0 + u64::from(found), share.1 + 1);
    }

    fn widen(&mut self, low: u8, high: u8) {
        let (lowest, highest) = self.range.unwrap_or((low, high));
        self.range = Some((lowest.min(low), highest.max(high)));
    }

    /// How many lines were counted.
    pub fn lines(&self) -> u64 {
        self.lines
    }

    /// How many leaps go beyond a fifth.
    pub fn wide_leaps(&self) -> u64 {
        self.wide_leaps
    }

    /// A habit in hundredths of the times that it could have been; not a
    /// number where it never could.
    pub fn percent(&self, habit: Habit) -> f64 {
        let (part, whole) = self.shares.get(&habit).copied().unwrap_or_default();
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
