//! The line as JSON: everything that is known of it, for other programs.
//!
//! One line is one object; several lines are an array of them. Keys always stand in the
//! same order.
//!
//! ```json
//! {
//!   "format": "linewright line",
//!   "version": 1,
//!   "made_by": {
//!     "program": "0.1.0", "style": "plain", "style_hash": "0123456789abcdef",
//!     "seed": 1, "line": 1,
//!     "choice": "sampled", "temperature_millipoints": 700, "place": null
//!   },
//!   "title": "Backyard blues", "key": "F major", "tempo": 140, "choruses": 1,
//!   "instrument": { "name": "double bass", "program": 33 },
//!   "range": { "low": "E1", "high": "G3" },
//!   "score_millipoints": 105300,
//!   "bars": [ {
//!     "number": 1, "written": 1, "section": "A", "metre": "4/4", "beats": 4,
//!     "key": "F major", "tempo": 140,
//!     "chords": [ { "beat": 1, "beats": 4, "symbol": "F7" } ],
//!     "plan": {
//!       "phrase": 1, "place": 1, "role": "statement", "tension": 150, "clarity": "clear",
//!       "cadence": null, "centre": 41, "shift": false
//!     },
//!     "heard": {
//!       "degrees": ["1", "3", "5", "#11"], "clarity_millinats": 2310, "tension": 130,
//!       "cadence": null
//!     }
//!   } ],
//!   "notes": [ {
//!     "bar": 1, "beat": 1, "beats": 1, "midi": 29, "name": "F1", "degree": "1",
//!     "functions": [ { "name": "chord tone", "from": null } ],
//!     "millipoints": 2800
//!   } ],
//!   "written": [ {
//!     "bar": 1, "at_ticks": 0, "ticks": 6720, "name": "F1", "midi": 29, "tied": false,
//!     "ghost": false, "role": "walk", "note": 1, "between": null
//!   } ],
//!   "findings": [ {
//!     "rule": "root-arrival", "bar": 1, "beat": 1, "strength": 1000, "millipoints": 2200
//!   } ]
//! }
//! ```
//!
//! Points are whole thousandths (`millipoints`), and those of all findings add up to
//! `score_millipoints`; a finding that the style forbids has `null`. `strength` and
//! `tension` are thousandths. Bars are numbered as played, from 1 (a pick-up bar is 0);
//! `written` is the bar's number on the page. Beats count from 1; a finding about a whole
//! bar has `"beat": null`. `line`, `phrase` and `place` count from 1 too. `program` of the
//! instrument is General MIDI, 1 to 128. `midi` and `centre` are MIDI key numbers as they
//! sound, 60 for middle C. `from` is `"below"`, `"above"` or `null`. `choice` is `"best"`,
//! `"sampled"` (with `temperature_millipoints`), or `"ranked"` (with its `place` among the
//! best lines under its plan, from 1), or `"given"` for a line that somebody else wrote (`seed`
//! and `line` then say nothing); what does not belong to the choice is `null`. `heard` is `null` in a bar
//! without notes.
//!
//! `notes` are the walk: the notes on the beats, which are judged. `written` is everything that
//! stands on the page, rests too, bar by bar as played, in ticks of which a quarter note has
//! 6720. `role` is `"walk"` (with the number of its `note`, from 1), `"pushed"` (the next beat's
//! note, early), `"held"` (tied from the note before), `"between"` (with the name of what it
//! does `between` the beats), `"no chord"` or `"rest"`; `tied` tells that it is held on.
//!
//! With the chart and the style, an object holds all that is needed to make its line again:
//! `made_by`, the `key` that the chart was moved to, how many `choruses`, the `instrument`,
//! the `range`, and the `tempo` at the beginning, which was set for the whole piece where
//! all bars have it. `style_hash` is that of the style with this instrument and range.
//!
//! [`json_schema`] says all this, and the same of every other text, as a JSON Schema.
//!
//! A later version may add keys; it counts `version` up when it changes what a key means.

mod class;
mod explained;
mod marked;
mod profiled;
mod read;
mod schema;
mod varied;

use linewright_compose::{Choice, Line, Role, Written};
use linewright_rulebook::plan::Slot;
use linewright_rulebook::{Finding, Function, Place};
use schemars::JsonSchema;
use serde::Serialize;

use crate::wording;

pub use class::class;
pub use explained::explained;
pub use marked::marked;
pub(crate) use profiled::{Plain, millibits, name as measure_name, plain};
pub use profiled::{compared, profiled};
pub use read::read;
pub use schema::json_schema;
pub use varied::{ordered, varied};

/// What the key `format` says.
pub const FORMAT: &str = "linewright line";

/// What the key `version` says.
pub const VERSION: u32 = 1;

/// The JSON text of some lines: an object for one line, an array for any other number.
/// Ends with a line break.
pub fn text(lines: &[Line]) -> String {
    let objects: Vec<Object> = lines.iter().map(Object::new).collect();
    match objects.as_slice() {
        [one] => pretty(one),
        many => pretty(many),
    }
}

