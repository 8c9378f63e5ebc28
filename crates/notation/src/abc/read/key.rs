//! The `K:` field, and what `V:` shares with it: clef and octave.

use linewright_theory::{Key, Letter, Mode, Name};

/// How far what sounds lies from the letters, and the clef.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Staff {
    /// Whether the clef is a bass clef, if one is told.
    pub bass: Option<bool>,
    /// Octaves of the clef's `-8` and the like.
    pub clef: Option<i8>,
    /// Octaves of `octave=`.
    pub octave: Option<i8>,
    /// Semitones of `transpose=`, or of `%%MIDI transpose`.
    pub transpose: Option<i8>,
}

impl Staff {
    /// What another tells, over this.
    pub fn over(self, under: Staff) -> Staff {
        Staff {
            bass: self.bass.or(under.bass),
            clef: self.clef.or(under.clef),
            octave: self.octave.or(under.octave),
            transpose: self.transpose.or(under.transpose),
        }
    }

    /// Octaves up from the letters to what sounds.
    pub fn octaves(self) -> i32 {
        let whole = i32::from(self.transpose.unwrap_or(0)).div_euclid(12);
        i32::from(self.clef.unwrap_or(0)) + i32::from(self.octave.unwrap_or(0)) + whole
    }

    /// Semitones up beyond the octaves, 0 to 11.
    pub fn semitones(self) -> u8 {
        self.transpose.unwrap_or(0).rem_euclid(12) as u8
    }

    /// Takes one word of a field, if it is about the staff.
    pub fn word(&mut self, word: &str) -> bool {
        let number = |text: &str, most: i8| {
            let number = text.trim_start_matches('+').parse::<i8>().ok();
            number.filter(|number| number.abs() <= most)
        };
        match word.split_once('=') {
            Some(("octave", value)) => self.octave = number(value, 8).or(self.octave),
            Some(("transpose" | "t", value)) => {
                self.transpose = number(value, 48).or(self.transpose);
            }
            Some(("clef" | "cl", value)) => {
                self.clef(value);
            }
            Some(_) => {}
            // A bare letter is a key.
            None => return word.len() > 1 && self.clef(word),
        }
        true
    }

    /// Takes a clef's name: `bass`, `treble-8`, `bass,,`, or its octave alone: `-8va`.
    fn clef(&mut self, name: &str) -> bool {
        let name = name.trim_matches('"');
        let alone = match name.strip_suffix("va").unwrap_or(name) {
            "-8" => Some(-1),
            "+8" => Some(1),
            _ => None,
        };
        if alone.is_some() {
            self.clef = alone;
            return true;
        }
        let (name, octaves) = ["-15", "-8", "+15", "+8"]
            .iter()
            .zip([-2, -1, 2, 1])
            .find_map(|(mark, octaves)| Some((name.strip_suffix(mark)?, octaves)))
            .unwrap_or((name, 0));
        let body = name.trim_end_matches([',', '\'']);
        let marks = name[body.len()..].chars().take(8);
        let octaves = marks.fold(octaves, |sum, c| sum + if c == ',' { -1 } else { 1 });
        let body = body.trim_end_matches(|c: char| c.is_ascii_digit());
        let known = [
            "treble", "bass", "alto", "tenor", "soprano", "mezzo", "baritone", "perc", "G", "F",
            "C",
        ];
        if !known.contains(&body) {
            return body == "none" && !name.is_empty();
        }
        self.bass = Some(matches!(body, "bass" | "F"));
        self.clef = Some(octaves);
        true
    }
}

/// What a `K:` field says of the key.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Signature {
    /// The accidental of each letter, from C.
    pub alters: [i8; 7],
    /// The key that stands for it; `None` for no key.
    pub key: Option<Key>,
    /// The key is only the nearest that can be told.
    pub reading: Reading,
}

/// How well a key tells what stood in the field.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    Exact,
    /// The signature is right, the tonic is another.
    Mode,
    /// The signature has other accidentals.
    Accidentals,
}

