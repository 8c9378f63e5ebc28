//! The second bar has the first bar's notes in another order.

use linewright_theory::{Pitch, PitchClass};

use super::{Setting, Strategy, View};

/// The second bar has the notes of the first in another order.
pub(super) static OTHER_ORDER: Strategy = Strategy {
    name: "other-order",
    sentence: "The second bar has the notes of the first in another order, in any octave.",
    weights: &[],
    settings: |view| Setting::over_one_chord(view, 3),
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    if notes.len() <= second.start {
        return true;
    }
    let classes = |notes: &[Pitch]| notes.iter().map(|note| note.class()).collect::<Vec<_>>();
    let (before, now) = (classes(&notes[first]), classes(&notes[second.start..]));
    let other = now.len() < second.len() || now != before;
    other && is_among(&now, &before)
}

/// Whether every note is among those of a cell, as often as there.
pub(super) fn is_among(notes: &[PitchClass], cell: &[PitchClass]) -> bool {
    let count = |list: &[PitchClass], class| list.iter().filter(|other| **other == class).count();
    notes
        .iter()
        .all(|&class| count(notes, class) <= count(cell, class))
}
