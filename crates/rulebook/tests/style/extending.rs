//! What a style inherits, and what stands when it says so itself.

use linewright_rulebook::style::{Feel, Library, Style, Weight, resolve};
use linewright_theory::Note;
use proptest::prelude::*;

/// What every style says for itself.
const HEAD: &str = "name = \"mine\"\ndescription = \"Mine.\"\n";

fn style(text: &str) -> Style {
    let text = format!("{HEAD}extends = \"plain\"\n{text}\n");
    resolve(&Library::builtin(), "my.toml", &text).unwrap_or_else(|fault| panic!("{fault}"))
}

fn plain() -> Style {
    Library::builtin().style("plain").unwrap()
}

fn midi(note: &str) -> u8 {
    note.parse::<Note>().unwrap().pitch().unwrap().midi()
}

#[test]
fn a_style_that_says_nothing_more_is_its_parent_by_another_name() {
    let expected = Style {
        name: "mine".into(),
        description: "Mine.".into(),
        ..plain()
    };
    assert_eq!(style(""), expected);
}

#[test]
fn what_a_style_says_itself_stands_and_the_rest_is_inherited() {
    let mine = style(
        "feel = \"in two\"\n[weights]\nstep = -1.5\noctave = \"never\"\n[plan]\nambiguous = 0.5",
    );
    let parent = plain();
    assert_eq!(mine.feel, Feel::InTwo);
    assert_eq!(mine.weight("step"), Weight::Milli(-1500));
    assert_eq!(mine.weight("octave"), Weight::Never);
    assert_eq!(mine.weight("skip"), parent.weight("skip"));
    assert_eq!(mine.plan.ambiguous, 500);
    assert_eq!(mine.plan.phrase_bars, parent.plan.phrase_bars);
}

#[test]
fn the_nearest_ancestor_wins() {
    let mut library = Library::builtin();
    library.insert(
        "mother",
        format!("{HEAD}extends = \"plain\"\n[weights]\nstep = 1\nskip = 2"),
    );
    let text = format!("{HEAD}extends = \"mother\"\n[weights]\nstep = 3");
    let mine = resolve(&library, "my.toml", &text).unwrap();
    assert_eq!(mine.weight("step"), Weight::Milli(3000));
    assert_eq!(mine.weight("skip"), Weight::Milli(2000));
}

#[test]
fn a_rule_that_no_style_names_weighs_nothing() {
    assert_eq!(plain().weight("no-such-rule"), Weight::ZERO);
}

#[test]
fn a_narrowed_range_keeps_its_heart_inside() {
    let low = style("[range]\nhigh = \"C3\"").range;
    assert_eq!(
        (low.high.midi(), low.heart_high.midi()),
        (midi("C3"), midi("C3"))
    );
    // A heart of less than a fourth gives way to the whole range.
    let high = style("[range]\nlow = \"C3\"\nhigh = \"C4\"").range;
    assert_eq!(
        (high.heart_low.midi(), high.heart_high.midi()),
        (midi("C3"), midi("C4"))
    );
}

#[test]
fn weights_are_kept_to_the_thousandth_half_away_from_zero() {
    let mine = style("[weights]\na = 0.0004\nb = 0.0006\nc = -0.0006\nd = 7\ne = -2.25");
    let weights = ["a", "b", "c", "d", "e"].map(|rule| mine.weight(rule));
    assert_eq!(weights, [0, 1, -1, 7000, -2250].map(Weight::Milli));
}

#[test]
fn every_shipped_style_is_complete_and_bears_its_own_name() {
    let library = Library::builtin();
    for name in Library::builtin_names() {
        let style = library
            .style(name)
            .unwrap_or_else(|fault| panic!("{fault}"));
        assert_eq!(style.name, name);
        assert!(
            style.description.ends_with('.'),
            "{name}: {}",
            style.description
        );
    }
}

#[test]
fn the_hash_tells_any_two_shipped_styles_apart_and_sees_every_change() {
    let library = Library::builtin();
    let mut hashes: Vec<u64> = Library::builtin_names()
        .map(|name| library.style(name).unwrap().hash())
        .collect();
    hashes.push(style("").hash());
    hashes.push(style("[weights]\nstep = 0.501").hash());
    hashes.push(style("[sound]\naccent = 9").hash());
    let count = hashes.len();
    hashes.sort_unstable();
    hashes.dedup();
    assert_eq!(hashes.len(), count);
    assert_eq!(style("").hash(), style("").hash());
}

proptest! {
    #[test]
    fn any_allowed_weight_is_read_to_the_nearest_thousandth(milli in -100_000..=100_000_i32) {
        let text = format!("[weights]\nstep = {}", f64::from(milli) / 1000.0);
        prop_assert_eq!(style(&text).weight("step"), Weight::Milli(milli));
    }

    #[test]
    fn any_range_that_is_taken_has_its_heart_inside_and_room_for_a_fourth(
        low in 0..60_u8, high in 0..108_u8,
    ) {
        const NAMES: [&str; 12] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
        let name = |midi: u8| format!("{}{}", NAMES[usize::from(midi % 12)], i32::from(midi / 12) - 1);
        let text = format!(
            "{HEAD}extends = \"plain\"\n[range]\nlow = \"{}\"\nhigh = \"{}\"\n",
            name(low), name(high),
        );
        let wide_enough = high >= low + 12 && high - low < 48;
        match resolve(&Library::builtin(), "my.toml", &text) {
            Err(_) => prop_assert!(!wide_enough),
            Ok(style) => {
                prop_assert!(wide_enough);
                let range = style.range;
                prop_assert_eq!((range.low.midi(), range.high.midi()), (low, high));
                prop_assert!(range.low <= range.heart_low && range.heart_high <= range.high);
                prop_assert!(range.heart_low.midi() + 5 <= range.heart_high.midi());
            }
        }
    }
}
