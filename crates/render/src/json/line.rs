//! The keys of a line: one set of types that is written, read, and printed as a schema.
//!
//! What follows from the rest (plan, functions, findings, points) is written and not read: a
//! reader works it out anew. In the schema that is `readOnly`.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::at_most::{some_bars, some_chords, some_events};
use super::{FORMAT, VERSION};

/// A bass line over a chart, with everything that is known of it.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "Line")]
pub(super) struct LineText {
    /// What this object is.
    #[schemars(extend("const" = FORMAT))]
    pub(super) format: Cow<'static, str>,
    /// Counted up when the name or the meaning of a key changes.
    #[serde(skip_deserializing)]
    #[schemars(extend("const" = VERSION))]
    pub(super) version: u32,
    /// How the line was made.
    pub(super) made_by: MadeBy,
    /// The title of the chart.
    pub(super) title: String,
    /// Who wrote the tune; `null` where nobody is told.
    pub(super) composer: Option<String>,
    /// Who wrote the line, where it is a student's; else `null`.
    pub(super) student: Option<String>,
    /// The key at the beginning, to which the chart was moved: `Bb major`.
    pub(super) key: String,
    /// The tempo at the beginning, in quarter notes a minute.
    #[serde(alias = "tempo")]
    pub(super) tempo_bpm: u16,
    /// How many times the form is played.
    pub(super) choruses: usize,
    /// What plays the line.
    pub(super) instrument: Instrument,
    /// The notes that the line may use.
    pub(super) range: Range,
    /// The sum of all findings, in thousandths of a point.
    #[schemars(with = "i64")]
    pub(super) score_millipoints: Option<i64>,
    /// All bars as played.
    #[serde(deserialize_with = "some_bars")]
    pub(super) bars: Vec<Bar>,
    /// The walk: all notes on beats, in order.
    #[serde(deserialize_with = "some_events")]
    pub(super) notes: Vec<Note>,
    /// All that is written, in order: notes, what is tied to them, rests. Where it is missing,
    /// the notes of the walk are all that is written.
    #[schemars(with = "Vec<Event>")]
    pub(super) written: Option<Vec<Event>>,
    /// What every rule found.
    #[serde(skip_deserializing)]
    pub(super) findings: Vec<Found>,
}

/// How a line was made: with the chart, the style and the setting, all that makes it again.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct MadeBy {
    /// Version of the program.
    #[schemars(with = "String")]
    pub(super) program: Option<String>,
    /// The name of the style.
    pub(super) style: String,
    /// Hash of the style with this instrument and range: 16 digits, base 16.
    pub(super) style_hash: String,
    /// The seed; 0 for a given line.
    pub(super) seed: u64,
    /// The line's number within the seed, from 1.
    pub(super) line: u64,
    /// `best`, `sampled`, `ranked`, or `given` for a line that somebody else wrote.
    pub(super) choice: Cow<'static, str>,
    /// The temperature of a sampled line, in thousandths of a point; else `null`.
    pub(super) temperature_millipoints: Option<u32>,
    /// The place of a ranked line among the best under its plan, from 1; else `null`.
    pub(super) place: Option<usize>,
}

/// What plays a line.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct Instrument {
    /// What the part is called.
    pub(super) name: String,
    /// The General MIDI program, 1 to 128.
    pub(super) program: u8,
}

/// The notes that a line may use.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct Range {
    /// The lowest note as it sounds: `E1`.
    pub(super) low: String,
    /// The highest note as it sounds.
    pub(super) high: String,
}

/// A bar as played.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct Bar {
    /// The bar's number as played, from 1; a pick-up bar is 0.
    pub(super) number: usize,
    /// The bar's number on the page of the chart.
    #[serde(skip_deserializing)]
    pub(super) written: usize,
    /// The section that begins here; else `null`.
    pub(super) section: Option<String>,
    /// The metre in force: `4/4`.
    pub(super) metre: String,
    /// The beats of this bar, in quarter notes; fewer than the metre's in a pick-up bar.
    pub(super) beats: u8,
    /// The key in force.
    pub(super) key: String,
    /// The tempo in force, in quarter notes a minute.
    #[serde(alias = "tempo")]
    pub(super) tempo_bpm: u16,
    /// The chords that sound, in order.
    #[serde(deserialize_with = "some_chords")]
    pub(super) chords: Vec<Chord>,
    /// What the plan wishes of the bar.
    #[serde(skip_deserializing)]
    pub(super) plan: BarPlan,
    /// What is heard in the bar; `null` where it has no notes.
    #[serde(skip_deserializing)]
    pub(super) heard: Option<Heard>,
}

/// A chord within a bar.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct Chord {
    /// The beat on which it begins, from 1.
    pub(super) beat: u8,
    /// How many beats it sounds in this bar.
    #[serde(skip_deserializing)]
    pub(super) beats: u8,
    /// The chord symbol, or `N.C.` where no chord sounds.
    pub(super) symbol: String,
}

