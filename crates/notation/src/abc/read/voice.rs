//! Which voice of a tune is read.

use linewright_diagnostic::{Diagnostics, Place};

use super::MAX_VOICES;
use super::file::{Line, field_line, uncommented};
use super::key::Staff;
use super::lexer::{Lexer, Sign as Mark};

/// A voice as its `V:` fields tell it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Voice {
    pub id: String,
    name: String,
    pub staff: Staff,
    pub has_music: bool,
}

impl Voice {
    /// Reads the value of a `V:` field.
    pub fn read(text: &str) -> Voice {
        let words = words(text);
        let mut words = words.iter().map(String::as_str);
        let mut voice = Voice {
            id: words.next().unwrap_or_default().to_owned(),
            ..Voice::default()
        };
        for word in words {
            match word.split_once('=') {
                Some(("name" | "nm" | "subname" | "snm" | "sname", name)) => {
                    voice.name.push_str(name);
                }
                _ => {
                    voice.staff.word(word);
                }
            }
        }
        voice
    }

    /// Takes what a later field tells of the same voice.
    pub fn join(&mut self, later: Voice) {
        self.staff = later.staff.over(self.staff);
        self.name.push_str(&later.name);
    }

    /// Whether it is the bass part.
    fn is_bass(&self) -> bool {
        let named = [&self.id, &self.name]
            .iter()
            .any(|text| text.to_lowercase().contains("bass"));
        named || self.staff.bass == Some(true)
    }
}

/// The voice to read: the bass part, or else the first; of those that have music.
pub(super) fn choose(voices: &[Voice]) -> Option<&Voice> {
    let mut sounding = voices.iter().filter(|voice| voice.has_music);
    let first = sounding.clone().next();
    sounding.find(|voice| voice.is_bass()).or(first)
}

/// The voices of a tune, in the order in which they are met; there is always one.
pub(super) fn all(lines: &[Line]) -> Result<Vec<Voice>, Diagnostics> {
    let mut voices: Vec<Voice> = Vec::new();
    let mut current = 0;
    let mut in_body = false;
    for line in lines {
        match field_line(line.text) {
            Some(('V', value)) => {
                let met = meet(&mut voices, uncommented(value), line.at(1))?;
                if in_body {
                    current = met;
                }
            }
            Some(('K', _)) => in_body = true,
            Some(_) => {}
            None if !in_body || line.text.starts_with('%') => {}
            None => {
                for (column, mark) in Lexer::new(line.text) {
                    match mark {
                        Mark::Field('V', value) => {
                            current = meet(&mut voices, value, line.at(column))?;
                        }
                        Mark::Note(_) | Mark::Rest { .. } | Mark::Measures { .. } => {
                            if voices.is_empty() {
                                voices.push(Voice::default());
                            }
                            voices[current].has_music = true;
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    if voices.is_empty() {
        voices.push(Voice::default());
    }
    Ok(voices)
}

/// The index of the voice that a field names; a new one is added.
fn meet(voices: &mut Vec<Voice>, value: &str, place: Place) -> Result<usize, Diagnostics> {
    let voice = Voice::read(value);
    if let Some(found) = voices.iter().position(|known| known.id == voice.id) {
        voices[found].join(voice);
        return Ok(found);
    }
    if voices.len() == MAX_VOICES {
        return Err(Diagnostics::one(
            place,
            format!("the tune has more than {MAX_VOICES} voices"),
            "give a tune with fewer voices",
        ));
    }
    voices.push(voice);
    Ok(voices.len() - 1)
}

/// Words parted by blanks, where blanks between double quotes do not count.
fn words(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut inside = false;
    for c in text.chars() {
        match c {
            '"' => inside = !inside,
            c if c.is_whitespace() && !inside => {
                if !word.is_empty() {
                    words.push(std::mem::take(&mut word));
                }
            }
            c => word.push(c),
        }
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chosen(fields: &[&str]) -> String {
        let voices: Vec<Voice> = fields
            .iter()
            .map(|field| Voice {
                has_music: true,
                ..Voice::read(field)
            })
            .collect();
        choose(&voices)
            .map(|voice| voice.id.clone())
            .unwrap_or_default()
    }

    #[test]
    fn the_bass_part_is_read_and_else_the_first() {
        assert_eq!(chosen(&["1", "2 clef=bass", "3"]), "2");
        assert_eq!(chosen(&["1", "2 name=\"Double Bass\" clef=treble"]), "2");
        assert_eq!(chosen(&["S", "A", "bass"]), "bass");
        assert_eq!(chosen(&["S", "A"]), "S");
        assert_eq!(choose(&[Voice::read("1")]), None, "no music");
    }
}
