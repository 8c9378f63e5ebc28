//! A score as a MusicXML file.

mod bars;
mod direction;
mod harmony;
mod measure;
mod note;
mod xml;

use xml::Xml;

use linewright_diagnostic::clean::one_line;

use super::page::Page;
use super::{Options, mxl};
use crate::{QUARTER, Score, Ticks};

/// The document type of MusicXML 4.0 partwise scores.
const DOCTYPE: &str = "score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" \
                       \"http://www.musicxml.org/dtds/partwise.dtd\"";

/// The name of the part when the score does not tell its instrument.
const PART_NAME: &str = "Bass";

/// The score as an uncompressed MusicXML file (`.musicxml`), in UTF-8. The part is named by the
/// fact `instrument` of [`Score::about`]. The same score gives the same text.
///
/// Every score can be written; see [`as_written`](super::as_written) for what does not stand on
/// a page as it is.
pub fn write(score: &Score, options: &Options) -> String {
    let page = Page::of(score);
    let instrument = page
        .score
        .about
        .iter()
        .find(|(name, value)| name == "instrument" && !value.is_empty())
        .map_or(PART_NAME, |(_, value)| value);
    let mut xml = Xml::new(DOCTYPE);
    xml.open("score-partwise", &[("version", &"4.0")]);
    heading(&mut xml, &page.score);
    part_list(&mut xml, instrument);
    xml.open("part", &[("id", &"P1")]);
    measure::write(&mut xml, &page, divisions(&page), *options);
    xml.close();
    xml.close();
    xml.finish()
}

/// The score as a compressed MusicXML file (`.mxl`). The same score gives the same bytes.
pub fn write_mxl(score: &Score, options: &Options) -> Vec<u8> {
    mxl::pack(&write(score, options))
}

/// Title, composer, program, student and facts.
fn heading(xml: &mut Xml, score: &Score) {
    if let Some(title) = &score.title {
        xml.open("work", &[]);
        xml.leaf("work-title", title);
        xml.close();
    }
    xml.open("identification", &[]);
    if let Some(composer) = &score.composer {
        xml.leaf_with("creator", &[("type", &"composer")], composer);
    }
    xml.open("encoding", &[]);
    xml.leaf(
        "software",
        format!("linewright {}", env!("CARGO_PKG_VERSION")),
    );
    for element in ["accidental", "beam"] {
        xml.empty("supports", &[("element", &element), ("type", &"yes")]);
    }
    xml.close();
    let student = score.student.iter().map(|student| ("student", student));
    let facts = score.about.iter().map(|(name, value)| (&name[..], value));
    let mut fields = student.chain(facts).peekable();
    if fields.peek().is_some() {
        xml.open("miscellaneous", &[]);
        for (name, value) in fields {
            xml.leaf_with("miscellaneous-field", &[("name", &name)], value);
        }
        xml.close();
    }
    xml.close();
}

/// The only part, and what plays it.
fn part_list(xml: &mut Xml, instrument: &str) {
    let (sound, program) = sound(&one_line(instrument).to_lowercase());
    xml.open("part-list", &[]);
    xml.open("score-part", &[("id", &"P1")]);
    xml.leaf("part-name", instrument);
    xml.open("score-instrument", &[("id", &"P1-I1")]);
    xml.leaf("instrument-name", instrument);
    xml.leaf("instrument-sound", sound);
    xml.close();
    xml.open("midi-instrument", &[("id", &"P1-I1")]);
    xml.leaf("midi-channel", 1);
    xml.leaf("midi-program", program);
    xml.close();
    xml.close();
    xml.close();
}

/// The sound in MusicXML's list of instruments and the General MIDI program, counted from 1.
/// Source, from memory: General MIDI System Level 1.
fn sound(instrument: &str) -> (&'static str, u8) {
    if instrument.contains("fretless") {
        ("pluck.bass.fretless", 36)
    } else if instrument.contains("electric") || instrument.contains("guitar") {
        ("pluck.bass.electric", 34)
    } else {
        ("pluck.bass.acoustic", 33)
    }
}

/// Divisions of a quarter note: as few as the lengths and places on the page allow.
fn divisions(page: &Page) -> Ticks {
    let notes = page.measures.iter().flat_map(|measure| &measure.notes);
    let symbols = page.score.measures.iter().flat_map(|m| &m.symbols);
    let whole = notes
        .map(|note| note.ticks)
        .chain(symbols.map(|symbol| symbol.at))
        .fold(QUARTER, gcd);
    QUARTER / whole
}

fn gcd(a: Ticks, b: Ticks) -> Ticks {
    if b == 0 { a } else { gcd(b, a % b) }
}
