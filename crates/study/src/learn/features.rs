//! What lines do that no rule hears: it is counted to say what the rulebook cannot say.

use std::ops::Range;

use linewright_rulebook::plan::Beat;

use super::run::Run;
use linewright_theory::{Bass, Pitch};

/// A line, as features see it.
pub(super) struct Seen<'a> {
    run: &'a Run,
    pitches: &'a [Pitch],
    /// The slots of each bar.
    bars: Vec<Range<usize>>,
}

/// How often a line has something, and in how many places it could.
pub(super) type Times = (u32, u32);

/// Something that is counted.
pub(super) struct Feature {
    /// What lines do, as the subject of a sentence that goes on with its share.
    pub name: &'static str,
    /// Shares of what.
    pub of: Places,
    times: fn(&Seen) -> Times,
}

/// What shares are taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Places {
    /// Of notes.
    Notes,
    /// Of bars.
    Bars,
}

impl Feature {
    /// How often a line over a run's chords has it, and in how many places it could.
    pub(super) fn times(&self, seen: &Seen) -> Times {
        (self.times)(seen)
    }
}

impl<'a> Seen<'a> {
    pub(super) fn new(run: &'a Run, pitches: &'a [Pitch]) -> Self {
        let bars = run.rows().filter(|row| !row.is_empty()).collect();
        Self { run, pitches, bars }
    }

    fn midi(&self, at: usize) -> i32 {
        self.pitches[at].midi().into()
    }

    fn into(&self, at: usize) -> i32 {
        self.midi(at) - self.midi(at - 1)
    }

    fn degree(&self, at: usize) -> u8 {
        self.run.plan.slots[at]
            .ground
            .offset(self.pitches[at].class())
    }

    /// Of the notes from the one with this number on.
    fn notes(&self, from: usize, is: impl Fn(usize) -> bool) -> Times {
        times((from..self.pitches.len()).map(is))
    }

    /// Of the bars of four notes.
    fn fours(&self, is: impl Fn([i32; 4]) -> bool) -> Times {
        let bars = self.bars.iter().filter(|row| row.len() == 4);
        times(bars.map(|row| is(std::array::from_fn(|nth| self.midi(row.start + nth)))))
    }

    /// Of the bars with another one so many bars before that has as many notes.
    fn apart(&self, bars: usize, is: impl Fn(&Range<usize>, &Range<usize>) -> bool) -> Times {
        let pairs = self.bars.iter().zip(self.bars.iter().skip(bars));
        let alike = pairs.filter(|(one, other)| one.len() == other.len());
        times(alike.map(|(one, other)| is(one, other)))
    }

    /// The note of so many notes ago.
    fn ago(&self, notes: usize) -> Times {
        self.notes(notes, |at| self.midi(at) == self.midi(at - notes))
    }

    /// The degrees of the bar so many bars ago.
    fn cell_ago(&self, bars: usize) -> Times {
        self.apart(bars, |one, other| {
            let mut pairs = one.clone().zip(other.clone());
            pairs.all(|(a, b)| self.degree(a) == self.degree(b))
        })
    }

    /// The highest note of a bar of four, the only one at that height, is the nth.
    fn peak(&self, nth: usize) -> Times {
        self.fours(|bar| (0..4).all(|other| other == nth || bar[other] < bar[nth]))
    }
}

fn times(is: impl Iterator<Item = bool>) -> Times {
    is.fold((0, 0), |(hits, all), is| (hits + u32::from(is), all + 1))
}

/// Whether it sounds as an open string of a bass of four strings.
fn is_open(midi: i32) -> bool {
    Bass::Double.strings().any(|open| i32::from(open) == midi)
}

const fn of_notes(name: &'static str, times: fn(&Seen) -> Times) -> Feature {
    let of = Places::Notes;
    Feature { name, of, times }
}

const fn of_bars(name: &'static str, times: fn(&Seen) -> Times) -> Feature {
    let of = Places::Bars;
    Feature { name, of, times }
}