fn pretty<T: Serialize + ?Sized>(value: &T) -> String {
    // Numbers, texts and lists in structs: there is nothing here that JSON cannot hold.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Line")]
struct Object<'a> {
    /// What this object is.
    #[schemars(extend("const" = FORMAT))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = VERSION))]
    version: u32,
    /// How the line was made.
    made_by: MadeBy<'a>,
    title: &'a str,
    key: String,
    /// Beats a minute.
    tempo: u16,
    choruses: usize,
    instrument: Instrument<'a>,
    range: Range,
    /// The sum of all findings, in thousandths of a point.
    score_millipoints: i64,
    /// All bars as played.
    bars: Vec<Bar<'a>>,
    /// The walk: all notes on beats, in order.
    notes: Vec<Note>,
    /// All that is written, in order: notes, what is tied to them, rests.
    written: Vec<Event>,
    /// What every rule found.
    findings: Vec<Found>,
}

#[derive(Serialize, JsonSchema)]
struct MadeBy<'a> {
    /// Version of the program.
    program: &'a str,
    style: &'a str,
    /// Of the style with this instrument and range: 16 digits, base 16.
    style_hash: String,
    seed: u64,
    /// The line's number within the seed, from 1.
    line: u64,
    /// `best`, `sampled`, `ranked`, or `given` for a line that somebody else wrote.
    choice: &'static str,
    /// Where the line was sampled.
    temperature_millipoints: Option<u32>,
    /// Where the line was ranked: its place among the best, from 1.
    place: Option<usize>,
}

#[derive(Serialize, JsonSchema)]
struct Instrument<'a> {
    name: &'a str,
    /// General MIDI, 1 to 128.
    program: u8,
}

#[derive(Serialize, JsonSchema)]
struct Range {
    low: String,
    high: String,
}

#[derive(Serialize, JsonSchema)]
struct Bar<'a> {
    /// As played, from 1; a pick-up bar is 0.
    number: usize,
    /// The bar's number on the page.
    written: usize,
    section: Option<&'a str>,
    metre: String,
    beats: u8,
    key: String,
    /// Beats a minute.
    tempo: u16,
    chords: Vec<Chord>,
    plan: BarPlan,
    /// What is heard in it; `null` where it has no notes.
    heard: Option<Heard>,
}

#[derive(Serialize, JsonSchema)]
struct Chord {
    beat: u8,
    beats: u8,
    /// Chord symbol, or `N.C.`
    symbol: String,
}

#[derive(Serialize, JsonSchema)]
struct BarPlan {
    phrase: usize,
    place: usize,
    role: String,
    /// Wished, in thousandths.
    tension: u16,
    clarity: String,
    cadence: Option<String>,
    /// Where the line should lie, a MIDI key number.
    centre: u8,
    /// Whether the line should change its register here.
    shift: bool,
}

#[derive(Serialize, JsonSchema)]
struct Heard {
    degrees: Vec<String>,
    /// How much better the notes tell this chord than its best rival, in thousandths of a nat.
    clarity_millinats: i32,
    /// In thousandths.
    tension: i32,
    cadence: Option<String>,
}

#[derive(Serialize, JsonSchema)]
struct Note {
    bar: usize,
    beat: u8,
    beats: u8,
    /// MIDI key number as it sounds, 60 for middle C.
    midi: u8,
    name: String,
    degree: String,
    /// Strongest first.
    functions: Vec<Named>,
    millipoints: i64,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "WrittenEvent")]