impl Signature {
    pub const NONE: Signature = Signature {
        alters: [0; 7],
        key: None,
        reading: Reading::Exact,
    };
}

/// What a `K:` field says: the signature unless it is about the staff only, and the staff.
pub(super) fn key(text: &str) -> Result<(Option<Signature>, Staff), ()> {
    let mut staff = Staff::default();
    let mut words = text.split_whitespace().peekable();
    let mut signature = None;
    if let Some(&first) = words.peek() {
        let only_staff = first.contains('=') || Staff::default().word(first) && first != "none";
        if !only_staff {
            words.next();
            let mode = words
                .next_if(|word| mode_word(word).is_some())
                .unwrap_or("");
            signature = Some(tonic(first, mode)?);
        }
    } else {
        signature = Some(Signature::NONE);
    }
    let mut explicit = false;
    for word in words {
        if word.eq_ignore_ascii_case("exp") {
            if let Some(signature) = &mut signature {
                signature.alters = [0; 7];
                explicit = true;
            }
        } else if word.starts_with(['^', '_', '=']) {
            let signature = signature.get_or_insert(Signature::NONE);
            explicit |= accidentals(word, &mut signature.alters);
        } else {
            staff.word(word);
        }
    }
    if explicit && let Some(signature) = &mut signature {
        respell(signature);
    }
    Ok((signature, staff))
}

/// Steps on the line of fifths from the major key of the same tonic, and whether it is a plain
/// major or minor key.
#[derive(Copy, Clone, PartialEq, Eq)]
struct ModeOf {
    fifths: i8,
    plain: Option<Mode>,
}

fn mode_word(word: &str) -> Option<ModeOf> {
    let word = word.to_ascii_lowercase();
    let short: String = word.chars().take(3).collect();
    let (fifths, plain) = match short.as_str() {
        "" | "maj" | "ion" => (0, Some(Mode::Major)),
        "m" | "min" | "aeo" => (-3, Some(Mode::Minor)),
        "mix" => (-1, None),
        "dor" => (-2, None),
        "phr" => (-4, None),
        "lyd" => (1, None),
        "loc" => (-5, None),
        _ => return None,
    };
    word.chars()
        .all(char::is_alphabetic)
        .then_some(ModeOf { fifths, plain })
}

/// A tonic with its mode in the same word or in the next.
fn tonic(word: &str, next: &str) -> Result<Signature, ()> {
    match word {
        "none" | "None" | "NONE" => return Ok(Signature::NONE),
        // The scale of the Highland pipes, F sharp and C sharp, with and without a signature.
        "HP" | "Hp" => {
            let key = Key::from_fifths(2, Mode::Major).ok_or(())?;
            return Ok(Signature {
                alters: alters(key),
                key: Some(key),
                reading: Reading::Mode,
            });
        }
        _ => {}
    }
    let mut chars = word.chars();
    let letter = chars
        .next()
        .and_then(|c| Letter::from_char(c.to_ascii_uppercase()));
    let letter = letter.ok_or(())?;
    let rest = chars.as_str();
    let (alter, rest) = match rest.chars().next() {
        Some('#' | '♯') => (1, &rest[rest.chars().next().map_or(0, char::len_utf8)..]),
        Some('b' | '♭') => (-1, &rest[rest.chars().next().map_or(0, char::len_utf8)..]),
        _ => (0, rest),
    };
    let mode = mode_word(if rest.is_empty() { next } else { rest }).ok_or(())?;
    let name = Name::new(letter, alter);
    let fifths = i8::try_from(name.fifths()).map_err(drop)? + mode.fifths;
    let key = match mode.plain {
        Some(plain) => Key::new(name, plain),
        None => Key::from_fifths(fifths, Mode::Major),
    };
    let key = key.ok_or(())?;
    Ok(Signature {
        alters: alters(key),
        key: Some(key),
        reading: if mode.plain.is_some() {
            Reading::Exact
        } else {
            Reading::Mode
        },
    })
}

