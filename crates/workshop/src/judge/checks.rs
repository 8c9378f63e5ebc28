//! What a style may forbid or charge for, each found by a check of its own.
//!
//! What is wrong here is common practice, no source, as the styles define it. The names are
//! those of the rules that should find the same.

use std::ops::Range;

use linewright_rulebook::Place;
use linewright_theory::Member;

use super::Judge;

/// How fully something is found.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// Where a chord is only held, so that it is a matter of taste: no fault of a student's, but
    /// nothing that a style which forbids it lets pass.
    Partly,
    /// As it is meant.
    Fully,
}

/// How something is found.
pub struct Check {
    /// The rule that should find the same.
    pub rule: &'static str,
    test: Test,
}

enum Test {
    /// At a note.
    Note(fn(&Judge, usize) -> bool),
    /// At a note on beat one, fully where the chord is new, by what it is to the chord.
    Arrival(fn(Member) -> bool),
    /// In a bar.
    Bar(fn(&Judge, usize) -> bool),
}

const fn note(rule: &'static str, test: fn(&Judge, usize) -> bool) -> Check {
    let test = Test::Note(test);
    Check { rule, test }
}

const fn arrival(rule: &'static str, test: fn(Member) -> bool) -> Check {
    let test = Test::Arrival(test);
    Check { rule, test }
}

const fn bar(rule: &'static str, test: fn(&Judge, usize) -> bool) -> Check {
    let test = Test::Bar(test);
    Check { rule, test }
}

/// Every check.
pub static CHECKS: &[Check] = &[
    // What a note is to its chord.
    note("third", |j, at| j.member(at) == Member::Third),
    note("seventh", |j, at| j.member(at) == Member::Seventh),
    note("colour-tone", |j, at| j.member(at) == Member::Colour),
    note("scale-tone", |j, at| j.member(at) == Member::Scale),
    note("chromatic-tone", |j, at| j.member(at) == Member::Outside),
    note("chromatic-on-the-beat", |j, at| {
        j.member(at) == Member::Outside && j.is_strong(at)
    }),
    note("open-ending", |j, at| j.is_last_note(at) && !j.is_tone(at)),
    // Which note arrives.
    arrival("third-arrival", |member| member == Member::Third),
    arrival("fifth-arrival", |member| member == Member::Fifth),
    arrival("seventh-arrival", |member| member == Member::Seventh),
    arrival("colour-arrival", |member| member == Member::Colour),
    arrival("outside-arrival", |member| {
        matches!(member, Member::Scale | Member::Outside)
    }),
    // How the next chord is approached.
    note("early-root", |j, at| j.has_early_root(at)),
    note("anticipation", anticipates),
    note("unresolved-chromatic", leaves_chromatic_open),
    // How the line moves.
    note("awkward-leap", |j, at| {
        [10, 11, 13, 14].contains(&j.leap(at)) && !j.slot(at).shift
    }),
    note("tritone", |j, at| j.leap(at) == 6),
    note("too-wide-leap", |j, at| {
        j.leap(at) > i32::from(j.largest_leap(at))
    }),
    note("leap-into-the-end", |j, at| {
        j.is_last_note(at) && j.leap(at) > 7 && !j.slot(at).shift
    }),
    note("unrecovered-leap", |j, at| {
        at >= 2 && j.leaps_wide(at - 1) && !j.turns_back(at)
    }),
    note("leaps-one-way", leaps_one_way),
    note("three-alike", |j, at| {
        at >= 2 && j.into(at - 1) == 0 && j.into(at) == 0
    }),
    note("out-of-range", |j, at| !j.is_in_range(at)),
    // The order of notes.
    bar("thin-bar", |j, bar| j.is_thin(bar)),
    bar("outside-bar", |j, bar| {
        let outside = j
            .first_part(bar)
            .filter(|&at| j.member(at) == Member::Outside);
        outside.count() >= 3
    }),
    bar("cell-again", |j, bar| {
        j.begins_like_the_bar_before(bar) == Some(true)
    }),
    bar("sequence", |j, bar| {
        j.begins_like_the_bar_before(bar) == Some(false)
    }),
];

/// The last note of a chord is foreign to it and a tone of the chord to come, not its root.
fn anticipates(j: &Judge, at: usize) -> bool {
    if j.is_last_note(at) || !j.is_new_chord(at + 1) || j.is_tone(at) {
        return false;
    }
    let there = j.standings[at + 1].member(j.notes[at]);
    matches!(there, Member::Third | Member::Fifth | Member::Seventh)
}

/// The note before is chromatic, goes on, but by no half step, and no new chord takes it up.
fn leaves_chromatic_open(j: &Judge, at: usize) -> bool {
    at >= 1
        && j.member(at - 1) == Member::Outside
        && j.leap(at) > 1
        && !(j.is_new_chord(at) && j.is_tone_of(at, j.notes[at - 1]))
}

/// Two leaps beyond a third the same way, further than an octave in all.
fn leaps_one_way(j: &Judge, at: usize) -> bool {
    if at < 2 {
        return false;
    }
    let (first, second) = (j.into(at - 1), j.into(at));
    let one_way = (first > 4 && second > 4) || (first < -4 && second < -4);
    one_way && (first + second).abs() > 12
}

impl Check {
    /// Where in some bars it is found, and how fully.
    pub(super) fn found<'a>(
        &'a self,
        judge: &'a Judge,
        bars: Range<usize>,
    ) -> impl Iterator<Item = (Place, Found)> + 'a {
        bars.flat_map(move |bar| {
            let row = judge.row(bar);
            let slots = if let Test::Bar(_) = self.test {
                0..0
            } else {
                row
            };
            let whole = match self.test {
                Test::Bar(test) => test(judge, bar).then_some((Place::Bar(bar), Found::Fully)),
                _ => None,
            };
            let notes = slots.filter_map(move |at| Some((Place::Note(at), self.at(judge, at)?)));
            notes.chain(whole)
        })
    }

    fn at(&self, judge: &Judge, at: usize) -> Option<Found> {
        match self.test {
            Test::Note(test) => test(judge, at).then_some(Found::Fully),
            Test::Arrival(test) => {
                let found = judge.arrives(at) && test(judge.member(at));
                let how = if judge.is_new_chord(at) {
                    Found::Fully
                } else {
                    Found::Partly
                };
                found.then_some(how)
            }
            Test::Bar(_) => None,
        }
    }
}
