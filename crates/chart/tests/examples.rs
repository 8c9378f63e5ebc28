//! The charts in `examples/` read, tell what a player needs, and have the form
//! that their first line names.

use std::fs;
use std::path::{Path, PathBuf};

use linewright_chart::Chart;

/// Name, bars as written without a pick-up, bars as played with it.
const FORMS: [(&str, usize, usize); 22] = [
    ("altered-dominants", 16, 16),
    ("ballad-in-two", 26, 32),
    ("blues-in-f", 12, 12),
    ("breaks", 12, 12),
    ("coda-form", 25, 32),
    ("da-capo-form", 18, 32),
    ("five-four", 18, 24),
    ("jazz-blues", 12, 12),
    ("long-vamp", 8, 8),
    ("minor-blues", 12, 12),
    ("minor-song", 25, 32),
    ("minor-two-fives", 16, 16),
    ("modal", 32, 32),
    ("pickup-and-metres", 26, 33),
    ("rhythm-form", 26, 32),
    ("six-and-seven", 8, 12),
    ("slash-chords", 16, 16),
    ("standard-aaba", 26, 32),
    ("turnarounds", 16, 16),
    ("two-chords-a-bar", 26, 32),
    ("two-five-ones", 48, 48),
    ("waltz", 20, 32),
];

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples")
}

fn text(name: &str) -> String {
    let path = folder().join(format!("{name}.chart"));
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn chart(name: &str) -> Chart {
    Chart::parse(name, text(name).as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
}

#[test]
fn every_chart_in_the_folder_is_in_the_list() {
    let mut found: Vec<String> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|end| end == "chart"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    found.sort();
    assert_eq!(found, FORMS.map(|(name, ..)| name));
}

#[test]
fn every_example_tells_title_key_and_tempo_and_has_its_form() {
    for (name, written, played) in FORMS {
        let chart = chart(name);
        assert_ne!(chart.title(), "Untitled", "{name}");
        assert!(chart.tells_key() && chart.tempo().is_some(), "{name}");
        assert_eq!(chart.bars().last().unwrap().number, written, "{name}");
        assert_eq!(chart.unroll().unwrap().bars.len(), played, "{name}");
    }
}

#[test]
fn every_example_prints_a_chart_that_reads_the_same() {
    for (name, ..) in FORMS {
        let chart = chart(name);
        let printed = chart.to_string();
        let again = Chart::parse(name, printed.as_bytes());
        assert_eq!(again.unwrap_or_else(|faults| panic!("{faults}")), chart);
    }
}

#[test]
fn the_key_of_an_example_is_inferred_from_its_chords_as_it_is_told() {
    for (name, ..) in FORMS {
        // Charts that change key on the way have no one key to find.
        let text = text(name);
        if text.contains("(key:") {
            continue;
        }
        let untold: String = text
            .lines()
            .filter(|line| !line.starts_with("key:"))
            .flat_map(|line| [line, "\n"])
            .collect();
        let inferred = Chart::parse(name, untold.as_bytes()).unwrap().key();
        assert_eq!(inferred, chart(name).key(), "{name}");
    }
}

#[test]
fn the_coda_form_leaves_for_the_coda_on_the_way_back() {
    let timeline = chart("coda-form").unroll().unwrap();
    let played: Vec<usize> = timeline.bars.iter().map(|bar| bar.written).collect();
    let expected: Vec<usize> = (1..=20).chain(5..=11).chain(21..=25).collect();
    assert_eq!(played, expected);
}
