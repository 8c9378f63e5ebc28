//! What counts when a line is marked, and how much.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::style::weight::Weight;

/// What a line is marked by.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Criterion {
    /// The bars sound their chords.
    Harmony,
    /// Which notes arrive, and how they are approached.
    Arrivals,
    /// Where the line cadences.
    Cadences,
    /// Direction and leaps.
    Motion,
    /// Variety of order.
    Order,
    /// Range and playability.
    Range,
    /// The grade's own device.
    Device,
}

impl Criterion {
    /// Every criterion, in the order of a report.
    pub const ALL: [Criterion; 7] = [
        Criterion::Harmony,
        Criterion::Arrivals,
        Criterion::Cadences,
        Criterion::Motion,
        Criterion::Order,
        Criterion::Range,
        Criterion::Device,
    ];

    /// Its name in a style.
    pub fn name(self) -> &'static str {
        match self {
            Criterion::Harmony => "harmony",
            Criterion::Arrivals => "arrivals",
            Criterion::Cadences => "cadences",
            Criterion::Motion => "motion",
            Criterion::Order => "order",
            Criterion::Range => "range",
            Criterion::Device => "device",
        }
    }
}

/// Over which pairs of neighbouring bars one of the grade's devices is looked for.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub enum DevicesOver {
    /// Over all.
    #[serde(rename = "any harmony")]
    AnyHarmony,
    /// Over those of one chord.
    #[serde(rename = "one chord")]
    OneChord,
}

/// What counts when a line is marked, and how much.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marks {
    /// The share of the total that passes, in percent.
    pub pass: u8,
    /// Marks of each criterion, in the order of [`Criterion::ALL`].
    pub totals: [u16; 7],
    /// The rules that are the grade's own devices.
    pub devices: Vec<String>,
    /// Over which pairs of bars a device is looked for.
    pub devices_over: DevicesOver,
    /// By rule, what a full finding costs, in thousandths of one place's share.
    pub faults: BTreeMap<String, u16>,
    /// By rule, what it costs where it could be found and is not, in thousandths of one
    /// place's share.
    pub expected: BTreeMap<String, u16>,
}

impl Marks {
    /// What a full finding of a rule costs, in thousandths of one place's share: as the style
    /// says, else all of it where the style's weight forbids the rule.
    pub fn fault(&self, rule: &str, weight: Weight) -> u16 {
        let default = if weight == Weight::Never { 1000 } else { 0 };
        self.faults.get(rule).copied().unwrap_or(default)
    }
}
