//! What is written has the keys that the documentation says, and tells the line.

mod reading;

use super::*;
use crate::test_lines::{BLUES, CHANGING, line};
use serde_json::Value;

fn read(lines: &[Line]) -> Value {
    serde_json::from_str(&text(lines)).unwrap()
}

#[test]
fn the_points_of_all_findings_add_up_to_the_score() {
    let line = line(CHANGING, "plain", 5);
    let value = read(std::slice::from_ref(&line));
    let sum: i64 = value["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|f| f["millipoints"].as_i64())
        .sum();
    assert_eq!(sum, line.reading.score);
    assert_eq!(value["score_millipoints"], line.reading.score);
}

#[test]
fn a_bar_without_chords_has_no_notes_and_nothing_heard() {
    let value = read(&[line(CHANGING, "plain", 5)]);
    let bars = value["bars"].as_array().unwrap();
    let silent: Vec<&Value> = bars
        .iter()
        .filter(|bar| bar["chords"][0]["symbol"] == "N.C.")
        .collect();
    assert_eq!(silent.len(), 1);
    assert!(silent[0]["heard"].is_null());
    let notes = value["notes"].as_array().unwrap();
    assert!(notes.iter().all(|note| note["bar"] != silent[0]["number"]));
    assert_eq!(bars[0]["number"], 0, "the pick-up");
}

#[test]
fn every_note_is_there_in_order_with_its_place_and_sound() {
    let line = line(BLUES, "two-feel", 2);
    let value = read(std::slice::from_ref(&line));
    let notes = value["notes"].as_array().unwrap();
    assert_eq!(notes.len(), line.plan.slots.len());
    for (note, (slot, reading)) in notes
        .iter()
        .zip(line.plan.slots.iter().zip(&line.reading.notes))
    {
        assert_eq!(note["bar"], slot.bar + 1);
        assert_eq!(note["beat"], slot.beat + 1);
        assert_eq!(note["midi"], reading.pitch.midi());
        assert_eq!(note["name"], reading.note.to_string());
    }
}

#[test]
fn one_line_is_an_object_and_several_are_an_array() {
    let one = line(BLUES, "plain", 1);
    assert_eq!(read(std::slice::from_ref(&one))["format"], FORMAT);
    assert_eq!(read(std::slice::from_ref(&one))["version"], VERSION);
    let two = read(&[one.clone(), one]);
    assert_eq!(two.as_array().map(Vec::len), Some(2));
}

#[test]
fn keys_stand_in_the_documented_order() {
    let text = text(&[line(BLUES, "plain", 1)]);
    let keys = [
        "format",
        "version",
        "made_by",
        "title",
        "composer",
        "student",
        "key",
        "tempo_bpm",
        "choruses",
        "instrument",
        "range",
        "score_millipoints",
        "bars",
        "notes",
        "written",
        "findings",
    ];
    let places: Vec<Option<usize>> = keys
        .iter()
        .map(|key| text.find(&format!("\n  \"{key}\":")))
        .collect();
    assert!(
        places.iter().all(Option::is_some) && places.is_sorted(),
        "{places:?}"
    );
}

/// Every key with the keys above it; of a list, those of its first element.
fn keys(value: &Value, above: &str, found: &mut Vec<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                let path = format!("{above}.{key}");
                keys(value, &path, found);
                found.push(path);
            }
        }
        Value::Array(list) => list
            .iter()
            .take(1)
            .for_each(|value| keys(value, above, found)),
        _ => {}
    }
}

#[test]
fn the_example_in_the_documentation_has_exactly_the_keys_that_are_written() {
    let documentation: String = include_str!("../mod.rs")
        .lines()
        .map_while(|row| row.strip_prefix("//!"))
        .map(|row| format!("{row}\n"))
        .collect();
    let (_, example) = documentation.split_once("```json").unwrap();
    let (example, _) = example.split_once("```").unwrap();
    let (mut documented, mut written) = (Vec::new(), Vec::new());
    keys(&serde_json::from_str(example).unwrap(), "", &mut documented);
    keys(&read(&[line(BLUES, "plain", 1)]), "", &mut written);
    assert!(written.len() > 40, "{written:?}");
    assert_eq!(documented, written);
}
