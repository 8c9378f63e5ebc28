//! The musical promises, kept by every line over every shipped chart in every shipped style, and
//! judged by code that shares nothing with the rules: from the notes, the chords under them and
//! the plan alone. Two seeds each; five with `LINEWRIGHT_MORE_LINES=1` in the environment.
//!
//! What a good line is is common practice, no source, unless a check says otherwise.

use std::sync::LazyLock;

use linewright_workshop::shipped::{charts, compose, composers, pairs};
use linewright_workshop::{Promise, Promises};

static TALLIES: LazyLock<Vec<Promises>> = LazyLock::new(|| {
    let (charts, composers) = (charts(), composers());
    let seeds = std::env::var_os("LINEWRIGHT_MORE_LINES").map_or(2, |_| 5);
    let wanted = pairs(&composers, &charts, 1, 1..=seeds);
    let found = compose(&wanted, 2, |lines| {
        let mut tally = Promises::new(&lines[0].style.name);
        for (at, line) in lines.iter().enumerate() {
            tally.add(line);
            for other in &lines[..at] {
                tally.compare(other, line);
            }
        }
        tally
    });
    let mut tallies: Vec<Promises> = Vec::new();
    for one in found {
        match tallies.last_mut() {
            Some(whole) if whole.style == one.style => whole.join(one),
            _ => tallies.push(one),
        }
    }
    assert_eq!(tallies.len(), composers.len());
    tallies
});

fn assert_all_keep(promise: Promise) {
    for tally in &*TALLIES {
        let broken: Vec<&String> = tally.broken(promise).collect();
        let (style, times) = (&tally.style, broken.len());
        assert!(
            times == 0,
            "{style}: {times} times: {:#?}",
            &broken[..times.min(12)]
        );
    }
}

#[test]
fn no_line_breaks_a_limit_of_its_style() {
    assert_all_keep(Promise::Limits);
}

#[test]
fn every_note_lies_in_the_range_of_its_style() {
    assert_all_keep(Promise::Range);
}

#[test]
fn every_note_has_a_function_besides_being_chromatic() {
    assert_all_keep(Promise::Function);
}

#[test]
fn no_bar_has_the_cell_of_the_bar_before() {
    assert_all_keep(Promise::Variety);
}

#[test]
fn every_leap_beyond_a_fifth_is_recovered_or_a_planned_shift() {
    assert_all_keep(Promise::Recovery);
}

#[test]
fn every_bar_meant_to_be_ambiguous_is_followed_by_a_planned_cadence() {
    assert_all_keep(Promise::Landing);
}

#[test]
fn the_reasons_of_a_line_add_up_exactly_to_its_score() {
    assert_all_keep(Promise::Sum);
}

/// That a share of what is counted reaches so many in a hundred, in every style that counts any.
fn assert_share(least: usize, of: impl Fn(&Promises) -> (usize, usize)) {
    let shares: Vec<String> = TALLIES
        .iter()
        .map(|tally| (&tally.style, of(tally)))
        .filter(|(_, (part, all))| part * 100 < all * least)
        .map(|(style, (part, all))| format!("{style}: {part} of {all}"))
        .collect();
    assert!(shares.is_empty(), "less than {least} in 100: {shares:#?}");
    let all: usize = TALLIES.iter().map(|tally| of(tally).1).sum();
    assert!(all >= 1000, "only {all} in all styles");
}

#[test]
fn styles_keep_at_least_95_of_100_planned_cadences() {
    assert_share(95, |tally| (tally.cadences_kept, tally.cadences));
}

#[test]
fn lines_of_different_seeds_differ_in_half_of_their_notes_or_more() {
    assert_share(50, |tally| (tally.changed, tally.compared));
}
