//! A line that exists → the plan that it seems to follow.
//!
//! First [`Plan::over`] lays out slots for its notes and wishes nothing; when the rulebook has
//! told what it hears of each bar, [`Plan::inferred`] turns that into wishes, by the conditions
//! that a drawn plan obeys too.

use crate::style::Style;
use linewright_chart::Timeline;
use linewright_theory::Pitch;

use crate::plan::bar::{BarPlan, Clarity};
use crate::plan::cadence::Cadence;
use crate::plan::draw::{
    Grounds, Plan, has_room, join, may_be_ambiguous, place, settle, unambiguous,
};
use crate::plan::phrase::{phrases, role, tension};
use crate::plan::register::SHIFT_LEAP;
use crate::plan::slot::Onset;

/// What the rulebook hears of one bar of a line.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Heard {
    /// The ways in which the bar cadences, strongest first.
    pub cadences: Vec<Cadence>,
    /// Whether its notes fit another chord as well.
    pub ambiguous: bool,
}

impl Plan {
    /// The slots of a line with these onsets, bar by bar, and no wish but the style's curve of
    /// tension. Onsets where no chord sounds get no slot. Bars without onsets are silent.
    pub fn over(timeline: &Timeline, style: &Style, onsets: &[Vec<Onset>]) -> Self {
        let mut slots = Vec::new();
        let mut bars = Vec::with_capacity(timeline.bars.len());
        let mut grounds = Grounds::default();
        let shape = &style.plan;
        let all = phrases(timeline, usize::from(shape.phrase_bars));
        for (phrase, range) in all.into_iter().enumerate() {
            let length = range.len();
            for (nth, index) in range.enumerate() {
                let start = slots.len();
                let onsets = onsets.get(index).into_iter().flatten().copied();
                let bar = &timeline.bars[index];
                place(&mut slots, bar, index, onsets, style, &mut grounds);
                bars.push(BarPlan {
                    phrase,
                    place: nth,
                    role: role(nth, length),
                    cadence: None,
                    tension: tension(&shape.tension.0, nth, length),
                    clarity: Clarity::Free,
                    centre: style.range.heart_low,
                    shift: false,
                    figure: None,
                    answers: None,
                    slots: start..slots.len(),
                });
            }
        }
        join(&mut slots);
        Self { bars, slots }
    }

    /// The same slots with nothing wished of them: no cadence, no clarity, no move of the
    /// register away from `centre`.
    pub fn without_wishes(mut self, centre: Pitch) -> Self {
        for bar in &mut self.bars {
            (bar.cadence, bar.clarity) = (None, Clarity::Free);
            (bar.centre, bar.shift) = (centre, false);
            (bar.figure, bar.answers) = (None, None);
        }
        for slot in &mut self.slots {
            (slot.centre, slot.shift) = (centre, false);
        }
        self
    }

    /// Whether a bar has room for a cadence of this kind.
    pub fn has_room(&self, bar: usize, kind: Cadence) -> bool {
        let row = self.bars[bar].slots.clone();
        has_room(kind, &self.slots[row.clone()], row.start)
    }

    /// Whether a bar ends its phrase, or lies in the middle of one of four bars or more: where
    /// a plan may cadence.
    pub fn place_of_cadence(&self, bar: usize) -> Option<PhrasePlace> {
        let length = self.phrase_length(bar);
        let place = self.bars[bar].place + 1;
        if place == length {
            Some(PhrasePlace::End)
        } else if length >= 4 && place * 2 == length {
            Some(PhrasePlace::Middle)
        } else {
            None
        }
    }

    fn phrase_length(&self, bar: usize) -> usize {
        let phrase = self.bars[bar].phrase;
        let ahead = self.bars[bar..].iter();
        self.bars[bar].place + ahead.take_while(|next| next.phrase == phrase).count()
    }

