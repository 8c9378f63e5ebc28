//! What lines are like: how often they do what.

use linewright_compose::Line;
use linewright_rulebook::AMBIGUOUS;
use linewright_rulebook::plan::Clarity;
use linewright_study::profile::{Direction, Measure, Profile, Value};
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
}

/// What the lines of one style are like.
#[derive(Clone, Debug, Default)]
pub struct Habits {
    profile: Profile,
    /// Bars that came out unclear, and those meant to be.
    ambiguous: (u64, u64),
    /// Sixths or wider where the plan moves the register, and moves there.
    shifts: (u64, u64),
}

impl Habits {
    /// Counts one line.
    pub fn add(&mut self, line: &Line) {
        self.profile.join(&Profile::of(line));
        let (slots, notes) = (&line.plan.slots, &line.reading.notes);
        for (slot, pair) in slots.iter().skip(1).zip(notes.windows(2)) {
            let [from, to] = [0, 1].map(|n| i32::from(pair[n].pitch.midi()));
            if slot.shift {
                count(&mut self.shifts, (to - from).abs() >= 8);
            }
        }
        for bar in &line.reading.bars {
            if line.plan.bars[bar.bar].clarity == Clarity::Ambiguous {
                count(&mut self.ambiguous, bar.clarity <= 2 * AMBIGUOUS);
            }
        }
    }

    /// Adds what was counted in other lines.
    pub fn join(&mut self, other: Habits) {
        self.profile.join(&other.profile);
        for (share, more) in [
            (&mut self.ambiguous, other.ambiguous),
            (&mut self.shifts, other.shifts),
        ] {
            *share = (share.0 + more.0, share.1 + more.1);
        }
    }

    /// How many lines were counted.
    pub fn lines(&self) -> u64 {
        self.profile.lines()
    }

    /// How many leaps go beyond a fifth.
    pub fn wide_leaps(&self) -> u64 {
        let measures = self.profile.measures();
        let moves = measures.filter_map(|measure| self.profile.tally(measure));
        let wide = |value| matches!(value, Value::Interval(semitones) if semitones.abs() > 7);
        let times = |(value, times)| if wide(value) { times } else { 0 };
        moves.flat_map(|tally| tally.iter()).map(times).sum()
    }

    /// A habit in hundredths of the times that it could have been; not a
    /// number where it never could.
    pub fn percent(&self, habit: Habit) -> f64 {
        let of = |measure, wanted: &dyn Fn(Value) -> bool| {
            let tally = self.profile.tally(measure).into_iter();
            let found = tally.flat_map(|tally| tally.iter());
            let found = found.filter(|(value, _)| wanted(*value));
            (
                found.map(|(_, times)| times).sum(),
                self.profile.whole(measure),
            )
        };
        let moves = |direction| {
            of(Measure::Directions, &|value| {
                value == Value::Direction(direction)
            })
        };
        let into = |half: bool| {
            of(Measure::IntoOne, &|value| match value {
                Value::Reached(reached) if half => reached.is_half_step(),
                Value::Reached(reached) => reached.is_whole_step(),
                _ => false,
            })
        };
        let (part, whole) = match habit {
            Habit::RootOnNew => of(Measure::RootWhereNew, &|value| value == Value::IsRoot(true)),
            Habit::RootOnHeld => of(Measure::RootWhereHeld, &|value| {
                value == Value::IsRoot(true)
            }),
            Habit::HalfIntoOne => into(true),
            Habit::WholeIntoOne => into(false),
            Habit::Repeats => moves(Direction::Repeat),
            Habit::Up => moves(Direction::Up),
            Habit::Down => moves(Direction::Down),
            Habit::Chromatic => of(Measure::Members, &|value| {
                value == Value::Member(Member::Outside)
            }),
            Habit::Ambiguous => self.ambiguous,
            Habit::Shifts => self.shifts,
        };
        percent(part, whole)
    }

    /// Lowest and highest MIDI number, 0 where no note was counted.
    pub fn range(&self) -> (u8, u8) {
        let range = self.profile.range();
        range.map_or((0, 0), |(low, high)| (low.midi(), high.midi()))
    }
}

fn count(share: &mut (u64, u64), found: bool) {
    share.0 += u64::from(found);
    share.1 += 1;
}

/// A part of a whole in hundredths; not a number where there is no whole.
pub fn percent(part: u64, whole: u64) -> f64 {
    part as f64 * 100.0 / whole as f64
}
