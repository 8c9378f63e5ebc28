//! Composing: which line, how it is played, what the page shows.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{BLUES, Folder};

fn json(folder: &Folder, arguments: &str) -> Value {
    folder
        .line(&format!(
            "compose blues.chart {arguments} -o line.json --force"
        ))
        .ok();
    serde_json::from_slice(&folder.read("line.json")).unwrap()
}

/// The rows of notes of all pages.
fn notes(page: &str) -> Vec<&str> {
    page.lines()
        .filter(|row| row.starts_with("notes"))
        .collect()
}

fn score(value: &Value) -> i64 {
    value["score_millipoints"].as_i64().unwrap()
}

#[test]
fn the_same_seed_gives_the_same_page_and_another_seed_other_notes() {
    let folder = Folder::new();
    let first = folder.line("compose blues.chart").ok();
    assert_eq!(folder.line("compose blues.chart --seed 1").ok(), first);
    let other = folder.line("compose blues.chart --seed 2").ok();
    assert_ne!(notes(&other), notes(&first));
}

#[test]
fn lines_do_not_depend_on_threads_nor_on_their_neighbours() {
    let folder = Folder::new();
    let one = folder
        .line("compose blues.chart --lines 5 --threads 1")
        .ok();
    for threads in [2, 3, 16] {
        let more = folder
            .line(&format!(
                "compose blues.chart --lines 5 --threads {threads}"
            ))
            .ok();
        assert_eq!(more, one, "{threads} threads");
    }
    let fourth = folder.line("compose blues.chart --nth 4").ok();
    assert!(one.contains(&fourth), "line 4 alone is line 4 of five");
}

#[test]
fn files_have_the_same_bytes_with_one_thread_and_with_two() {
    let folders = [1, 2].map(|threads| {
        let folder = Folder::new();
        let files = "-o a.mid -o a.txt -o a.json";
        folder
            .line(&format!(
                "compose blues.chart --lines 3 --threads {threads} {files}"
            ))
            .ok();
        folder
    });
    let names = folders[0].names();
    assert_eq!(names.len(), 10, "{names:?}");
    for name in names {
        assert!(
            folders[0].read(&name) == folders[1].read(&name),
            "{name} differs"
        );
    }
}

#[test]
fn the_best_line_scores_at_least_as_high_as_any_that_is_drawn() {
    let folder = Folder::new();
    let best = json(&folder, "--best");
    assert_eq!(best["made_by"]["choice"], "best");
    for temperature in ["0.3", "0.7", "3"] {
        let drawn = json(&folder, &format!("--bold {temperature}"));
        assert!(score(&drawn) <= score(&best), "at {temperature}");
    }
}

#[test]
fn ranked_lines_begin_with_the_best_and_fall() {
    let folder = Folder::new();
    let best = score(&json(&folder, "--best"));
    folder
        .line("compose blues.chart --ranked --lines 4 -o rank.json")
        .ok();
    let lines: Vec<Value> = (1..=4)
        .map(|n| serde_json::from_slice(&folder.read(&format!("rank-{n}.json"))).unwrap())
        .collect();
    let scores: Vec<i64> = lines.iter().map(score).collect();
    assert_eq!(scores[0], best);
    assert!(scores.is_sorted_by(|a, b| a >= b), "{scores:?}");
    assert!(
        lines
            .windows(2)
            .all(|pair| pair[0]["notes"] != pair[1]["notes"]),
        "each is another line"
    );
}

