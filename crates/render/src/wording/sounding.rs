//! Words for a note as it sounds, whether it is one of the walk or lies between the beats.

use linewright_compose::{Line, Role, Sound};
use linewright_notation::{QUARTER, Ticks};

use super::study::{functions_in_words, move_by, move_onward, part_in_harmony};

/// What is told of a note.
pub struct Told {
    /// Its degree; empty where there is no chord.
    pub degree: String,
    /// What it is to its chord.
    pub harmony: String,
    /// What it does.
    pub does: Vec<String>,
    /// Where it moves.
    pub moves: String,
}

impl Told {
    /// What is told of the note of this number.
    pub fn of(line: &Line, sounds: &[Sound], nth: usize) -> Self {
        let sound = &sounds[nth];
        if let Role::Walk(slot) = sound.role {
            let note = &line.reading.notes[slot];
            return Self {
                degree: note.degree.to_string(),
                harmony: part_in_harmony(&line.plan.slots[slot], note),
                does: functions_in_words(line, note),
                moves: move_onward(line, slot),
            };
        }
        let degree = line.degree_at(sound.bar, sound.at, sound.pitch);
        let degree = degree.map_or_else(String::new, |degree| degree.to_string());
        Self {
            harmony: if degree.is_empty() {
                "no chord sounds".to_owned()
            } else {
                format!("{degree} of the chord, between the beats")
            },
            degree,
            does: match sound.role {
                Role::Between(between) => vec![between.name().to_owned()],
                _ => Vec::new(),
            },
            moves: match sounds.get(nth + 1) {
                Some(next) => {
                    let by = i32::from(next.pitch.midi()) - i32::from(sound.pitch.midi());
                    format!("{} to {}", move_by(by), next.note)
                }
                None => "ends the line".to_owned(),
            },
        }
    }
}

/// A place in a bar as beats are counted, in a number: `2`, `2½`, `3⅓`.
pub fn beat_in_numbers(at: Ticks) -> String {
    let (beat, into) = (at / QUARTER + 1, at % QUARTER);
    let part = match into {
        0 => "",
        into if into * 2 == QUARTER => "½",
        into if into * 3 == QUARTER => "⅓",
        into if into * 3 == 2 * QUARTER => "⅔",
        into if into * 4 == QUARTER => "¼",
        into if into * 4 == 3 * QUARTER => "¾",
        _ => "+",
    };
    format!("{beat}{part}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_between_the_beats_are_told_as_parts_of_a_beat() {
        let eighth = QUARTER / 2;
        let third = QUARTER / 3;
        for (at, told) in [
            (0, "1"),
            (eighth, "1½"),
            (2 * QUARTER + third, "3⅓"),
            (QUARTER + 2 * third, "2⅔"),
            (3 * QUARTER + eighth / 2, "4¼"),
            (QUARTER / 5, "1+"),
        ] {
            assert_eq!(beat_in_numbers(at), told);
        }
    }
}
