//! The orders of a cell against the enumeration of all orders in all octaves.

mod support;

use std::collections::BTreeSet;

use linewright_compose::Composer;
use linewright_rulebook::rules::{arrival, melody, tone};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Rule, read};
use linewright_study::orders::{Cell, Listed, Order, Orders, OrdersError, orders};
use linewright_theory::{Pitch, PitchClass};
use support::{Draws, composer, narrow, pitch, range};

/// What is asked of the ends of a line, which a cell has not.
const NO_ENDS: &[(&Rule, Weight)] = &[
    (&arrival::OPENING_ROOT, Weight::ZERO),
    (&tone::OPEN_ENDING, Weight::ZERO),
    (&melody::LEAP_INTO_THE_END, Weight::ZERO),
    (&arrival::LONE_ROOT, Weight::ZERO),
];

fn cell(names: &str, chord: &str, key: &str) -> Cell {
    let class = |name: &str| pitch(&format!("{name}2")).class();
    Cell {
        classes: names.split_whitespace().map(class).collect(),
        chord: chord.parse().unwrap(),
        key: key.parse().unwrap(),
        before: None,
        after: None,
        next_chord: None,
    }
}

fn sorted(notes: &[Pitch]) -> Vec<u8> {
    let mut classes: Vec<u8> = notes.iter().map(|note| note.class().get()).collect();
    classes.sort_unstable();
    classes
}

/// Every way to play the notes of a cell, low to high from the first note on.
fn ways(composer: &Composer, classes: &[PitchClass]) -> Vec<Vec<Pitch>> {
    let mut left: Vec<u8> = classes.iter().map(|class| class.get()).collect();
    left.sort_unstable();
    let mut ways: Vec<Vec<Pitch>> = vec![Vec::new()];
    for _ in classes {
        let longer = ways.iter().flat_map(|way| {
            range(composer)
                .into_iter()
                .map(|note| [way.as_slice(), &[note]].concat())
        });
        ways = longer
            .filter(|way| {
                let times = |list: &[u8], class: u8| list.iter().filter(|c| **c == class).count();
                let now = sorted(way);
                now.iter()
                    .all(|&class| times(&now, class) <= times(&left, class))
            })
            .collect();
    }
    ways
}

fn notes(order: &Order) -> Vec<Pitch> {
    let notes = order.line.reading.notes[order.slots.clone()].iter();
    notes.map(|note| note.pitch).collect()
}

/// All orders and octaves with their scores, best first, equals from the lowest first note up.
fn listed(composer: &Composer, cell: &Cell, plan_of: &Order) -> Vec<(i64, Vec<Pitch>)> {
    let book = composer.book().with(NO_ENDS, true);
    let mut listed: Vec<(i64, Vec<Pitch>)> = ways(composer, &cell.classes)
        .into_iter()
        .map(|way| {
            let whole = [cell.before.as_slice(), &way, cell.after.as_slice()].concat();
            let reading = read(&book, composer.style(), &plan_of.line.plan, &whole);
            (reading.score, way)
        })
        .collect();
    listed.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
    listed
}

fn told(orders: &Orders) -> Vec<(i64, Vec<Pitch>)> {
    let told = orders.ranked.iter();
    told.map(|order| (order.score, notes(order))).collect()
}

fn assert_as_listed(composer: &Composer, cell: &Cell, what: &str) {
    let all = orders(composer, cell, Listed::Placements, usize::MAX).unwrap();
    let listed = listed(composer, cell, &all.ranked[0]);
    assert_eq!(told(&all), listed, "{what}");
    // As many as the counts say.
    assert_eq!(all.orders * all.placements, listed.len() as u64, "{what}");
    let different: BTreeSet<Vec<u8>> = listed
        .iter()
        .map(|(_, way)| way.iter().map(|note| note.class().get()).collect())
        .collect();
    assert_eq!(all.orders, different.len() as u64, "{what}");
    // Every order once, where it ranks best.
    let once = orders(composer, cell, Listed::Orders, usize::MAX).unwrap();
    let mut seen = BTreeSet::new();
    let first: Vec<_> = listed
        .iter()
        .filter(|(_, way)| {
            let order: Vec<u8> = way.iter().map(|note| note.class().get()).collect();
            seen.insert(order)
        })
        .cloned()
        .collect();
    assert_eq!(told(&once), first, "{what}");
    assert_eq!((once.orders, once.placements), (all.orders, all.placements));
    // The top of the list is the list's top.
    for count in [1, 5] {
        let top = orders(composer, cell, Listed::Placements, count).unwrap();
        assert_eq!(told(&top), listed[..count.min(listed.len())], "{what}");
    }
}