#[test]
fn no_note_leaves_the_range_that_is_asked_for() {
    let folder = Folder::new();
    let line = json(&folder, "--low A1 --high C3 --instrument bass-guitar");
    assert_eq!(line["instrument"]["program"], 34);
    let midi: Vec<u64> = line["notes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|note| note["midi"].as_u64().unwrap())
        .collect();
    assert_eq!(midi.len(), 48);
    assert!(midi.iter().all(|midi| (33..=48).contains(midi)), "{midi:?}");
}

#[test]
fn key_tempo_and_choruses_are_as_asked() {
    let folder = Folder::new();
    let line = json(&folder, "--key Bb --tempo 200 --choruses 2");
    assert_eq!(
        (&line["key"], &line["tempo_bpm"]),
        (&"Bb major".into(), &200.into())
    );
    let bars = line["bars"].as_array().unwrap();
    assert_eq!(bars.len(), 24);
    assert_eq!(bars[12]["chords"][0]["symbol"], "Bb7");
    assert_eq!(
        (&bars[12]["number"], &bars[12]["written"]),
        (&13.into(), &1.into())
    );
}

#[test]
fn a_chart_on_the_standard_input_gives_the_same_page_as_a_file() {
    let folder = Folder::new();
    let piped = folder.fed("compose - --reasons", BLUES.as_bytes()).ok();
    assert_eq!(piped, folder.line("compose blues.chart --reasons").ok());
}

#[test]
fn a_text_file_holds_the_page_that_is_printed_without_its_colours() {
    let folder = Folder::new();
    let printed = folder
        .line("compose blues.chart --reasons --bars 2-3 --width 60 -o page.txt")
        .ok();
    assert_eq!(String::from_utf8(folder.read("page.txt")).unwrap(), printed);
    let coloured = folder
        .line("compose blues.chart --reasons --bars 2-3 --width 60 -o colour.txt --colour always")
        .ok();
    assert!(coloured.contains('\u{1b}'));
    assert_eq!(folder.read("colour.txt"), folder.read("page.txt"));
}

#[test]
fn a_midi_file_is_one_and_its_metadata_say_what_it_was_made_from() {
    let folder = Folder::new();
    folder
        .line("compose blues.chart --seed 12345 -o line.mid")
        .ok();
    let bytes = folder.read("line.mid");
    assert!(bytes.starts_with(b"MThd"));
    let holds = |text: &str| {
        bytes
            .windows(text.len())
            .any(|window| window == text.as_bytes())
    };
    for text in [
        "Backyard blues",
        "style: plain",
        "seed: 12345",
        "line: 1",
        "Bdim7",
    ] {
        assert!(holds(text), "{text}");
    }
}

#[test]
fn picked_bars_are_counted_over_all_choruses_and_must_exist() {
    let folder = Folder::new();
    let page = folder
        .line("compose blues.chart --choruses 2 --bars 13-14")
        .ok();
    assert_eq!(notes(&page).len(), 1);
    assert_eq!(notes(&page)[0].matches('|').count(), 3);
    let said = folder.line("compose blues.chart --bars 13").fails(2);
    assert!(said.contains("bars 1 to 12"), "{said}");
}

#[test]
fn without_a_style_the_chart_tells_which_and_the_page_says_it() {
    let folder = Folder::new();
    for (header, style) in [
        ("feel: swing", "plain"),
        ("time: 3/4", "waltz"),
        ("feel: ballad, in two", "two-feel"),
        ("time: 3/4\nfeel: in two", "waltz"),
    ] {
        folder.write("form.chart", format!("{header}\n| C | Am7 | Dm7 | G7 |\n"));
        let page = folder.line("compose form.chart").ok();
        assert!(
            page.contains(&format!("\nstyle {style} · how bold: ")),
            "{header}: {page}"
        );
        assert_eq!(
            folder
                .line(&format!("compose form.chart --style {style}"))
                .ok(),
            page
        );
        let other = folder.line("compose form.chart --style grade-1").ok();
        assert!(
            other.contains("\nstyle grade-1 · how bold: "),
            "{header}: {other}"
        );
    }
    let help = folder.line("compose --help").ok();
    assert!(
        help.contains("waltz") && help.contains("two-feel"),
        "{help}"
    );
}

#[test]
fn every_shipped_style_composes_over_the_blues() {
    let folder = Folder::new();
    for row in folder.line("styles").ok().lines() {
        let style = row.split_whitespace().next().unwrap();
        let page = folder
            .line(&format!("compose blues.chart --style {style}"))
            .ok();
        assert!(
            page.contains(&format!("\nstyle {style} · how bold: ")),
            "{page}"
        );
    }
}

#[test]
fn every_example_chart_composes_and_lasts_as_long_as_it_is_played() {
    let charts = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let folder = Folder::new();
    let mut count = 0;
    for entry in fs::read_dir(charts).unwrap() {
        let path = entry.unwrap().path();
        if path
            .extension()
            .is_some_and(|extension| extension == "chart")
        {
            folder.write("blues.chart", fs::read(&path).unwrap());
            let line = json(&folder, "");
            let unrolled = folder.line("chart blues.chart --unroll").ok();
            let played = unrolled.lines().filter(|row| row.contains(':')).count();
            assert_eq!(
                line["bars"].as_array().map(Vec::len),
                Some(played),
                "{}",
                path.display()
            );
            count += 1;
        }
    }
    assert!(count >= 10, "{count} example charts");
}
