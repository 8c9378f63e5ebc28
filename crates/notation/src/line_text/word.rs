//! One sign of a bar: a note, a hold, a rest.

use linewright_diagnostic::{Diagnostic, clean::quoted};
use linewright_theory::{Letter, Name, Note};

/// The lowest and the highest note, as MIDI has them, between which a name without an octave is
/// taken: E1, the lowest string of a bass, and G3, an octave above its highest.
const BARE: std::ops::RangeInclusive<u8> = 28..=55;

/// The lowest octave that is certainly no bass note any more: `F7` is a chord.
pub(super) const TOO_HIGH: i8 = 6;

/// One sign of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// A note begins.
    Note {
        /// As it sounds.
        note: Note,
        /// Whether it is a ghost note.
        ghost: bool,
    },
    /// What sounds goes on.
    Hold,
    /// Nothing sounds.
    Rest,
}

/// Reads one sign; `before` is the note before it, which a name without an octave and a hint keep
/// close to.
pub(super) fn read(word: &str, before: Option<Note>) -> Result<Sign, Diagnostic> {
    match word {
        "." => return Ok(Sign::Hold),
        "r" | "R" => return Ok(Sign::Rest),
        "x" | "X" => {
            return Err(Diagnostic::error(
                "a ghost note needs its note",
                format!("write the note right after the x: `x{}`", near(before)),
            ));
        }
        _ => {}
    }
    let (ghost, text) = match word.strip_prefix(['x', 'X']) {
        Some(rest) => (true, rest),
        None => (false, word),
    };
    let bare = name(text).filter(|(_, rest)| rest.is_empty());
    let bare = bare.map(|(name, _)| in_octave_near(name, before));
    let note = strict(text)
        .or(bare)
        .ok_or_else(|| fault(word, text, before))?;
    if note.octave >= TOO_HIGH {
        return Err(Diagnostic::error(
            format!("{note} sounds far above any bass"),
            format!(
                "write the octave as it sounds, from 0 to 5: `{}`; if {} is a chord symbol, this \
                 is a chart and not a line",
                in_octave_near(note.name, before),
                quoted(word)
            ),
        ));
    }
    Ok(Sign::Note { note, ghost })
}

/// A note as it should be written, in small letters too.
fn strict(text: &str) -> Option<Note> {
    let (name, rest) = name(text)?;
    let octave = match rest {
        "-1" => -1,
        digit if digit.len() == 1 => digit.parse().ok()?,
        _ => return None,
    };
    let note = Note::new(name, octave);
    note.pitch().map(|_| note)
}

/// A name at the start of a text, and what follows it. After a small letter accidentals are read
/// alike, so that `bb2` is B flat.
fn name(text: &str) -> Option<(Name, &str)> {
    let first = text.chars().next()?;
    let letter = Letter::from_char(first.to_ascii_uppercase())?;
    let mut alter: i8 = 0;
    let mut rest = &text[1..];
    while let Some(c) = rest.chars().next() {
        let step: i8 = match c {
            '#' | '♯' => 1,
            'b' | '♭' => -1,
            '𝄪' => 2,
            '𝄫' => -2,
            '♮' if alter == 0 => 0,
            _ => break,
        };
        if (alter + step).abs() > 2 || alter * step < 0 {
            return None;
        }
        alter += step;
        rest = &rest[c.len_utf8()..];
    }
    Some((Name::new(letter, alter), rest))
}

/// What is wrong with a word, and the nearest right spelling.
fn fault(word: &str, text: &str, before: Option<Note>) -> Diagnostic {
    let message = format!("{} is no note", quoted(word));
    let x = if text.len() < word.len() { "x" } else { "" };
    if let Some((name, rest)) = name(text)
        && rest.bytes().all(|b| b.is_ascii_digit())
    {
        return Diagnostic::error(
            format!("{} is out of every octave that there is", quoted(word)),
            format!(
                "write an octave from 0 to 5: `{x}{}`",
                in_octave_near(name, before)
            ),
        );
    }
    match repaired(text, before) {
        Some(note) => Diagnostic::error(message, format!("write `{x}{note}`")),
        None => Diagnostic::error(
            message,
            format!(
                "write a note with its octave, for example `{}`, `.` to hold the note before, or \
                 `r` to rest",
                near(before)
            ),
        ),
    }
}

/// The note that a misspelled word most likely means: the octave first, another sign for an
/// accidental, a name as it is spoken in other languages.
fn repaired(text: &str, before: Option<Note>) -> Option<Note> {
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    let letters: String = text
        .chars()
        .filter(|c| !c.is_ascii_digit() && !matches!(c, '-' | '_' | ',' | '\'' | '.' | ';'))
        .collect();
    let lower = letters.to_lowercase();
    let spoken = match lower.as_str() {
        "h" => Some("B"),
        "as" => Some("Ab"),
        "es" => Some("Eb"),
        "hes" => Some("Bb"),
        "his" => Some("B#"),
        "do" | "ut" => Some("C"),
        "re" | "ré" => Some("D"),
        "mi" => Some("E"),
        "fa" => Some("F"),
        "sol" | "so" => Some("G"),
        "la" => Some("A"),
        "si" | "ti" => Some("B"),
        _ => None,
    }
    .map(str::to_owned);
    let tail = |word: &str, end: &str, sign: &str| {
        let letter = word.strip_suffix(end)?;
        (letter.chars().count() == 1).then(|| format!("{}{sign}", letter.to_uppercase()))
    };
    let named = spoken
        .or_else(|| tail(&lower, "flat", "b"))
        .or_else(|| tail(&lower, "sharp", "#"))
        .or_else(|| tail(&lower, "is", "#"))
        .or_else(|| tail(&lower, "es", "b"))
        .or_else(|| tail(&lower, "+", "#"))
        .unwrap_or(lower);
    let (name, rest) = name(&named)?;
    if !rest.is_empty() {
        return None;
    }
    let told = digits
        .parse::<i8>()
        .ok()
        .filter(|octave| *octave < TOO_HIGH);
    Some(match told {
        Some(octave) => Note::new(name, octave),
        None => in_octave_near(name, before),
    })
}

