//! `linewright vary`: other ways through a passage.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::run::{Folder, LINE};

/// The MIDI numbers of a line's notes, with their bars.
fn notes(line: &Value) -> Vec<(u64, u64)> {
    let notes = line["notes"].as_array().unwrap().iter();
    notes
        .map(|note| {
            (
                note["bar"].as_u64().unwrap(),
                note["midi"].as_u64().unwrap(),
            )
        })
        .collect()
}

/// In how many notes two lines differ.
fn distance(one: &[(u64, u64)], other: &[(u64, u64)]) -> usize {
    assert_eq!(one.len(), other.len());
    one.iter()
        .zip(other)
        .filter(|(one, other)| one != other)
        .count()
}

/// Runs the command and reads its JSON.
fn varied(folder: &Folder, arguments: &str) -> Value {
    folder
        .line(&format!("vary {arguments} -o ways.json --force"))
        .ok();
    folder.json("ways.json")
}

#[test]
fn every_answer_changes_the_passage_alone_and_keeps_its_distance() {
    let folder = Folder::with_lines();
    for (arguments, least) in [
        ("blues.chart --bars 3-4 -n 5", 3),
        ("blues.chart --bars 5-6 --distance 5 -n 4", 5),
        ("blues.chart --bars 7-8 --line line.txt -n 4", 3),
    ] {
        let told = varied(&folder, arguments);
        assert_eq!(told["least_distance_notes"], least, "{arguments}");
        let (first, last) = (
            told["first_bar"].as_u64().unwrap(),
            told["last_bar"].as_u64().unwrap(),
        );
        let own = notes(&told["line"]);
        let answers = told["variations"].as_array().unwrap();
        assert!(answers.len() > 1, "{arguments}");
        let mut seen = vec![own.clone()];
        for answer in answers {
            let other = notes(&answer["line"]);
            for (one, other) in own.iter().zip(&other) {
                assert!(
                    one == other || (first..=last).contains(&one.0),
                    "{arguments}: {one:?}"
                );
            }
            let changed = answer["changed"].as_array().unwrap().len();
            assert_eq!(changed, distance(&own, &other), "{arguments}");
            for before in &seen {
                assert!(distance(before, &other) >= least, "{arguments}");
            }
            seen.push(other);
        }
    }
}

#[test]
fn a_strategy_alone_does_what_it_says() {
    let folder = Folder::new();
    folder.write(
        "long.chart",
        "key: C\n| C7 | C7 | F7 | F7 | C7 | C7 | G7 | C7 |\n",
    );
    let told = varied(
        &folder,
        "long.chart --bars 3-4 --strategy other-order-of-the-line -n 3",
    );
    let classes = |line: &Value, bar: u64| {
        let mut classes: Vec<u64> = notes(line)
            .into_iter()
            .filter(|(at, _)| *at == bar)
            .map(|(_, midi)| midi % 12)
            .collect();
        classes.sort_unstable();
        classes
    };
    let answers = told["variations"].as_array().unwrap();
    assert!(!answers.is_empty());
    for answer in answers {
        assert_eq!(answer["strategy"], "other-order-of-the-line");
        for bar in [3, 4] {
            assert_eq!(classes(&answer["line"], bar), classes(&told["line"], bar));
        }
    }
}

#[test]
fn the_answers_are_the_same_every_time_and_as_many_as_asked() {
    let folder = Folder::new();
    let command = "vary blues.chart --bars 3-4 --count 3 --seed 9";
    let page = folder.line(command).ok();
    assert_eq!(page, folder.line(command).ok());
    let answers: Vec<&str> = page
        .lines()
        .filter(|row| {
            row.split_once(". ")
                .is_some_and(|(rank, _)| rank.parse::<u8>().is_ok())
        })
        .collect();
    assert_eq!(answers.len(), 3, "{page}");
    assert!(
        page.contains("the line\n") && page.contains("bars 3 to 4 in 3 other ways"),
        "{page}"
    );
}

#[test]
fn the_answers_sound_one_after_the_other_and_are_written_in_every_format() {
    let folder = Folder::with_lines();
    let page = folder
        .line("vary blues.chart --bars 7-8 --line line.txt -n 2 -o w.mid -o w.txt -o w.musicxml -o w.abc -o w.svg")
        .ok();
    assert_eq!(folder.read("w.txt"), page.into_bytes());
    assert!(folder.read("w.mid").starts_with(b"MThd"));
    assert!(folder.read("w.svg").starts_with(b"<svg"));
    let xml = String::from_utf8(folder.read("w.musicxml")).unwrap();
    let sections: BTreeSet<&str> = [">the line<", ">1. ", ">2. "]
        .into_iter()
        .filter(|section| xml.contains(*section))
        .collect();
    assert_eq!(sections.len(), 3, "the line itself and two answers");
    // Metre, key and tempo are the same throughout.
    for sign in ["<time>", "<key>", "<sound tempo="] {
        assert_eq!(xml.matches(sign).count(), 1, "{sign} in {xml}");
    }
}

#[test]
fn bad_passages_lines_and_strategies_are_refused() {
    let folder = Folder::with_lines();
    folder.write("bad.txt", "| F1 H2 |\n");
    folder.write(
        "short.txt",
        LINE.split_inclusive('\n').take(3).collect::<String>(),
    );
    for (arguments, code, words) in [
        ("blues.chart --bars 12-13", 2, "the piece has bars 1 to 12"),
        ("blues.chart --bars 0-1", 2, "the piece has bars 1 to 12"),
        ("blues.chart --bars 4-3", 2, "3"),
        ("blues.chart --bars x", 2, "5-8"),
        ("blues.chart", 2, "--bars"),
        (
            "blues.chart --bars 3-4 --strategy othr-order",
            2,
            "other-order",
        ),
        ("blues.chart --bars 3-4 --count 0", 2, "0"),
        ("blues.chart --bars 3-4 --distance 0", 2, "0"),
        ("blues.chart --bars 3-4 --line bad.txt", 7, "1:6"),
        (
            "blues.chart --bars 3-4 --line nowhere.txt",
            5,
            "nowhere.txt",
        ),
        ("nowhere.chart --bars 3-4", 5, "nowhere.chart"),
        ("blues.chart --bars 3-4 --style plane", 4, "`plain`"),
        ("blues.chart --bars 3-4 -o ways.doc", 2, ".mid"),
        ("blues.chart --bars 3-4 -o nowhere/ways.mid", 6, "nowhere"),
    ] {
        let said = folder.line(&format!("vary {arguments}")).fails(code);
        assert!(said.contains(words), "{arguments}: {said}");
    }
    // Bars in which the line has no notes have no other way.
    let said = folder
        .line("vary blues.chart --bars 7-8 --line short.txt")
        .fails(2);
    assert!(said.len() > 20, "{said}");
}
