//! A style as written: every key but its name and description optional, unknown keys refused.

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostic, Place, nearest};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::style::fault::unknown_rule;
use crate::style::marks::DevicesOver;
use crate::style::plain_words::plain_words;
use crate::style::style::Feel;
use crate::style::weight::Weight;

/// The largest style file that is read, in bytes.
pub const LARGEST_FILE: usize = 256 * 1024;

/// A style file's content. Keys that are absent are inherited.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct StyleFile {
    /// The style's own name: small letters, digits and hyphens. Never inherited.
    pub name: String,
    /// One sentence for the list of styles. Never inherited.
    pub description: String,
    /// The style that this one builds on.
    pub extends: Option<String>,
    /// How the bar is divided.
    pub feel: Option<Feel>,
    /// Temperature for sampled lines, in points: higher is freer.
    pub temperature: Option<f64>,
    /// Lowest and highest note, and the heart of the range.
    #[serde(default)]
    pub range: RangeFile,
    /// The instrument that plays.
    #[serde(default)]
    pub instrument: InstrumentFile,
    /// Hard limits on leaps.
    #[serde(default)]
    pub limits: LimitsFile,
    /// Points by rule name (see `linewright rules`).
    #[serde(default)]
    pub weights: BTreeMap<String, Weight>,
    /// How phrases are planned.
    #[serde(default)]
    pub plan: PlanFile,
    /// How the line is played.
    #[serde(default)]
    pub sound: SoundFile,
    /// What counts when a line is marked.
    #[serde(default)]
    pub marks: MarksFile,
}

/// `[range]`: note names such as `"E1"`, as they sound.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct RangeFile {
    /// Lowest note.
    pub low: Option<String>,
    /// Highest note.
    pub high: Option<String>,
    /// Bottom of the heart of the range.
    pub heart_low: Option<String>,
    /// Top of the heart of the range.
    pub heart_high: Option<String>,
}

/// `[instrument]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct InstrumentFile {
    /// What the part is called.
    pub name: Option<String>,
    /// General MIDI program, 1 to 128.
    pub program: Option<u8>,
}

/// `[limits]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct LimitsFile {
    /// The largest leap, in semitones.
    pub largest_leap: Option<u8>,
    /// The largest leap at a register shift, in semitones.
    pub largest_shift: Option<u8>,
}

/// `[plan]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PlanFile {
    /// Length of a phrase in bars.
    pub phrase_bars: Option<u8>,
    /// Shares of the three kinds of cadence; all 0 for no planned cadences.
    pub cadences: Option<CadencesFile>,
    /// Chance that a phrase ends with a cadence, 0 to 1; the last one always does.
    pub end_cadence: Option<f64>,
    /// Chance that the middle of a phrase cadences too, 0 to 1.
    pub middle_cadence: Option<f64>,
    /// Wished tension through a phrase, each 0 to 1, spread over its bars.
    pub tension: Option<Vec<f64>>,
    /// Chance that a bar before a cadence is meant to be ambiguous, 0 to 1.
    pub ambiguous: Option<f64>,
    /// Chance that a bar answers one before it with the same degrees, 0 to 1.
    pub figures: Option<f64>,
    /// How far the register wanders from the middle of the heart, in semitones.
    pub register_span: Option<u8>,
    /// Chance of a register shift after a cadence, 0 to 1.
    pub register_shift: Option<f64>,
    /// Chance of a pick-up on the last beat of a bar in two, 0 to 1.
    pub pick_up: Option<f64>,
}

/// `plan.cadences`: relative shares.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CadencesFile {
    /// The root on beat one, approached.
    #[serde(default)]
    pub beat_one: f64,
    /// The chord's own root on the last beat.
    #[serde(default)]
    pub own_root: f64,
    /// The next chord's root on the last beat.
    #[serde(default)]
    pub next_root: f64,
}

/// `[sound]`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct SoundFile {
    /// MIDI velocity of an unaccented note, 1 to 127.
    pub velocity: Option<u8>,
    /// Velocity added on accented beats, 0 to 40.
    pub accent: Option<u8>,
    /// Sounding share of a note's length, 0.5 to 1.
    pub length: Option<f64>,
}

/// `[marks]`: what counts when a line is marked.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct MarksFile {
    /// The share of the total that passes, in percent: 1 to 100.
    pub pass: Option<u8>,
    /// Marks by criterion; a criterion that is absent is inherited.
    #[serde(default)]
    pub criteria: CriteriaFile,
    /// The rules that are the grade's own devices.
    pub devices: Option<Vec<String>>,
    /// Over which pairs of bars a device is looked for: "any harmony" or "one chord".
    pub devices_over: Option<DevicesOver>,
    /// By rule, what a full finding costs, as a share of one place: 0 to 4. A rule that the
    /// style forbids costs 1 when it is not named here.
    #[serde(default)]
    pub faults: BTreeMap<String, f64>,
    /// By rule, what it costs where it could be found and is not, as a share of one place.
    #[serde(default)]
    pub expected: BTreeMap<String, f64>,
}

