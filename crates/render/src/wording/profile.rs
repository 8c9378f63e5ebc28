//! Words for what is counted of lines, and for what two profiles differ in.

use linewright_study::profile::{Difference, Direction, Measure, Reached, Value};
use linewright_theory::Member;

use super::study::{count, move_by};
use crate::numbers::percent;
use linewright_theory::note_name;

/// What is counted, as a title.
pub fn measure(measure: Measure) -> String {
    match measure {
        Measure::Degrees { beat } => format!("degrees on beat {beat}"),
        Measure::Members => "parts in the harmony".to_owned(),
        Measure::RootWhereNew => "root on beat one, chord new".to_owned(),
        Measure::RootWhereHeld => "root on beat one, chord held".to_owned(),
        Measure::Intervals { from, to } => format!("moves from beat {from} to beat {to}"),
        Measure::IntoOne => "into beat one".to_owned(),
        Measure::Directions => "up and down".to_owned(),
        Measure::Cadences => "cadences of bars".to_owned(),
        Measure::Pitches => "notes of the range".to_owned(),
        Measure::Devices => "devices".to_owned(),
    }
}

/// A value in a table.
pub fn value(value: Value) -> String {
    match value {
        Value::Degree(degree) => degree.to_string(),
        Value::Member(part) => member(part).to_owned(),
        Value::IsRoot(true) => "the root".to_owned(),
        Value::IsRoot(false) => "another note".to_owned(),
        Value::Interval(0) | Value::Direction(Direction::Repeat) => "the same note".to_owned(),
        Value::Interval(semitones) => move_by(semitones),
        Value::Reached(reached) => reached_by(reached).to_owned(),
        Value::Direction(Direction::Up) => "up".to_owned(),
        Value::Direction(Direction::Down) => "down".to_owned(),
        Value::Cadence(None) => "no cadence".to_owned(),
        Value::Cadence(Some(cadence)) => cadence.to_string(),
        Value::Pitch(pitch) => note_name(pitch),
        Value::Device(rule) => rule.rule().words(),
    }
}

fn member(member: Member) -> &'static str {
    match member {
        Member::Root => "root",
        Member::Third => "third",
        Member::Fifth => "fifth",
        Member::Seventh => "seventh or sixth",
        Member::Colour => "colour tone",
        Member::Scale => "scale tone",
        Member::Outside => "outside the scale",
    }
}

fn reached_by(reached: Reached) -> &'static str {
    match reached {
        Reached::HalfStepFromBelow => "half step from below",
        Reached::HalfStepFromAbove => "half step from above",
        Reached::WholeStepFromBelow => "whole step from below",
        Reached::WholeStepFromAbove => "whole step from above",
        Reached::Third => "third",
        Reached::FourthOrFifth => "fourth or fifth",
        Reached::Wider => "tritone or wider than a fifth",
        Reached::Repeat => "the same note",
    }
}

/// A difference in a sentence: which way, what, and how often in both.
pub fn difference(difference: &Difference) -> String {
    let ((times, of), (other_times, other_of)) = (difference.here, difference.there);
    let more = u128::from(times) * u128::from(other_of) > u128::from(other_times) * u128::from(of);
    let way = if more {
        "More often here"
    } else {
        "Less often here"
    };
    let often = match difference.measure {
        Measure::Devices => format!(
            "{} in 100 bars, {} there",
            percent(times, of),
            percent(other_times, other_of)
        ),
        measure => format!(
            "{} % of {}, {} % there",
            percent(times, of),
            count(of as usize, thing(measure)),
            percent(other_times, other_of)
        ),
    };
    format!(
        "{way}: {}, {often}.",
        subject(difference.measure, difference.value)
    )
}

/// What a share is a share of.
fn thing(measure: Measure) -> &'static str {
    match measure {
        Measure::Degrees { .. } | Measure::Members | Measure::Pitches => "note",
        Measure::Intervals { .. } | Measure::IntoOne | Measure::Directions => "move",
        Measure::RootWhereNew | Measure::RootWhereHeld | Measure::Cadences | Measure::Devices => {
            "bar"
        }
    }
}

/// What comes more or less often.
fn subject(measure: Measure, value: Value) -> String {
    let word = self::value(value);
    match measure {
        Measure::Degrees { beat } => format!("degree {word} on beat {beat}"),
        Measure::Members => match value {
            Value::Member(Member::Outside) => "notes outside the scale".to_owned(),
            _ => format!("the {word} of the chord"),
        },
        Measure::RootWhereNew => "the root on beat one where the chord is new".to_owned(),
        Measure::RootWhereHeld => "the root on beat one where the chord is held".to_owned(),
        Measure::Intervals { from, to } => format!("{word} from beat {from} to beat {to}"),
        Measure::IntoOne => match value {
            Value::Reached(Reached::Repeat) => "the same note again on beat one".to_owned(),
            Value::Reached(Reached::Wider) => {
                "into beat one by a tritone or more than a fifth".to_owned()
            }
            _ => format!("into beat one by a {word}"),
        },
        Measure::Directions => match value {
            Value::Direction(Direction::Repeat) => "the same note again".to_owned(),
            _ => format!("moves {word}"),
        },
        Measure::Cadences => match value {
            Value::Cadence(None) => "bars without a cadence".to_owned(),
            _ => format!("bars that cadence ({word})"),
        },
        Measure::Pitches => format!("the note {word}"),
        Measure::Devices => word,
    }
}
