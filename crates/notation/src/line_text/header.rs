//! Header lines `name: value`, and the values that changes in a bar have too.

use linewright_theory::Key;

use super::source::{disturbs, quote, shown};
use super::word::Fault;
use crate::score::TimeSignature;

/// The names that say how the line is to be read.
pub(super) const NAMES: [&str; 6] = ["title", "time", "key", "tempo", "feel", "pickup"];

/// What stands before the name of a fact that has the name of a header line.
pub(super) const ABOUT: &str = "about ";

/// The longest name of a fact, in characters.
pub(super) const LONGEST_NAME: usize = 40;

/// The longest value, in characters.
pub(super) const LONGEST_VALUE: usize = 1000;

/// Most facts of a line.
pub(super) const MOST_FACTS: usize = 200;

/// A header line in its parts, with the columns where they begin.
pub(super) struct Line<'a> {
    pub(super) name: String,
    pub(super) name_column: usize,
    pub(super) value: &'a str,
    pub(super) value_column: usize,
}

/// Splits a header line; `None` for a line of another kind.
pub(super) fn split(line: &str) -> Option<Line<'_>> {
    let colon = line.find(':')?;
    let name = line[..colon].trim();
    if name.is_empty() || line[colon..].starts_with(":|") || !is_name(name) {
        return None;
    }
    let value = &line[colon + 1..];
    let blanks = value.len() - value.trim_start().len();
    Some(Line {
        name: name.to_lowercase(),
        name_column: 1 + line.chars().take_while(|c| c.is_whitespace()).count(),
        value: value.trim(),
        value_column: line[..colon + 1 + blanks].chars().count() + 1,
    })
}

/// Whether a text is a name: words of letters and digits.
pub(super) fn is_name(text: &str) -> bool {
    text.starts_with(char::is_alphabetic)
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || " -_".contains(c))
}

/// What the header lines told.
#[derive(Default)]
pub(super) struct Header {
    pub(super) title: Option<String>,
    pub(super) time: Option<TimeSignature>,
    pub(super) key: Option<Key>,
    pub(super) tempo: Option<u16>,
    pub(super) feel: Option<String>,
    /// The beats of the pick-up.
    pub(super) pickup: Option<u8>,
    pub(super) facts: Vec<(String, String)>,
    seen: Vec<String>,
}

/// What came of a header line that is no fault.
pub(super) enum Taken {
    /// Its name says what it is.
    Known,
    /// A fact with this name; perhaps a header line was meant.
    Fact(Option<&'static str>),
}

impl Header {
    /// Takes a header line; a fault comes with whether it is about the value.
    pub(super) fn take(&mut self, line: &Line<'_>) -> Result<Taken, (bool, Fault)> {
        let name = line.name.split_whitespace().collect::<Vec<_>>().join(" ");
        if NAMES.contains(&name.as_str()) && self.seen.contains(&name) {
            return Err((
                false,
                (
                    format!("`{}:` is told twice", shown(&name)),
                    "leave one of the two out".into(),
                ),
            ));
        }
        self.seen.push(name.clone());
        let value = plain_value(&name, line.value).map_err(|fault| (true, fault))?;
        if !NAMES.contains(&name.as_str()) {
            return self.fact(&name, value).map_err(|fault| (false, fault));
        }
        if value.is_empty() {
            return Err((
                true,
                (
                    format!("`{name}:` is empty"),
                    "write its value after the colon, or leave the line out".into(),
                ),
            ));
        }
        let known = match name.as_str() {
            "title" => {
                self.title = Some(value);
                Ok(())
            }
            "feel" => {
                self.feel = Some(value);
                Ok(())
            }
            "time" => time(uncommented(&value)).map(|time| self.time = Some(time)),
            "key" => key(uncommented(&value)).map(|key| self.key = Some(key)),
            "tempo" => tempo(uncommented(&value)).map(|tempo| self.tempo = Some(tempo)),
            _ => pickup(uncommented(&value)).map(|beats| self.pickup = Some(beats)),
        };
        known.map(|()| Taken::Known).map_err(|fault| (true, fault))
    }

