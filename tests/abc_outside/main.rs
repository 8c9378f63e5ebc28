//! ABC as other people's readers find it, and other people's tunes as ours finds them: the
//! same notes at the same times, the same chord symbols.

mod corpus;
mod lines;
mod readers;

use linewright_checkers::python;
use linewright_notation::{Score, Ticks};
use serde_json::Value;

/// What a checker script answers to these questions, a line each.
fn answers(script: &str, asked: &[Value]) -> Vec<Value> {
    let lines: String = asked.iter().map(|value| format!("{value}\n")).collect();
    python()
        .unwrap_or_else(|e| panic!("{e}"))
        .run(script, lines.as_bytes())
        .unwrap_or_else(|e| panic!("{e}"))
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect()
}

/// A note as it sounds: start and length in ticks, MIDI pitch.
type Sounding = (Ticks, Ticks, u8);

/// Every note of a score, ties joined, repeats not carried out.
fn notes(score: &Score) -> Vec<Sounding> {
    let mut notes: Vec<Sounding> = Vec::new();
    let (mut bar, mut tied) = (0, false);
    for measure in &score.measures {
        for event in &measure.events {
            let Some(note) = event.note else {
                tied = false;
                continue;
            };
            let pitch = note.pitch().expect("a pitch that sounds").midi();
            match notes.last_mut() {
                Some(last) if tied && last.2 == pitch && last.0 + last.1 == bar + event.at => {
                    last.1 += event.ticks;
                }
                _ => notes.push((bar + event.at, event.ticks, pitch)),
            }
            tied = event.tied;
        }
        bar += measure.ticks;
    }
    notes
}

/// A whole number of an answer; `None` for a time that is no whole number of ticks.
fn whole(value: &Value) -> Option<u32> {
    u32::try_from(value.as_u64()?).ok()
}

/// The notes of an answer; those whose time is no whole number of ticks as `None`.
fn told_notes(told: &Value) -> Vec<Option<Sounding>> {
    let list = told["notes"].as_array().unwrap_or_else(|| panic!("{told}"));
    list.iter()
        .map(|note| {
            let pitch = u8::try_from(whole(&note[2])?).ok()?;
            Some((whole(&note[0])?, whole(&note[1])?, pitch))
        })
        .collect()
}