/// `marks.criteria`: whole marks, 0 to 100 each.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CriteriaFile {
    /// The bars sound their chords.
    pub harmony: Option<u16>,
    /// Arrivals and approaches.
    pub arrivals: Option<u16>,
    /// Cadences.
    pub cadences: Option<u16>,
    /// Direction and leaps.
    pub motion: Option<u16>,
    /// Variety of order.
    pub order: Option<u16>,
    /// Range and playability.
    pub range: Option<u16>,
    /// The grade's own device.
    pub device: Option<u16>,
}

impl StyleFile {
    /// Reads a style from TOML. `source` names the text in faults.
    ///
    /// # Errors
    /// The first fault with its line and column: text that is not TOML, a
    /// style without a name or a description of its own (at line 1), an unknown key (with the nearest known one), a value of the wrong kind or
    /// out of range, a file over 256 KiB.
    pub fn parse(source: &str, text: &str) -> Result<Self, Diagnostic> {
        if text.len() > LARGEST_FILE {
            return Err(Diagnostic::error("a style file over 256 KiB is not read", "").within(source)
            .hinting("give a style file; a style that says everything fits into a few thousand bytes"));
        }
        toml::from_str(text).map_err(|error| {
            let (line, column) = error.span().map_or((1, 1), |span| place(text, span.start));
            let message = error.message().trim().to_owned();
            if let Some(fault) = missing(source, &message) {
                return fault;
            }
            let told = |message: &str| {
                Diagnostic::error(message, "")
                    .within(source)
                    .at(Place::column(line, column))
            };
            match unknown_field(&message) {
                // The hint says what is known.
                Some(hint) => {
                    told(message.split(", expected").next().unwrap_or_default()).hinting(hint)
                }
                None => told(&plain_words(&message)),
            }
        })
    }
}

/// Checks that a style text, which can be read, weighs and marks only rules that exist.
///
/// # Errors
/// The first weight of a rule that is not `known`, with its place and the nearest
/// known one.
pub fn check_rules<'a>(
    source: &str,
    text: &str,
    known: impl Iterator<Item = &'a str> + Clone,
) -> Result<(), Diagnostic> {
    /// The only part of the text that is looked at.
    #[derive(Deserialize)]
    struct Weighed {
        #[serde(default)]
        weights: Rules,
        #[serde(default)]
        marks: Marked,
    }
    #[derive(Default, Deserialize)]
    struct Marked {
        #[serde(default)]
        faults: Rules,
        #[serde(default)]
        expected: Rules,
        #[serde(default)]
        devices: Vec<toml::Spanned<String>>,
    }
    type Rules = BTreeMap<toml::Spanned<String>, serde::de::IgnoredAny>;
    let Ok(weighed) = toml::from_str::<Weighed>(text) else {
        return Ok(());
    };
    let is_known = |rule: &&toml::Spanned<String>| known.clone().any(|name| name == rule.get_ref());
    let Weighed { weights, marks } = &weighed;
    let named = weights
        .keys()
        .chain(marks.faults.keys())
        .chain(marks.expected.keys());
    let unknown = named.chain(&marks.devices).filter(|rule| !is_known(rule));
    let Some(first) = unknown.min_by_key(|rule| rule.span().start) else {
        return Ok(());
    };
    let rule = first.get_ref();
    let (line, column) = place(text, first.span().start);
    let fault = unknown_rule(rule, known).within(source);
    Err(fault.at(Place::column(line, column)))
}

/// The fault of a style without a key that it must give itself, from serde's
/// "missing field `name`".
fn missing(source: &str, message: &str) -> Option<Diagnostic> {
    let key = message.strip_prefix("missing field `")?.strip_suffix('`')?;
    let example = match key {
        "name" => "late-landing",
        _ => "Like plain, but lands later.",
    };
    let fault =
        Diagnostic::error(format!("the style has no `{key}` of its own"), "").within(source);
    Some(fault.at(Place::column(1, 1)).hinting(format!(
        "write one at the top, before any `[table]`: `{key} = \"{example}\"`"
    )))
}

/// Line and column (from 1, in characters) of a byte offset.
fn place(text: &str, offset: usize) -> (usize, usize) {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
    (line, column)
}

/// The hint for serde's "unknown field `x`, expected one of `a`, `b`".
fn unknown_field(message: &str) -> Option<String> {
    if !message.starts_with("unknown ") {
        return None;
    }
    let mut names = message.split('`').skip(1).step_by(2);
    let written = names.next()?;
    let known: Vec<&str> = names.collect();
    Some(match nearest(written, known.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        None => format!("known here: {}", known.join(", ")),
    })
}