/// What is said of the first name without an octave.
pub(super) fn octave_taken(word: &str, note: Note) -> Diagnostic {
    Diagnostic::remark(
        format!(
            "{} has no octave and was taken as {note}; names without one are taken as near to the \
             note before as can be (the first as low), from E1 to G3, of two as near the lower",
            quoted(word)
        ),
        format!(
            "where another is meant, write the octave as it sounds: `{}`; C4 is middle C, the \
             open strings are E1 A1 D2 G2",
            Note::new(note.name, note.octave + 1)
        ),
    )
}

/// Whether a word that was read as a note tells its octave.
pub(super) fn tells_octave(word: &str) -> bool {
    word.ends_with(|c: char| c.is_ascii_digit())
}

/// The name as near to the note before as can be, the lower where two are as near; without a note
/// before, as low as can be.
fn in_octave_near(name: Name, before: Option<Note>) -> Note {
    let sounds = |note: &Note| note.pitch().is_some_and(|p| BARE.contains(&p.midi()));
    let mut notes = (0..TOO_HIGH)
        .map(|octave| Note::new(name, octave))
        .filter(sounds);
    let nearest = match before {
        Some(before) => notes.min_by_key(|note| note.semitones_to(before).abs()),
        None => notes.next(),
    };
    // The range holds every name.
    nearest.unwrap_or(Note::new(name, 2))
}

/// A note for an example: the note before, or a low F.
fn near(before: Option<Note>) -> Note {
    before.unwrap_or(Note::new(Name::new(Letter::F, 0), 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(word: &str) -> String {
        match read(word, "A1".parse().ok()) {
            Ok(Sign::Note { note, ghost }) => format!("{}{note}", if ghost { "x" } else { "" }),
            other => panic!("{word}: {other:?}"),
        }
    }

    fn hint(word: &str) -> String {
        read(word, "A1".parse().ok())
            .expect_err(word)
            .hint()
            .to_owned()
    }

    #[test]
    fn notes_are_read_in_every_unambiguous_spelling() {
        for (word, note) in [
            ("F1", "F1"),
            ("Bb2", "Bb2"),
            ("bb2", "Bb2"),
            ("b2", "B2"),
            ("bbb2", "Bbb2"),
            ("C#3", "C#3"),
            ("c♯3", "C#3"),
            ("E♭2", "Eb2"),
            ("F𝄪1", "F##1"),
            ("G♮1", "G1"),
            ("xF2", "xF2"),
            ("Xbb1", "xBb1"),
            ("C0", "C0"),
            ("F", "F1"),
            ("bb", "Bb1"),
            ("b", "B1"),
            ("xC#", "xC#2"),
        ] {
            assert_eq!(told(word), note, "{word}");
        }
        assert_eq!(read(".", None), Ok(Sign::Hold));
        assert_eq!(read("R", None), Ok(Sign::Rest));
    }

    #[test]
    fn a_name_without_an_octave_is_as_near_to_the_note_before_as_can_be() {
        for (before, name, taken) in [
            // The first is as low as a bass with four strings has it.
            ("", "E", "E1"),
            ("", "Eb", "Eb2"),
            ("", "D", "D2"),
            ("", "Cb", "Cb2"),
            ("A1", "C", "C2"),
            ("C2", "A", "A1"),
            ("E2", "F", "F2"),
            // Of two tritones the lower, where it is on the neck.
            ("Bb1", "E", "E1"),
            ("F2", "B", "B1"),
            ("F1", "B", "B1"),
            ("B2", "E#", "E#2"),
            // Nothing below E1 and above G3.
            ("E1", "D", "D2"),
            ("F1", "Fb", "Fb1"),
            ("G3", "A", "A2"),
            ("F3", "G", "G3"),
            ("C1", "C", "C2"),
        ] {
            let before = before.parse().ok();
            let Ok(Sign::Note { note, .. }) = read(name, before) else {
                panic!("{name} is no note");
            };
            assert_eq!(note.to_string(), taken, "{name} after {before:?}");
            assert!(!tells_octave(name) && tells_octave(taken));
        }
    }

    #[test]
    fn a_misspelled_note_is_answered_with_the_nearest_right_spelling() {
        for (word, right) in [
            ("H2", "`B2`"),
            ("2F", "`F2`"),
            ("fis2", "`F#2`"),
            ("es1", "`Eb1`"),
            ("Bflat2", "`Bb2`"),
            ("F'", "`F1`"),
            ("F,2", "`F2`"),
            ("xh1", "`xB1`"),
            ("F12", "`F1`"),
            ("F7", "`F1`"),
            ("sol1", "`G1`"),
        ] {
            assert!(hint(word).contains(right), "{word}: {}", hint(word));
        }
        assert!(hint("F7").contains("chart"));
    }

    #[test]
    fn words_that_are_like_no_note_are_refused_with_an_example() {
        for word in ["q", "-", "Fbb#1", "F#b1", "♭2", "", "(", "Fmaj7", "x"] {
            assert!(read(word, None).is_err(), "{word}");
            assert!(hint(word).contains("A1"), "{word}: {}", hint(word));
        }
    }
}
