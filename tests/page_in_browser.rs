//! The practice page in a real browser: it plays the right notes at the right times, the cursor
//! follows, loop, tempo, reasons and print work, and nothing is asked of the network.
//!
//! Needs Chromium, which not every machine has that can build and test the rest; so this runs
//! only when asked for, and then fails where there is none:
//! `cargo test -p linewright --test page_in_browser -- --ignored`. The gate installs Chromium
//! and asks for it.

use std::sync::Arc;

use linewright::{
    Chart, Choice, Composer, Fingers, Library, Line, Setting, Settings, Under, exporter,
};
use linewright_checkers::python;
use serde_json::{Value, json};

const CHART: &str = "title: Short <walk>\nkey: F\ntempo: 132\n| F7 | Bb7 | F7 Cm7 | C7 |\n";

fn line() -> Line {
    let chart = Chart::parse("walk", CHART.as_bytes()).unwrap();
    let timeline = Arc::new(Setting::default().timeline(&chart).unwrap());
    let composer = Composer::new(Library::builtin().style("plain").unwrap()).unwrap();
    composer.compose(&timeline, 3, 0, Choice::Best).unwrap()
}

fn played(line: &Line) -> Value {
    let settings = Settings {
        under: vec![Under::Degrees, Under::Fingering(Fingers::default())],
        ..Settings::default()
    };
    let page = exporter("html", &settings).unwrap().bytes(line).unwrap();
    let asked = json!({ "html": String::from_utf8(page).unwrap() });
    let python = python().unwrap_or_else(|e| panic!("{e}"));
    let told = python
        .run("page_chromium.py", format!("{asked}\n").as_bytes())
        .unwrap_or_else(|e| panic!("{e}"));
    serde_json::from_str(&told).unwrap()
}

/// When something began, and what.
#[derive(Debug)]
struct Start {
    when: f64,
    length: f64,
    /// The clock as it was scheduled.
    now: f64,
    /// 0 for a click.
    hertz: f64,
}

fn starts(told: &Value) -> Vec<Start> {
    let number = |value: &Value| value.as_f64().unwrap();
    let starts = told["starts"].as_array().unwrap().iter();
    starts
        .map(|start| Start {
            when: number(&start["when"]),
            length: number(&start["end"]) - number(&start["when"]),
            now: number(&start["now"]),
            hertz: number(&start["hertz"]),
        })
        .collect()
}

/// Clicks and notes.
fn parted(told: &Value) -> (Vec<Start>, Vec<Start>) {
    starts(told)
        .into_iter()
        .partition(|start| start.hertz == 0.0)
}

/// The places that the cursor stood on, as bar and beat.
fn cursor(told: &Value) -> Vec<(u64, u64)> {
    let seen = told["cursor"].as_array().unwrap().iter();
    seen.map(|seen| {
        let place = &seen["place"];
        (
            place[0].as_u64().unwrap(),
            place[1].as_u64().unwrap() / 6720,
        )
    })
    .collect()
}

fn wished_cursor(line: &Line) -> Vec<(u64, u64)> {
    let slots = line.plan.slots.iter();
    slots
        .map(|slot| (slot.bar as u64, slot.beat.into()))
        .collect()
}

/// How far a frequency lies from a key of equal temperament at A4 = 440 Hz (ISO 16), in cents.
fn cents(hertz: f64, midi: u8) -> f64 {
    1200.0 * (hertz / 440.0).log2() - 100.0 * (f64::from(midi) - 69.0)
}

fn assert_tuned(notes: &[Start], pitches: &[u8]) {
    assert_eq!(notes.len(), pitches.len());
    for (note, &midi) in notes.iter().zip(pitches) {
        let off = cents(note.hertz, midi);
        assert!(
            off.abs() < 8.0,
            "{midi}: {} Hz, {off} cents off",
            note.hertz
        );
    }
}

fn assert_gaps(starts: &[Start], gap: f64) {
    for pair in starts.windows(2) {
        let found = pair[1].when - pair[0].when;
        assert!((found - gap).abs() < 1e-6, "{found} and not {gap}");
    }
}