/// The accidental of each letter in a key signature.
fn alters(key: Key) -> [i8; 7] {
    let mut alters = [0; 7];
    for name in key.signature() {
        alters[usize::from(name.letter.index())] = name.alter;
    }
    alters
}

/// Reads accidentals such as `^f_b=c` into a signature; whether there was one.
fn accidentals(word: &str, alters: &mut [i8; 7]) -> bool {
    let mut alter: i8 = 0;
    let mut found = false;
    for c in word.chars() {
        match c {
            '^' => alter = (alter + 1).min(2),
            '_' => alter = (alter - 1).max(-2),
            '=' => alter = 0,
            _ => {
                if let Some(letter) = Letter::from_char(c.to_ascii_uppercase()) {
                    alters[usize::from(letter.index())] = alter;
                    found = true;
                }
                alter = 0;
            }
        }
    }
    found
}

/// Finds the key for a signature of single accidentals.
fn respell(signature: &mut Signature) {
    let mode = signature.key.map_or(Mode::Major, |key| key.mode);
    let same = (-7..=7)
        .filter_map(|fifths| Key::from_fifths(fifths, mode))
        .find(|key| alters(*key) == signature.alters);
    match same {
        Some(key) if signature.key.is_some_and(|told| told.tonic == key.tonic) => {
            signature.key = Some(key);
            signature.reading = Reading::Exact;
        }
        Some(key) => {
            signature.key = Some(key);
            signature.reading = Reading::Mode;
        }
        None => signature.reading = Reading::Accidentals,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> String {
        let (signature, _) = key(text).unwrap();
        let signature = signature.unwrap();
        let key = signature
            .key
            .map_or("none".to_owned(), |key| key.to_string());
        format!("{key} {:?}", signature.reading)
    }

    #[test]
    fn keys_are_read_in_every_spelling() {
        for text in ["Bb", "Bb major", "Bbmaj", "B♭ Ionian", "bb"] {
            assert_eq!(name(text), "Bb major Exact", "{text}");
        }
        for text in ["F#m", "F#min", "F# Minor", "F#aeolian", "F#m clef=bass"] {
            assert_eq!(name(text), "F# minor Exact", "{text}");
        }
        assert_eq!(name("none"), "none Exact");
        assert_eq!(name(""), "none Exact");
        assert_eq!(name("HP"), "D major Mode");
    }

    #[test]
    fn modes_are_the_major_key_of_their_signature() {
        for text in ["Ador", "D mixolydian", "CLydian", "Bphr", "F# Loc"] {
            assert_eq!(name(text), "G major Mode", "{text}");
        }
    }

    #[test]
    fn accidentals_of_a_key_change_its_signature() {
        assert_eq!(name("D exp ^f^c"), "D major Exact");
        assert_eq!(name("D =c"), "G major Mode");
        assert_eq!(name("D Phr ^f"), "Bb major Accidentals");
        let (signature, _) = key("C exp _b ^f").unwrap();
        assert_eq!(signature.unwrap().alters, [0, 0, 0, 1, 0, 0, -1]);
    }

    #[test]
    fn the_staff_says_how_far_the_sound_lies() {
        let staff = |text| key(text).unwrap().1;
        assert_eq!(staff("F clef=bass-8").octaves(), -1);
        assert_eq!(staff("F bass-8").bass, Some(true));
        assert_eq!(staff("E phr -8va").octaves(), -1);
        assert_eq!(staff("F clef=bass,,").octaves(), -2);
        assert_eq!(staff("F octave=-1 transpose=-12").octaves(), -2);
        let piped = staff("Bb transpose=-2");
        assert_eq!((piped.octaves(), piped.semitones()), (-1, 10));
        assert_eq!(key("clef=bass").unwrap().0, None);
        assert_eq!(key("treble").unwrap().0, None);
    }

    #[test]
    fn what_is_no_key_is_refused() {
        for text in ["H", "G#", "Fbm", "Cfoo", "?", "é"] {
            assert!(key(text).is_err(), "{text}");
        }
    }
}
