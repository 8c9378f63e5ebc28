//! Charts and styles for the tests of plans.

// Each test file uses its own part of this module.
#![allow(dead_code)]

use linewright_chart::{Chart, Timeline};
use linewright_rulebook::plan::{Dice, Plan, Purpose};
use linewright_rulebook::style::{Feel, Library, Style};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

/// The bars of a chart text as they are played.
pub fn timeline(text: &str) -> Timeline {
    let chart = Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    chart.unroll().unwrap()
}

/// The style `plain`.
pub fn plain() -> Style {
    Library::builtin().style("plain").unwrap()
}

/// The style `plain`, in two, with a pick-up in so many bars of a thousand.
pub fn in_two(pick_up: u16) -> Style {
    let mut style = plain();
    (style.feel, style.plan.pick_up) = (Feel::InTwo, pick_up);
    style
}

/// The plan that a seed gives.
pub fn plan(timeline: &Timeline, style: &Style, seed: u64) -> Plan {
    Plan::draw(timeline, style, &mut Dice::new(seed, 0, Purpose::Plan))
}

fn chord() -> impl Strategy<Value = &'static str> {
    select(vec![
        "C7", "F7", "Bbmaj7", "Dm7", "G7", "Am7b5", "D7/F#", "Ebdim7", "C7sus4",
    ])
}

/// A bar of so many beats: one or two chords, a new one on any beat, or none.
fn bar(beats: usize) -> impl Strategy<Value = String> {
    let sign = prop_oneof![4 => Just("/"), 1 => chord(), 1 => Just("N.C.")];
    let section = prop_oneof![6 => Just(""), 1 => Just("[A] "), 1 => Just("(tempo: 200) ")];
    let content = prop_oneof![
        4 => chord().prop_map(str::to_owned),
        2 => (chord(), chord()).prop_map(|(first, second)| format!("{first} {second}")),
        2 => (chord(), vec(sign, beats - 1))
            .prop_map(|(first, rest)| format!("{first} {}", rest.join(" "))),
        1 => Just("N.C.".to_owned()),
    ];
    (section, content).prop_map(|(section, content)| format!("{section}{content}"))
}

/// A chart of up to eighteen bars in any metre, perhaps with a pick-up.
pub fn any_timeline() -> impl Strategy<Value = Timeline> {
    (2_usize..=7).prop_flat_map(|beats| {
        let pickup = prop_oneof![3 => Just(""), 1 => Just("pickup: 1\n")];
        (pickup, vec(bar(beats), 2..18)).prop_map(move |(pickup, mut bars)| {
            if !pickup.is_empty() {
                bars[0] = "C7".to_owned();
            }
            let text = format!(
                "key: F\ntime: {beats}/4\n{pickup}| {} |\n",
                bars.join(" | ")
            );
            timeline(&text)
        })
    })
}

/// The style `plain` with any shape of plan.
pub fn any_style() -> impl Strategy<Value = Style> {
    let chance = || 0..=1000_u16;
    let shares = (0..4_u32, 0..4_u32, 0..4_u32);
    let chances = (chance(), chance(), chance(), chance(), chance());
    (any::<bool>(), 2..=16_u8, shares, chances, 0..=12_u8).prop_map(
        |(two, phrase_bars, shares, chances, register_span)| {
            let mut style = plain();
            if two {
                style.feel = Feel::InTwo;
            }
            let shape = &mut style.plan;
            (shape.phrase_bars, shape.register_span) = (phrase_bars, register_span);
            let mix = &mut shape.cadences;
            (mix.beat_one, mix.own_root, mix.next_root) = shares;
            (shape.middle_cadence, shape.ambiguous) = (chances.0, chances.1);
            (shape.register_shift, shape.pick_up) = (chances.2, chances.3);
            shape.end_cadence = chances.4;
            style
        },
    )
}
