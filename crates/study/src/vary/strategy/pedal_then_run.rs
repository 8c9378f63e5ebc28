//! Pedal, then run.

use linewright_rulebook::rules::{melody, order};
use linewright_rulebook::style::Weight;
use linewright_theory::Pitch;

use super::{Setting, Strategy, View};

/// The first bar stays on the root, the second runs by step.
pub(super) static PEDAL_THEN_RUN: Strategy = Strategy {
    name: "pedal-then-run",
    sentence: "The first bar stays on the root, in one octave or two; the second runs by step one way.",
    weights: &[
        (&melody::THREE_ALIKE, Weight::ZERO),
        (&melody::REPEATED_NOTE, Weight::ZERO),
        (&order::THIN_BAR, Weight::ZERO),
        (&melody::OSCILLATION, Weight::ZERO),
        (&melody::PEDAL, Weight::Milli(500)),
        (&melody::UNRECOVERED_LEAP, Weight::Milli(-500)),
    ],
    settings: |view| Setting::over_one_chord(view, 3),
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let root = view.ground().line_root;
    let stays = notes[..first.end.min(notes.len())]
        .iter()
        .all(|note| note.class() == root);
    let run = &notes[second.start.min(notes.len())..];
    let way = view.moves(run).next().map_or(1, i32::signum);
    stays && view.moves(run).all(|size| matches!(size * way, 1 | 2))
}
