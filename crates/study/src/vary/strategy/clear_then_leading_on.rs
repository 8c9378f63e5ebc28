//! A clear bar, then one that leads on.

use linewright_rulebook::CLEAR;
use linewright_rulebook::plan::Clarity;
use linewright_theory::Pitch;

use super::{Setting, Strategy, View};

/// A clear bar, then one that begins off the root and leads on by step.
pub(super) static CLEAR_THEN_LEADING_ON: Strategy = Strategy {
    name: "clear-then-leading-on",
    sentence: "The first bar names the chord from its root; the second begins on another tone and steps into what follows.",
    weights: &[],
    settings,
    admits,
};

fn settings(view: &View) -> Vec<Setting> {
    if view.two_bars_of_one_chord().is_none() || view.after.is_none() {
        return Vec::new();
    }
    let mut plan = view.line.plan.clone();
    let first = view.bars.start;
    (plan.bars[first].clarity, plan.bars[first + 1].clarity) = (Clarity::Clear, Clarity::Free);
    vec![Setting::with(plan)]
}

fn admits(view: &View, notes: &[Pitch]) -> bool {
    let Some([first, second]) = view.two_bars_of_one_chord() else {
        return false;
    };
    let root = view.ground().line_root;
    if notes[0].class() != root {
        return false;
    }
    if notes.len() >= first.end
        && view
            .clarity(&first, notes)
            .is_some_and(|clear| clear < CLEAR)
    {
        return false;
    }
    if notes
        .get(second.start)
        .is_some_and(|note| note.class() == root)
    {
        return false;
    }
    if notes.len() == second.end {
        let leads = view.after.map(|after| {
            let last = notes[second.end - 1];
            (i32::from(after.midi()) - i32::from(last.midi())).abs()
        });
        return leads.is_some_and(|size| matches!(size, 1 | 2));
    }
    true
}
