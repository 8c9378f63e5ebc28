//! Random charts, plans and lines, for property tests.

use crate::plan::{BarPlan, Cadence, Clarity};
use crate::style::{Feel, Weight};
use linewright_theory::Pitch;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use crate::rules::RULES;
use crate::testing::{Passage, chart, even_style};

const ROOTS: [&str; 12] = [
    "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B",
];

const QUALITIES: [&str; 16] = [
    "", "6", "7", "9", "maj7", "maj7#11", "m", "m6", "m7", "m7b5", "dim7", "aug", "7sus4", "7alt",
    "7b9", "5",
];

const KEYS: [&str; 5] = ["", "key: C\n", "key: Ab\n", "key: F#m\n", "key: Dm\n"];

fn chord() -> impl Strategy<Value = String> {
    let bass = prop_oneof![9 => Just(None), 1 => select(&ROOTS[..]).prop_map(Some)];
    (select(&ROOTS[..]), select(&QUALITIES[..]), bass).prop_map(
        |(root, quality, bass)| match bass {
            Some(bass) => format!("{root}{quality}/{bass}"),
            None => format!("{root}{quality}"),
        },
    )
}

/// A bar of so many beats: one or two chords, a new one on any beat, or none.
fn bar(beats: usize) -> impl Strategy<Value = String> {
    let changes = vec(
        prop_oneof![3 => Just("/".to_owned()), 1 => chord()],
        beats - 1,
    );
    prop_oneof![
        4 => chord(),
        3 => (chord(), chord()).prop_map(|(first, second)| format!("{first} {second}")),
        2 => (chord(), changes).prop_map(|(first, rest)| format!("{first} {}", rest.join(" "))),
        1 => Just("N.C.".to_owned()),
    ]
}

fn chart_text() -> impl Strategy<Value = String> {
    (2_usize..=7).prop_flat_map(|beats| {
        let pickup = prop_oneof![4 => Just(None), 1 => chord().prop_map(Some)];
        (select(&KEYS[..]), pickup, vec(bar(beats), 1..6)).prop_map(move |(key, pickup, bars)| {
            let pickup = pickup.map_or_else(
                || format!("{key}time: {beats}/4\n| "),
                |chord| format!("{key}time: {beats}/4\npickup: 1\n| {chord} | "),
            );
            format!("{pickup}{} |\n", bars.join(" | "))
        })
    })
}

#[derive(Clone, Debug)]
struct Wish {
    cadence: Option<Cadence>,
    clarity: Clarity,
    tension: u16,
    shift: bool,
}

fn wish() -> impl Strategy<Value = Wish> {
    let cadence = select(vec![
        None,
        Some(Cadence::BeatOne),
        Some(Cadence::OwnRoot),
        Some(Cadence::NextRoot),
    ]);
    let clarity = select(vec![Clarity::Clear, Clarity::Free, Clarity::Ambiguous]);
    (cadence, clarity, 0..=1000_u16, any::<bool>()).prop_map(
        |(cadence, clarity, tension, shift)| Wish {
            cadence,
            clarity,
            tension,
            shift,
        },
    )
}

fn grant(bar: &mut BarPlan, wish: &Wish) {
    (bar.cadence, bar.clarity) = (wish.cadence, wish.clarity);
    (bar.tension, bar.shift) = (wish.tension, wish.shift && !bar.slots.is_empty());
}

/// A passage of a few bars in any metre, in four or in two, with any wishes,
/// and a line over it.
pub fn passage() -> impl Strategy<Value = (Passage, Vec<Pitch>)> {
    let pitch = (28_u8..=55).prop_map(|midi| Pitch::new(midi).unwrap());
    (chart_text(), any::<bool>(), vec(wish(), 6), vec(pitch, 42)).prop_map(
        |(text, in_two, wishes, mut line)| {
            let mut style = even_style();
            if in_two {
                (style.feel, style.plan.pick_up) = (Feel::InTwo, 500);
            }
            let mut passage = Passage::new(chart(&text), style);
            for (bar, wish) in passage.plan.bars.iter_mut().zip(&wishes) {
                grant(bar, wish);
                if bar.shift {
                    passage.plan.slots[bar.slots.start].shift = true;
                }
            }
            line.truncate(passage.plan.slots.len());
            (passage, line)
        },
    )
}

/// A weight for every rule, now and then a hard limit.
pub fn weights() -> impl Strategy<Value = Vec<Weight>> {
    let weight = prop_oneof![
        24 => (-5000..=5000).prop_map(Weight::Milli),
        1 => Just(Weight::Never),
        3 => Just(Weight::ZERO),
    ];
    vec(weight, RULES.len())
}

/// The passage under these weights.
pub fn weighed(mut passage: Passage, weights: Vec<Weight>) -> Passage {
    let names = RULES.iter().map(|rule| rule.name.to_owned());
    passage.style.weights = names.zip(weights).collect();
    passage
}
