//! Header lines `name: value`, and the values that changes in a bar have too.

use linewright_diagnostic::{
    Diagnostic,
    clean::{disturbs, quoted, shown},
    is_slip_of,
};
use linewright_theory::Key;

use crate::header_line::{self, HeaderLine, uncommented};
use crate::score::TimeSignature;

/// The names that say how the line is to be read.
pub(super) const NAMES: [&str; 8] = [
    "title", "composer", "student", "time", "key", "tempo", "feel", "pickup",
];

/// Those of them that say whose it is. A form to be filled in may leave them empty, and who is
/// told second is kept as a fact.
const CREDITS: [&str; 2] = ["composer", "student"];

/// What stands before the name of a fact that has the name of a header line.
pub(super) const ABOUT: &str = "about ";

/// The longest name of a fact, in characters.
pub(super) const LONGEST_NAME: usize = 40;

/// The longest value, in characters.
pub(super) const LONGEST_VALUE: usize = 1000;

/// Most beats of a pick-up.
const MOST_PICKUP: u8 = 31;

/// Most facts of a line.
pub(super) const MOST_FACTS: usize = 200;

/// What the header lines told.
#[derive(Default)]
pub(super) struct Header {
    pub(super) title: Option<String>,
    pub(super) composer: Option<String>,
    pub(super) student: Option<String>,
    pub(super) time: Option<TimeSignature>,
    pub(super) key: Option<Key>,
    pub(super) tempo: Option<u16>,
    pub(super) feel: Option<String>,
    /// The beats of the pick-up.
    pub(super) pickup: Option<u8>,
    pub(super) facts: Vec<(String, String)>,
    seen: Vec<String>,
}

impl Header {
    /// Takes a header line. What is to be said of it has its place in the line, in bytes.
    pub(super) fn take(&mut self, line: &HeaderLine<'_>) -> Option<Diagnostic> {
        let name = line.name.to_lowercase();
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        let told = self.seen.contains(&name);
        let known = NAMES.contains(&name.as_str()) && !(told && is_credit(&name));
        if known && told {
            let message = format!("`{name}:` is told twice");
            return Some(Diagnostic::error(message, "leave one of the two out").at(line.name_at));
        }
        let found = match plain_value(&name, line.value) {
            Ok(value) if known => self.set(&name, value).err(),
            Ok(value) => return self.fact(&name, value).map(|found| found.at(line.name_at)),
            Err(fault) => Some(fault),
        };
        self.seen.push(name);
        found.map(|found| found.at(line.value_at))
    }

    fn set(&mut self, name: &str, value: String) -> Result<(), Diagnostic> {
        if value.is_empty() && !is_credit(name) {
            return Err(header_line::empty(name));
        }
        let told = uncommented(&value);
        match name {
            "time" => self.time = Some(time(told)?),
            "key" => self.key = Some(key(told)?),
            "tempo" => self.tempo = Some(tempo(told)?),
            "pickup" => self.pickup = Some(header_line::pickup(told, MOST_PICKUP)?),
            "title" => self.title = Some(value),
            "composer" => self.composer = Some(value).filter(|value| !value.is_empty()),
            "student" => self.student = Some(value).filter(|value| !value.is_empty()),
            _ => self.feel = Some(value),
        }
        Ok(())
    }

    /// Keeps a fact, with a remark where its name is nearly that of a header line.
    fn fact(&mut self, name: &str, value: String) -> Option<Diagnostic> {
        if name.chars().count() > LONGEST_NAME {
            return Some(Diagnostic::error(
                format!("the name {} is too long", quoted(name)),
                format!("name the fact in at most {LONGEST_NAME} characters"),
            ));
        }
        if self.facts.len() == MOST_FACTS {
            return Some(Diagnostic::error(
                format!("there are more than {MOST_FACTS} facts"),
                "leave some out",
            ));
        }
        let told = name.strip_prefix(ABOUT).unwrap_or(name);
        self.facts.push((told.to_owned(), value));
        let meant = NAMES
            .into_iter()
            .find(|known| is_slip_of(name, known) || (name, *known) == ("metre", "time"))?;
        Some(Diagnostic::remark(
            format!("`{name}:` was kept as a fact of your own"),
            format!("if you mean `{meant}:`, write that"),
        ))
    }
}

fn is_credit(name: &str) -> bool {
    CREDITS.contains(&name)
}

/// A value as it is kept: one line of bounded length.
fn plain_value(name: &str, value: &str) -> Result<String, Diagnostic> {
    if value.chars().count() > LONGEST_VALUE {
        return Err(Diagnostic::error(
            format!("the {} is too long", shown(name)),
            format!("write at most {LONGEST_VALUE} characters"),
        ));
    }
    header_line::without(disturbs, name, value)?;
    Ok(value.replace('\t', " "))
}

/// A time signature.
pub(super) fn time(value: &str) -> Result<TimeSignature, Diagnostic> {
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
        Diagnostic::error(format!("{} is no metre", quoted(value)), hint)
    })
}

/// A key.
pub(super) fn key(value: &str) -> Result<Key, Diagnostic> {
    let capital = |text: &str| {
        let mut chars = text.chars();
        chars
            .next()
            .map(|first| format!("{}{}", first.to_ascii_uppercase(), chars.as_str()))
    };
    value.parse::<Key>().map_err(|error| {
        let right = capital(value).filter(|better| better.parse::<Key>().is_ok());
        match right {
            Some(better) if better != value => error.hinting(format!("write `{better}`")),
            _ => error,
        }
    })
}

/// A tempo, with or without `bpm`.
pub(super) fn tempo(value: &str) -> Result<u16, Diagnostic> {
    header_line::tempo(value, 1..=1000, "quarter notes")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_read_or_refused_with_what_to_write() {
        assert_eq!(time("7/8"), Ok(TimeSignature { beats: 7, unit: 8 }));
        assert!(time("C|").unwrap_err().hint().contains("2/2"));
        for text in ["0/4", "4/3", "4", "33/4", "4/128", "-1/4"] {
            assert!(time(text).is_err(), "{text}");
        }
        assert_eq!(key("F minor").unwrap().to_string(), "F minor");
        assert!(key("bb").unwrap_err().hint().contains("`Bb`"));
        assert_eq!(tempo("140 bpm"), Ok(140));
        for text in ["0", "1001", "fast", "120.5"] {
            assert!(tempo(text).is_err(), "{text}");
        }
    }
}
