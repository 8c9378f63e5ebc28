//! Lines over forms with repeats, endings and jumps, as other people's players play our files:
//! the same notes at the same times as in our own MIDI. Lines that repeat as their chart does,
//! and lines that do not.

#[path = "support/forms.rs"]
mod forms;

use std::sync::Arc;

use linewright::notation::midi::TICKS_PER_QUARTER;
use linewright::render::{playback, score};
use linewright::study::Study;
use linewright::{Chart, Choice, Composer, Library, Line, Piece, Settings, Timeline, exporter};
use linewright_checkers::python;
use linewright_notation::{QUARTER, Score};
use linewright_workshop::shipped;
use serde_json::{Value, json};

/// What a checker script answers to these questions, a line each.
fn answers(script: &str, asked: &[Value]) -> Vec<Value> {
    let lines: String = asked.iter().map(|value| format!("{value}\n")).collect();
    let told: Vec<Value> = python()
        .and_then(|python| python.run(script, lines.as_bytes()))
        .unwrap_or_else(|e| panic!("{e}"))
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON value a line"))
        .collect();
    assert_eq!(told.len(), asked.len());
    told
}

fn bytes(piece: &dyn Piece, format: &str) -> Vec<u8> {
    let exporter = exporter(format, &Settings::default()).expect("a format");
    exporter.bytes(piece).expect("a file")
}

fn text(piece: &dyn Piece, format: &str) -> String {
    String::from_utf8(bytes(piece, format)).expect("a text")
}

fn composer(style: &str) -> Composer {
    Composer::new(Library::builtin().style(style).unwrap()).unwrap()
}

/// A line that somebody wrote over a form: in every pass of a bar the same notes.
fn alike(composer: &Composer, timeline: &Arc<Timeline>) -> Line {
    let line = unlike(composer, timeline, 1);
    let played = score(&line, &[]);
    let first = |written: usize| {
        let bars = timeline.bars.iter();
        let at = bars.map(|bar| bar.written).position(|w| w == written);
        at.map(|at| played.measures[at].events.clone())
    };
    let mut measures = played.measures.clone();
    for (measure, bar) in measures.iter_mut().zip(&timeline.bars) {
        measure.events = first(bar.written).expect("a bar that is played");
    }
    let given = Score { measures, ..played };
    Study::of(composer, timeline, &given, None).line
}

/// A line that is composed over the whole of a form.
fn unlike(composer: &Composer, timeline: &Arc<Timeline>, seed: u64) -> Line {
    let temperature = composer.style().temperature;
    let choice = Choice::Sampled { temperature };
    composer.compose(timeline, seed, 0, choice).expect("a line")
}

/// Every shipped form that plays a bar more than once.
fn shipped_forms() -> Vec<(String, Arc<Timeline>)> {
    let again = |timeline: &Timeline| timeline.bars.len() > timeline.page.len();
    let forms: Vec<_> = shipped::charts()
        .into_iter()
        .filter(|(_, timeline)| again(timeline))
        .collect();
    assert_eq!(forms.len(), 11);
    forms
}

/// Forms of all kinds, some of them in several choruses.
fn invented_forms() -> Vec<(String, Arc<Timeline>)> {
    let form = |seed: u64| {
        let text = forms::form(seed);
        let chart = Chart::parse("form", text.as_bytes()).expect("a form");
        let choruses = if seed.is_multiple_of(8) { 2 } else { 1 };
        let timeline = chart.unroll().unwrap().choruses(choruses).unwrap();
        (text, Arc::new(timeline))
    };
    (1000..1060).map(form).collect()
}

/// A line over every form that is alike each time, and over each `nth` one that is not.
fn lines(forms: Vec<(String, Arc<Timeline>)>, nth: usize) -> Vec<(String, Line)> {
    let composer = composer("plain");
    let mut lines = Vec::new();
    for (at, (name, timeline)) in forms.into_iter().enumerate() {
        lines.push((format!("{name}, alike"), alike(&composer, &timeline)));
        if at.is_multiple_of(nth) {
            lines.push((format!("{name}, unlike"), unlike(&composer, &timeline, 3)));
        }
    }
    lines
}

