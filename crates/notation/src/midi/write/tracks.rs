//! Laying a checked part out as the two tracks of a type 1 file.

use midly::num::{u4, u7, u15, u24, u28};
use midly::{Format, Header, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};

use super::check::check;
use super::error::{Error, Kind};
use super::part::{MetreChange, Part, TICKS_PER_QUARTER};

/// How fast a key comes up again. 64 stands for "not measured" (from memory of the
/// MIDI 1.0 specification, note off).
const RELEASE: u8 = 64;

/// The bytes of a Standard MIDI File (type 1, [`TICKS_PER_QUARTER`]) for `part`.
///
/// # Errors
/// When something in the part is not as [`Part`] asks; the error names the first such
/// thing. Nothing is clamped, moved or left out.
pub fn write(part: &Part) -> Result<Vec<u8>, Error> {
    check(part)?;
    let file = Smf {
        header: Header::new(
            Format::Parallel,
            Timing::Metrical(u15::new(TICKS_PER_QUARTER as u16)),
        ),
        tracks: vec![conductor(part), instrument(part)],
    };
    let mut bytes = Vec::new();
    file.write(&mut bytes).map_err(|_| Kind::Size)?;
    Ok(bytes)
}

/// What happens at one time, in the order it is written: what is added first at a
/// time stays first.
type Timed<'a> = Vec<(u32, TrackEventKind<'a>)>;

/// Title, metadata, metre, key, tempo and markers.
fn conductor(part: &Part) -> Vec<TrackEvent<'_>> {
    let mut events: Timed = Vec::new();
    let mut add = |at: u32, message| events.push((at, TrackEventKind::Meta(message)));
    add(0, MetaMessage::TrackName(part.title.as_bytes()));
    for text in &part.texts {
        add(0, MetaMessage::Text(text.as_bytes()));
    }
    for metre in &part.metres {
        add(metre.at, time_signature(*metre));
    }
    for key in &part.keys {
        add(key.at, MetaMessage::KeySignature(key.fifths, key.minor));
    }
    for tempo in &part.tempos {
        let microseconds = microseconds_per_quarter(tempo.milli_bpm);
        add(tempo.at, MetaMessage::Tempo(u24::new(microseconds)));
    }
    for marker in &part.markers {
        add(marker.at, MetaMessage::Marker(marker.text.as_bytes()));
    }
    track(events, part.end)
}

/// Name, program and notes. A note that ends where another starts ends first.
fn instrument(part: &Part) -> Vec<TrackEvent<'_>> {
    let channel = u4::new(part.channel);
    let midi = |message| TrackEventKind::Midi { channel, message };
    let mut events: Timed = vec![
        (
            0,
            TrackEventKind::Meta(MetaMessage::TrackName(part.name.as_bytes())),
        ),
        (
            0,
            midi(MidiMessage::ProgramChange {
                program: u7::new(part.program),
            }),
        ),
    ];
    for note in &part.notes {
        let off = MidiMessage::NoteOff {
            key: u7::new(note.pitch),
            vel: u7::new(RELEASE),
        };
        events.push((note.start + note.length, midi(off)));
    }
    for note in &part.notes {
        let on = MidiMessage::NoteOn {
            key: u7::new(note.pitch),
            vel: u7::new(note.velocity),
        };
        events.push((note.start, midi(on)));
    }
    track(events, part.end)
}

/// Events in order of time, with the times between them, closed at `end`.
fn track(mut events: Timed<'_>, end: u32) -> Vec<TrackEvent<'_>> {
    events.sort_by_key(|(at, _)| *at);
    events.push((end, TrackEventKind::Meta(MetaMessage::EndOfTrack)));
    let mut now = 0;
    events
        .into_iter()
        .map(|(at, kind)| {
            let delta = u28::new(at - now);
            now = at;
            TrackEvent { delta, kind }
        })
        .collect()
}

/// The metre as the format has it: the unit as a power of two, MIDI clocks (24 to a
/// quarter) between metronome clicks, and 8 thirty-seconds to a quarter.
///
/// The click is the unit, but a dotted one of three units where eighths and shorter
/// are counted in threes (6/8, 9/8, 12/8).
fn time_signature(metre: MetreChange) -> MetaMessage<'static> {
    let MetreChange { beats, unit, .. } = metre;
    let in_threes = unit >= 8 && beats > 3 && beats.is_multiple_of(3);
    let clocks = 96 / unit * if in_threes { 3 } else { 1 };
    MetaMessage::TimeSignature(beats, unit.trailing_zeros() as u8, clocks, 8)
}

/// The nearest whole number of microseconds in a quarter note.
fn microseconds_per_quarter(milli_bpm: u32) -> u32 {
    let minute = 60_000_000_000u64;
    let tempo = u64::from(milli_bpm);
    ((minute + tempo / 2) / tempo) as u32
}