/// All that is counted.
#[rustfmt::skip]
pub(super) static FEATURES: [Feature; 27] = [
    of_notes("the second note back returns", |s| s.ago(2)),
    of_notes("the third note back returns", |s| s.ago(3)),
    of_notes("the note of a bar ago returns", |s| s.ago(4)),
    of_notes("the note of two bars ago returns", |s| s.ago(8)),
    of_notes("the note of four bars ago returns", |s| s.ago(16)),
    of_notes("the note of eight bars ago returns", |s| s.ago(32)),
    of_bars("the degrees of the bar before return", |s| s.cell_ago(1)),
    of_bars("the degrees of two bars ago return", |s| s.cell_ago(2)),
    of_bars("the degrees of four bars ago return", |s| s.cell_ago(4)),
    of_bars("the degrees of eight bars ago return", |s| s.cell_ago(8)),
    of_bars("the moves of the bar before come again from another note", |s| s.apart(1, |one, other| {
        let by = |a: usize, b: usize| s.midi(b) - s.midi(a);
        let first = by(one.start, other.start);
        first != 0 && one.clone().zip(other.clone()).all(|(a, b)| by(a, b) == first)
    })),
    of_bars("notes come in pairs (a a b b)", |s| s.fours(|[a, b, c, d]| a == b && c == d && a != c)),
    of_bars("two notes take turns (a b a b)", |s| s.fours(|[a, b, c, d]| a == c && b == d && a != b)),
    of_bars("a bar spans more than an octave", |s| s.fours(|bar| span(bar) > 12)),
    of_bars("a bar stays within a third", |s| s.fours(|bar| span(bar) <= 4)),
    of_bars("a bar moves by steps alone", |s| s.fours(|bar| bar.windows(2).all(|w| matches!((w[1] - w[0]).abs(), 1 | 2)))),
    of_notes("three half steps go the same way", |s| s.notes(3, |at| {
        let moves = [s.into(at - 2), s.into(at - 1), s.into(at)];
        moves == [1; 3] || moves == [-1; 3]
    })),
    of_notes("three moves go the same way", |s| s.notes(3, |at| {
        let way = s.into(at).signum();
        way != 0 && s.into(at - 1).signum() == way && s.into(at - 2).signum() == way
    })),
    of_bars("beat one lies more than a fifth from the beat one before", |s| s.apart(1, |one, other| (s.midi(one.start) - s.midi(other.start)).abs() > 7)),
    of_bars("beat one is the beat one before", |s| s.apart(1, |one, other| s.midi(one.start) == s.midi(other.start))),
    of_bars("the first note is the highest of its bar", |s| s.peak(0)),
    of_bars("the second note is the highest of its bar", |s| s.peak(1)),
    of_bars("the third note is the highest of its bar", |s| s.peak(2)),
    of_bars("the last note is the highest of its bar", |s| s.peak(3)),
    of_notes("an open string sounds on a strong beat", |s| {
        let strong = (0..s.pitches.len()).filter(|at| s.run.plan.slots[*at].strength > Beat::Weak);
        times(strong.map(|at| is_open(s.midi(at))))
    }),
    of_notes("every other note goes on by step, a fourth or more from the notes between", |s| s.notes(3, |at| {
        let step = |at: usize| matches!((s.midi(at) - s.midi(at - 2)).abs(), 1 | 2);
        step(at) && step(at - 1) && s.into(at).abs() >= 5
    })),
    of_notes("a note is held back: the same note, then a leap beyond a fifth", |s| s.notes(2, |at| s.into(at - 1) == 0 && s.into(at).abs() > 7)),
];

fn span(bar: [i32; 4]) -> i32 {
    let ends = bar.iter().fold((bar[0], bar[0]), |(low, high), &midi| {
        (low.min(midi), high.max(midi))
    });
    ends.1 - ends.0
}