#[test]
fn orders_and_octaves_are_those_of_the_enumeration() {
    let composer = narrow("plain", "E1", "E3");
    for (names, chord, key) in [
        ("C E", "C7", "F"),
        ("C E G", "C7", "F"),
        ("F A C D", "F6", "F"),
        ("C E G A#", "C7", "F"),
        ("D F D A", "Dm7", "C"),
        ("G G G G", "G7", "C"),
        ("Bb D Bb D", "Bb7", "Bb"),
        ("A C Eb G", "Am7b5", "Gm"),
        ("B C# D D#", "B7", "E"),
    ] {
        assert_as_listed(&composer, &cell(names, chord, key), names);
    }
}

#[test]
fn notes_before_and_after_are_heard() {
    let composer = narrow("reordered", "A1", "D3");
    let mut draws = Draws::new(5);
    let names = ["C E G Bb", "C D E G", "C E G A", "C G C"];
    for round in 0..16 {
        let mut cell = cell(draws.of::<&str>(&names), "C7", "F");
        let far = ["C1", "F#2", "E2", "B3"];
        if round % 4 != 0 {
            cell.before = Some(pitch(draws.of::<&str>(&far)));
        }
        if round % 3 != 0 {
            cell.after = Some(pitch(draws.of::<&str>(&far)));
        }
        if round % 2 == 0 {
            cell.next_chord = Some("F7".parse().unwrap());
        }
        assert_as_listed(&composer, &cell, &format!("{cell:?}"));
    }
}

#[test]
fn a_line_of_orders_is_a_bar_between_the_notes_given() {
    let composer = composer("plain");
    let mut cell = cell("F A C Eb", "F7", "F");
    (cell.before, cell.after) = (Some(pitch("E2")), Some(pitch("Bb1")));
    cell.next_chord = "Bb7".parse().ok();
    let found = orders(&composer, &cell, Listed::Orders, 24).unwrap();
    assert_eq!(found.orders, 24);
    assert_eq!(found.ranked.len(), 24);
    for order in &found.ranked {
        assert_eq!(order.slots, 1..5);
        let chords: Vec<String> = order
            .line
            .timeline
            .bars
            .iter()
            .map(|bar| bar.spans[0].harmony.to_string())
            .collect();
        assert_eq!(chords, ["F7", "F7", "Bb7"]);
        let read = &order.line.reading.notes;
        assert_eq!((read[0].pitch, read[5].pitch), (pitch("E2"), pitch("Bb1")));
        assert_eq!(
            sorted(&notes(order)),
            sorted(&support::pitches("F2 A2 C2 Eb2"))
        );
    }
}

#[test]
fn five_different_notes_have_a_hundred_and_twenty_orders() {
    let composer = narrow("plain", "C2", "B2");
    let five = cell("C D E G A", "C6", "C");
    let found = orders(&composer, &five, Listed::Orders, usize::MAX).unwrap();
    assert_eq!((found.orders, found.placements), (120, 1));
    assert_eq!(found.ranked.len(), 120);
    assert_as_listed(&composer, &five, "five");
}

#[test]
fn what_cannot_be_put_in_order_is_refused_with_a_hint() {
    let style = narrow("plain", "C2", "G2");
    let told = |cell: &Cell| match orders(&style, cell, Listed::Orders, 1) {
        Ok(_) => panic!("{cell:?} has orders"),
        Err(error) => error,
    };
    let one = told(&cell("C", "C7", "F"));
    assert_eq!(one, OrdersError::Size(1));
    let many = told(&cell("C C C C C C C C", "C7", "F"));
    assert_eq!(many, OrdersError::Size(8));
    let out = told(&cell("C E B", "C7", "F"));
    assert_eq!(out, OrdersError::OutOfRange(pitch("B2").class()));
    let mut wide = cell("C E", "C7", "F");
    (wide.before, wide.after) = (Pitch::new(0), Pitch::new(127));
    let wide = told(&wide);
    assert_eq!(wide, OrdersError::TooWide);
    for error in [one, many, out, wide] {
        assert!(error.to_string().contains("hint: "), "{error}");
    }
}
