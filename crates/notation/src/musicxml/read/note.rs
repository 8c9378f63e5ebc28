//! Notes and rests.

use linewright_diagnostic::clean::one_line;
use linewright_theory::{Letter, Name, Note};

use super::clock::{decimal, whole};
use super::part::{Head, PartReader};
use super::tally::Kind;
use super::xml::Node;
use crate::musicxml::page::MOST_ROWS;
use crate::written::Value;
use crate::{QUARTER, Ticks};

/// The most voices of a part that are told apart.
const MOST_VOICES: usize = 64;

/// What a note element is.
enum Content {
    Note(Note),
    Rest,
}

impl PartReader {
    /// Reads a note element; `last` is the note that a following chord note belongs to, by its
    /// place. Gives that place for the next.
    pub(super) fn note(&mut self, node: &Node, last: Option<usize>) -> Option<usize> {
        if node.has("grace") {
            self.count(Kind::Grace);
            return last;
        }
        let at = self.clock.now();
        if node.has("chord")
            && let Some(last) = last
        {
            self.chord_note(node, last);
            return Some(last);
        }
        let ticks = self.pass(node);
        if node.has("cue") {
            self.count(Kind::Cue);
            return None;
        }
        let staff = node.number_of("staff").unwrap_or(1).clamp(1, 99) as u8;
        let note = match self.content(node, staff) {
            Content::Note(note) => Some(note),
            Content::Rest => None,
        };
        let head = Head {
            at,
            ticks,
            note,
            staff,
            voice: self.voice(node.text_of("voice").unwrap_or("1")),
            tied: note.is_some() && is_tied(node),
            ghost: note.is_some() && self.is_ghost(node),
            under: rows(node),
        };
        let bar = self.bar()?;
        bar.heads.push(head);
        Some(bar.heads.len() - 1)
    }

    /// Goes on by the length of a note; its length in ticks.
    fn pass(&mut self, node: &Node) -> Ticks {
        let from = self.clock.now();
        match node.text_of("duration").and_then(decimal) {
            Some(duration) if duration >= 0 => {
                self.advance(duration);
                self.clock.now() - from
            }
            _ => {
                self.count(Kind::NoLength);
                let ticks = drawn(node).unwrap_or(0);
                self.clock.go_ticks(ticks);
                self.clock.now() - from
            }
        }
    }

    /// A note of a chord: the lowest stays.
    fn chord_note(&mut self, node: &Node, last: usize) {
        self.count(Kind::ChordNotes);
        let staff = node.number_of("staff").unwrap_or(1).clamp(1, 99) as u8;
        let Content::Note(note) = self.content(node, staff) else {
            return;
        };
        let (tied, ghost) = (is_tied(node), self.is_ghost(node));
        let Some(head) = self.bar().and_then(|bar| bar.heads.get_mut(last)) else {
            return;
        };
        if head.note.is_none_or(|kept| note.semitones_to(kept) > 0) {
            (head.note, head.tied, head.ghost) = (Some(note), tied, ghost);
        }
    }

    /// What sounds, and counts what is read otherwise.
    fn content(&mut self, node: &Node, staff: u8) -> Content {
        if node.text_of("notehead") == Some("slash") {
            self.count(Kind::Slash);
            return Content::Rest;
        }
        if let Some(pitch) = node.child("pitch") {
            let written = pitched(pitch);
            if written.is_none_or(|(_, exact)| !exact) {
                self.count(Kind::OddPitch);
            }
            let sounding = written.map(|(note, _)| self.transposition(staff).sound(note));
            return match sounding {
                Some(note) if note.pitch().is_some() => Content::Note(note),
                Some(_) => {
                    self.count(Kind::OddPitch);
                    Content::Rest
                }
                None => Content::Rest,
            };
        }
        if node.has("unpitched") {
            self.count(Kind::Unpitched);
        }
        Content::Rest
    }

    fn is_ghost(&mut self, node: &Node) -> bool {
        let Some(head) = node.child("notehead") else {
            return false;
        };
        if matches!(head.text(), "x" | "cross" | "circle-x") {
            return true;
        }
        let parentheses = head.is("parentheses", "yes");
        if parentheses {
            self.count(Kind::Parentheses);
        }
        parentheses
    }

    /// The number of a voice.
    fn voice(&mut self, name: &str) -> u8 {
        let known = self.voices.iter().position(|known| known == name);
        let place = known.unwrap_or_else(|| {
            if self.voices.len() < MOST_VOICES {
                self.voices.push(name.to_owned());
            }
            self.voices.len() - 1
        });
        place as u8
    }
}

/// The written note, and whether it is exactly that.
fn pitched(pitch: &Node) -> Option<(Note, bool)> {
    let mut letters = pitch.text_of("step")?.chars();
    let letter = Letter::from_char(letters.next()?)?;
    if letters.next().is_some() {
        return None;
    }
    let octave = i8::try_from(pitch.number_of("octave")?).ok()?;
    if !(-1..=10).contains(&octave) {
        return None;
    }
    let (alter, exact) = match pitch.text_of("alter") {
        Some(text) => whole(decimal(text)?),
        None => (0, true),
    };
    let alter = i8::try_from(alter).ok()?;
    let note = Note::new(Name::new(letter, alter), octave);
    if alter.abs() <= 2 {
        return Some((note, exact));
    }
    let simple = Note::spelled(note.pitch()?, note.name.simple().letter);
    Some((simple, false))
}

/// Whether a tie leads on from a note.
fn is_tied(node: &Node) -> bool {
    let tied = node.all("notations").flat_map(|n| n.all("tied"));
    node.all("tie")
        .chain(tied)
        .any(|tie| tie.is("type", "start"))
}

/// The length by note value, dots and tuplet.
fn drawn(node: &Node) -> Option<Ticks> {
    let plain = Value::length_of(node.text_of("type")?)?;
    let (mut ticks, mut more) = (plain, plain);
    for _ in node.all("dot").take(4) {
        more /= 2;
        ticks += more;
    }
    let Some(tuplet) = node.child("time-modification") else {
        return Some(ticks);
    };
    let number = |name| tuplet.number_of(name).filter(|n| (1..=64).contains(n));
    match (number("actual-notes"), number("normal-notes")) {
        (Some(actual), Some(normal)) => Some(ticks * normal as Ticks / actual as Ticks),
        _ => Some(ticks),
    }
}

/// The lyrics under a note, by their rows.
fn rows(node: &Node) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for lyric in node.all("lyric") {
        let number = lyric.attribute("number").and_then(|n| n.parse().ok());
        let row: usize = number.unwrap_or(rows.len() + 1);
        if !(1..=MOST_ROWS).contains(&row) {
            continue;
        }
        let mut text = String::new();
        for child in &lyric.children {
            match child.name {
                "text" => text.push_str(child.text()),
                "elision" => text.push(' '),
                _ => {}
            }
        }
        let syllabic = lyric.all("syllabic").last().map(Node::text);
        if matches!(syllabic, Some("begin" | "middle")) {
            text.push('-');
        }
        if rows.len() < row {
            rows.resize(row, String::new());
        }
        rows[row - 1] = one_line(&text);
    }
    while rows.last().is_some_and(String::is_empty) {
        rows.pop();
    }
    rows
}

/// The length of a beat unit with its dots.
pub(super) fn beat_unit(node: &Node) -> Option<Ticks> {
    let plain = Value::length_of(node.text_of("beat-unit")?)?;
    let dotted = node.has("beat-unit-dot");
    Some(if dotted { plain / 2 * 3 } else { plain }).filter(|&ticks| ticks <= 64 * QUARTER)
}