/// What the plan wishes of a bar.
#[derive(Default, Serialize, JsonSchema)]
pub(super) struct BarPlan {
    /// The number of the phrase, from 1.
    pub(super) phrase: usize,
    /// The bar's place in its phrase, from 1.
    pub(super) place: usize,
    /// What the bar does in its phrase: `statement`, `departure`, `drive` or `release`.
    pub(super) role: String,
    /// The tension that is wished, in thousandths, 0 to 1000.
    pub(super) tension_thousandths: u16,
    /// How surely the bar should tell its chord: `clear`, `free` or `ambiguous`.
    pub(super) clarity: String,
    /// The cadence that is wished: `beat one`, `own root on the last beat` or `next root on the
    /// last beat`; else `null`.
    pub(super) cadence: Option<String>,
    /// The middle of the register in which the line should lie, a MIDI key number.
    pub(super) centre_midi: u8,
    /// Whether the line should change its register here.
    pub(super) shift: bool,
}

/// What is heard in a bar.
#[derive(Serialize, JsonSchema)]
pub(super) struct Heard {
    /// The degrees of its notes over their chords, in order: `1`, `b7`, `#11`.
    pub(super) degrees: Vec<String>,
    /// How much better the notes tell this chord than its best rival, in thousandths of a nat.
    pub(super) clarity_millinats: i32,
    /// The tension that came out, in thousandths.
    pub(super) tension_thousandths: i32,
    /// The cadence that is made, named as in the plan; else `null`.
    pub(super) cadence: Option<String>,
}

/// A note of the walk.
#[derive(Serialize, Deserialize, JsonSchema)]
pub(super) struct Note {
    /// The bar as played, from 1; a pick-up bar is 0.
    pub(super) bar: usize,
    /// The beat, from 1.
    pub(super) beat: u8,
    /// How many beats the note stands for.
    pub(super) beats: u8,
    /// The MIDI key number as it sounds, 60 for middle C.
    #[schemars(with = "u8")]
    pub(super) midi: Option<u8>,
    /// The note as it is spelled, with its octave as it sounds: `Bb1`.
    pub(super) name: String,
    /// The degree over its chord: `1`, `b7`, `#11`.
    #[serde(skip_deserializing)]
    pub(super) degree: String,
    /// What the note does, the strongest first.
    #[serde(skip_deserializing)]
    pub(super) functions: Vec<Named>,
    /// The points of the findings about the note, in thousandths of a point.
    #[serde(skip_deserializing)]
    pub(super) millipoints: i64,
}

/// A note or rest as it is written.
#[derive(Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "WrittenEvent")]
pub(super) struct Event {
    /// The bar as played, from 1; a pick-up bar is 0.
    pub(super) bar: usize,
    /// Where in its bar it begins, in ticks: 6720 are a quarter note.
    pub(super) at_ticks: u32,
    /// How long it is written, in ticks.
    #[serde(alias = "ticks")]
    pub(super) length_ticks: u32,
    /// The note as it is written, with its octave as it sounds; `null` for a rest.
    pub(super) name: Option<String>,
    /// The MIDI key number as it sounds, 60 for middle C; `null` for a rest.
    pub(super) midi: Option<u8>,
    /// Whether it is held on into the next note, of the same pitch.
    pub(super) tied: bool,
    /// Whether it is a ghost (dead) note.
    pub(super) ghost: bool,
    /// What it is to the walk: `walk`, `pushed`, `held`, `between`, `no chord` or `rest`.
    #[serde(skip_deserializing)]
    pub(super) role: &'static str,
    /// The number of its note among `notes`, from 1, where it is one of the walk; else `null`.
    #[serde(skip_deserializing)]
    pub(super) note: Option<usize>,
    /// What it does between the beats; `null` for what is not between them.
    #[serde(skip_deserializing)]
    pub(super) between: Option<&'static str>,
}

/// What a note does.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Function")]
pub(super) struct Named {
    /// The function's name: `chord tone`, `passing tone`.
    pub(super) name: &'static str,
    /// `below` or `above`, where the function has a direction; else `null`.
    pub(super) from: Option<&'static str>,
}

/// What a rule found.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Finding")]
pub(super) struct Found {
    /// The rule's name.
    pub(super) rule: &'static str,
    /// The bar as played, from 1; a pick-up bar is 0.
    pub(super) bar: usize,
    /// The beat, from 1; `null` for a finding about a whole bar.
    pub(super) beat: Option<u8>,
    /// How strong it is, in thousandths of a full finding.
    pub(super) strength_thousandths: i32,
    /// Its points in this style, in thousandths of a point; `null` where the style forbids it.
    pub(super) millipoints: Option<i32>,
}
