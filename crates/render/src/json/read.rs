//! Reading back what was written: a line as JSON → a part as written.

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostics, Place, clean::one_line};
use linewright_notation::{Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature};
use serde::Deserialize;

use super::FORMAT;
use super::at_most::{MOST_BARS, MOST_BEATS, MOST_EVENTS};
use super::line::{Bar, Event as Written, LineText, Note};

/// Most bytes of a text that is read; with everything that is known of it, a bar of seven beats
/// takes 14 kB.
pub const MAX_BYTES: usize = MOST_BARS * (32 << 10);

/// Most bytes of a list of lines.
const MAX_LIST: usize = 16 << 20;

/// What is known of an object at first sight: what it is, and in one that tells something of a
/// line, the line.
#[derive(Deserialize)]
struct Around {
    format: String,
    line: Option<LineText>,
}

impl Note {
    /// As it is written, where only the notes are told.
    fn written(&self) -> Written {
        Written {
            bar: self.bar,
            at_ticks: ticks(self.beat.saturating_sub(1)),
            length_ticks: ticks(self.beats),
            name: Some(self.name.clone()),
            midi: self.midi,
            tied: false,
            ghost: false,
            role: "",
            note: None,
            between: None,
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
    let most = if many { MAX_LIST } else { MAX_BYTES };
    if bytes.len() > most {
        let message = format!(
            "the JSON has {} bytes, and at most {most} are read",
            bytes.len()
        );
        return Err(Diagnostics::one(
            Place::Whole,
            message,
            "give fewer lines or a shorter one",
        ));
    }
    let objects = if many {
        serde_json::from_slice::<Vec<Around>>(bytes)
    } else {
        serde_json::from_slice::<Around>(bytes).map(|one| vec![one])
    }
    .and_then(
        |around| match around.iter().all(|one| one.format == FORMAT) {
            true if many => serde_json::from_slice::<Vec<LineText>>(bytes),
            true => serde_json::from_slice::<LineText>(bytes).map(|object| vec![object]),
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
    let is_line = |object: &LineText| object.format == FORMAT && !object.bars.is_empty();
    if objects.is_empty() || !objects.iter().all(is_line) {
        return Err(Diagnostics::one(
            Place::Whole,
            "the JSON holds no line",
            hint,
        ));
    }
    let is_long = |object: &LineText| {
        let written = object.written.as_ref().map_or(0, Vec::len);
        object.bars.len() > MOST_BARS || object.notes.len().max(written) > MOST_EVENTS
    };
    if objects.iter().any(is_long) {
        let message =
            format!("a line of more than {MOST_BARS} bars or {MOST_EVENTS} notes is not read");
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

fn score(object: &LineText, problems: &mut Diagnostics) -> Score {
    let notes = object.notes.iter();
    let of_notes: Vec<Written>;
    let all = match &object.written {
        Some(all) => {
            for note in notes {
                if let Some(message) = at_odds(note.beat.into(), Some(&note.name), note.midi) {
                    let message = format!("in `notes`, {message}");
                    let hint = "make them agree; what stands in `written` counts";
                    problems.remark(Place::Measure(note.bar), message, hint);
                }
            }
            all
        }
        None => {
            of_notes = notes.map(Note::written).collect();
            &of_notes
        }
    };
    let mut written: BTreeMap<usize, Vec<&Written>> = BTreeMap::new();
    for event in all {
        written.entry(event.bar).or_default().push(event);
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
        composer: object.composer.as_deref().map(one_line),
        student: object.student.as_deref().map(one_line),
        feel: None,
        about: object
            .provenance()
            .map_or_else(Vec::new, |made| made.facts()),
        measures,
        ..Score::default()
    }
}

fn measure(
    bar: &Bar,
    events: &[&Written],
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
    if before.is_none_or(|before| before.tempo_bpm != bar.tempo_bpm) {
        measure.tempo = Some(bar.tempo_bpm).filter(|tempo| *tempo > 0);
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
        let length = written.length_ticks.min(room);
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
                if let Some(message) = at_odds(beat, written.name.as_deref(), written.midi) {
                    tell(message, "make them agree; the name counts");
                }
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

/// What is wrong where a name and a MIDI key number are not those of one pitch.
fn at_odds(beat: Ticks, name: Option<&str>, midi: Option<u8>) -> Option<String> {
    let midi = midi?;
    let note = name.and_then(|name| name.parse::<linewright_theory::Note>().ok());
    let pitch = note.and_then(|note| note.pitch());
    let name = name.map_or_else(|| "a rest".to_owned(), one_line);
    pitch
        .is_none_or(|pitch| pitch.midi() != midi)
        .then(|| format!("the note on beat {beat} is {name} by its name and {midi} by its midi"))
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
