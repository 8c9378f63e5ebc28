//! How surely bars name their chord, and a second reckoning of it.

use crate::plan::Beat;
use linewright_theory::{Member, PitchClass};
use proptest::prelude::*;

use super::random::passage;
use crate::clarity::CLEAR;
use crate::segment::head;
use crate::symbol::cell_symbol;
use crate::testing::{Passage, over, pitches};

fn clarity(chart: &str, notes: &str) -> i32 {
    over(chart).line(notes).bar(1).clarity
}

/// The strongest other chord, such as `Bbmaj7`.
fn rival(chart: &str, notes: &str) -> String {
    let passage = over(chart);
    let reading = passage.read(&pitches(notes)).reading;
    let rival = reading.bars[0].rival.clone();
    const NAMES: [&str; 12] = [
        "C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B",
    ];
    format!("{}{}", NAMES[usize::from(rival.root.get())], rival.suffix)
}

#[test]
fn an_arpeggio_with_the_root_on_one_is_clear() {
    for (chart, notes) in [
        ("| C7 |", "C2 E2 G2 Bb2"),
        ("| Cmaj7 |", "C2 E2 G2 B2"),
        ("| Cm7 |", "C2 Eb2 G2 Bb2"),
        ("| C7 |", "C2 G2 E2 Bb2"),
        ("| C7 |", "C3 Bb2 G2 E2"),
    ] {
        let clarity = clarity(chart, notes);
        assert!(clarity >= CLEAR, "{chart} {notes}: {clarity}");
    }
}

#[test]
fn stock_cells_with_the_root_on_one_are_no_stray_ambiguity() {
    for notes in ["C2 A2 G2 E2", "C2 G2 A2 G2", "C2 D2 E2 G2", "C2 E2 G2 C3"] {
        let clarity = clarity("| C7 |", notes);
        assert!(clarity >= 0, "{notes}: {clarity}");
    }
}

#[test]
fn a_half_diminished_arpeggio_is_half_clear_since_its_notes_are_a_minor_sixth_chord_too() {
    let clarity = clarity("| Cm7b5 |", "C2 Eb2 Gb2 Bb2");
    assert!((1..CLEAR).contains(&clarity), "{clarity}");
    assert_eq!(rival("| Cm7b5 |", "C2 Eb2 Gb2 Bb2"), "Ebm6");
}

#[test]
fn the_same_notes_are_less_clear_with_another_note_on_one() {
    let plain = clarity("| C7 |", "C2 E2 G2 Bb2");
    for notes in ["E2 C2 G2 Bb2", "G2 C2 E2 Bb2", "Bb1 C2 E2 G2"] {
        assert!(clarity("| C7 |", notes) < plain, "{notes}");
    }
}

#[test]
fn three_five_nine_one_is_clear_late() {
    // Of all last notes the root clears the bar up most.
    let late = clarity("| C7 |", "E2 G2 D2 C2");
    for last in ["D2", "E2", "F2", "G2", "A2", "Bb2", "Eb2", "B1"] {
        let other = clarity("| C7 |", &format!("E2 G2 D2 {last}"));
        assert!(late > other, "{last}: {other} is not under {late}");
    }
}

#[test]
fn notes_that_spell_another_chord_name_that_chord() {
    for (chart, notes, name) in [
        ("| C7 |", "Bb1 D2 F2 A2", "Bbmaj7"),
        ("| C7 |", "G2 Bb2 D3 F3", "Gm7"),
        ("| Cmaj7 |", "E2 G2 B2 D3", "Em7"),
        ("| Dm7 |", "G2 B2 D3 F3", "G7"),
        ("| C7 |", "A2 C3 E3 G2", "Am7"),
    ] {
        assert!(clarity(chart, notes) < 0, "{chart} {notes}");
        assert_eq!(rival(chart, notes), name, "{chart} {notes}");
    }
}

#[test]
fn a_plainer_or_richer_name_of_the_chord_is_no_rival() {
    for chart in ["| C7 |", "| Cmaj7 |", "| C6 |", "| C9 |"] {
        let rival = rival(chart, "C2 E2 G2 E2");
        assert!(!rival.starts_with('C'), "{chart}: {rival}");
    }
}

