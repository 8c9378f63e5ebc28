//! Where a rule could find something, against what it finds in lines.

use std::collections::BTreeSet;

use crate::plan::{Cadence, Clarity};
use linewright_theory::Pitch;
use proptest::prelude::*;

use super::random::passage;
use crate::finding::Place;
use crate::possible::possible_places;
use crate::rule::Look;
use crate::rules::{RULES, rule_named};
use crate::testing::{Passage, in_two, over};

/// The places of a rule: notes as bar and beat, both from 1.
fn notes(passage: &Passage, rule: &str) -> Vec<(usize, u8)> {
    let rule = rule_named(rule).unwrap();
    let places = possible_places(rule, &passage.style, &passage.plan);
    let note = |place: &Place| match place {
        Place::Note(at) => {
            let slot = &passage.plan.slots[*at];
            (slot.bar + 1, slot.beat + 1)
        }
        Place::Bar(_) => panic!("{} looks at bars", rule.name),
    };
    places.iter().map(note).collect()
}

/// The bars, from 1, of a rule that looks at bars.
fn bars(passage: &Passage, rule: &str) -> Vec<usize> {
    let rule = rule_named(rule).unwrap();
    let places = possible_places(rule, &passage.style, &passage.plan);
    let bar = |place: &Place| match place {
        Place::Bar(bar) => bar + 1,
        Place::Note(_) => panic!("{} looks at notes", rule.name),
    };
    places.iter().map(bar).collect()
}

proptest! {
    /// Nothing is found where it is not possible.
    #[test]
    fn every_finding_is_at_a_possible_place((passage, line) in passage()) {
        let heard = passage.read(&line);
        for rule in RULES {
            let possible = possible_places(rule, &passage.style, &passage.plan);
            prop_assert!(possible.is_sorted());
            let found = heard.reading.findings.iter();
            let found = found.filter(|f| heard.book.entry(f.rule).rule.name == rule.name);
            for finding in found {
                prop_assert!(possible.contains(&finding.place), "{rule:?} {:?}", finding.place);
            }
        }
    }
}

/// Every place of a rule on notes and moves is one where some line has it: all lines of three
/// notes over nearly three octaves are read.
#[test]
fn every_possible_place_of_notes_and_moves_is_one_of_some_line() {
    let chart = "key: F\ntempo: 300\ntime: 3/4\n| C7 N.C. / | F7/A N.C. Bb7 |";
    for passage in [
        over(chart),
        over(chart)
            .cadence(1, Cadence::NextRoot)
            .cadence(2, Cadence::BeatOne),
        over(chart).clarity(1, Clarity::Ambiguous).shift(2, 1, "D3"),
        over("key: F\ntime: 3/4\n| C7 |").cadence(1, Cadence::OwnRoot),
    ] {
        assert_eq!(passage.plan.slots.len(), 3);
        let mut found: Vec<BTreeSet<Place>> = vec![BTreeSet::new(); RULES.len()];
        for number in 0..33_usize.pow(3) {
            let midi = [number / 1089, number / 33 % 33, number % 33].map(|n| 26 + n as u8);
            let line = midi.map(|midi| Pitch::new(midi).unwrap());
            for finding in passage.read(&line).reading.findings {
                found[usize::from(finding.rule.number())].insert(finding.place);
            }
        }
        for (rule, found) in RULES.iter().zip(found) {
            let possible = possible_places(rule, &passage.style, &passage.plan);
            let of_notes = matches!(
                rule.look,
                Look::Note(_) | Look::Interval(_) | Look::Step(_) | Look::Shape(_)
            );
            if of_notes {
                assert_eq!(possible, Vec::from_iter(found), "{rule:?}");
            } else {
                assert!(
                    found.iter().all(|place| possible.contains(place)),
                    "{rule:?}"
                );
            }
        }
    }
}

#[test]
fn cadences_are_possible_where_they_are_planned() {
    let passage = over("| C7 | F7 | C7 F7 | Bb7 |")
        .cadence(2, Cadence::BeatOne)
        .cadence(3, Cadence::NextRoot)
        .cadence(4, Cadence::OwnRoot);
    assert_eq!(notes(&passage, "beat-one-cadence"), [(2, 1)]);
    assert_eq!(notes(&passage, "next-root-cadence"), [(3, 4)]);
    assert_eq!(bars(&passage, "own-root-cadence"), [4]);
    // Half a bar is too short to outline its chord first.
    assert_eq!(bars(&passage, "unplanned-cadence"), [1, 2]);
    assert_eq!(notes(&over("| C7 |"), "beat-one-cadence"), []);
}

#[test]
fn arrivals_and_approaches_are_possible_where_the_line_arrives() {
    let passage = over("| C7 | F7/A Bb7 | Bb7 |");
    let arrivals = [(1, 1), (2, 1), (2, 3), (3, 1)];
    assert_eq!(notes(&passage, "root-arrival"), arrivals);
    assert_eq!(notes(&passage, "half-step-approach"), arrivals[1..]);
    assert_eq!(notes(&passage, "slash-bass"), [(2, 1)]);
    assert_eq!(notes(&passage, "opening-root"), [(1, 1)]);
    assert_eq!(notes(&passage, "open-ending"), [(3, 4)]);
    assert_eq!(notes(&passage, "early-root"), [(1, 4), (2, 2)]);
    let stops = over("| C7 N.C. / / | F7 |");
    assert_eq!(notes(&stops, "lone-root"), [(1, 1)]);
}

#[test]
fn bars_can_be_alike_where_they_have_as_many_notes() {
    let passage = over("| C7 | C7 | F7 | C7 N.C. / / | F7 |");
    assert_eq!(bars(&passage, "cell-again"), [2]);
    assert_eq!(bars(&passage, "sequence"), [3]);
    let two = in_two("| C7 | F7 | N.C. | F7 |");
    assert_eq!(bars(&two, "cell-again"), [2]);
    assert_eq!(bars(&two, "sequence"), [0; 0]);
}

#[test]
fn a_bar_can_be_unclear_and_clear_as_the_plan_means_it() {
    let passage = over("| C7 | F7 | C7 |")
        .clarity(1, Clarity::Clear)
        .clarity(2, Clarity::Ambiguous);
    assert_eq!(bars(&passage, "clear-bar"), [1]);
    assert_eq!(bars(&passage, "ambiguous-bar"), [2]);
    assert_eq!(bars(&passage, "stray-ambiguity"), [1, 3]);
    assert_eq!(bars(&passage, "stock-cell"), [1, 2, 3]);
    assert_eq!(bars(&over("| C7 F7 | C7 |"), "stock-cell"), [2]);
}

#[test]
fn the_range_is_left_anywhere() {
    let passage = over("| C7 |");
    let all = [(1, 1), (1, 2), (1, 3), (1, 4)];
    for rule in ["out-of-range", "outside-the-heart", "register-contour"] {
        assert_eq!(notes(&passage, rule), all, "{rule}");
    }
    assert_eq!(notes(&passage.limits(24, 24), "too-wide-leap"), all[1..]);
}
