//! The head of a page: title, composer and student where they are told, and what the line was
//! made from.
//!
//! ```text
//! Backyard blues
//! composer: Ada Lind
//! student: Kim Oh
//! F major · 140 beats a minute · swing · double bass, E1 to G3 · 1 chorus, 12 bars
//! style plain · how bold: 0.7 · score +105.30
//! ```
//!
//! And its last line, after a blank one, with what else it takes to make the line again:
//!
//! ```text
//! made by linewright 0.1.0 · style hash 0123456789abcdef · seed 1 · line 1 · MIDI program 33
//! ```
//!
//! Below a line that was given stands `read by linewright`. Pages of earlier versions have all of
//! it in their heads, from `linewright 0.1.0 · style plain (hash 0123456789abcdef)` on.

use linewright_theory::Key;

use crate::about::{self, page};

/// What the head tells.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Head {
    pub(super) title: Option<String>,
    pub(super) composer: Option<String>,
    pub(super) student: Option<String>,
    pub(super) key: Option<Key>,
    pub(super) tempo: Option<u16>,
    pub(super) feel: Option<String>,
    found: Found,
}

/// What stands between particulars.
const BETWEEN: &str = " · ";

/// Reads a block of lines as a head; `None` when it is none.
pub(super) fn read(block: &[String]) -> Option<Head> {
    let mut of_tune = false;
    let making = block.iter().skip(1).position(|line| {
        of_tune |= line.contains(BEATS_A_MINUTE);
        is_version(line) || (of_tune && line.starts_with(page::STYLE))
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
    head.making(&making);
    head.tune(&tune);
    Some(head)
}

/// The program's version, where a particular tells it.
fn version(part: &str) -> Option<&str> {
    let made = part.strip_prefix(page::MADE);
    made.or_else(|| part.strip_prefix(page::READ))
        .unwrap_or(part)
        .strip_prefix(about::PROGRAM)?
        .strip_prefix(' ')
}

/// Whether a line begins with the program and its version.
fn is_version(line: &str) -> bool {
    version(line).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Facts by their places in the [order](about::ORDER) of all files.
#[derive(Debug, Default, PartialEq, Eq)]
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
    /// The facts that the page tells, in the order of all files.
    pub(super) fn take_facts(&mut self) -> Vec<(String, String)> {
        std::mem::take(&mut self.found).facts()
    }

    /// Takes a block of lines as the last of a page; whether it is that.
    pub(super) fn last_line(&mut self, block: &[String]) -> bool {
        let is_last = block.first().is_some_and(|line| is_version(line));
        if is_last {
            self.making(&block.join(BETWEEN));
        }
        is_last
    }

    fn making(&mut self, text: &str) {
        let found = &mut self.found;
        for part in text.split(BETWEEN) {
            if let Some(version) = version(part) {
                found.add(about::PROGRAM, version);
            } else if let Some(hash) = part.strip_prefix("style hash ") {
                found.add(about::STYLE_HASH, hash);
            } else if let Some(style) = part.strip_prefix(page::STYLE) {
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
            } else if let Some(program) = part.strip_prefix(page::SOUND) {
                found.add(about::MIDI_PROGRAM, program);
            } else if let Some(choice) = choice(part) {
                found.add(about::CHOICE, &choice);
            }
        }
    }

    fn tune(&mut self, text: &str) {
        let found = &mut self.found;
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
            } else if let Some((name, program, [low, high])) = instrument(part) {
                found.add(about::INSTRUMENT, name);
                if let Some(program) = program {
                    found.add(about::MIDI_PROGRAM, program);
                }
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

/// How the line was chosen, in the words of all files.
fn choice(part: &str) -> Option<String> {
    let [before, behind] = page::RANKED;
    if let Some(bold) = part.strip_prefix(page::BOLD) {
        let [at, points] = about::SAMPLED;
        return Some(format!("{at}{bold}{points}"));
    }
    if let Some(place) = part.strip_prefix(before) {
        return Some(format!("{}{}", about::RANKED, place.strip_suffix(behind)?));
    }
    if part == page::BEST {
        return Some(about::BEST.to_owned());
    }
    let is_earlier = part == about::BEST
        || part.starts_with(about::RANKED)
        || part.starts_with(about::SAMPLED[0]);
    is_earlier.then(|| part.to_owned())
}

const BEATS_A_MINUTE: &str = " beats a minute";

/// `140 beats a minute`, and whether `at first` follows.
fn tempo(part: &str) -> Option<(u16, bool)> {
    let (number, then) = part.split_once(BEATS_A_MINUTE)?;
    match then {
        "" => Some((number.parse().ok()?, false)),
        " at first" => Some((number.parse().ok()?, true)),
        _ => None,
    }
}

/// `double bass, E1 to G3`: name, lowest and highest note; `double bass (program 33), E1 to G3` on
/// earlier pages.
fn instrument(part: &str) -> Option<(&str, Option<&str>, [&str; 2])> {
    let (name, range) = part.rsplit_once(", ")?;
    let (low, high) = range.split_once(" to ")?;
    let earlier = name
        .strip_suffix(')')
        .and_then(|name| name.rsplit_once(" (program "));
    Some(match earlier {
        Some((name, program)) => (name, Some(program), [low, high]),
        None => (name, None, [low, high]),
    })
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
    fn the_head_of_an_earlier_page_tells_title_key_tempo_feel_and_the_facts_in_order() {
        let mut head = head(
            "Back | Yard\nF# minor · 64 beats a minute at first\nin two · slow · my bass (big) \
             (program 34), E1 to G3\n2 choruses, 24 bars\nlinewright 0.1.0 · style two-feel (hash \
             00ff)\nseed 7 · line 2 · ranked number 2\nscore -3.20",
        )
        .unwrap();
        assert_eq!(head.title.as_deref(), Some("Back | Yard"));
        assert_eq!(head.key, "F#m".parse().ok());
        assert_eq!(head.tempo, Some(64));
        assert_eq!(head.feel.as_deref(), Some("in two · slow"));
        let facts = head.take_facts();
        let facts: Vec<(&str, &str)> = facts
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
        let mut head = head(
            "Walk\ncomposer: Ada · Lind\nstudent: Kim Oh\nF major · 140 beats a minute\nread by \
             linewright 0.1.0 · style plain (hash 00ff) · score -3.20",
        )
        .unwrap();
        assert_eq!(head.composer.as_deref(), Some("Ada · Lind"));
        assert_eq!(head.student.as_deref(), Some("Kim Oh"));
        assert_eq!(head.key, "F".parse().ok());
        let facts = head.take_facts();
        let told = |name| facts.iter().any(|(known, _)| known == name);
        assert!(told("linewright") && told("style") && !told("choice"));
    }

    #[test]
    fn head_and_last_line_tell_the_facts_together() {
        let mut head = head(
            "Walk\nF major · 140 beats a minute · my bass, low, E1 to G3\n1 chorus, 12 bars\nstyle \
             plain · how bold: 0.7\nscore +3.20",
        )
        .unwrap();
        let last = "made by linewright 0.1.0 · style hash 00ff · seed 7\nline 2 · MIDI program 34";
        let last: Vec<String> = last.lines().map(str::to_owned).collect();
        assert!(head.last_line(&last));
        assert!(!head.last_line(&["notes | F1 |".to_owned()]));
        let facts = head.take_facts();
        let told: Vec<String> = facts
            .iter()
            .map(|(name, v)| format!("{name}: {v}"))
            .collect();
        assert_eq!(
            told,
            [
                "linewright: 0.1.0",
                "style: plain",
                "style hash: 00ff",
                "seed: 7",
                "line: 2",
                "choice: sampled at 0.7 points",
                "key: F major",
                "tempo: 140",
                "choruses: 1",
                "low: E1",
                "high: G3",
                "instrument: my bass, low",
                "program: 34",
            ]
        );
    }

    #[test]
    fn choices_are_read_as_all_files_tell_them() {
        for (part, told) in [
            ("the best line", "best"),
            ("number 3 of the best lines", "ranked number 3"),
            ("how bold: 0.65", "sampled at 0.65 points"),
            ("ranked number 4", "ranked number 4"),
        ] {
            assert_eq!(choice(part).as_deref(), Some(told));
        }
        assert_eq!(choice("number of notes"), None);
    }

    #[test]
    fn a_block_without_the_program_is_no_head() {
        assert_eq!(head("Title\nF major · 140 beats a minute"), None);
        assert_eq!(head("linewright 1 · style x"), None);
        assert!(head("T\nlinewright 2").is_some());
    }
}
