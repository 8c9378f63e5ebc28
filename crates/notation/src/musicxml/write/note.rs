//! A note or a rest.

use linewright_theory::Name;

use super::xml::Xml;
use crate::written::{Beam, WrittenNote};
use crate::{Sign, Ticks};

/// A note head and what is known of its surroundings.
pub(super) struct Head<'a> {
    /// The note head.
    pub written: &'a WrittenNote,
    /// The accidental that is printed.
    pub sign: Option<Sign>,
    /// Its length in divisions.
    pub duration: Ticks,
    /// The rows under it, as far as they are written.
    pub rows: &'a [String],
}

/// Writes a note element.
pub(super) fn write(xml: &mut Xml, head: &Head) {
    let written = head.written;
    xml.open("note", &[]);
    match written.note {
        None if written.whole => xml.empty("rest", &[("measure", &"yes")]),
        None => xml.empty("rest", &[]),
        Some(note) => {
            xml.open("pitch", &[]);
            name(xml, note.name, "step", "alter");
            // Written an octave above the sound.
            xml.leaf("octave", note.octave + 1);
            xml.close();
        }
    }
    xml.leaf("duration", head.duration);
    for (has, kind) in [(written.held, "stop"), (written.tied, "start")] {
        if has {
            xml.empty("tie", &[("type", &kind)]);
        }
    }
    xml.leaf("voice", 1);
    if let Some(value) = written.value {
        xml.leaf("type", value.name());
        if value.dotted {
            xml.empty("dot", &[]);
        }
    }
    if let Some(sign) = head.sign {
        accidental(xml, sign);
    }
    if let Some(tuplet) = written.tuplet {
        xml.open("time-modification", &[]);
        xml.leaf("actual-notes", tuplet.actual);
        xml.leaf("normal-notes", tuplet.normal);
        xml.leaf("normal-type", tuplet.unit.name());
        xml.close();
    }
    if written.ghost {
        xml.leaf("notehead", "x");
    }
    for (number, beam) in (1..).zip(&written.beams) {
        xml.leaf_with("beam", &[("number", &number)], beam_name(*beam));
    }
    notations(xml, written);
    for (number, row) in (1..).zip(head.rows) {
        if !row.is_empty() {
            lyric(xml, number, row);
        }
    }
    xml.close();
}

fn beam_name(beam: Beam) -> &'static str {
    match beam {
        Beam::Begin => "begin",
        Beam::Continue => "continue",
        Beam::End => "end",
        Beam::Forward => "forward hook",
        Beam::Backward => "backward hook",
    }
}

/// A letter and, if there is one, an alteration.
pub(super) fn name(xml: &mut Xml, name: Name, step: &'static str, alter: &'static str) {
    xml.leaf(step, name.letter);
    if name.alter != 0 {
        xml.leaf(alter, name.alter);
    }
}

/// A courtesy accidental stands in parentheses.
fn accidental(xml: &mut Xml, sign: Sign) {
    let name = match sign.alter {
        ..=-2 => "flat-flat",
        -1 => "flat",
        0 => "natural",
        1 => "sharp",
        2.. => "double-sharp",
    };
    if sign.courtesy {
        let marks: [(_, &dyn std::fmt::Display); 2] =
            [("cautionary", &"yes"), ("parentheses", &"yes")];
        xml.leaf_with("accidental", &marks, name);
    } else {
        xml.leaf("accidental", name);
    }
}

fn notations(xml: &mut Xml, written: &WrittenNote) {
    let begins = written.tuplet.filter(|tuplet| tuplet.first);
    let ends = written.tuplet.is_some_and(|tuplet| tuplet.last);
    if !(written.held || written.tied || begins.is_some() || ends) {
        return;
    }
    xml.open("notations", &[]);
    for (has, kind) in [(written.held, "stop"), (written.tied, "start")] {
        if has {
            xml.empty("tied", &[("type", &kind)]);
        }
    }
    if let Some(tuplet) = begins {
        let bracket = if tuplet.bracket { "yes" } else { "no" };
        xml.empty(
            "tuplet",
            &[("type", &"start"), ("number", &1), ("bracket", &bracket)],
        );
    }
    if ends {
        xml.empty("tuplet", &[("type", &"stop"), ("number", &1)]);
    }
    xml.close();
}

fn lyric(xml: &mut Xml, number: usize, row: &str) {
    xml.open("lyric", &[("number", &number)]);
    xml.leaf("syllabic", "single");
    xml.leaf("text", row);
    xml.close();
}
