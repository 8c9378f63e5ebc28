//! Composed lines as other people's software finds them: the MIDI file read by mido and by
//! music21, the page read by its documented format, the labels judged by music21's chords and
//! intervals.
//!
//! Every chart and every style takes part, each style with every fourth chart; with
//! `LINEWRIGHT_MORE_LINES=1` in the environment, with every chart.

#[path = "support/expected.rs"]
mod expected;
#[path = "support/labelled.rs"]
mod labelled;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use linewright::{Line, Settings, exporter};
use linewright_checkers::python;
use serde_json::{Value, json};

use expected::{notes_of_line, notes_of_page, signs};
use labelled::labelled;
use linewright_workshop::shipped::{charts, compose, composers, pairs};

/// A line with its files.
struct Made {
    line: Line,
    midi: Vec<u8>,
    page: String,
    name: String,
}

static MADE: LazyLock<Vec<Made>> = LazyLock::new(|| {
    let (charts, composers) = (charts(), composers());
    let nth = std::env::var_os("LINEWRIGHT_MORE_LINES").map_or(4, |_| 1);
    let wanted = pairs(&composers, &charts, nth, 5..=5);
    let bytes = |line: &Line, extension| {
        let exporter = exporter(extension, &Settings::default()).expect("a known extension");
        exporter.bytes(line).unwrap_or_else(|e| panic!("{e}"))
    };
    let made = compose(&wanted, 2, |lines| Made {
        midi: bytes(&lines[0], "mid"),
        page: String::from_utf8(bytes(&lines[0], "txt")).expect("a page of UTF-8"),
        name: {
            let line = &lines[0];
            format!(
                "{} in {}, seed {}",
                line.timeline.title, line.style.name, line.origin.seed
            )
        },
        line: lines[0].clone(),
    });
    let notes: usize = made.iter().map(|m| m.line.reading.notes.len()).sum();
    assert!(notes >= 2000, "only {notes} notes in {} lines", made.len());
    made
});

/// What a script answers, one line of JSON for each of `asked`.
fn told(script: &str, asked: impl Iterator<Item = Value>) -> Vec<Value> {
    let asked: String = asked.map(|row| format!("{row}\n")).collect();
    let answers: Vec<Value> = python()
        .and_then(|python| python.run(script, asked.as_bytes()))
        .unwrap_or_else(|e| panic!("{e}"))
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect();
    assert_eq!(answers.len(), asked.lines().count());
    answers
}

/// What a script tells of each MIDI file.
fn told_of_files(script: &str) -> Vec<Value> {
    told(
        script,
        MADE.iter().map(|made| {
            let hex: String = made.midi.iter().map(|b| format!("{b:02x}")).collect();
            json!({ "bytes": hex })
        }),
    )
}

static MIDO: LazyLock<Vec<Value>> = LazyLock::new(|| told_of_files("midi_mido.py"));

/// The notes that a reader tells, against those of the line: the same starts and pitches, none
/// longer than written, so that no two overlap.
fn assert_notes(told: &Value, made: &Made, written: &[(u32, u8, u32)]) {
    let told = told.as_array().expect("a list of notes");
    assert_eq!(told.len(), written.len(), "{}", made.name);
    for (told, &(start, pitch, length)) in told.iter().zip(written) {
        let sounds = told[1].as_u64().expect("a length");
        assert_eq!(
            (&told[0], &told[2]),
            (&json!(start), &json!(pitch)),
            "{}",
            made.name
        );
        assert!(
            sounds >= 1 && sounds <= u64::from(length),
            "{}: {told}",
            made.name
        );
    }
    for pair in written.windows(2) {
        assert!(
            pair[0].0 + pair[0].2 <= pair[1].0,
            "{}: {pair:?} overlap",
            made.name
        );
    }
}

/// mido: messages and their times.
#[test]
fn mido_reads_every_note_and_sign_of_the_line_at_its_tick() {
    for (made, told) in MADE.iter().zip(&*MIDO) {
        let (name, signs) = (&made.name, signs(&made.line));
        assert_eq!(told["metres"], json!(signs.metres), "{name}");
        assert_eq!(told["keys"], json!(signs.keys), "{name}");
        assert_eq!(told["markers"], json!(signs.markers), "{name}");
        let program = made.line.style.instrument.program - 1;
        assert_eq!(told["programs"], json!([[1, 0, program]]), "{name}");
        let end = signs.bars.last().expect("an end");
        assert_eq!(told["ends"], json!([end, end]), "{name}");
        let tempos: Vec<Value> = signs
            .tempos
            .iter()
            .map(|&(at, bpm)| json!([at, (120_000_000 / u32::from(bpm)).div_ceil(2)]))
            .collect();
        assert_eq!(told["tempos"], json!(tempos), "{name}");
        let texts = told["texts"].to_string();
        for said in [
            format!("style: {}", made.line.style.name),
            format!("seed: {}", made.line.origin.seed),
        ] {
            assert!(texts.contains(&said), "{name}: no `{said}` in {texts}");
        }
        assert_eq!(told["notes"][0], json!([]), "{name}");
        assert_notes(
            &told["notes"][1],
            made,
            &notes_of_line(&made.line, &signs.bars),
        );
    }
}

/// mido, and the format that the page documents.
#[test]
fn the_page_and_the_midi_file_say_the_same_notes() {
    for (made, told) in MADE.iter().zip(&*MIDO) {
        let (notes, length) = notes_of_page(&made.page);
        assert_eq!(
            told["ends"][1],
            json!(length),
            "{}:\n{}",
            made.name,
            made.page
        );
        assert_notes(&told["notes"][1], made, &notes);
    }
}

/// music21: the score that it makes of the file.
#[test]
fn music21_makes_a_score_with_the_lines_pitches_at_their_offsets() {
    for (made, told) in MADE.iter().zip(told_of_files("midi_music21.py")) {
        let signs = signs(&made.line);
        assert_notes(
            &told["notes"],
            made,
            &notes_of_line(&made.line, &signs.bars),
        );
        assert_eq!(told["metres"], json!(signs.metres), "{}", made.name);
        assert_eq!(told["keys"], json!(signs.keys), "{}", made.name);
    }
}

/// music21: `harmony.ChordSymbol` of kind and degrees, `interval.Interval` of the notes as they
/// are spelled; what a function means is common practice, no source.
#[test]
fn every_label_is_true_of_music21s_chords_and_intervals() {
    let mut wrong = Vec::new();
    let mut checked: BTreeMap<String, u64> = BTreeMap::new();
    let asked = MADE.iter().map(|made| labelled(&made.line));
    for (made, told) in MADE.iter().zip(told("line_labels.py", asked)) {
        for (function, count) in told["checked"].as_object().expect("counts") {
            *checked.entry(function.clone()).or_default() += count.as_u64().expect("a count");
        }
        for fault in told["faults"].as_array().expect("a list") {
            let at = fault[0].as_u64().expect("a note") as usize;
            let bar = made.line.plan.slots[at].bar;
            wrong.push(format!(
                "{}, bar {bar} (from 0), note {at}: {}",
                made.name, fault[1]
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} faults:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    for function in linewright::RULES
        .iter()
        .filter_map(|rule| rule.label.function())
    {
        assert!(
            checked.contains_key(function.long),
            "no {} in {checked:?}",
            function.long
        );
    }
}
