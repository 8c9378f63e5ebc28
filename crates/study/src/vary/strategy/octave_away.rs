//! The same cell an octave away.

use linewright_rulebook::rules::{melody, order};
use linewright_rulebook::style::Weight;
use linewright_theory::Pitch;

use super::{Setting, Strategy, View};

/// The second bar is the first an octave away.
pub(super) static OCTAVE_AWAY: Strategy = Strategy {
    name: "octave-away",
    sentence: "The second bar is the first an octave higher or lower, note by note.",
    weights: &[
        (&order::CELL_AGAIN, Weight::ZERO),
        (&melody::UNRECOVERED_LEAP, Weight::Milli(-2000)),
        (&melody::AWKWARD_LEAP, Weight::Milli(-2000)),
    ],
    settings: |view| {
        let Some([_, second]) = view.two_bars_of_one_chord() else {
            return Vec::new();
        };
        let mut plan = view.line.plan.clone();
        let start = plan.bars[view.bars.start].slots.start + second.start;
        // The register moves here, as after a cadence.
        plan.slots[start].shift = true;
        vec![Setting::with(plan)]
    },
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let mut distances = notes[second.start.min(notes.len())..]
        .iter()
        .zip(&notes[first.start..first.end.min(notes.len())])
        .map(|(now, before)| i32::from(now.midi()) - i32::from(before.midi()));
    let Some(way) = distances.next() else {
        return true;
    };
    matches!(way, 12 | -12) && distances.all(|distance| distance == way)
}
