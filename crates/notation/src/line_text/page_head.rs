//! The head of a page: title, composer and student where they are told, and what the line was
//! made from.
//!
//! ```text
//! Backyard blues
//! composer: Ada Lind
//! student: Kim Oh
//! F major · 140 beats a minute · swing · double bass (program 33), E1 to G3 · 1 chorus, 12 bars
//! linewright 0.1.0 · style plain (hash 0123456789abcdef) · seed 1 · line 1
//! sampled at 0.7 points · score +105.30
//! ```
//!
//! Above a line that was given stands `read by linewright`.

use linewright_theory::Key;

use crate::about;

/// What the head tells.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Head {
    pub(super) title: Option<String>,
    pub(super) composer: Option<String>,
    pub(super) student: Option<String>,
    pub(super) key: Option<Key>,
    pub(super) tempo: Option<u16>,
    pub(super) feel: Option<String>,
    pub(super) facts: Vec<(String, String)>,
}

/// What stands before it where the line was given, and only read.
const READ: &str = "read by ";

/// What stands between particulars.
const BETWEEN: &str = " · ";

/// Reads a block of lines as a head; `None` when it is none.
pub(super) fn read(block: &[String]) -> Option<Head> {
    let making = block.iter().skip(1).position(|line| {
        version(line).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    })?;
    let (mut tune, making) = block[1..].split_at(making);
    let title = block[0].trim();
    let mut head = Head {
        title: (!title.is_empty()).then(|| title.to_owned()),
        ..Head::default()
    };
    for (name, credit) in [
        ("composer: ", &mut head.composer),
        ("student: ", &mut head.student),
    ] {
        if let [first, rest @ ..] = tune
            && let Some(told) = first.strip_prefix(name)
        {
            *credit = Some(told.trim().to_owned());
            tune = rest;
        }
    }
    let (tune, making) = (tune.join(BETWEEN), making.join(BETWEEN));
    let mut found = Found::default();
    head.making(&making, &mut found);
    head.tune(&tune, &mut found);
    head.facts = found.facts();
    Some(head)
}

/// The program's version, where a particular tells it.
fn version(part: &str) -> Option<&str> {
    part.strip_prefix(READ)
        .unwrap_or(part)
        .strip_prefix(about::PROGRAM)?
        .strip_prefix(' ')
}

/// Facts by their places in the [order](about::ORDER) of all files.
#[derive(Default)]
struct Found(Vec<(usize, String)>);

impl Found {
    fn add(&mut self, name: &str, value: &str) {
        if let Some(at) = about::ORDER.iter().position(|known| *known == name) {
            self.0.push((at, value.to_owned()));
        }
    }

    fn facts(mut self) -> Vec<(String, String)> {
        self.0.sort_by_key(|(at, _)| *at);
        self.0.dedup_by_key(|(at, _)| *at);
        let named = |(at, value): (usize, String)| (about::ORDER[at].to_owned(), value);
        self.0.into_iter().map(named).collect()
    }
}

impl Head {
    fn making(&mut self, text: &str, found: &mut Found) {
        for part in text.split(BETWEEN) {
            if let Some(version) = version(part) {
                found.add(about::PROGRAM, version);
            } else if let Some(style) = part.strip_prefix("style ") {
                let whole = style
                    .strip_suffix(')')
                    .and_then(|style| style.rsplit_once(" (hash "));
                match whole {
                    Some((style, hash)) => {
                        found.add(about::STYLE, style);
                        found.add(about::STYLE_HASH, hash);
                    }
                    None => found.add(about::STYLE, style),
                }
            } else if let Some(seed) = part.strip_prefix("seed ") {
                found.add(about::SEED, seed);
            } else if let Some(line) = part.strip_prefix("line ") {
                found.add(about::LINE, line);
            } else if part == about::BEST
                || part.starts_with(about::RANKED)
                || part.starts_with(about::SAMPLED[0])
            {
                found.add(about::CHOICE, part);
            }
        }
    }

