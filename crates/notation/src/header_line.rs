//! Header lines `name: value`, as charts and bass lines in plain text have them above the first
//! bar, and what both say of them.

use std::ops::RangeInclusive;

use linewright_diagnostic::{
    Diagnostic,
    clean::{quoted, shown},
};

/// A header line in parts, without the blanks around them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeaderLine<'a> {
    /// The name as it is typed.
    pub name: &'a str,
    /// The byte of the line where the name begins.
    pub name_at: usize,
    /// The value, with a comment behind it.
    pub value: &'a str,
    /// The byte of the line where the value begins.
    pub value_at: usize,
}

impl<'a> HeaderLine<'a> {
    /// Splits a header line; `None` for a line of another kind.
    pub fn split(line: &'a str) -> Option<Self> {
        let (name, value) = line.split_once(':')?;
        if !is_name(name.trim()) || value.starts_with(['|', ':']) {
            return None;
        }
        let blanks = |text: &str| text.len() - text.trim_start().len();
        Some(HeaderLine {
            name: name.trim(),
            name_at: blanks(name),
            value: value.trim(),
            value_at: name.len() + 1 + blanks(value),
        })
    }

    /// What is wrong with a header line after the first bar of a `piece`, at its byte of the
    /// line.
    pub fn too_late(&self, piece: &str) -> Diagnostic {
        let name = shown(&self.name.to_lowercase());
        let hint = match name.as_str() {
            "key" | "time" | "tempo" => format!(
                "for a change inside the {piece} write `({name}: {})` in its bar",
                shown(uncommented(self.value))
            ),
            _ => "put it above the first bar".to_owned(),
        };
        let message = format!("the header line `{name}:` stands after the first bar");
        Diagnostic::error(message, hint).at(self.name_at)
    }
}

/// Whether a text is a name: words of letters and digits.
pub fn is_name(text: &str) -> bool {
    text.starts_with(char::is_alphabetic)
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || " -_".contains(c))
}

/// A value without its comment, which begins with a `#` at the start or after a blank.
pub fn uncommented(value: &str) -> &str {
    let mut blank = true;
    for (at, c) in value.char_indices() {
        if c == '#' && blank {
            return value[..at].trim_end();
        }
        blank = c.is_whitespace();
    }
    value
}

/// What is wrong with a header line that has no value.
pub fn empty(name: &str) -> Diagnostic {
    Diagnostic::error(
        format!("`{name}:` is empty"),
        "write its value after the colon, or leave the line out",
    )
}

/// Refuses a free text with a character that is `odd`; tabs are blanks.
///
/// # Errors
/// Which character it is.
pub fn without(odd: fn(char) -> bool, name: &str, value: &str) -> Result<(), Diagnostic> {
    match value.chars().find(|&c| odd(c) && c != '\t') {
        None => Ok(()),
        Some(c) => Err(Diagnostic::error(
            format!(
                "the {} has a control character (U+{:04X})",
                shown(name),
                u32::from(c)
            ),
            "leave it out",
        )),
    }
}

/// Reads a tempo in `beats` a minute, with or without `bpm`.
///
/// # Errors
/// A text that is no whole number in the range.
pub fn tempo(value: &str, range: RangeInclusive<u16>, beats: &str) -> Result<u16, Diagnostic> {
    let number = value
        .strip_suffix("bpm")
        .or_else(|| value.strip_suffix("BPM"))
        .unwrap_or(value);
    let tempo = number.trim().parse().ok();
    tempo.filter(|tempo| range.contains(tempo)).ok_or_else(|| {
        let (low, high) = range.into_inner();
        Diagnostic::error(
            format!("{} is no tempo", quoted(value)),
            format!("write whole {beats} a minute from {low} to {high}, for example `140`"),
        )
    })
}

/// Reads the beats of a pick-up bar, from 1 to `most`.
///
/// # Errors
/// A text that is no such number.
pub fn pickup(value: &str, most: u8) -> Result<u8, Diagnostic> {
    let beats = value.parse().ok();
    beats
        .filter(|beats| (1..=most).contains(beats))
        .ok_or_else(|| {
            Diagnostic::error(
                format!("{} is no length of a pick-up bar", quoted(value)),
                "write the beats of the first, short bar, for example `pickup: 1`",
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_line_is_told_from_a_line_of_bars() {
        for (line, name, value) in [
            ("title: Blue yard", "title", "Blue yard"),
            ("  key : F", "key", "F"),
            ("style hash: 12", "style hash", "12"),
            ("Feel:", "Feel", ""),
            ("composer: nobody", "composer", "nobody"),
        ] {
            let line = HeaderLine::split(line).expect("a header line");
            assert_eq!((line.name, line.value.trim()), (name, value));
        }
        for line in [
            "C :|",
            "|: C :|",
            "C7 | F7",
            "C:|",
            "(key: F) C",
            "[A: x] F1",
            "",
            "a::b",
        ] {
            assert!(HeaderLine::split(line).is_none(), "{line}");
        }
    }

    #[test]
    fn its_parts_know_where_they_begin() {
        let line = HeaderLine::split("  kéy :  F  # dark").unwrap();
        assert_eq!((line.name, line.name_at), ("kéy", 2));
        assert_eq!((line.value, line.value_at), ("F  # dark", 10));
    }

    #[test]
    fn a_value_ends_at_a_comment_but_keeps_its_sharps() {
        for (value, told) in [
            ("F# minor  # dark", "F# minor"),
            ("C#s #", "C#s"),
            ("# no", ""),
        ] {
            assert_eq!(uncommented(value), told);
        }
    }

    #[test]
    fn tempos_and_pick_ups_outside_their_range_are_refused() {
        let tempo = |text| tempo(text, 20..=400, "beats");
        assert_eq!(tempo("140"), Ok(140));
        assert_eq!(tempo("140 bpm"), Ok(140));
        for text in ["0", "19", "401", "fast", "-3", "99999", "120.5"] {
            assert!(tempo(text).is_err(), "{text}");
        }
        assert_eq!(pickup("3", 6), Ok(3));
        for text in ["0", "7", "one", "-1"] {
            assert!(pickup(text, 6).is_err(), "{text}");
        }
    }
}
