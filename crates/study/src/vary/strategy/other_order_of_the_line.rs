//! Every bar has the line's own notes in another order.

use linewright_theory::Pitch;

use super::other_order::is_among;
use super::{Setting, Strategy, View};

/// Every bar of the passage has the line's own notes in another order.
pub(super) static OTHER_ORDER_OF_THE_LINE: Strategy = Strategy {
    name: "other-order-of-the-line",
    sentence: "Every bar has the notes that the line has there, in another order, in any octave.",
    weights: &[],
    settings: |view| {
        if view.rows.iter().any(|row| row.len() >= 3) {
            vec![Setting::with(view.line.plan.clone())]
        } else {
            Vec::new()
        }
    },
    admits,
};

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let classes = |notes: &[Pitch]| notes.iter().map(|note| note.class()).collect::<Vec<_>>();
    view.rows
        .iter()
        .filter(|row| row.start < notes.len())
        .all(|row| {
            let now = classes(&notes[row.start..row.end.min(notes.len())]);
            let own = classes(&view.played[row.clone()]);
            // A bar of notes that are all alike has no other order.
            let one_order = own.iter().all(|class| *class == own[0]);
            let other = now.len() < row.len() || now != own || one_order;
            other && is_among(&now, &own)
        })
}