    /// The plan that a line seems to follow: of what was heard of each bar, the cadences where
    /// a plan may have them; a wished one where a phrase ends without any and the style
    /// cadences at all; the bars that were unclear and are followed by a landing; and where the
    /// line lives. `heard` has one for each bar, `pitches` one for each slot.
    ///
    /// # Panics
    /// If `heard` or `pitches` have another length.
    pub fn inferred(
        mut self,
        timeline: &Timeline,
        style: &Style,
        heard: &[Heard],
        pitches: &[Pitch],
    ) -> Self {
        assert_eq!(heard.len(), self.bars.len(), "one hearing for each bar");
        for (bar, heard) in heard.iter().enumerate() {
            let full = !timeline.bars[bar].pickup;
            self.bars[bar].cadence = self.cadence_of(style, bar, heard).filter(|_| full);
        }
        for (bar, heard) in heard.iter().enumerate() {
            let meant = heard.ambiguous && may_be_ambiguous(&self.bars, &self.slots, bar);
            self.bars[bar].clarity = if meant {
                Clarity::Ambiguous
            } else {
                unambiguous(&self.bars[bar])
            };
        }
        self.moves(heard, pitches);
        self.homes(pitches);
        settle(&self.bars, &mut self.slots);
        self
    }

    fn cadence_of(&self, style: &Style, bar: usize, heard: &Heard) -> Option<Cadence> {
        let place = self.place_of_cadence(bar)?;
        if let Some(&kind) = heard.cadences.first() {
            return Some(kind);
        }
        let mix = style.plan.cadences;
        let shares = [mix.beat_one, mix.own_root, mix.next_root];
        let wished = Cadence::ALL
            .into_iter()
            .zip(shares)
            .filter(|(_, share)| *share > 0);
        let open = wished.filter(|(kind, _)| self.has_room(bar, *kind));
        // The first of equals, so that the answer never wavers.
        let likely = open
            .rev()
            .max_by_key(|(_, share)| *share)
            .map(|(kind, _)| kind);
        let wished = style.plan.end_cadence >= 500;
        likely.filter(|_| place == PhrasePlace::End && wished)
    }

    /// Marks the notes into which the register moves after a cadence that is made.
    fn moves(&mut self, heard: &[Heard], pitches: &[Pitch]) {
        let leaps = |slot: usize| {
            let [from, to] = [slot - 1, slot].map(|at| i32::from(pitches[at].midi()));
            (to - from).abs() >= SHIFT_LEAP
        };
        for (bar, heard) in heard.iter().enumerate() {
            let row = self.bars[bar].slots.clone();
            let Some(kind) = self.bars[bar].cadence else {
                continue;
            };
            if row.is_empty() || !heard.cadences.contains(&kind) {
                continue;
            }
            let inside = row.start + 1;
            if kind == Cadence::BeatOne && row.len() > 2 && leaps(inside) {
                self.slots[inside].shift = true;
                self.bars[bar].shift = true;
            } else if row.end < self.slots.len() && leaps(row.end) {
                let next = self.slots[row.end].bar;
                self.slots[row.end].shift = true;
                self.bars[next].shift = true;
            }
        }
    }

    /// Sets the middle of the register of every bar: the mean of its notes and its neighbours'
    /// for as long as the line stays.
    fn homes(&mut self, pitches: &[Pitch]) {
        let mean = |rows: &[std::ops::Range<usize>]| {
            let notes = rows.iter().flat_map(|row| &pitches[row.clone()]);
            let (sum, count) = notes.fold((0, 0), |(sum, count), pitch| {
                (sum + u32::from(pitch.midi()), count + 1)
            });
            (count > 0)
                .then(|| Pitch::new(((sum + count / 2) / count) as u8))
                .flatten()
        };
        let rows: Vec<_> = self.bars.iter().map(|bar| bar.slots.clone()).collect();
        let mut last = None;
        for bar in 0..self.bars.len() {
            let from = if self.bars[bar].shift {
                bar
            } else {
                bar.saturating_sub(1)
            };
            let moves_on = self.bars.get(bar + 1).is_none_or(|next| next.shift);
            let until = if moves_on { bar } else { bar + 1 };
            let centre = mean(&rows[from..=until]).or(last);
            if let Some(centre) = centre {
                self.bars[bar].centre = centre;
            }
            last = centre;
        }
    }
}

/// Where in its phrase a bar may cadence.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum PhrasePlace {
    /// In the middle.
    Middle,
    /// At the end.
    End,
}
