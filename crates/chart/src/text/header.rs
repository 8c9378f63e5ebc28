//! Header lines: `name: value` before the first bar.

use linewright_diagnostic::{
    Diagnostic, Diagnostics,
    clean::{quoted, shown},
    nearest,
};
use linewright_notation::header_line::{self, HeaderLine, uncommented};
use linewright_theory::Key;

use super::bare;
use crate::feel;
use crate::metre::Metre;

/// Tempos that are read, in beats a minute.
const TEMPOS: std::ops::RangeInclusive<u16> = 20..=400;

/// A longer title, name or feel is refused, in characters.
const MAX_TEXT: usize = 200;

/// Most beats of a pick-up bar.
const MAX_PICKUP: u8 = 6;

const NAMES: [&str; 7] = [
    "title", "composer", "key", "time", "tempo", "feel", "pickup",
];

/// Those whose value is any text, to the end of its line.
const FREE_TEXTS: [&str; 3] = ["title", "composer", "feel"];

/// What the header lines told.
#[derive(Default)]
pub(crate) struct Header {
    pub title: Option<String>,
    pub composer: Option<String>,
    pub key: Option<Key>,
    pub time: Option<Metre>,
    pub tempo: Option<u16>,
    pub feel: Option<String>,
    pub pickup: Option<(usize, u8)>,
    seen: Vec<&'static str>,
}

/// Splits a header line; `None` for a line of another kind. A chord with its number is no name.
pub(crate) fn split(line: &str) -> Option<HeaderLine<'_>> {
    HeaderLine::split(line).filter(|line| !line.name.contains(char::is_numeric))
}

/// Whether the name of a header line is one that a chart knows.
pub(crate) fn is_known(line: &HeaderLine<'_>) -> bool {
    NAMES.contains(&line.name.to_lowercase().as_str())
}

impl Header {
    /// Takes one header line that starts at this offset of the text.
    pub(crate) fn take(&mut self, start: usize, line: &HeaderLine<'_>, faults: &mut Diagnostics) {
        let name_at = start + line.name_at;
        let typed = line.name.to_lowercase();
        let Some(name) = NAMES.into_iter().find(|name| *name == typed) else {
            let message = format!("{} is no header line", quoted(line.name));
            faults.error(name_at, message, meant(line, &typed));
            return;
        };
        if self.seen.contains(&name) {
            faults.error(
                name_at,
                format!("`{name}:` is told twice"),
                "leave one of the two out; a change inside the tune goes in parentheses, \
                 for example `(tempo: 160)`",
            );
            return;
        }
        self.seen.push(name);
        let value_at = start + line.value_at;
        let value = uncommented(line.value);
        let next = next_header(value);
        let own = match next {
            Some(at) if !FREE_TEXTS.contains(&name) => value[..at].trim_end_matches(is_between),
            _ => value,
        };
        if let Err(fault) = self.set(name, value_at, own) {
            faults.add(fault.at(value_at));
        }
        if name == "feel" && !own.is_empty() && feel::known(own).is_none() {
            faults.add(unknown_feel(own).at(value_at));
        }
        let Some(at) = next else { return };
        if own.len() == value.len() {
            let name = shown(value[at..].split(':').next().unwrap_or_default().trim());
            faults.remark(
                value_at + at,
                format!(
                    "`{name}:` was taken as words of the {}",
                    line.name.to_lowercase()
                ),
                format!("if it is meant as a header line, write `{name}:` on a line of its own"),
            );
        } else if let Some(line) = HeaderLine::split(&value[at..]) {
            self.take(value_at + at, &line, faults);
        }
    }

    /// Takes the first line of a text as the title, where it is one without `title:`; whether it
    /// was.
    pub(crate) fn take_bare_title(
        &mut self,
        start: usize,
        line: &str,
        faults: &mut Diagnostics,
    ) -> bool {
        let Some(title) = bare::title(line) else {
            return false;
        };
        let at = start + line.len() - line.trim_start().len();
        self.seen.push("title");
        match self.set("title", at, title) {
            Ok(()) => faults.remark(
                at,
                "the first line is words and not chords, so it was taken as the title",
                format!("write `title: {}`", shown(title)),
            ),
            Err(fault) => faults.add(fault.at(at)),
        }
        true
    }