    fn fact(&mut self, name: &str, value: String) -> Result<Taken, Fault> {
        if name.chars().count() > LONGEST_NAME {
            return Err((
                format!("the name {} is too long", quote(name)),
                format!("name the fact in at most {LONGEST_NAME} characters"),
            ));
        }
        if self.facts.len() == MOST_FACTS {
            return Err((
                format!("there are more than {MOST_FACTS} facts"),
                "leave some out".into(),
            ));
        }
        let meant = NAMES
            .into_iter()
            .find(|known| is_slip_of(name, known) || (name, *known) == ("metre", "time"));
        let told = name.strip_prefix(ABOUT).unwrap_or(name);
        self.facts.push((told.to_owned(), value));
        Ok(Taken::Fact(meant))
    }
}

/// A value as it is kept: one line of bounded length.
fn plain_value(name: &str, value: &str) -> Result<String, Fault> {
    if value.chars().count() > LONGEST_VALUE {
        return Err((
            format!("the {} is too long", shown(name)),
            format!("write at most {LONGEST_VALUE} characters"),
        ));
    }
    match value.chars().find(|&c| disturbs(c) && c != '\t') {
        Some(odd) => Err((
            format!(
                "the {} has a control character (U+{:04X})",
                shown(name),
                u32::from(odd)
            ),
            "leave it out".into(),
        )),
        None => Ok(value.replace('\t', " ")),
    }
}

/// A value without a comment: `#` after a blank.
fn uncommented(value: &str) -> &str {
    let mut blank = true;
    for (at, c) in value.char_indices() {
        if c == '#' && blank {
            return value[..at].trim_end();
        }
        blank = c.is_whitespace();
    }
    value
}

/// Whether one letter too many, too few, another or two swapped make `typed` of `known`.
fn is_slip_of(typed: &str, known: &str) -> bool {
    let (typed, known): (Vec<char>, Vec<char>) = (typed.chars().collect(), known.chars().collect());
    let same = typed.iter().zip(&known).take_while(|(a, b)| a == b).count();
    let (typed, known) = (&typed[same..], &known[same..]);
    match typed.len().abs_diff(known.len()) {
        0 => {
            typed.get(1..) == known.get(1..)
                || (typed.len() > 1
                    && (typed[0], typed[1]) == (known[1], known[0])
                    && typed[2..] == known[2..])
        }
        1 if typed.len() > known.len() => typed[1..] == *known,
        1 => *typed == known[1..],
        _ => false,
    }
}

/// A time signature.
pub(super) fn time(value: &str) -> Result<TimeSignature, Fault> {
    let number = |text: &str| text.trim().parse::<u8>().ok();
    let read = || {
        let (beats, unit) = value.split_once('/')?;
        let (beats, unit) = (number(beats)?, number(unit)?);
        let fits = (1..=32).contains(&beats) && unit.is_power_of_two() && unit <= 64;
        fits.then_some(TimeSignature { beats, unit })
    };
    read().ok_or_else(|| {
        let hint = match value {
            "C" | "c" => "write `4/4`",
            "C|" | "c|" => "write `2/2`",
            _ => "write beats and their note value, for example `4/4`, `3/4` or `7/8`",
        };
        (format!("{} is no metre", quote(value)), hint.into())
    })
}

/// A key.
pub(super) fn key(value: &str) -> Result<Key, Fault> {
    let capital = |text: &str| {
        let mut chars = text.chars();
        chars
            .next()
            .map(|first| format!("{}{}", first.to_ascii_uppercase(), chars.as_str()))
    };
    value.parse::<Key>().map_err(|error| {
        let right = capital(value).filter(|better| better.parse::<Key>().is_ok());
        let hint = match right {
            Some(better) if better != value => format!("write `{better}`"),
            _ => error.hint().to_owned(),
        };
        (error.message().to_owned(), hint)
    })
}

/// A tempo, with or without `bpm`.
pub(super) fn tempo(value: &str) -> Result<u16, Fault> {
    let number = value
        .strip_suffix("bpm")
        .or_else(|| value.strip_suffix("BPM"))
        .unwrap_or(value)
        .trim();
    number
        .parse::<u16>()
        .ok()
        .filter(|tempo| (1..=1000).contains(tempo))
        .ok_or_else(|| {
            (
                format!("{} is no tempo", quote(value)),
                "write whole quarter notes a minute from 1 to 1000, for example `140`".into(),
            )
        })
}

fn pickup(value: &str) -> Result<u8, Fault> {
    value
        .parse::<u8>()
        .ok()
        .filter(|beats| (1..=31).contains(beats))
        .ok_or_else(|| {
            (
                format!("{} is no length of a pick-up bar", quote(value)),
                "write the beats of the first, short bar, for example `pickup: 1`".into(),
            )
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_line_is_told_from_a_line_of_bars() {
        for line in ["title: Blue yard", "  key : F", "style hash: 12", "Feel:"] {
            assert!(split(line).is_some(), "{line}");
        }
        for line in ["| F1 :|", "|: F1", "(key: F) F1", "[A: x] F1", "F1:|", ""] {
            assert!(split(line).is_none(), "{line}");
        }
        let line = split("  kéy :  F").unwrap();
        assert_eq!((line.name_column, line.value_column), (3, 10));
    }

    #[test]
    fn a_slip_of_one_letter_is_known() {
        for (typed, known) in [
            ("titel", "title"),
            ("titl", "title"),
            ("tempos", "tempo"),
            ("kez", "key"),
        ] {
            assert!(is_slip_of(typed, known), "{typed}");
        }
        for typed in ["line", "style", "seed", "ti", ""] {
            assert!(
                !NAMES.iter().any(|known| is_slip_of(typed, known)),
                "{typed}"
            );
        }
    }

    #[test]
    fn values_are_read_or_refused_with_what_to_write() {
        assert_eq!(time("7/8"), Ok(TimeSignature { beats: 7, unit: 8 }));
        assert!(time("C|").unwrap_err().1.contains("2/2"));
        for text in ["0/4", "4/3", "4", "33/4", "4/128", "-1/4"] {
            assert!(time(text).is_err(), "{text}");
        }
        assert_eq!(key("F minor").unwrap().to_string(), "F minor");
        assert!(key("bb").unwrap_err().1.contains("`Bb`"));
        assert_eq!(tempo("140 bpm"), Ok(140));
        for text in ["0", "1001", "fast", "120.5"] {
            assert!(tempo(text).is_err(), "{text}");
        }
    }
}