#[test]
#[ignore = "needs Chromium: see the top of the file"]
fn the_page_plays_shows_and_prints_the_line() {
    let line = line();
    let told = played(&line);
    let pitches: Vec<u8> = line.reading.notes.iter().map(|n| n.pitch.midi()).collect();
    assert_eq!(told["complaints"], json!([]));
    assert_eq!(told["notes"], json!(pitches.len()));
    assert_eq!(told["tab_stops"], json!(1));

    // Once through: a bar of count-in, then a click and a note on every beat.
    let (clicks, notes) = parted(&told["through"]);
    assert_eq!(clicks.len(), 4 + 16);
    assert_gaps(&clicks, 0.25);
    assert_gaps(&notes, 0.25);
    assert!((notes[0].when - clicks[4].when).abs() < 1e-6);
    assert_tuned(&notes, &pitches);
    for start in clicks.iter().chain(&notes) {
        // The count-in is scheduled as a whole.
        let ahead = start.when - start.now;
        assert!(ahead > 0.0 && ahead < 1.2, "{start:?}");
    }
    for note in &notes {
        assert!(note.length > 0.15 && note.length < 0.27, "{note:?}");
    }
    assert_eq!(cursor(&told["through"]), wished_cursor(&line));
    assert_follows(&told["through"], &notes);
    assert_eq!(told["cursor_left"], json!(0));
    assert_eq!(told["said"], "bar 1, F7");

    // The loop is the second bar over and over, with clicks on two and four.
    let (clicks, notes) = parted(&told["loop"]);
    assert_gaps(&notes, 0.25);
    let looped: Vec<u8> = pitches[4..8]
        .iter()
        .cycle()
        .take(notes.len())
        .copied()
        .collect();
    assert!(notes.len() >= 10);
    assert_tuned(&notes, &looped);
    assert_gaps(&clicks, 0.5);
    assert!((clicks[0].when - notes[1].when).abs() < 1e-6);
    let round: Vec<(u64, u64)> = (0..4).map(|beat| (1, beat)).cycle().take(10).collect();
    assert_eq!(cursor(&told["loop"])[..10], round);
    assert_eq!(told["stopped"], json!(true));
    assert_eq!(told["silent_after_stop"], json!(true));

    // A tempo that is changed while it plays: two paces, the quicker one to the end.
    let (_, notes) = parted(&told["faster"]);
    assert_tuned(&notes, &pitches);
    let gaps: Vec<f64> = notes
        .windows(2)
        .map(|pair| pair[1].when - pair[0].when)
        .collect();
    let is = |gap: f64| move |found: &&f64| (**found - gap).abs() < 1e-6;
    let slow = gaps.iter().take_while(is(0.5)).count();
    let quick = gaps.iter().rev().take_while(is(0.2)).count();
    assert!(
        slow >= 2 && quick >= 8 && slow + quick == gaps.len(),
        "{gaps:?}"
    );
    assert_eq!(cursor(&told["faster"]), wished_cursor(&line));

    assert_reasons(&line, &told);
    assert_eq!(told["print_shows_controls"], json!(false));
    assert_eq!(told["pdf_pages"], json!(1));
    let phone = &told["phone"];
    assert_eq!(
        (&phone["wide"], &phone["narrow"]),
        (&json!(false), &json!(true))
    );
    assert!(phone["overflow"].as_i64().unwrap() <= 0, "{phone}");
    assert_eq!(phone["ground"], "rgb(22, 24, 28)");
}

/// The cursor comes to each note when it sounds by the audio clock, and not before; some frames
/// later on a machine that is busy.
fn assert_follows(told: &Value, notes: &[Start]) {
    for (seen, note) in told["cursor"].as_array().unwrap().iter().zip(notes) {
        let late = seen["clock"].as_f64().unwrap() - note.when;
        assert!((0.0..0.5).contains(&late), "{late} seconds late");
    }
}

/// Notes tell their reasons, chosen by key or by pointer.
fn assert_reasons(line: &Line, told: &Value) {
    let text = |name: &str| told[name].as_str().unwrap().to_owned();
    let notes = &line.reading.notes;
    for (name, nth) in [("first_note", 0), ("second_note", 1)] {
        let panel = text(name);
        let beat = format!("bar 1, beat {}", nth + 1);
        for wanted in [
            notes[nth].note.to_string(),
            beat,
            notes[nth].degree.to_string(),
        ] {
            assert!(panel.contains(&wanted), "{wanted} in {panel}");
        }
        assert!(panel.contains("F7") && panel.contains(" to "), "{panel}");
    }
    assert!(text("focused").contains("bar 1, beat 2"));
    assert!(text("next_bar").starts_with("bar 2, beat 1"));
    let heard = starts(&json!({ "starts": told["heard"] }));
    assert_tuned(&heard, &[notes[0].pitch.midi()]);
}
