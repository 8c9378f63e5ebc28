//! A line small enough to be counted by hand, and lines by the dozen.

use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_compose::{Batch, Composer};
use linewright_compose::{Choice, Line};
use linewright_notation::line_text;
use linewright_rulebook::RULES;
use linewright_rulebook::plan::Cadence;
use linewright_rulebook::style::Library;
use linewright_theory::{Member, Pitch};

use super::{Comparison, Direction, Measure, PERCENTILES, Profile, Reached, Value};
use crate::Study;

fn timeline(chart: &str) -> Arc<Timeline> {
    let chart = Chart::parse("test", chart.as_bytes()).unwrap();
    Arc::new(chart.unroll().unwrap())
}

fn composer(style: &str) -> Composer {
    Composer::new(Library::builtin().style(style).unwrap()).unwrap()
}

/// A line of text over a chart, read in the style `plain`.
fn given(chart: &str, text: &str) -> Line {
    let (scores, problems) = line_text::read(text.as_bytes()).unwrap();
    assert!(problems.is_empty(), "{problems}");
    Study::of(&composer("plain"), &timeline(chart), &scores[0], None).line
}

/// The profile of some sampled lines.
fn composed(style: &str, chart: &str, seeds: std::ops::RangeInclusive<u64>) -> Profile {
    let (composer, timeline) = (composer(style), timeline(chart));
    let choice = Choice::Sampled {
        temperature: composer.style().temperature,
    };
    let mut batch = Batch::new(&composer, &timeline);
    let mut profile = Profile::default();
    for seed in seeds {
        profile.join(&Profile::of(&batch.line(seed, 0, choice).unwrap()));
    }
    profile
}

const CHART: &str = "key: F\n| F7 | % | Bb7 | F7 |\n";

/// 1 3 5 b7 | 3 5 b7 7 | 1 . 5 5 | 1 r r r, with the leading tone before the second F.
const LINE: &str = "| F1 A1 C2 Eb2 | A1 C2 Eb2 A1 | Bb1 . F2 F2 | F1 r r r |\n";

fn degrees(profile: &Profile, beat: u8) -> Vec<(String, u64)> {
    let tally = profile.tally(Measure::Degrees { beat }).unwrap();
    let row = |(value, times)| match value {
        Value::Degree(degree) => (format!("{degree}"), times),
        other => panic!("{other:?}"),
    };
    tally.iter().map(row).collect()
}

fn row(degrees: &[(&str, u64)]) -> Vec<(String, u64)> {
    let own = degrees
        .iter()
        .map(|(name, times)| ((*name).to_owned(), *times));
    own.collect()
}

#[test]
fn a_line_counted_by_hand_has_these_degrees_and_parts() {
    let profile = Profile::of(&given(CHART, LINE));
    assert_eq!(
        (profile.lines(), profile.bars(), profile.notes()),
        (1, 4, 12)
    );
    assert_eq!(degrees(&profile, 1), row(&[("1", 3), ("3", 1)]));
    assert_eq!(degrees(&profile, 2), row(&[("3", 1), ("5", 1)]));
    assert_eq!(degrees(&profile, 3), row(&[("5", 2), ("b7", 1)]));
    assert_eq!(degrees(&profile, 4), row(&[("3", 1), ("5", 1), ("b7", 1)]));
    let member = |member| profile.times(Measure::Members, Value::Member(member));
    assert_eq!(
        [Member::Root, Member::Third, Member::Fifth, Member::Seventh].map(member),
        [3, 3, 4, 2]
    );
}

#[test]
fn the_root_on_beat_one_is_told_apart_by_new_and_held_chords() {
    let profile = Profile::of(&given(CHART, LINE));
    let roots = |measure| {
        let times = profile.times(measure, Value::IsRoot(true));
        (times, profile.whole(measure))
    };
    assert_eq!(roots(Measure::RootWhereNew), (3, 3));
    assert_eq!(roots(Measure::RootWhereHeld), (0, 1));
}

#[test]
fn a_line_counted_by_hand_has_these_moves() {
    let profile = Profile::of(&given(CHART, LINE));
    let moves = |from, to| {
        let tally = profile.tally(Measure::Intervals { from, to });
        let semitones = |(value, times)| match value {
            Value::Interval(semitones) => (semitones, times),
            other => panic!("{other:?}"),
        };
        tally.unwrap().iter().map(semitones).collect::<Vec<_>>()
    };
    assert_eq!(moves(1, 2), [(3, 1), (4, 1)]);
    assert_eq!(moves(2, 3), [(3, 2)]);
    // The held note of bar 3 goes from beat one to beat three.
    assert_eq!(moves(1, 3), [(7, 1)]);
    assert_eq!(moves(3, 4), [(-6, 1), (0, 1), (3, 1)]);
    assert_eq!(moves(4, 1), [(-12, 1), (-6, 1), (1, 1)]);
    let into = |reached| profile.times(Measure::IntoOne, Value::Reached(reached));
    assert_eq!(
        [Reached::HalfStepFromBelow, Reached::Wider, Reached::Third].map(into),
        [1, 2, 0]
    );
    let way = |way| profile.times(Measure::Directions, Value::Direction(way));
    assert_eq!(
        [Direction::Up, Direction::Down, Direction::Repeat].map(way),
        [7, 3, 1]
    );
}

