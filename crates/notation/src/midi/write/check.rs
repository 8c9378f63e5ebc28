//! Whether a part can be written as it stands.

use super::error::{ENDS, Error, Kind};
use super::part::{LONGEST_TEXT, MetreChange, Part, Sounded, TICKS_PER_QUARTER};

/// The first thing in `part` that cannot be written, if there is one.
pub(super) fn check(part: &Part) -> Result<(), Error> {
    let end = part.end;
    range("the end", None, end, ENDS)?;
    range("the program", None, part.program, (0, 127))?;
    range("the channel", None, part.channel, (0, 15))?;
    text("the title", &part.title)?;
    text("the track name", &part.name)?;
    for line in &part.texts {
        text("a metadata line", line)?;
    }

    changes("a tempo", part.tempos.iter().map(|t| t.at), end)?;
    starts("tempo", part.tempos.first().map(|t| t.at))?;
    for tempo in &part.tempos {
        range(
            "the tempo in thousandths",
            Some(tempo.at),
            tempo.milli_bpm,
            TEMPOS,
        )?;
    }
    changes("a metre", part.metres.iter().map(|m| m.at), end)?;
    starts("metre", part.metres.first().map(|m| m.at))?;
    bars(&part.metres, end)?;
    changes("a key signature", part.keys.iter().map(|k| k.at), end)?;
    for key in &part.keys {
        range(
            "the number of sharps or flats",
            Some(key.at),
            key.fifths,
            (-7, 7),
        )?;
    }
    let mut before = 0;
    for marker in &part.markers {
        let what = "a marker";
        text(what, &marker.text)?;
        if marker.at < before {
            let at = marker.at;
            return Err(Kind::Order { what, at, before }.into());
        }
        late(what, marker.at, end)?;
        before = marker.at;
    }
    notes(&part.notes, end)
}

/// Tempos, in thousandths of a quarter a minute: the slowest that 24 bits of
/// microseconds a quarter hold, and a quarter a millisecond.
const TEMPOS: (i64, i64) = (3_577, 60_000_000);

/// Ticks in a bar of `metre`. The unit divides a whole note evenly once checked.
fn bar_length(metre: MetreChange) -> u32 {
    4 * TICKS_PER_QUARTER / u32::from(metre.unit) * u32::from(metre.beats)
}

/// That metres can be written, and that each of them and the end is on a bar line.
fn bars(metres: &[MetreChange], end: u32) -> Result<(), Error> {
    for (index, &metre) in metres.iter().enumerate() {
        range(
            "the upper number of the metre",
            Some(metre.at),
            metre.beats,
            (1, 255),
        )?;
        if !matches!(metre.unit, 1 | 2 | 4 | 8 | 16 | 32) {
            let MetreChange { at, unit, .. } = metre;
            return Err(Kind::Unit { at, unit }.into());
        }
        let (what, at) = metres
            .get(index + 1)
            .map_or(("the end", end), |next| ("a metre", next.at));
        let bar = bar_length(metre);
        let over = (at - metre.at) % bar;
        if over != 0 {
            return Err(Kind::OffBar {
                what,
                at,
                bar,
                over,
            }
            .into());
        }
    }
    Ok(())
}

fn notes(notes: &[Sounded], end: u32) -> Result<(), Error> {
    let what = "a note";
    let mut before: Option<(u32, u8)> = None;
    let mut sounding_until = [0u32; 128];
    for note in notes {
        let at = note.start;
        range("the pitch", Some(at), note.pitch, (0, 127))?;
        range("the velocity", Some(at), note.velocity, (1, 127))?;
        range("the length of a note", Some(at), note.length, (1, ENDS.1))?;
        late(what, at.saturating_add(note.length), end)?;
        let until = &mut sounding_until[usize::from(note.pitch)];
        if before.is_some_and(|b| b > (at, note.pitch)) {
            let before = before.map_or(0, |b| b.0);
            return Err(Kind::Order { what, at, before }.into());
        }
        if at < *until {
            let (pitch, until) = (note.pitch, *until);
            return Err(Kind::Overlap { pitch, at, until }.into());
        }
        *until = at + note.length;
        before = Some((at, note.pitch));
    }
    Ok(())
}

/// That changes come one after the other, each before the end.
fn changes(what: &'static str, times: impl Iterator<Item = u32>, end: u32) -> Result<(), Error> {
    let mut last: Option<u32> = None;
    for at in times {
        if let Some(before) = last.filter(|&before| before >= at) {
            return Err(Kind::Order { what, at, before }.into());
        }
        late(what, at, end)?;
        last = Some(at);
    }
    Ok(())
}

fn starts(what: &'static str, first: Option<u32>) -> Result<(), Error> {
    match first {
        Some(0) => Ok(()),
        _ => Err(Kind::NoStart { what }.into()),
    }
}

fn late(what: &'static str, at: u32, end: u32) -> Result<(), Error> {
    if at > end {
        return Err(Kind::Late { what, at, end }.into());
    }
    Ok(())
}

fn text(what: &'static str, text: &str) -> Result<(), Error> {
    let bytes = text.len();
    if bytes > LONGEST_TEXT {
        return Err(Kind::Text { what, bytes }.into());
    }
    match text.chars().find(|c| c.is_control()) {
        Some(character) => Err(Kind::Control { what, character }.into()),
        None => Ok(()),
    }
}

fn range(
    what: &'static str,
    at: Option<u32>,
    is: impl Into<i64>,
    (lowest, highest): (i64, i64),
) -> Result<(), Error> {
    let is = is.into();
    if (lowest..=highest).contains(&is) {
        return Ok(());
    }
    Err(Kind::Range {
        what,
        at,
        is,
        lowest,
        highest,
    }
    .into())
}