struct Event {
    /// As played, from 1; a pick-up bar is 0.
    bar: usize,
    /// Where in its bar it begins, in ticks: 6720 are a quarter note.
    at_ticks: u32,
    /// How long it is written, in ticks.
    ticks: u32,
    /// The note as it is written, with its octave as it sounds; `null` for a rest.
    name: Option<String>,
    /// MIDI key number as it sounds, 60 for middle C; `null` for a rest.
    midi: Option<u8>,
    /// Whether it is held on into the next note, of the same pitch.
    tied: bool,
    /// Whether it is a ghost (dead) note.
    ghost: bool,
    /// `walk`, `pushed`, `held`, `between`, `no chord` or `rest`.
    role: &'static str,
    /// The number of its note among `notes`, from 1, where it is one of the walk.
    note: Option<usize>,
    /// What it does between the beats.
    between: Option<&'static str>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Function")]
struct Named {
    name: &'static str,
    /// `below` or `above`, where the function has a direction.
    from: Option<&'static str>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Finding")]
struct Found {
    rule: &'static str,
    bar: usize,
    /// From 1; `null` for a finding about a whole bar.
    beat: Option<u8>,
    /// In thousandths of a full finding.
    strength: i32,
    /// In thousandths of a point; `null` where the style forbids it.
    millipoints: Option<i32>,
}

impl<'a> Object<'a> {
    fn new(line: &'a Line) -> Self {
        let (timeline, made) = (&line.timeline, &line.provenance);
        let (choice, temperature, place) = match made.choice {
            Some(Choice::Best) => ("best", None, None),
            Some(Choice::Ranked { place }) => ("ranked", None, Some(place)),
            Some(Choice::Sampled { temperature }) => ("sampled", Some(temperature), None),
            None => ("given", None, None),
        };
        let [low, high] = wording::range(line.style.range);
        Self {
            format: FORMAT,
            version: VERSION,
            made_by: MadeBy {
                program: made.version,
                style: &made.style,
                style_hash: wording::style_hash(made),
                seed: made.seed,
                line: wording::line_number(made),
                choice,
                temperature_millipoints: temperature,
                place,
            },
            title: &timeline.title,
            key: timeline.key.to_string(),
            tempo: timeline.beats_a_minute(),
            choruses: timeline.choruses,
            instrument: Instrument {
                name: &line.style.instrument.name,
                program: line.style.instrument.program,
            },
            range: Range { low, high },
            score_millipoints: line.reading.score,
            bars: bars(line),
            notes: notes(line),
            written: written(line),
            findings: line
                .reading
                .findings
                .iter()
                .map(|finding| found(line, finding))
                .collect(),
        }
    }
}

fn bars(line: &Line) -> Vec<Bar<'_>> {
    let mut heard = line.reading.bars.iter().peekable();
    let mut bars = Vec::with_capacity(line.timeline.bars.len());
    for (index, (bar, plan)) in line.timeline.bars.iter().zip(&line.plan.bars).enumerate() {
        let reading = heard.next_if(|reading| reading.bar == index);
        bars.push(Bar {
            number: line.timeline.bar_number(index),
            written: bar.written,
            section: bar.section.as_deref(),
            metre: bar.metre.to_string(),
            beats: bar.beats,
            key: bar.key.to_string(),
            tempo: bar.beats_a_minute(),
            chords: bar
                .spans
                .iter()
                .map(|span| Chord {
                    beat: span.start + 1,
                    beats: span.beats,
                    symbol: span.harmony.to_string(),
                })
                .collect(),
            plan: BarPlan {
                phrase: plan.phrase + 1,
                place: plan.place + 1,
                role: plan.role.to_string(),
                tension: plan.tension,
                clarity: plan.clarity.to_string(),
                cadence: plan.cadence.map(|cadence| cadence.to_string()),
                centre: plan.centre.midi(),
                shift: plan.shift,
            },
            heard: reading.map(|reading| Heard {
                degrees: reading.cell.iter().map(ToString::to_string).collect(),
                clarity_millinats: reading.clarity,
                tension: reading.tension,
                cadence: reading.cadence.map(|cadence| cadence.to_string()),
            }),
        });
    }
    bars
}

fn notes(line: &Line) -> Vec<Note> {
    let note = |(slot, note): (&Slot, &linewright_rulebook::NoteReading)| Note {
        bar: line.timeline.bar_number(slot.bar),
        beat: slot.beat + 1,
        beats: slot.beats,
        midi: note.pitch.midi(),
        name: note.note.to_string(),
        degree: note.degree.to_string(),
        functions: note.functions.iter().map(named).collect(),
        millipoints: note.points,
    };
    line.plan
        .slots
        .iter()
        .zip(&line.reading.notes)
        .map(note)
        .collect()
}

fn written(line: &Line) -> Vec<Event> {
    let event = |bar: usize, Written { event, role }: &Written| {
        let (role, note, between) = match *role {
            Role::Walk(slot) => ("walk", Some(slot + 1), None),
            Role::Pushed => ("pushed", None, None),
            Role::Held => ("held", None, None),
            Role::Between(between) => ("between", None, Some(between.name())),
            Role::NoChord => ("no chord", None, None),
            Role::Rest => ("rest", None, None),
        };
        Event {
            bar: line.timeline.bar_number(bar),
            at_ticks: event.at,
            ticks: event.ticks,
            name: event.note.map(|note| note.to_string()),
            midi: event.note.and_then(|note| Some(note.pitch()?.midi())),
            tied: event.tied,
            ghost: event.ghost,
            role,
            note,
            between,
        }
    };
    let bars = line.written.iter().enumerate();
    bars.flat_map(|(bar, row)| row.iter().map(move |written| event(bar, written)))
        .collect()
}

fn named(function: &Function) -> Named {
    Named {
        name: function.name.long,
        from: function
            .from_below
            .map(|below| if below { "below" } else { "above" }),
    }
}

fn found(line: &Line, finding: &Finding) -> Found {
    let (bar, beat) = match finding.place {
        Place::Bar(bar) => (bar, None),
        Place::Note(at) => (line.plan.slots[at].bar, Some(line.plan.slots[at].beat + 1)),
    };
    Found {
        rule: line.book.entry(finding.rule).rule.name,
        bar: line.timeline.bar_number(bar),
        beat,
        strength: finding.strength,
        millipoints: finding.points,
    }
}

#[cfg(test)]
mod tests {
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
            "key",
            "tempo",
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
        let documentation: String = include_str!("mod.rs")
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
}
