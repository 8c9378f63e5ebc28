//! Reading back what was written: a line as JSON → a part as written.

use std::borrow::Cow;
use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostics, Place, clean::one_line};
use linewright_notation::{Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature};
use serde::Deserialize;

use super::FORMAT;

/// Most bars of a line that is read.
const MOST_BARS: usize = 4096;

/// Most beats of a bar that is read.
const MOST_BEATS: u8 = 32;

/// What is known of an object at first sight: what it is, and in one that tells something of a
/// line, the line.
#[derive(Deserialize)]
struct Around {
    format: String,
    line: Option<Object>,
}

#[derive(Deserialize)]
struct Object {
    format: String,
    made_by: MadeBy,
    title: String,
    key: String,
    tempo: u16,
    choruses: usize,
    instrument: Instrument,
    range: Range,
    bars: Vec<Bar>,
    notes: Vec<Note>,
    /// Older files have none: all that is written are the notes.
    written: Option<Vec<Written>>,
}

#[derive(Deserialize)]
struct MadeBy {
    style: String,
    style_hash: String,
    seed: u64,
    line: u64,
    choice: String,
}

#[derive(Deserialize)]
struct Instrument {
    name: String,
    program: u8,
}

#[derive(Deserialize)]
struct Range {
    low: String,
    high: String,
}

#[derive(Deserialize)]
struct Bar {
    number: usize,
    section: Option<String>,
    metre: String,
    beats: u8,
    key: String,
    tempo: u16,
    chords: Vec<Chord>,
}

#[derive(Deserialize)]
struct Chord {
    beat: u8,
    symbol: String,
}

#[derive(Deserialize)]
struct Note {
    bar: usize,
    beat: u8,
    beats: u8,
    name: String,
}

#[derive(Clone, Deserialize)]
struct Written {
    bar: usize,
    at_ticks: Ticks,
    ticks: Ticks,
    name: Option<String>,
    tied: bool,
    ghost: bool,
}

impl Note {
    /// As it is written, where only the notes are told.
    fn written(&self) -> Written {
        Written {
            bar: self.bar,
            at_ticks: ticks(self.beat.saturating_sub(1)),
            ticks: ticks(self.beats),
            name: Some(self.name.clone()),
            tied: false,
            ghost: false,
        }
    }
}

/// Ticks of so many beats.
fn ticks(beats: u8) -> Ticks {
    Ticks::from(beats.min(MOST_BEATS)) * QUARTER
}

/// Reads the lines of a JSON text that [`super::text`] wrote, and those that it wrote with what
/// they do or what they are worth.
///
/// # Errors
/// A text that is no JSON, or not that of a line; with its line and column where it is known.
pub fn read(bytes: &[u8]) -> Result<(Vec<Score>, Diagnostics), Diagnostics> {
    let hint = "give a file that `compose`, `explain` or `mark` wrote with the ending .json";
    // Told apart by hand: so nothing is kept that a line does not have.
    let many = bytes.trim_ascii_start().starts_with(b"[");
    let objects = if many {
        serde_json::from_slice::<Vec<Around>>(bytes)
    } else {
        serde_json::from_slice::<Around>(bytes).map(|one| vec![one])
    }
    .and_then(
        |around| match around.iter().all(|one| one.format == FORMAT) {
            true if many => serde_json::from_slice::<Vec<Object>>(bytes),
            true => serde_json::from_slice::<Object>(bytes).map(|object| vec![object]),
            false => Ok(around.into_iter().filter_map(|one| one.line).collect()),
        },
    );
    let objects = objects.map_err(|error| {
        let place = match (error.line(), error.column()) {
            (0, _) => Place::Whole,
            (line, 0) => Place::Line(line),
            (line, column) => Place::column(line, column),
        };
        Diagnostics::one(place, "this is not the JSON of a line", hint)
    })?;
    let mut problems = Diagnostics::default();
    let is_line = |object: &Object| object.format == FORMAT && !object.bars.is_empty();
    if objects.is_empty() || !objects.iter().all(is_line) {
        return Err(Diagnostics::one(
            Place::Whole,
            "the JSON holds no line",
            hint,
        ));
    }
    if objects.iter().any(|object| object.bars.len() > MOST_BARS) {
        let message = format!("a line of more than {MOST_BARS} bars is not read");
        return Err(Diagnostics::one(
            Place::Whole,
            message,
            "give a shorter line",
        ));
    }
    let scores = objects
        .iter()
        .map(|object| score(object, &mut problems))
        .collect();
    Ok((scores, problems))
}

