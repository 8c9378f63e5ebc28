//! Header lines: `name: value` before the first bar.

use linewright_theory::Key;

use super::directive::Trouble;
use crate::fault::Collector;
use crate::metre::Metre;
use crate::source::{nearest, plain, quote};

/// Tempos that are read, in beats a minute.
const TEMPOS: std::ops::RangeInclusive<u16> = 20..=400;

/// A longer title or feel is refused, in characters.
const MAX_TEXT: usize = 200;

const NAMES: [&str; 6] = ["title", "key", "time", "tempo", "feel", "pickup"];

/// What the header lines told.
#[derive(Default)]
pub(crate) struct Header {
    pub title: Option<String>,
    pub key: Option<Key>,
    pub time: Option<Metre>,
    pub tempo: Option<u16>,
    pub feel: Option<String>,
    pub pickup: Option<(usize, u8)>,
    seen: Vec<&'static str>,
}

/// Splits a header line into its name and value, or `None` for a line of
/// another kind. Offsets are counted in the line.
pub(crate) fn split(line: &str) -> Option<Line<'_>> {
    let colon = line.find(':')?;
    let name = line[..colon].trim();
    let is_name = !name.is_empty()
        && name.chars().all(|c| c.is_alphabetic() || " -_".contains(c))
        && !line[colon..].starts_with(":|")
        && !line[colon..].starts_with("::");
    if !is_name {
        return None;
    }
    let value = without_comment(&line[colon + 1..]);
    let start = value.len() - value.trim_start().len();
    Some(Line {
        name,
        name_at: line.len() - line.trim_start().len(),
        value: value.trim(),
        value_at: colon + 1 + start,
    })
}

/// A header line in parts.
pub(crate) struct Line<'a> {
    name: &'a str,
    name_at: usize,
    value: &'a str,
    value_at: usize,
}

impl Line<'_> {
    /// Whether the name is one that this format knows.
    pub(crate) fn is_known(&self) -> bool {
        NAMES.contains(&self.name.to_lowercase().as_str())
    }

    /// Notes that the line, which starts at this offset, stands after the first
    /// bar.
    pub(crate) fn too_late(&self, start: usize, faults: &mut Collector) {
        let name = self.name.to_lowercase();
        let hint = if ["key", "time", "tempo"].contains(&name.as_str()) {
            let value = plain(self.value);
            format!("for a change inside the tune write `({name}: {value})` in its bar")
        } else {
            "put it above the first bar".to_owned()
        };
        faults.add(
            start + self.name_at,
            format!("the header line `{name}:` stands after the first bar"),
            hint,
        );
    }
}

/// The value up to a `#` that begins it or follows a blank.
fn without_comment(value: &str) -> &str {
    let mut blank = true;
    for (at, character) in value.char_indices() {
        if character == '#' && blank {
            return &value[..at];
        }
        blank = character.is_whitespace();
    }
    value
}

impl Header {
    /// Takes one header line that starts at this offset of the text.
    pub(crate) fn take(&mut self, start: usize, line: &Line<'_>, faults: &mut Collector) {
        let name_at = start + line.name_at;
        let typed = line.name.to_lowercase();
        let Some(name) = NAMES.into_iter().find(|name| *name == typed) else {
            let hint = match (typed.as_str(), nearest(&typed, &NAMES)) {
                _ if line.value.contains('|') => {
                    format!("name a section in brackets: `[{}]`", plain(line.name))
                }
                ("metre" | "meter" | "signature", _) => "write `time:`".to_owned(),
                ("bpm" | "speed", _) => "write `tempo:`".to_owned(),
                ("style" | "groove", _) => "write `feel:`".to_owned(),
                ("name" | "tune", _) => "write `title:`".to_owned(),
                (_, Some(near)) => format!("write `{near}:`"),
                _ => "the header lines are `title:`, `key:`, `time:`, `tempo:`, `feel:` and \
                      `pickup:`; a remark begins with `#`"
                    .to_owned(),
            };
            faults.add(
                name_at,
                format!("{} is no header line", quote(line.name)),
                hint,
            );
            return;
        };
        if self.seen.contains(&name) {
            faults.add(
                name_at,
                format!("`{name}:` is told twice"),
                "leave one of the two out; a change inside the tune goes in parentheses, \
                 for example `(tempo: 160)`",
            );
            return;
        }
        self.seen.push(name);
        if let Err((message, hint)) = self.set(name, start + line.value_at, line.value) {
            faults.add(start + line.value_at, message, hint);
        }
    }

