//! Scale one way, arpeggio back.

use linewright_theory::Pitch;

use super::{Setting, Strategy, View};

/// The scale up, then the arpeggio down; or the other way round.
pub(super) static SCALE_THEN_ARPEGGIO: Strategy = Strategy {
    name: "scale-then-arpeggio",
    sentence: "The first bar walks the scale one way, the second comes back through the chord's own tones.",
    weights: &[],
    settings: |view| Setting::over_one_chord(view, 3),
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let walk = &notes[..first.end.min(notes.len())];
    let mut moves = view.moves(walk);
    let Some(way) = moves.next().map(i32::signum) else {
        return true;
    };
    let step = |size: i32| matches!(size * way, 1 | 2);
    if !view.moves(walk).all(step) {
        return false;
    }
    let back = &notes[second.start.min(notes.len())..];
    let ground = view.ground();
    let tones = back.iter().all(|note| ground.is_chord_tone(note.class()));
    tones && view.moves(back).all(|size| size * way <= -2)
}