fn score(object: &Object, problems: &mut Diagnostics) -> Score {
    let mut written: BTreeMap<usize, Vec<Cow<'_, Written>>> = BTreeMap::new();
    match &object.written {
        Some(all) => {
            for event in all {
                written
                    .entry(event.bar)
                    .or_default()
                    .push(Cow::Borrowed(event));
            }
        }
        None => {
            for note in &object.notes {
                let event = Cow::Owned(note.written());
                written.entry(note.bar).or_default().push(event);
            }
        }
    }
    let mut before: Option<&Bar> = None;
    let mut measures = Vec::with_capacity(object.bars.len());
    for bar in &object.bars {
        let events = written.remove(&bar.number).unwrap_or_default();
        measures.push(measure(bar, &events, before, problems));
        before = Some(bar);
    }
    Score {
        title: Some(one_line(&object.title)),
        feel: None,
        about: facts(object),
        measures,
        ..Score::default()
    }
}

fn measure(
    bar: &Bar,
    events: &[Cow<'_, Written>],
    before: Option<&Bar>,
    problems: &mut Diagnostics,
) -> Measure {
    let beats = bar.beats.clamp(1, MOST_BEATS);
    let mut measure = Measure::new(ticks(beats));
    let mut tell = |message: String, hint: &str| {
        let place = Place::Measure(bar.number);
        problems.remark(place, message, hint);
    };
    if beats != bar.beats {
        tell(
            format!("a bar of {} beats is read as one of {beats}", bar.beats),
            "give a bar 1 to 32 beats",
        );
    }
    measure.pickup = before.is_none() && bar.number == 0;
    if before.is_none_or(|before| before.metre != bar.metre) {
        measure.time = time(&bar.metre);
        if measure.time.is_none() {
            tell(
                format!("the metre {:?} is none", one_line(&bar.metre)),
                "write a metre such as 4/4",
            );
            measure.time = before.is_none().then_some(TimeSignature { beats, unit: 4 });
        }
    }
    if before.is_none_or(|before| before.key != bar.key) {
        measure.key = bar.key.parse().ok();
    }
    if before.is_none_or(|before| before.tempo != bar.tempo) {
        measure.tempo = Some(bar.tempo).filter(|tempo| *tempo > 0);
    }
    measure.section = bar.section.as_deref().map(one_line);
    for chord in &bar.chords {
        let symbol = match (chord.symbol.as_str(), chord.symbol.parse()) {
            ("N.C.", _) => Symbol::NoChord,
            (_, Ok(read)) => Symbol::Chord(read),
            (text, Err(_)) => Symbol::Unread(one_line(text)),
        };
        let at = ticks(chord.beat.saturating_sub(1));
        if at < measure.ticks {
            measure.symbols.push(SymbolAt { at, symbol });
        } else {
            tell(
                format!("the chord on beat {} lies beyond the bar", chord.beat),
                "put it on a beat of its bar",
            );
        }
    }
    measure.symbols.sort_by_key(|symbol| symbol.at);
    let mut end = 0;
    for written in events {
        let beat = written.at_ticks / QUARTER + 1;
        let (at, room) = (
            written.at_ticks,
            measure.ticks.saturating_sub(written.at_ticks),
        );
        let length = written.ticks.min(room);
        let read = written
            .name
            .as_deref()
            .map(str::parse::<linewright_theory::Note>);
        if at < end || length == 0 {
            tell(
                format!("the note on beat {beat} lies in another note or beyond the bar"),
                "give every note its own beats",
            );
            continue;
        }
        match read.transpose() {
            Ok(note) => {
                measure.events.push(Event {
                    note,
                    tied: note.is_some() && written.tied,
                    ghost: note.is_some() && written.ghost,
                    ..Event::rest(at, length)
                });
                end = at + length;
            }
            Err(_) => tell(
                format!("the note on beat {beat} has no name that can be read"),
                "write a name such as Bb1",
            ),
        }
    }
    measure
}

fn time(metre: &str) -> Option<TimeSignature> {
    let (beats, unit) = metre.split_once('/')?;
    let time = TimeSignature {
        beats: beats.parse().ok()?,
        unit: unit.parse().ok()?,
    };
    let whole = time.beats > 0 && time.unit.is_power_of_two() && time.unit <= 64;
    whole.then_some(time)
}

/// The facts by the names that [`crate::facts()`] gives them.
fn facts(object: &Object) -> Vec<(String, String)> {
    let made = &object.made_by;
    let mut facts = vec![
        ("style", made.style.clone()),
        ("style hash", made.style_hash.clone()),
        ("seed", made.seed.to_string()),
        ("line", made.line.to_string()),
        ("choice", made.choice.clone()),
        ("key", object.key.clone()),
        ("choruses", object.choruses.to_string()),
        ("low", object.range.low.clone()),
        ("high", object.range.high.clone()),
        ("instrument", object.instrument.name.clone()),
        ("program", object.instrument.program.to_string()),
    ];
    if object.bars.iter().all(|bar| bar.tempo == object.tempo) {
        facts.push(("tempo", object.tempo.to_string()));
    }
    facts
        .into_iter()
        .map(|(name, value)| (name.to_owned(), one_line(&value)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::text;
    use crate::score;
    use crate::test_lines::{BLUES, CHANGING, line};
    use proptest::prelude::*;

    #[test]
    fn what_was_written_comes_back_note_for_note() {
        for (chart, style) in [(BLUES, "plain"), (CHANGING, "plain"), (BLUES, "two-feel")] {
            let line = line(chart, style, 3);
            let (scores, problems) = read(text(std::slice::from_ref(&line)).as_bytes()).unwrap();
            assert!(problems.is_empty(), "{problems}");
            let notes = |score: &Score| -> Vec<(usize, Event)> {
                let measures = score.measures.iter().enumerate();
                measures
                    .flat_map(|(at, m)| m.events.iter().map(move |event| (at, event.clone())))
                    .filter(|(_, event)| event.note.is_some())
                    .collect()
            };
            assert_eq!(notes(&scores[0]), notes(&score(&line, &[])));
        }
    }

    #[test]
    fn several_lines_come_back_in_order() {
        let lines = [line(BLUES, "plain", 1), line(BLUES, "plain", 2)];
        let (scores, _) = read(text(&lines).as_bytes()).unwrap();
        let seeds: Vec<&str> = scores
            .iter()
            .map(|score| score.about[2].1.as_str())
            .collect();
        assert_eq!(seeds, ["1", "2"]);
    }

    #[test]
    fn other_json_and_no_json_are_refused_with_a_hint() {
        for bytes in [&b"{"[..], b"[]", b"{\"format\": 3}", b"\xff\xfe", b""] {
            let told = read(bytes).unwrap_err().to_string();
            assert!(told.contains("hint"), "{told}");
        }
    }

    #[test]
    fn what_no_bar_can_have_is_told_and_left_out() {
        let bar = r#"{"number":0,"section":"A\nB","metre":"0/4","beats":0,"key":"H","tempo":0,
            "chords":[{"beat":9,"symbol":"F7"},{"beat":1,"symbol":"x\ny"}]}"#;
        let text = |bars: &str| {
            format!(
                r#"{{"format":"{FORMAT}","made_by":{{"style":"a\nb","style_hash":"","seed":1,
                "line":1,"choice":""}},"title":"","key":"C","tempo":0,"choruses":1,
                "instrument":{{"name":"","program":1}},"range":{{"low":"","high":""}},
                "bars":[{bars}],"notes":[]}}"#
            )
        };
        assert!(read(text("").as_bytes()).is_err());
        let (scores, problems) = read(text(&format!("{bar},{bar}")).as_bytes()).unwrap();
        let [first, second] = &scores[0].measures[..] else {
            panic!("two bars: {scores:?}");
        };
        assert_eq!(first.time, Some(TimeSignature { beats: 1, unit: 4 }));
        assert_eq!((first.ticks, first.tempo), (QUARTER, None));
        assert_eq!(first.section.as_deref(), Some("A B"));
        assert_eq!(first.symbols.len(), 1);
        assert!(first.pickup && !second.pickup);
        assert_eq!(scores[0].about[0].1, "a b");
        let told = problems.to_string();
        for words in [
            "a bar of 0 beats",
            "the metre \"0/4\"",
            "the chord on beat 9",
        ] {
            assert!(told.contains(words), "{told}");
        }
    }

    proptest! {
        #[test]
        fn damaged_files_never_panic(at in 0_usize..20_000, byte in any::<u8>()) {
            let mut bytes = text(&[line(CHANGING, "plain", 5)]).into_bytes();
            let at = at % bytes.len();
            bytes[at] = byte;
            let _ = read(&bytes);
        }
    }
}
