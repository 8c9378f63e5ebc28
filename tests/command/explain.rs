//! `linewright explain`: a line that somebody wrote, taken apart.

use serde_json::Value;

use crate::run::{Folder, LINE, LINE_FORMATS};

/// The titles of the page's parts, in order.
const PARTS: [&str; 5] = ["in short", "bars", "cadences", "register", "notes"];

/// Whether a page has a part of this title.
fn has_part(page: &str, title: &str) -> bool {
    page.lines().any(|row| row == title)
}

#[test]
fn a_typed_line_is_explained_bar_by_bar_and_note_by_note() {
    let folder = Folder::with_lines();
    let page = folder.line("explain line.txt --chart blues.chart").ok();
    let places = PARTS.map(|part| page.lines().position(|row| row == part));
    assert!(
        places.iter().all(Option::is_some) && places.is_sorted(),
        "{places:?}"
    );
    assert!(
        page.contains("The root is on beat one in 11 of 12 bars"),
        "{page}"
    );
    // Bar 8 beat 4: Ab2 over D7 on its way to G2.
    let row = page.lines().find(|row| row.starts_with("8.4 "));
    let row = row.expect("a row for the note");
    for words in [
        "Ab2",
        "#11 over D7",
        "half-step approach from above",
        "down a half step to G2",
    ] {
        assert!(row.contains(words), "{words} in {row}");
    }
    let notes = page.lines().filter(|row| {
        row.split_once('.')
            .is_some_and(|(bar, _)| bar.parse::<usize>().is_ok())
    });
    assert_eq!(notes.count(), 48, "a row for each note");
}

#[test]
fn the_page_is_cut_to_what_is_asked_for() {
    let folder = Folder::with_lines();
    let explain = |options: &str| {
        folder
            .line(&format!("explain line.txt --chart blues.chart {options}"))
            .ok()
    };
    let brief = explain("--brief");
    assert!(
        !has_part(&brief, "notes") && has_part(&brief, "bars"),
        "{brief}"
    );
    let few = explain("--bars 3-4");
    assert!(few.contains("\n3.1 ") && few.contains("\n4.4 "), "{few}");
    assert!(!few.contains("\n2.4 ") && !few.contains("\n5.1 "), "{few}");
    let plan = "plan  wished → as the line came out";
    assert!(explain("").contains(plan) && !explain("--no-plan").contains(plan));
    let reasons = explain("--reasons");
    assert!(reasons.len() > explain("").len() + 1000, "{reasons}");
}

#[test]
fn a_line_is_explained_alike_from_every_format() {
    let folder = Folder::new();
    let mut told: Vec<(Value, Value)> = Vec::new();
    for format in LINE_FORMATS {
        folder
            .line(&format!("compose blues.chart --seed 5 -o take.{format}"))
            .ok();
        folder
            .line(&format!(
                "explain take.{format} --chart blues.chart -o told-{format}.json"
            ))
            .ok();
        let explained = folder.json(&format!("told-{format}.json"));
        assert_eq!(explained["format"], "linewright explanation");
        assert_eq!(explained["plan"], "drawn", "{format}");
        assert_eq!(
            explained["remarks"].as_array().map(Vec::len),
            Some(0),
            "{format}"
        );
        told.push((
            explained["line"]["notes"].clone(),
            explained["cadences"].clone(),
        ));
    }
    folder.line("compose blues.chart --seed 5 -o own.json").ok();
    assert_eq!(told[0].0, folder.json("own.json")["notes"]);
    for (format, other) in LINE_FORMATS.iter().zip(&told) {
        assert_eq!(*other, told[0], "{format}");
    }
}

#[test]
fn a_composed_line_is_read_under_its_own_plan_unless_told_otherwise() {
    let folder = Folder::new();
    folder
        .line(
            "compose blues.chart --style closing-four --key Bb --choruses 2 -o own.json -o own.mid",
        )
        .ok();
    folder
        .line("explain own.mid --chart blues.chart -o drawn.json")
        .ok();
    folder
        .line("explain own.mid --chart blues.chart --infer -o inferred.json")
        .ok();
    let (own, drawn) = (folder.json("own.json"), folder.json("drawn.json"));
    for key in ["score_millipoints", "key", "choruses", "bars", "findings"] {
        assert_eq!(drawn["line"][key], own[key], "{key}");
    }
    assert_eq!(folder.json("inferred.json")["plan"], "inferred");
    assert_eq!(
        folder.json("inferred.json")["line"]["notes"][5]["midi"],
        own["notes"][5]["midi"]
    );
}