    fn set(&mut self, name: &str, at: usize, value: &str) -> Result<(), Diagnostic> {
        if value.is_empty() {
            return Err(header_line::empty(name));
        }
        match name {
            "title" => self.title = Some(words(name, value)?),
            "composer" => self.composer = Some(words(name, value)?),
            "feel" => self.feel = Some(words(name, value)?),
            "key" => self.key = Some(value.parse()?),
            "time" => self.time = Some(time(value)?),
            "tempo" => self.tempo = Some(tempo(value)?),
            _ => self.pickup = Some((at, header_line::pickup(value, MAX_PICKUP)?)),
        }
        Ok(())
    }
}

/// What is said of a feel that changes nothing.
fn unknown_feel(feel: &str) -> Diagnostic {
    let known: Vec<String> = feel::names().map(|name| format!("`{name}`")).collect();
    Diagnostic::remark(
        format!(
            "the feel {} is not known, and is kept as words for the page only",
            quoted(feel)
        ),
        format!("the feels that are known are {}", known.join(", ")),
    )
}

/// Where in a value the next header of the same line begins, as in `Bb Tempo: 120`.
fn next_header(value: &str) -> Option<usize> {
    value
        .match_indices(':')
        .map(|(colon, _)| {
            let name = value[..colon].trim_end();
            let before = name.trim_end_matches(char::is_alphabetic);
            (before.len(), name)
        })
        .find(|&(at, name)| {
            let typed = name[at..].to_lowercase();
            name[..at].ends_with(is_between) && NAMES.contains(&typed.as_str())
        })
        .map(|(at, _)| at)
}

/// Whether a character may stand between two headers of one line.
fn is_between(c: char) -> bool {
    c.is_whitespace() || matches!(c, ',' | ';')
}

/// What to write for a name that no header line has.
fn meant(line: &HeaderLine<'_>, typed: &str) -> String {
    match (typed, nearest(typed, NAMES)) {
        _ if uncommented(line.value).contains('|') => {
            format!("name a section in brackets: `[{}]`", shown(line.name))
        }
        ("metre" | "meter" | "signature", _) => "write `time:`".to_owned(),
        ("bpm" | "speed", _) => "write `tempo:`".to_owned(),
        ("form" | "forms" | "structure" | "chorus" | "choruses" | "repeat" | "repeats", _) => {
            "name a part where it begins, `[A]`, and put what is played again between `|:` and \
             `:|`; for a note to yourself begin the line with `#`"
                .to_owned()
        }
        ("style" | "groove" | "rhythm", _) => "write `feel:`".to_owned(),
        ("name" | "tune", _) => "write `title:`".to_owned(),
        ("author" | "writer" | "by", _) => "write `composer:`".to_owned(),
        (_, Some(near)) => format!("write `{near}:`"),
        _ => "the header lines are `title:`, `composer:`, `key:`, `time:`, `tempo:`, `feel:` and \
              `pickup:`; a remark begins with `#`"
            .to_owned(),
    }
}

/// A title, name or feel: one line, single blanks, no control characters.
fn words(name: &str, value: &str) -> Result<String, Diagnostic> {
    if value.chars().count() > MAX_TEXT {
        return Err(Diagnostic::error(
            format!("the {name} is longer than {MAX_TEXT} characters"),
            "shorten it",
        ));
    }
    header_line::without(char::is_control, name, value)?;
    Ok(value.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Reads a metre.
pub(crate) fn time(value: &str) -> Result<Metre, Diagnostic> {
    Metre::read(value).ok_or_else(|| {
        let known: Vec<String> = Metre::ALL.iter().map(|m| format!("`{m}`")).collect();
        let known = known.join(", ");
        let hint = match value {
            "C" | "c" => "write `4/4`".to_owned(),
            "C|" => "write `2/4` or `4/4`".to_owned(),
            _ => format!("these are read, with the quarter note as the beat: {known}"),
        };
        Diagnostic::error(
            format!("{} is no metre that can be read here", quoted(value)),
            hint,
        )
    })
}

/// Reads a tempo in beats a minute, with or without `bpm`.
pub(crate) fn tempo(value: &str) -> Result<u16, Diagnostic> {
    header_line::tempo(value, TEMPOS, "beats")
}