/// That two readers of MusicXML play each piece as its MIDI file has it; how many of the files
/// have repeats or jumps.
fn assert_played(pieces: &[(String, &dyn Piece)]) -> usize {
    let asked: Vec<Value> = pieces
        .iter()
        .map(|(_, piece)| {
            let midi = bytes(*piece, "mid");
            let hex: String = midi.iter().map(|byte| format!("{byte:02x}")).collect();
            json!({"midi": hex, "text": text(*piece, "musicxml")})
        })
        .collect();
    let told = answers("musicxml_playback.py", &asked);
    for (((name, piece), told), asked) in pieces.iter().zip(told).zip(&asked) {
        let notes: usize = piece.lines().iter().map(|l| l.reading.notes.len()).sum();
        assert_eq!(told["midi"].as_array().map(Vec::len), Some(notes), "{name}");
        for who in ["music21", "verovio"] {
            assert_eq!(told[who], told["midi"], "{who}: {name}\n{}", asked["text"]);
        }
    }
    let turns = |asked: &&Value| {
        let text = asked["text"].as_str().expect("a text");
        ["<repeat", "dacapo=", "dalsegno="]
            .iter()
            .any(|sign| text.contains(sign))
    };
    asked.iter().filter(turns).count()
}

/// That abc2midi plays each line as its MIDI file has it; how many of the tunes have repeats.
fn assert_played_as_abc(lines: &[(String, Line)]) -> usize {
    let asked: Vec<Value> = lines
        .iter()
        .map(|(_, line)| json!({"text": text(line, "abc")}))
        .collect();
    let told = answers("abc_playback.py", &asked);
    for (((name, line), told), asked) in lines.iter().zip(told).zip(&asked) {
        let part = playback::part(&[line], false);
        let notes: Value = part
            .notes
            .iter()
            .map(|note| json!([note.start * QUARTER / TICKS_PER_QUARTER, note.pitch]))
            .collect();
        assert_eq!(told, notes, "{name}\n{}", asked["text"]);
    }
    let turns = |asked: &&Value| {
        asked["text"]
            .as_str()
            .is_some_and(|text| text.contains(":|"))
    };
    asked.iter().filter(turns).count()
}

fn pieces(lines: &[(String, Line)]) -> Vec<(String, &dyn Piece)> {
    let mut pieces: Vec<(String, &dyn Piece)> = Vec::new();
    for (name, line) in lines {
        pieces.push((name.clone(), line));
    }
    pieces
}

#[test]
fn shipped_forms_are_played_as_our_midi_is() {
    let lines = lines(shipped_forms(), 1);
    // One of eleven has endings and a jump; the lines that are composed through repeat nothing.
    assert_eq!(assert_played(&pieces(&lines)), 10);
    // One more has a jump.
    assert_eq!(assert_played_as_abc(&lines), 9);
}

#[test]
fn invented_forms_are_played_as_our_midi_is() {
    let lines = lines(invented_forms(), 10);
    let signed = assert_played(&pieces(&lines));
    assert!(signed > 20, "{signed}");
    let signed = assert_played_as_abc(&lines);
    // Counts above two and jumps are written out.
    assert!(signed > 8, "{signed}");
}

#[test]
fn lines_one_after_the_other_are_played_as_our_midi_is() {
    let composer = composer("plain");
    let line = |text: &str| {
        let chart = Chart::parse("form", text.as_bytes()).unwrap();
        alike(&composer, &Arc::new(chart.unroll().unwrap()))
    };
    let several = vec![
        line("C6 | A7 :| Dm7 | G7"),
        line("C6 | A7 |1. Dm7 :|2. G7"),
        line("pickup: 1\nG7 | C6 | A7 :| G7"),
        line("C6 | (segno) A7 | Dm7 (D.S.)"),
    ];
    let turning = assert_played(&[("four lines".to_owned(), &several)]);
    assert_eq!(turning, 1);
}

#[test]
fn what_is_kept_is_as_the_chart_has_it() {
    let composer = composer("plain");
    let of = |name: &str, format: &str| {
        let forms = shipped_forms();
        let form = forms.iter().find(|(form, _)| form == name).expect("a form");
        text(&alike(&composer, &form.1), format)
    };
    let form = of("coda-form", "musicxml");
    for sign in [
        "<sound segno=\"segno\"/>",
        "<sound tocoda=\"coda\"/>",
        "<sound coda=\"coda\"/>",
        "<sound dalsegno=\"segno\"/>",
        "<words>D.S. al Coda</words>",
    ] {
        assert_eq!(form.matches(sign).count(), 1, "{sign}");
    }
    assert_eq!(form.matches("<measure ").count(), 25);
    let form = of("waltz", "musicxml");
    for sign in [
        "number=\"1\" type=\"stop\"",
        "number=\"2\" type=\"discontinue\"",
    ] {
        assert_eq!(form.matches(sign).count(), 1, "{sign}");
    }
    assert_eq!(form.matches("<measure ").count(), 20);
    assert_eq!(of("waltz", "abc").matches(":|").count(), 1);
    let form = of("coda-form", "abc");
    assert!(!form.contains(":|") && !form.contains('!'), "{form}");
    assert_eq!(of("coda-form", "svg").matches("D.S. al Coda").count(), 1);
    assert_eq!(of("da-capo-form", "svg").matches("D.C. al Fine").count(), 1);
}