#[test]
fn two_chords_in_a_bar_are_weighed_each_by_its_own_notes() {
    let both = clarity("| Dm7 G7 |", "D2 F2 G2 B2");
    assert!(both > clarity("| Dm7 G7 |", "D2 F2 D2 F2"));
    assert!(both > clarity("| Dm7 G7 |", "G2 B2 G2 B2"));
}

/// Log-likelihoods by what a note is to a chord, written out a second time.
fn likelihood(member: Member) -> f64 {
    match member {
        Member::Root => -1100.0,
        Member::Third => -1600.0,
        Member::Fifth => -1650.0,
        Member::Seventh => -2000.0,
        Member::Colour => -3000.0,
        Member::Scale => -3400.0,
        Member::Outside => -4600.0,
    }
}

/// Tones and scale of each rival quality, as semitones above its root.
const QUALITIES: [([u8; 4], &[u8]); 6] = [
    ([0, 4, 7, 11], &[2, 5, 9]),
    ([0, 4, 7, 10], &[2, 5, 9]),
    ([0, 3, 7, 10], &[2, 5, 9]),
    ([0, 3, 7, 9], &[2, 5, 11]),
    ([0, 3, 6, 10], &[1, 5, 8]),
    ([0, 3, 6, 9], &[2, 5, 8, 11]),
];

fn likelihood_under(quality: usize, offset: u8) -> f64 {
    let (tones, scale) = QUALITIES[quality];
    likelihood(match tones.iter().position(|tone| *tone == offset) {
        Some(0) => Member::Root,
        Some(1) => Member::Third,
        Some(2) => Member::Fifth,
        Some(_) => Member::Seventh,
        None if scale.contains(&offset) => Member::Scale,
        None => Member::Outside,
    })
}

/// Clarity of the notes of some slots by the definition: for each stretch
/// under one chord, the weighed likelihood under the chord less that under the
/// best of 66 others and a head start; the mean over the stretches.
fn by_definition(passage: &Passage, at: std::ops::Range<usize>, classes: &[PitchClass]) -> f64 {
    let slots = &passage.plan.slots[at.clone()];
    let stretches = slots.chunk_by(|a, b| a.ground.chord == b.ground.chord);
    let (mut sum, mut count, mut first) = (0.0, 0.0, at.start);
    for stretch in stretches {
        let ground = &stretch[0].ground;
        let mean = |n: usize, value: &dyn Fn(u8) -> f64| {
            let symbol = |offset| cell_symbol(ground, offset);
            let here = symbol(ground.offset(classes[first + n]));
            let alike: Vec<u8> = (0..12).filter(|&offset| symbol(offset) == here).collect();
            alike.iter().map(|&offset| value(offset)).sum::<f64>() / alike.len() as f64
        };
        let weighed = |value: &dyn Fn(u8) -> f64| -> f64 {
            let weight = |n: usize| match stretch[n].strength {
                Beat::Down => 1.5,
                Beat::Strong => 1.1,
                Beat::Weak if stretch[n].is_last() => 0.8,
                Beat::Weak => 0.9,
            };
            (0..stretch.len()).map(|n| weight(n) * mean(n, value)).sum()
        };
        let truth = weighed(&|offset| likelihood(ground.member_at(offset)));
        let best = (1..12)
            .flat_map(|root| (0..6).map(move |quality| (root, quality)))
            .map(|(root, quality)| {
                weighed(&|offset| likelihood_under(quality, (offset + 12 - root) % 12))
            })
            .fold(f64::NEG_INFINITY, f64::max);
        (sum, count, first) = (
            sum + 800.0 + truth - best,
            count + 1.0,
            first + stretch.len(),
        );
    }
    sum / count
}

proptest! {
    #[test]
    fn clarity_is_the_log_odds_of_the_chord_over_its_best_rival((passage, line) in passage()) {
        let classes: Vec<PitchClass> = line.iter().map(|pitch| pitch.class()).collect();
        let reading = passage.read(&line).reading;
        for bar in &reading.bars {
            let row = passage.plan.bars[bar.bar].slots.clone();
            let window = row.start..row.start + head(row.len());
            let wanted = by_definition(&passage, window, &classes);
            // Whole milli-nats are kept for each note that shares a symbol.
            let off = (f64::from(bar.clarity) - wanted).abs();
            prop_assert!(off < 6.0, "bar {}: {} for {wanted}", bar.bar + 1, bar.clarity);
        }
    }
}