#[test]
fn an_explanation_goes_to_every_format_at_once() {
    let folder = Folder::with_lines();
    let names = [
        "e.txt",
        "e.json",
        "e.mid",
        "e.musicxml",
        "e.mxl",
        "e.abc",
        "e.svg",
        "e.pdf",
        "e.png",
    ];
    let outputs: Vec<String> = names.iter().map(|name| format!("-o {name}")).collect();
    let command = format!("explain line.txt --chart blues.chart {}", outputs.join(" "));
    let page = folder.line(&command).ok();
    assert_eq!(folder.read("e.txt"), page.into_bytes());
    for (name, head) in [
        ("e.mid", b"MThd".as_slice()),
        ("e.musicxml", b"<?xml"),
        ("e.mxl", b"PK"),
        ("e.abc", b"%abc"),
        ("e.svg", b"<svg"),
        ("e.pdf", b"%PDF"),
        ("e.png", b"\x89PNG"),
    ] {
        assert!(folder.read(name).starts_with(head), "{name}");
    }
    // What was written is a line again, and the same one.
    for name in ["e.mid", "e.musicxml", "e.mxl", "e.abc"] {
        let again = folder
            .run([
                "explain",
                name,
                "--chart",
                "blues.chart",
                "--brief",
                "--no-plan",
            ])
            .ok();
        assert!(again.contains("F1   A1   C2   A1"), "{name}: {again}");
    }
}

#[test]
fn a_staff_page_is_labelled_unless_something_else_is_asked_for() {
    let folder = Folder::with_lines();
    let explain = "explain line.txt --chart blues.chart";
    let rows = |options: &str, name: &str| -> Vec<usize> {
        folder.line(&format!("{explain} {options} -o {name}")).ok();
        let page = String::from_utf8(folder.read(name)).expect("text");
        let marks = |row: usize| {
            page.matches(&format!("class=\"under under-{row}\""))
                .count()
        };
        (1..=4).map(marks).collect()
    };
    let labelled = rows("", "labelled.svg");
    // Degrees under every note, functions and cadences under some.
    assert_eq!(labelled[0], 48, "{labelled:?}");
    assert!(labelled[1] > 0 && labelled[1] < 48, "{labelled:?}");
    assert_eq!(rows("--under degrees", "degrees.svg"), [48, 0, 0, 0]);
    assert_eq!(rows("--under nothing", "bare.svg"), [0; 4]);
    let cadences = rows("--under cadences", "cadences.svg");
    assert_eq!(cadences[0], labelled[3]);
    // Files of notation have no labels that nobody asked for.
    folder.line(&format!("{explain} -o e.musicxml")).ok();
    let file = String::from_utf8(folder.read("e.musicxml")).expect("text");
    assert!(!file.contains("<lyric"));
}

#[test]
fn a_line_is_read_from_the_standard_input() {
    let folder = Folder::with_lines();
    let piped = folder.fed("explain - --chart blues.chart", LINE.as_bytes());
    assert_eq!(
        piped.ok(),
        folder.line("explain line.txt --chart blues.chart").ok()
    );
    let said = folder
        .fed("explain - --chart blues.chart", b"| F1 H2 |\n")
        .fails(7);
    assert!(
        said.contains("standard input") && said.contains("1:6"),
        "{said}"
    );
}

#[test]
fn what_does_not_fit_the_chart_is_told_and_the_rest_explained() {
    let folder = Folder::new();
    let line = LINE.replace("student: Kim\n", "");
    let last = "| G1 Bb1 C2 E2 |\n";
    for (name, text, words) in [
        (
            "shorter",
            line.replace(last, "|\n"),
            "the line ends before bar 12",
        ),
        (
            "longer",
            line.replace(last, "| G1 Bb1 C2 E2 | F1 A1 C2 F2 |\n"),
            "the line goes on for 1 bar after the end of the chart",
        ),
        (
            "a bar too short",
            line.replace("| F2 Eb2 C2 A1 |", "| F2 Eb2 C2 |"),
            "bar 3: the line has 3 beats here, the chart 4",
        ),
        (
            "a bar too long",
            line.replace("| F2 Eb2 C2 A1 |", "| F2 Eb2 C2 A1 B1 |"),
            "bar 3: B1 lies beyond the end of the bar and was left out",
        ),
        (
            "another metre",
            "| F1 A1 C2 | Bb1 D2 F2 | F2 Eb2 C2 | C2 G1 F1 |\n".to_owned(),
            "the line's measures are not those of the chart",
        ),
    ] {
        folder.write("odd.txt", text);
        let page = folder.line("explain odd.txt --chart blues.chart").ok();
        let told = page.lines().filter(|row| row.starts_with("note: "));
        let told: Vec<&str> = told.collect();
        assert!(
            told.iter().any(|row| row.contains(words)),
            "{name}: {told:?}"
        );
        assert!(has_part(&page, "notes"), "{name}");
    }
}

#[test]
fn a_note_beyond_the_range_is_read_and_named_a_fault() {
    let folder = Folder::new();
    folder.write("low.txt", LINE.replace("F1 A1 C2 A1", "F1 C1 C2 A1"));
    let page = folder.line("explain low.txt --chart blues.chart").ok();
    assert!(page.contains("bar 1 beat 2 (out of range)"), "{page}");
    assert!(page.contains("\n1.2 ") && page.contains("C1"), "{page}");
}
