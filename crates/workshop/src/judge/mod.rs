//! A judge of lines that shares nothing with the rules: what is wrong with a line over its chart
//! and plan, worked out from its notes, the chords under them and what the plan asks.
//!
//! [`Judge::forbidden`] says what a style that forbids it should never let pass, and
//! [`Judge::faults`] what a student's line should lose marks for, both by the same
//! [`CHECKS`]. Of the style the judge takes only what it forbids, what it charges for, its range
//! and its largest leaps; of the reading of a line, nothing.

mod bars;
mod checks;
mod clarity;
mod devices;
mod faults;
mod function;
mod standing;
mod stock;

pub use checks::{CHECKS, Check};
pub use clarity::UNCLEAR;
pub use faults::{FAULTS, Fault, Faults};

use std::collections::BTreeSet;
use std::ops::Range;

use linewright_chart::{Metre, Timeline};
use linewright_compose::Line;
use linewright_rulebook::Place;
use linewright_rulebook::plan::{Plan, Slot};
use linewright_rulebook::style::{Style, Weight};
use linewright_theory::{Member, Pitch, PitchClass};

use checks::Found;
use standing::Standing;

/// A line's notes over its chart and plan.
#[derive(Clone)]
pub struct Judge<'a> {
    timeline: &'a Timeline,
    plan: &'a Plan,
    style: &'a Style,
    standings: Vec<Standing>,
    /// What the style charges for where it is there.
    charged: Vec<&'static Check>,
    pairs: Vec<[usize; 2]>,
    /// The notes, one for each slot of the plan; they may be changed.
    pub notes: Vec<Pitch>,
}

impl<'a> Judge<'a> {
    /// The judge of a line.
    pub fn new(line: &'a Line) -> Self {
        let slots = line.plan.slots.iter();
        let mut judge = Self {
            timeline: &line.timeline,
            plan: &line.plan,
            style: &line.style,
            standings: slots.map(|slot| Standing::over(&slot.ground)).collect(),
            charged: Vec::new(),
            pairs: Vec::new(),
            notes: line.reading.notes.iter().map(|note| note.pitch).collect(),
        };
        assert_eq!(judge.notes.len(), judge.plan.slots.len());
        let charged = CHECKS.iter().filter(|check| judge.charges(check.rule));
        judge.charged = charged.collect();
        judge.pairs = judge.pairs_of_bars();
        judge
    }

    /// All that is there and that the style forbids, however weakly it is found.
    pub fn forbidden(&self) -> BTreeSet<(&'static str, Place)> {
        let bars = 0..self.plan.bars.len();
        let forbidden = CHECKS.iter().filter(|check| self.forbids(check.rule));
        let found = |check: &'static Check| {
            let places = check.found(self, bars.clone());
            places.map(|(place, _)| (check.rule, place))
        };
        forbidden.flat_map(found).collect()
    }

    /// The notes of a bar, by their numbers.
    pub fn row(&self, bar: usize) -> Range<usize> {
        self.plan.bars[bar].slots.clone()
    }

    /// Whether the style forbids what a rule finds.
    pub fn forbids(&self, rule: &str) -> bool {
        self.style.weight(rule) == Weight::Never
    }

    /// Whether the style charges for a thing where it is there.
    fn charges(&self, rule: &str) -> bool {
        match self.style.marks.faults.get(rule) {
            Some(share) => *share > 0,
            None => self.forbids(rule),
        }
    }

    /// What the plan says of a note.
    pub fn slot(&self, at: usize) -> &Slot {
        &self.plan.slots[at]
    }

    fn midi(&self, at: usize) -> i32 {
        i32::from(self.notes[at].midi())
    }

    /// Semitones into a note from the note before.
    pub fn into(&self, at: usize) -> i32 {
        self.midi(at) - self.midi(at - 1)
    }

    /// The size of the move into a note; 0 into the first.
    fn leap(&self, at: usize) -> i32 {
        if at == 0 { 0 } else { self.into(at).abs() }
    }

    /// Whether a note is reached by a half or a whole step.
    fn steps_into(&self, at: usize) -> bool {
        (1..=2).contains(&self.leap(at))
    }

    /// Whether a leap beyond a fifth leads into a note where the plan moves no register.
    pub fn leaps_wide(&self, at: usize) -> bool {
        self.leap(at) > 7 && !self.slot(at).shift
    }

    /// Whether the move into a note turns back, by a fifth at most.
    pub fn turns_back(&self, at: usize) -> bool {
        let (first, second) = (self.into(at - 1), self.into(at));
        (first > 0 && (-7..0).contains(&second)) || (first < 0 && (1..=7).contains(&second))
    }

    /// The largest leap that the style allows into a note.
    fn largest_leap(&self, at: usize) -> u8 {
        if self.slot(at).shift {
            self.style.largest_shift
        } else {
            self.style.largest_leap
        }
    }

    /// Whether a note lies in the range of the style.
    pub fn is_in_range(&self, at: usize) -> bool {
        (self.style.range.low..=self.style.range.high).contains(&self.notes[at])
    }

    /// What a note is to its chord.
    pub fn member(&self, at: usize) -> Member {
        self.standings[at].member(self.notes[at])
    }

    fn is_tone(&self, at: usize) -> bool {
        self.is_tone_of(at, self.notes[at])
    }

    /// Whether a note is root, third, fifth or seventh of the chord at some place.
    fn is_tone_of(&self, at: usize, note: Pitch) -> bool {
        use Member::{Fifth, Root, Seventh, Third};
        matches!(
            self.standings[at].member(note),
            Root | Third | Fifth | Seventh
        )
    }

    /// Whether the chord after a note begins on another bass, and the note has that already.
    fn has_early_root(&self, at: usize) -> bool {
        let goes_on = !self.is_last_note(at) && self.is_new_chord(at + 1);
        goes_on && self.bass(at) != self.bass(at + 1) && self.is_root_of_next(at)
    }

    /// The note that the bass plays as the root of the chord under a note.
    fn bass(&self, at: usize) -> PitchClass {
        let chord = &self.slot(at).ground.chord;
        chord.bass.unwrap_or(chord.root).class()
    }

    /// Whether a note is the root of the chord under the next one.
    fn is_root_of_next(&self, at: usize) -> bool {
        let next = self.standings.get(at + 1);
        next.is_some_and(|next| next.member(self.notes[at]) == Member::Root)
    }

    /// Whether another chord sounds under this note than under the one before.
    pub fn is_new_chord(&self, at: usize) -> bool {
        at == 0 || self.slot(at - 1).ground.chord != self.slot(at).ground.chord
    }

    /// Whether a note begins a bar that is no pick-up.
    pub fn is_beat_one(&self, at: usize) -> bool {
        let slot = self.slot(at);
        slot.beat == 0 && !self.timeline.bars[slot.bar].pickup
    }

    /// Beat one, the middle of four, or where a group of beats begins.
    fn is_strong(&self, at: usize) -> bool {
        let slot = self.slot(at);
        let bar = &self.timeline.bars[slot.bar];
        if bar.pickup {
            return false;
        }
        let mut starts = vec![0];
        if bar.metre == Metre::FOUR_FOUR {
            starts.push(2);
        }
        let mut beat = 0;
        for group in bar.metre.groups() {
            starts.push(beat);
            beat += group;
        }
        starts.contains(&slot.beat)
    }

    fn arrives(&self, at: usize) -> bool {
        self.is_beat_one(at) || self.is_new_chord(at)
    }

    fn is_last_note(&self, at: usize) -> bool {
        at + 1 == self.notes.len()
    }
}
