//! The shape moved a step.

use linewright_rulebook::plan::Ground;
use linewright_rulebook::rules::arrival;
use linewright_rulebook::style::Weight;
use linewright_theory::{Member, Pitch};

use super::{Setting, Strategy, View};

/// The second bar is the first moved by one step of the chord's scale.
pub(super) static SEQUENCE: Strategy = Strategy {
    name: "sequence",
    sentence: "The second bar is the shape of the first moved up or down by one step of the chord's scale.",
    weights: &[
        (&arrival::OUTSIDE_ARRIVAL, Weight::Milli(-500)),
        (&arrival::COLOUR_ARRIVAL, Weight::ZERO),
    ],
    settings: |view| Setting::over_one_chord(view, 2),
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let ground = view.ground();
    let in_scale = |note: &Pitch| ground.member(note.class()) != Member::Outside;
    if !notes.iter().all(in_scale) {
        return false;
    }
    if notes.len() <= second.start {
        return true;
    }
    let moved = |way: i32| {
        let pairs = notes[second.start..].iter().zip(&notes[first.clone()]);
        pairs
            .clone()
            .all(|(now, before)| next_in_scale(ground, *before, way) == Some(*now))
    };
    moved(1) || moved(-1)
}

/// The next note of the chord's scale up (1) or down (-1).
fn next_in_scale(ground: &Ground, from: Pitch, way: i32) -> Option<Pitch> {
    let midi = i32::from(from.midi());
    let pitches = (1..=4).filter_map(|size| u8::try_from(midi + way * size).ok());
    pitches
        .filter_map(Pitch::new)
        .find(|pitch| ground.member(pitch.class()) != Member::Outside)
}