#[test]
fn a_line_counted_by_hand_lies_between_these_notes() {
    let profile = Profile::of(&given(CHART, LINE));
    // F1 F1 A1 A1 A1 Bb1 C2 C2 Eb2 Eb2 F2 F2.
    let at = |percent| profile.percentile(percent).unwrap().midi();
    assert_eq!(PERCENTILES.map(at), [29, 33, 34, 39, 41]);
    assert_eq!(profile.range(), Pitch::new(29).zip(Pitch::new(41)));
}

#[test]
fn every_bar_cadences_in_one_way_or_not_at_all() {
    // Bar 1 lands on beat one of nothing before it; bar 2 closes on the root to come; bar 3
    // closes on its own root; bar 4 begins on its root, a half step from above.
    let chart = "key: C\n| C7 | C7 | F7 | Bb7 |\n";
    let profile = Profile::of(&given(
        chart,
        "| E2 G2 Bb2 G2 | E2 D2 C2 F2 | A2 C3 A2 F2 | Eb2 D2 F2 D2 |\n",
    ));
    let bars = |cadence| profile.times(Measure::Cadences, Value::Cadence(cadence));
    assert_eq!(profile.whole(Measure::Cadences), 4);
    assert_eq!(bars(Some(Cadence::OwnRoot)), 1);
    assert!(bars(Some(Cadence::NextRoot)) >= 1);
    assert_eq!(
        bars(None)
            + Cadence::ALL
                .map(|kind| bars(Some(kind)))
                .iter()
                .sum::<u64>(),
        4
    );
}

#[test]
fn devices_are_told_by_the_rules_that_find_them() {
    let profile = Profile::of(&given(CHART, LINE));
    let name = |value| match value {
        Value::Device(rule) => RULES[usize::from(rule.number())].name,
        other => panic!("{other:?}"),
    };
    let tally = profile.tally(Measure::Devices).unwrap();
    let found: Vec<(&str, u64)> = tally.iter().map(|(v, n)| (name(v), n)).collect();
    // A1 into Bb1; F2 down to F1; F2 F2 in bar 3.
    for device in [
        ("half-step-approach", 1),
        ("octave", 1),
        ("repeated-note", 1),
    ] {
        assert!(found.contains(&device), "{device:?} in {found:?}");
    }
    assert_eq!(profile.whole(Measure::Devices), 4, "told by bars");
}

#[test]
fn lines_counted_apart_are_lines_counted_together() {
    let first = composed("plain", CHART, 1..=3);
    let mut whole = composed("plain", CHART, 4..=8);
    whole.join(&first);
    assert_eq!(whole, composed("plain", CHART, 1..=8));
    assert_eq!(whole.lines(), 8);
}

#[test]
fn a_profile_does_not_differ_from_itself() {
    let profile = composed("plain", CHART, 1..=10);
    let compared = Comparison::of(profile.clone(), profile);
    assert!(compared.differences.is_empty());
    for divergence in &compared.divergences {
        assert_eq!(divergence.bits, Some(0.0), "{divergence:?}");
    }
}

#[test]
fn lines_that_close_on_beat_four_differ_from_plain_ones_in_what_they_are_named_for() {
    let chart = include_str!("../../../../examples/jazz-blues.chart");
    let compared = Comparison::of(
        composed("closing-four", chart, 1..=20),
        composed("plain", chart, 1..=20),
    );
    let share = |(times, of): (u64, u64)| times as f64 / of as f64;
    let own = compared
        .differences
        .iter()
        .find(|difference| difference.value == Value::Cadence(Some(Cadence::OwnRoot)));
    let own = own.expect("own-root cadences are among the differences");
    assert!(share(own.here) > share(own.there), "{own:?}");
    let sizes = compared
        .differences
        .iter()
        .map(|difference| (share(difference.here) - share(difference.there)).abs());
    assert!(sizes.is_sorted_by(|one, other| one + 1e-9 >= *other));
    let cadences = compared
        .divergences
        .iter()
        .find(|divergence| divergence.measure == Measure::Cadences)
        .unwrap();
    assert!(cadences.bits > cadences.chance, "{cadences:?}");
}

#[test]
fn two_halves_of_the_same_lines_differ_by_little_more_than_chance() {
    let chart = include_str!("../../../../examples/jazz-blues.chart");
    let compared = Comparison::of(
        composed("plain", chart, 1..=25),
        composed("plain", chart, 26..=50),
    );
    for divergence in &compared.divergences {
        let (bits, chance) = (divergence.bits.unwrap(), divergence.chance.unwrap());
        assert!(bits < 4.0 * chance, "{divergence:?}");
    }
    assert!(
        compared.differences.len() < 12,
        "{:?}",
        compared.differences
    );
}

#[test]
fn a_measure_that_only_one_of_them_has_is_told_without_a_number() {
    let waltz = composed("waltz", "time: 3/4\n| G6 | Em7 | Am7 | D7 |\n", 1..=2);
    let four = composed("plain", CHART, 1..=2);
    let compared = Comparison::of(waltz, four);
    let beat_four = compared
        .divergences
        .iter()
        .find(|divergence| divergence.measure == Measure::Degrees { beat: 4 })
        .unwrap();
    assert_eq!((beat_four.here, beat_four.bits), (0, None));
    assert_eq!(beat_four.there, 8);
}
