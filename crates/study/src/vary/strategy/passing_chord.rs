//! Away to a passing chord, and back.

use std::ops::Range;
use std::sync::Arc;

use linewright_chart::{Harmony, Span, Timeline};
use linewright_rulebook::plan::Ground;
use linewright_theory::{Chord, Interval};

use super::{Setting, Strategy, View};

/// Away by a passing chord a half step or a fifth away, and back.
pub(super) static PASSING_CHORD: Strategy = Strategy {
    name: "passing-chord",
    sentence: "The second half of the first bar leaves for a chord a half step above or below, or for the dominant a fifth away; the second bar is home again.",
    weights: &[],
    settings,
    admits: |_, _| true,
};

fn settings(view: &View) -> Vec<Setting> {
    let Some([first, _]) = view.two_bars_of_one_chord() else {
        return Vec::new();
    };
    if first.len() < 4 || view.ground().chord.bass.is_some() {
        return Vec::new();
    }
    let away = first.len() / 2..first.len();
    neighbours(view.ground())
        .into_iter()
        .filter_map(|chord| setting(view, &away, chord))
        .collect()
}

/// The chords to leave by: the same a half step above and below, and the dominant.
fn neighbours(ground: &Ground) -> Vec<Chord> {
    let away = |steps, semitones| {
        let by = Interval::new(steps, semitones)?;
        Some(ground.chord.transposed(by))
    };
    let dominant = away(4, 7).and_then(|fifth| format!("{}7", fifth.root).parse::<Chord>().ok());
    [away(1, 1), away(-1, -1), dominant]
        .into_iter()
        .flatten()
        .collect()
}

fn setting(view: &View, away: &Range<usize>, chord: Chord) -> Option<Setting> {
    let bar = view.bars.start;
    let start = view.line.plan.bars[bar].slots.start;
    let mut plan = view.line.plan.clone();
    let ground = Arc::new(Ground::new(chord, view.ground().key));
    let beat = plan.slots[start + away.start].beat;
    plan.reharmonise(start + away.start..start + away.end, &ground);
    let mut timeline: Timeline = (*view.line.timeline).clone();
    let beats = timeline.bars[bar].beats;
    let spans = &mut timeline.bars[bar].spans;
    let home = spans.first()?.harmony;
    *spans = vec![
        Span {
            start: 0,
            beats: beat,
            harmony: home,
        },
        Span {
            start: beat,
            beats: beats - beat,
            harmony: Harmony::Chord(chord),
        },
    ];
    Some(Setting {
        plan,
        timeline: Some(Arc::new(timeline)),
        by: Some(format!("by {chord}")),
    })
}
