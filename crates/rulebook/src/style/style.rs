//! A complete style: every value present and checked.

use std::collections::BTreeMap;

use linewright_theory::Pitch;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::style::marks::Marks;
use crate::style::weight::Weight;

/// How the bar is divided into notes.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum Feel {
    /// A note on every beat.
    #[serde(rename = "walking")]
    Walking,
    /// Two notes a bar, now and then with a pick-up on the last beat.
    #[serde(rename = "in two")]
    InTwo,
}

/// The notes that a line may use.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Range {
    /// Lowest note.
    pub low: Pitch,
    /// Highest note.
    pub high: Pitch,
    /// Bottom of the heart of the range.
    pub heart_low: Pitch,
    /// Top of the heart of the range.
    pub heart_high: Pitch,
}

impl Range {
    /// The middle of the heart.
    pub fn middle(&self) -> Pitch {
        let sum = u16::from(self.heart_low.midi()) + u16::from(self.heart_high.midi());
        Pitch::new((sum / 2) as u8).unwrap_or(self.heart_low)
    }
}

/// The instrument that plays the line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instrument {
    /// What the part is called.
    pub name: String,
    /// General MIDI program, 1 to 128.
    pub program: u8,
}

/// Relative shares of the three kinds of cadence, in thousandths.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct CadenceMix {
    /// The root on beat one, approached.
    pub beat_one: u32,
    /// The chord's own root on the last beat.
    pub own_root: u32,
    /// The next chord's root on the last beat.
    pub next_root: u32,
}

/// Wished tension through a phrase, in thousandths, spread over its bars.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TensionCurve(pub Vec<u16>);

/// The distributions from which a plan is drawn. Chances are in thousandths.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlanShape {
    /// Length of a phrase in bars.
    pub phrase_bars: u8,
    /// Shares of the kinds of cadence.
    pub cadences: CadenceMix,
    /// Chance that a phrase ends with a cadence; the last one always does.
    pub end_cadence: u16,
    /// Chance that the middle of a phrase cadences too.
    pub middle_cadence: u16,
    /// Wished tension through a phrase.
    pub tension: TensionCurve,
    /// Chance that a bar before a cadence is meant to be ambiguous.
    pub ambiguous: u16,
    /// Chance that a bar answers one before it with the same degrees.
    pub figures: u16,
    /// How far the register wanders from the middle of the heart, in semitones.
    pub register_span: u8,
    /// Chance of a register shift after a cadence.
    pub register_shift: u16,
    /// Chance of a pick-up on the last beat of a bar in two.
    pub pick_up: u16,
}

/// How the line is played.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Sound {
    /// MIDI velocity of an unaccented note.
    pub velocity: u8,
    /// Velocity added on accented beats.
    pub accent: u8,
    /// Sounding share of a note's length, in thousandths.
    pub length: u16,
}

/// A complete style.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Style {
    /// Name, as given to `--style`.
    pub name: String,
    /// One sentence for the list of styles.
    pub description: String,
    /// How the bar is divided.
    pub feel: Feel,
    /// Temperature for sampled lines, in milli-points.
    pub temperature: u32,
    /// The notes that a line may use.
    pub range: Range,
    /// The instrument that plays the line.
    pub instrument: Instrument,
    /// The largest leap, in semitones.
    pub largest_leap: u8,
    /// The largest leap at a register shift, in semitones.
    pub largest_shift: u8,
    /// Weight by rule name; a rule that is not named weighs nothing.
    pub weights: BTreeMap<String, Weight>,
    /// The distributions from which a plan is drawn.
    pub plan: PlanShape,
    /// How the line is played.
    pub sound: Sound,
    /// What counts when a line is marked.
    pub marks: Marks,
}

impl Style {
    /// The weight of a rule by name.
    pub fn weight(&self, rule: &str) -> Weight {
        self.weights.get(rule).copied().unwrap_or(Weight::ZERO)
    }

    /// A hash of everything that the style says about the music, not of how lines are
    /// marked: the same on every platform (64-bit FNV-1a over a canonical text).
    pub fn hash(&self) -> u64 {
        let Self {
            name,
            description,
            feel,
            temperature,
            range,
            instrument,
            largest_leap,
            largest_shift,
            weights,
            plan,
            sound,
            marks: _,
        } = self;
        let text = format!(
            "{name:?} {description:?} {feel:?} {temperature} {range:?} {instrument:?} \
             {largest_leap} {largest_shift} {weights:?} {plan:?} {sound:?}"
        );
        let mut hash = 0xcbf2_9ce4_8422_2325_u64;
        for byte in text.bytes() {
            hash ^= u64::from(byte);
            hash = hash.wrapping_mul(0x0000_0100_0000_01b3);
        }
        hash
    }
}