    fn set(&mut self, name: &str, at: usize, value: &str) -> Result<(), Trouble> {
        if value.is_empty() {
            return Err((
                format!("`{name}:` is empty"),
                "write its value after the colon, or leave the line out".into(),
            ));
        }
        match name {
            "title" => self.title = Some(words(name, value)?),
            "feel" => self.feel = Some(words(name, value)?),
            "key" => self.key = Some(key(value)?),
            "time" => self.time = Some(time(value)?),
            "tempo" => self.tempo = Some(tempo(value)?),
            _ => self.pickup = Some((at, pickup(value)?)),
        }
        Ok(())
    }
}

/// A title or feel: one line, single blanks, no control characters.
fn words(name: &str, value: &str) -> Result<String, Trouble> {
    if value.chars().count() > MAX_TEXT {
        return Err((
            format!("the {name} is longer than {MAX_TEXT} characters"),
            "shorten it".into(),
        ));
    }
    if let Some(odd) = value.chars().find(|c| c.is_control() && *c != '\t') {
        return Err((
            format!(
                "the {name} has a control character (U+{:04X})",
                u32::from(odd)
            ),
            "leave it out".into(),
        ));
    }
    Ok(value.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Reads a key such as `Bb`, `Bbm` or `Bb minor`.
pub(crate) fn key(value: &str) -> Result<Key, Trouble> {
    value
        .parse::<Key>()
        .map_err(|error| (error.message().to_owned(), error.hint().to_owned()))
}

/// Reads a metre.
pub(crate) fn time(value: &str) -> Result<Metre, Trouble> {
    Metre::read(value).ok_or_else(|| {
        let known: Vec<String> = Metre::ALL.iter().map(|m| format!("`{m}`")).collect();
        let known = known.join(", ");
        let hint = match value {
            "C" | "c" => "write `4/4`".to_owned(),
            "C|" => "write `2/4` or `4/4`".to_owned(),
            _ => format!("these are read, with the quarter note as the beat: {known}"),
        };
        (
            format!("{} is no metre that can be read here", quote(value)),
            hint,
        )
    })
}

/// Reads a tempo in beats a minute, with or without `bpm`.
pub(crate) fn tempo(value: &str) -> Result<u16, Trouble> {
    let number = value
        .strip_suffix("bpm")
        .or_else(|| value.strip_suffix("BPM"))
        .unwrap_or(value)
        .trim();
    number
        .parse::<u16>()
        .ok()
        .filter(|tempo| TEMPOS.contains(tempo))
        .ok_or_else(|| {
            (
                format!("{} is no tempo", quote(value)),
                format!(
                    "write whole beats a minute from {} to {}, for example `140`",
                    TEMPOS.start(),
                    TEMPOS.end()
                ),
            )
        })
}

fn pickup(value: &str) -> Result<u8, Trouble> {
    value
        .parse::<u8>()
        .ok()
        .filter(|beats| (1..=6).contains(beats))
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
        for line in ["title: Blue yard", "  key : F", "Feel:", "composer: nobody"] {
            assert!(split(line).is_some(), "{line}");
        }
        for line in [
            "C :|",
            "|: C :|",
            "C7 | F7",
            "C:|",
            "(key: F) C",
            "",
            "a::b",
        ] {
            assert!(split(line).is_none(), "{line}");
        }
    }

    #[test]
    fn a_value_ends_at_a_comment_but_keeps_its_sharps() {
        assert_eq!(split("key: F# minor  # dark").unwrap().value, "F# minor");
        assert_eq!(split("title: C#s #").unwrap().value, "C#s");
        assert_eq!(split("title:# none").unwrap().value, "");
    }

    #[test]
    fn tempos_outside_the_playable_are_refused() {
        assert_eq!(tempo("140"), Ok(140));
        assert_eq!(tempo("140 bpm"), Ok(140));
        for text in ["0", "19", "401", "fast", "-3", "99999", "120.5"] {
            assert!(tempo(text).is_err(), "{text}");
        }
    }
}
