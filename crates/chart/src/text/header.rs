//! Header lines: `name: value` before the first bar.

use linewright_diagnostic::{
    Diagnostic, Diagnostics,
    clean::{quoted, shown},
    nearest,
};
use linewright_notation::header_line::{self, HeaderLine, uncommented};
use linewright_theory::Key;

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
        if let Err(fault) = self.set(name, value_at, uncommented(line.value)) {
            faults.add(fault.at(value_at));
        }
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

/// What to write for a name that no header line has.
fn meant(line: &HeaderLine<'_>, typed: &str) -> String {
    match (typed, nearest(typed, NAMES)) {
        _ if uncommented(line.value).contains('|') => {
            format!("name a section in brackets: `[{}]`", shown(line.name))
        }
        ("metre" | "meter" | "signature", _) => "write `time:`".to_owned(),
        ("bpm" | "speed", _) => "write `tempo:`".to_owned(),
        ("style" | "groove", _) => "write `feel:`".to_owned(),
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
