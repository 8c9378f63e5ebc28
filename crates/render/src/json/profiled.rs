//! What some lines are like, as JSON.
//!
//! `format` is `"linewright profile"` or `"linewright comparison"`. `of` (or `here` and `there`)
//! says which lines were counted: `files` by name, or the `style` and the seeds from `first_seed`
//! to `last_seed` that they were composed with. `over` is the chart's title, `null` where the
//! lines brought their own chords.
//!
//! `measures` has an object for everything that is counted: `measure` is `"degrees"` (on `beat`),
//! `"members"`, `"root-where-chord-is-new"`, `"root-where-chord-is-held"`, `"intervals"` (from
//! `beat` to `to_beat`, in semitones, above 0 when they go up), `"into-beat-one"`,
//! `"directions"`, `"cadences"` (of bars), `"pitches"` (MIDI key numbers) or `"devices"` (by rule).
//! Each value has its `count`, and `share_thousandths` of `of`; devices are told by bars.
//! `percentiles` are the MIDI key numbers at or below which so many percent of the notes lie.
//!
//! `divergences` are those of Jensen and Shannon, 0 to 1 bit, in thousandths (`millibits`, `null`
//! where there is nothing to compare); `by_chance_millibits` is what two samples of this size
//! from one distribution show on average. `differences` are the values that differ by more than
//! chance, the largest first, with a sentence for people.

use linewright_rulebook::plan::Cadence;
use linewright_study::profile::{
    Comparison, Difference, Direction, Measure, PERCENTILES, Profile, Reached, Value,
};
use linewright_theory::Member;
use schemars::JsonSchema;
use serde::Serialize;

use super::pretty;
use crate::export::{Compared, Counted, Profiled};
use crate::numbers::share;
use crate::wording::profile::difference;

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Profile")]
pub(super) struct ProfileText<'a> {
    /// What this object is.
    #[schemars(extend("const" = "linewright profile"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// Which lines were counted.
    of: Of<'a>,
    /// The title of the chart; `null` where the lines brought their own chords.
    over: Option<&'a str>,
    #[serde(flatten)]
    counts: Counts,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Comparison")]
pub(super) struct ComparisonText<'a> {
    /// What this object is.
    #[schemars(extend("const" = "linewright comparison"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// The title of the chart; `null` where the lines brought their own chords.
    over: Option<&'a str>,
    /// The lines that are compared.
    here: Side<'a>,
    /// The lines that they are compared with.
    there: Side<'a>,
    /// How far apart the two lie, by measure.
    divergences: Vec<Divergence>,
    /// The values that differ by more than chance, the largest difference first.
    differences: Vec<Differing>,
}

#[derive(Serialize, JsonSchema)]
struct Side<'a> {
    /// Which lines were counted.
    of: Of<'a>,
    #[serde(flatten)]
    counts: Counts,
}

#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
enum Of<'a> {
    Files {
        /// The names of their files.
        files: &'a [String],
    },
    Composed {
        /// The name of the style that they were composed in.
        style: &'a str,
        /// The first seed.
        first_seed: u64,
        /// The last seed.
        last_seed: u64,
    },
}

#[derive(Serialize, JsonSchema)]
struct Counts {
    /// How many lines there are.
    lines: u64,
    /// How many bars they have.
    bars: u64,
    /// How many notes they have.
    notes: u64,
    /// MIDI key numbers at or below which so many percent of the notes lie.
    percentiles: Vec<Percentile>,
    /// Everything that was counted.
    measures: Vec<Measured>,
}

