//! A MusicXML file as a score.

mod attributes;
mod bar_line;
mod clock;
mod direction;
mod document;
mod finish;
mod harmony;
mod heading;
mod merge;
mod names;
mod note;
mod part;
mod parts;
mod tally;
#[cfg(test)]
mod tests;
pub(super) mod xml;

pub(super) use harmony::NO_CHORD;

use document::Document;

use linewright_diagnostic::{Diagnostics, Place};

use super::mxl;
use crate::Score;

/// The most bytes of an uncompressed file.
const MOST: usize = mxl::MOST_UNPACKED as usize;

/// Reads a MusicXML file, compressed (`.mxl`) or not, partwise or timewise, in UTF-8 or UTF-16.
///
/// Which part: the one called `part` (its id, its name or its abbreviation, in any case, or the
/// only one whose name contains that); else the only one; else the first that is a bass by its
/// name, instrument sound or MIDI program; else the first with chord symbols; else the lowest.
/// Chord symbols, sections, tempos and the signs of the form that stand only in another part are
/// taken from there. Of several staves the lowest with notes is read, of several voices the
/// lowest in each measure, of a chord its lowest note. Pitches are those that sound: the part's
/// transposition is applied, to chord symbols and keys as well.
///
/// Beside the score come the problems: what was read otherwise than written.
///
/// # Errors
/// When there is no score to give: the file is no MusicXML, is damaged, declares entities, is
/// larger than 32 MB (4 MB compressed), or has no such part. The problem says where and what to
/// do.
pub fn read(bytes: &[u8], part: Option<&str>) -> Result<(Score, Diagnostics), Diagnostics> {
    let mut problems = Diagnostics::default();
    let unpacked;
    let bytes = if mxl::is_packed(bytes) {
        unpacked = mxl::unpack(bytes, &mut problems)?;
        &unpacked
    } else {
        bytes
    };
    if bytes.len() > MOST {
        return Err(Diagnostics::one(
            Place::Whole,
            "the file is larger than 32 MB",
            "give the score of one piece",
        ));
    }
    let text = xml::text(bytes)?;
    let mut document = Document::read(&text)?;
    let chosen = parts::choose(&document, part, &mut problems)?;
    let feel = merge::feel(&document, chosen);
    let loans = merge::loans(&document, chosen, &mut problems);
    let reader = &mut document.parts[chosen].1;
    loans.give(reader);
    let measures = finish::measures(reader);
    reader.tally.tell(&mut problems);
    let mut score = Score {
        title: document.heading.title(),
        composer: document.heading.composer(),
        feel,
        about: document.heading.about,
        measures,
        ..Score::default()
    };
    score.take_credits();
    Ok((score, problems))
}