    fn tune(&mut self, text: &str, found: &mut Found) {
        let parts: Vec<&str> = text.split(BETWEEN).collect();
        let mut feel = Vec::new();
        for (nth, part) in parts.iter().enumerate() {
            if nth == 0 {
                self.key = part.parse().ok();
                found.add(about::KEY, part);
            } else if let Some((tempo, changes)) = tempo(part) {
                self.tempo = Some(tempo);
                let then = if changes { about::AT_FIRST } else { "" };
                found.add(about::TEMPO, &format!("{tempo}{then}"));
            } else if let Some([name, program, low, high]) = instrument(part) {
                found.add(about::INSTRUMENT, name);
                found.add(about::MIDI_PROGRAM, program);
                found.add(about::LOW, low);
                found.add(about::HIGH, high);
            } else if let Some(choruses) = choruses(part) {
                found.add(about::CHORUSES, choruses);
            } else {
                feel.push(*part);
            }
        }
        self.feel = (!feel.is_empty()).then(|| feel.join(BETWEEN));
    }
}

/// `140 beats a minute`, and whether `at first` follows.
fn tempo(part: &str) -> Option<(u16, bool)> {
    let (number, then) = part.split_once(" beats a minute")?;
    match then {
        "" => Some((number.parse().ok()?, false)),
        " at first" => Some((number.parse().ok()?, true)),
        _ => None,
    }
}

/// `double bass (program 33), E1 to G3`: name, program, lowest and highest note.
fn instrument(part: &str) -> Option<[&str; 4]> {
    let (name, rest) = part.rsplit_once(" (program ")?;
    let (program, range) = rest.split_once("), ")?;
    let (low, high) = range.split_once(" to ")?;
    Some([name, program, low, high])
}

/// `1 chorus, 12 bars`: the number of choruses.
fn choruses(part: &str) -> Option<&str> {
    let (choruses, bars) = part.split_once(", ")?;
    bars.strip_suffix(" bars")?.parse::<usize>().ok()?;
    let number = choruses
        .strip_suffix(" chorus")
        .or_else(|| choruses.strip_suffix(" choruses"))?;
    number.parse::<usize>().ok().map(|_| number)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn head(text: &str) -> Option<Head> {
        let lines: Vec<String> = text.lines().map(str::to_owned).collect();
        read(&lines)
    }

    #[test]
    fn a_head_tells_title_key_tempo_feel_and_the_facts_in_order() {
        let head = head(
            "Back | Yard\nF# minor · 64 beats a minute at first\nin two · slow · my bass (big) \
             (program 34), E1 to G3\n2 choruses, 24 bars\nlinewright 0.1.0 · style two-feel (hash \
             00ff)\nseed 7 · line 2 · ranked number 2\nscore -3.20",
        )
        .unwrap();
        assert_eq!(head.title.as_deref(), Some("Back | Yard"));
        assert_eq!(head.key, "F#m".parse().ok());
        assert_eq!(head.tempo, Some(64));
        assert_eq!(head.feel.as_deref(), Some("in two · slow"));
        let facts: Vec<(&str, &str)> = head
            .facts
            .iter()
            .map(|(name, value)| (name.as_str(), value.as_str()))
            .collect();
        assert_eq!(
            facts,
            [
                ("linewright", "0.1.0"),
                ("style", "two-feel"),
                ("style hash", "00ff"),
                ("seed", "7"),
                ("line", "2"),
                ("choice", "ranked number 2"),
                ("key", "F# minor"),
                ("tempo", "64 at first, then as in the chart"),
                ("choruses", "2"),
                ("low", "E1"),
                ("high", "G3"),
                ("instrument", "my bass (big)"),
                ("program", "34"),
            ]
        );
    }

    #[test]
    fn names_stand_under_the_title_also_where_the_line_was_only_read() {
        let head = head(
            "Walk\ncomposer: Ada · Lind\nstudent: Kim Oh\nF major · 140 beats a minute\nread by \
             linewright 0.1.0 · style plain (hash 00ff) · score -3.20",
        )
        .unwrap();
        assert_eq!(head.composer.as_deref(), Some("Ada · Lind"));
        assert_eq!(head.student.as_deref(), Some("Kim Oh"));
        assert_eq!(head.key, "F".parse().ok());
        let told = |name| head.facts.iter().any(|(known, _)| known == name);
        assert!(told("linewright") && told("style") && !told("choice"));
    }

    #[test]
    fn a_block_without_the_program_is_no_head() {
        assert_eq!(head("Title\nF major · 140 beats a minute"), None);
        assert_eq!(head("linewright 1 · style x"), None);
        assert!(head("T\nlinewright 2").is_some());
    }
}