#[derive(Serialize, JsonSchema)]
struct Percentile {
    /// How many percent of the notes.
    percent: u8,
    /// The MIDI key number at or below which they lie, 60 for middle C; `null` where there are no
    /// notes.
    midi: Option<u8>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Measure")]
struct Measured {
    #[serde(flatten)]
    measure: Name,
    /// How many there are of all values together.
    of: u64,
    /// The values that occur.
    values: Vec<Valued>,
}

/// A measure by its name and beats.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "MeasureName")]
pub(crate) struct Name {
    /// The name of the measure.
    pub(crate) measure: &'static str,
    /// The beat, from 1; `null` for a measure of all beats.
    pub(crate) beat: Option<u8>,
    /// The beat that intervals lead to, from 1; `null` for other measures.
    pub(crate) to_beat: Option<u8>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Value")]
struct Valued {
    /// The value.
    value: Plain,
    /// How often it occurs.
    count: u64,
    /// Of `of`.
    share_thousandths: Option<u64>,
}

/// A value as other programs read it.
#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
#[schemars(rename = "PlainValue")]
pub(crate) enum Plain {
    Word(String),
    Number(i32),
    Truth(bool),
}

#[derive(Serialize, JsonSchema)]
struct Divergence {
    #[serde(flatten)]
    measure: Name,
    /// How many were counted in the lines `here`.
    of_here: u64,
    /// How many were counted in the lines `there`.
    of_there: u64,
    /// Divergence of Jensen and Shannon, 0 to 1 bit, in thousandths.
    millibits: Option<u32>,
    /// What two samples of this size from one distribution show on average.
    by_chance_millibits: Option<u32>,
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Difference")]
struct Differing {
    #[serde(flatten)]
    measure: Name,
    /// The value.
    value: Plain,
    /// How often it occurs in the lines `here`.
    count_here: u64,
    /// Of how many.
    of_here: u64,
    /// How often it occurs in the lines `there`.
    count_there: u64,
    /// Of how many.
    of_there: u64,
    /// For people.
    sentence: String,
}

/// The JSON text of a profile. Ends with a line break.
pub fn profiled(profiled: &Profiled) -> String {
    pretty(&ProfileText {
        format: "linewright profile",
        version: super::VERSION,
        of: of(&profiled.of),
        over: profiled.over.as_deref(),
        counts: counts(&profiled.profile),
    })
}

/// The JSON text of a comparison. Ends with a line break.
pub fn compared(compared: &Compared) -> String {
    let Comparison {
        here,
        there,
        divergences,
        differences,
    } = &compared.comparison;
    let divergence = |divergence: &linewright_study::profile::Divergence| Divergence {
        measure: name(divergence.measure),
        of_here: divergence.here,
        of_there: divergence.there,
        millibits: divergence.bits.map(millibits),
        by_chance_millibits: divergence.chance.map(millibits),
    };
    pretty(&ComparisonText {
        format: "linewright comparison",
        version: super::VERSION,
        over: compared.over.as_deref(),
        here: Side {
            of: of(&compared.here),
            counts: counts(here),
        },
        there: Side {
            of: of(&compared.there),
            counts: counts(there),
        },
        divergences: divergences.iter().map(divergence).collect(),
        differences: differences.iter().map(differing).collect(),
    })
}

/// Bits in whole thousandths, rounded half up.
pub(crate) fn millibits(bits: f64) -> u32 {
    // From 0 to 1, so nothing is cut off.
    (bits * 1000.0 + 0.5) as u32
}

fn of(counted: &Counted) -> Of<'_> {
    match counted {
        Counted::Files(files) => Of::Files { files },
        Counted::Composed { style, first, last } => Of::Composed {
            style,
            first_seed: *first,
            last_seed: *last,
        },
    }
}

fn counts(profile: &Profile) -> Counts {
    let percentile = |percent| Percentile {
        percent,
        midi: profile.percentile(percent).map(|pitch| pitch.midi()),
    };
    let measured = |measure| {
        let whole = profile.whole(measure);
        let values = profile.tally(measure).into_iter().flat_map(|t| t.iter());
        Measured {
            measure: name(measure),
            of: whole,
            values: values
                .map(|(value, count)| Valued {
                    value: plain(value),
                    count,
                    share_thousandths: share(count, whole),
                })
                .collect(),
        }
    };
    Counts {
        lines: profile.lines(),
        bars: profile.bars(),
        notes: profile.notes(),
        percentiles: PERCENTILES.into_iter().map(percentile).collect(),
        measures: profile.measures().map(measured).collect(),
    }
}

fn differing(differs: &Difference) -> Differing {
    let ((count_here, of_here), (count_there, of_there)) = (differs.here, differs.there);
    Differing {
        measure: name(differs.measure),
        value: plain(differs.value),
        count_here,
        of_here,
        count_there,
        of_there,
        sentence: difference(differs),
    }
}

/// The name of a measure, and its beats.
pub(crate) fn name(measure: Measure) -> Name {
    let (name, beat, to_beat) = match measure {
        Measure::Degrees { beat } => ("degrees", Some(beat), None),
        Measure::Members => ("members", None, None),
        Measure::RootWhereNew => ("root-where-chord-is-new", None, None),
        Measure::RootWhereHeld => ("root-where-chord-is-held", None, None),
        Measure::Intervals { from, to } => ("intervals", Some(from), Some(to)),
        Measure::IntoOne => ("into-beat-one", None, None),
        Measure::Directions => ("directions", None, None),
        Measure::Cadences => ("cadences", None, None),
        Measure::Pitches => ("pitches", None, None),
        Measure::Devices => ("devices", None, None),
    };
    Name {
        measure: name,
        beat,
        to_beat,
    }
}

/// A value as other programs read it.
pub(crate) fn plain(value: Value) -> Plain {
    let word = |word: &str| Plain::Word(word.to_owned());
    match value {
        Value::Degree(degree) => Plain::Word(degree.to_string()),
        Value::Member(member) => word(match member {
            Member::Root => "root",
            Member::Third => "third",
            Member::Fifth => "fifth",
            Member::Seventh => "seventh",
            Member::Colour => "colour",
            Member::Scale => "scale",
            Member::Outside => "outside",
        }),
        Value::IsRoot(is_root) => Plain::Truth(is_root),
        Value::Interval(semitones) => Plain::Number(semitones),
        Value::Reached(reached) => word(match reached {
            Reached::HalfStepFromBelow => "half-step-from-below",
            Reached::HalfStepFromAbove => "half-step-from-above",
            Reached::WholeStepFromBelow => "whole-step-from-below",
            Reached::WholeStepFromAbove => "whole-step-from-above",
            Reached::Third => "third",
            Reached::FourthOrFifth => "fourth-or-fifth",
            Reached::Wider => "wider",
            Reached::Repeat => "repeat",
        }),
        Value::Direction(direction) => word(match direction {
            Direction::Up => "up",
            Direction::Down => "down",
            Direction::Repeat => "repeat",
        }),
        Value::Cadence(cadence) => word(match cadence {
            None => "none",
            Some(Cadence::BeatOne) => "beat-one",
            Some(Cadence::OwnRoot) => "own-root",
            Some(Cadence::NextRoot) => "next-root",
        }),
        Value::Pitch(pitch) => Plain::Number(i32::from(pitch.midi())),
        Value::Device(rule) => word(rule.rule().name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_lines::{BLUES, line};
    use serde_json::Value as Json;

    fn profile(style: &str, seeds: std::ops::RangeInclusive<u64>) -> Profile {
        let mut profile = Profile::default();
        for seed in seeds {
            profile.join(&Profile::of(&line(BLUES, style, seed)));
        }
        profile
    }

    fn composed(style: &str) -> Counted {
        Counted::Composed {
            style: style.to_owned(),
            first: 1,
            last: 8,
        }
    }

    fn read(text: &str) -> Json {
        serde_json::from_str(text).unwrap()
    }

    #[test]
    fn the_counts_of_every_measure_add_up_to_all_that_was_counted() {
        let profile = profile("plain", 1..=8);
        let notes = profile.notes();
        let value = read(&profiled(&Profiled {
            of: composed("plain"),
            over: Some("Backyard blues".to_owned()),
            profile,
        }));
        assert_eq!(value["format"], "linewright profile");
        assert_eq!(value["of"]["last_seed"], 8);
        assert_eq!(value["notes"], notes);
        let measures = value["measures"].as_array().unwrap();
        assert!(measures.len() > 12, "{measures:?}");
        for measure in measures {
            let values = measure["values"].as_array().unwrap();
            let sum: u64 = values.iter().map(|v| v["count"].as_u64().unwrap()).sum();
            if measure["measure"] == "devices" {
                assert_eq!(measure["of"], value["bars"]);
            } else {
                assert_eq!(measure["of"], sum, "{measure}");
            }
        }
        let beats: u64 = measures
            .iter()
            .filter(|measure| measure["measure"] == "degrees")
            .map(|measure| measure["of"].as_u64().unwrap())
            .sum();
        assert_eq!(beats, notes, "every note is on one beat");
    }

    #[test]
    fn a_comparison_tells_both_sides_and_how_far_apart_they_lie() {
        let compared_with = |other: Profile| {
            read(&compared(&Compared {
                here: composed("plain"),
                there: Counted::Files(vec!["line.txt".to_owned()]),
                over: None,
                comparison: Comparison::of(profile("plain", 1..=8), other),
            }))
        };
        let same = compared_with(profile("plain", 1..=8));
        assert_eq!(same["there"]["of"]["files"][0], "line.txt");
        assert_eq!(same["here"]["measures"], same["there"]["measures"]);
        assert_eq!(same["differences"].as_array().map(Vec::len), Some(0));
        let divergences = same["divergences"].as_array().unwrap();
        assert!(divergences.iter().all(|d| d["millibits"] == 0));
        let other = compared_with(profile("two-feel", 1..=8));
        let beat_three = other["divergences"]
            .as_array()
            .unwrap()
            .iter()
            .find(|d| d["measure"] == "intervals" && d["beat"] == 1 && d["to_beat"] == 3);
        let beat_three = beat_three.expect("lines in two move from beat one to beat three");
        assert!(beat_three["millibits"].is_null() && beat_three["of_here"] == 0);
        let differences = other["differences"].as_array().unwrap();
        assert!(!differences.is_empty());
        for differs in differences {
            let sentence = differs["sentence"].as_str().unwrap();
            assert!(sentence.contains("often here") && sentence.ends_with("there."));
        }
    }

    #[test]
    fn bits_are_rounded_to_thousandths() {
        let rounded = [0.0, 0.0004, 0.0006, 0.12345, 1.0].map(millibits);
        assert_eq!(rounded, [0, 0, 1, 123, 1000]);
    }
}
