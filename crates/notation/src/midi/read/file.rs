//! The bytes of a file → notes and signs with their times.

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostics, Place, clean::one_line};
use midly::{MetaMessage, MidiMessage, TrackEventKind, TrackIter};

use super::MAX_BYTES;
use crate::score::QUARTER;

/// A time in the units of a score, from the start of the file.
pub(super) type Time = u64;

/// Most signs and texts of a file that are kept.
const MOST_SIGNS: usize = 50_000;

/// Most characters of a text that are kept.
const LONGEST_TEXT: usize = 1000;

/// A file's tracks, in order.
pub(super) struct File {
    /// Ticks in a quarter note.
    pub(super) ppq: u16,
    /// Whether each track is a piece of its own (type 2).
    pub(super) separate: bool,
    pub(super) tracks: Vec<Track>,
}

/// One track.
#[derive(Default)]
pub(super) struct Track {
    pub(super) name: Option<String>,
    pub(super) signs: Vec<(Time, Sign)>,
    /// By when they begin.
    pub(super) notes: Vec<Played>,
    /// For each channel, the program of its first note, counted from 0.
    pub(super) programs: [Option<u8>; 16],
    pub(super) end: Time,
}

/// A note as it was played.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Played {
    pub(super) from: Time,
    pub(super) to: Time,
    pub(super) pitch: u8,
    pub(super) channel: u8,
}

/// What a file says besides notes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// Microseconds in a quarter note.
    Tempo(u32),
    /// Upper number, and lower number as a power of two.
    Metre(u8, u8),
    /// Sharps (flats negative), and whether minor.
    Key(i8, bool),
    Marker(String),
    Text(String),
}

impl File {
    pub(super) fn read(bytes: &[u8], problems: &mut Diagnostics) -> Result<Self, Diagnostics> {
        let refuse = |message: String, hint: &str| Diagnostics::one(Place::Whole, message, hint);
        if bytes.len() > MAX_BYTES {
            return Err(refuse(
                format!(
                    "the file has {} bytes, and at most {MAX_BYTES} are read",
                    bytes.len()
                ),
                "export the bass track by itself",
            ));
        }
        let (header, rest) = header(bytes).ok_or_else(|| {
            refuse(
                "this is no MIDI file: it does not begin with a whole header chunk `MThd`".into(),
                "give a Standard MIDI File (.mid)",
            )
        })?;
        let ppq = match header.division {
            0 => {
                return Err(refuse(
                    "the file has 0 ticks in a quarter note, so that it counts no beats".into(),
                    "export it anew; the header is damaged",
                ));
            }
            frames if frames > 0x7FFF => {
                return Err(refuse(
                    "the file counts time in frames (SMPTE), and so has no beats and bars".into(),
                    "export it with ticks in a quarter note (PPQ) as its time base",
                ));
            }
            ppq => ppq,
        };
        let declared = usize::from(header.tracks);
        let mut file = Self {
            ppq,
            separate: header.format == 2,
            tracks: Vec::new(),
        };
        let mut room = MOST_SIGNS;
        for chunk in chunks(rest).filter(|chunk| chunk.starts_with(b"MTrk")) {
            let Some(Ok(events)) = TrackIter::new(chunk).next() else {
                continue;
            };
            let number = file.tracks.len() + 1;
            let track = file.track(events, number, &mut room, problems);
            file.tracks.push(track);
        }
        if file.tracks.len() != declared {
            problems.remark(
                Place::Whole,
                format!(
                    "the file says that it has {declared} tracks, and has {}",
                    file.tracks.len()
                ),
                "what is there was read; export the file anew if something is missing",
            );
        }
        if room == 0 {
            problems.remark(
                Place::Whole,
                format!("the file has more than {MOST_SIGNS} signs and texts"),
                "the rest were left out",
            );
        }
        Ok(file)
    }

    /// A time in ticks as a time of a score, rounded.
    fn time(&self, ticks: u64) -> Time {
        let ppq = u64::from(self.ppq);
        (ticks * u64::from(QUARTER) + ppq / 2) / ppq
    }

    fn track<'a>(
        &self,
        events: impl Iterator<Item = midly::Result<midly::TrackEvent<'a>>>,
        number: usize,
        room: &mut usize,
        problems: &mut Diagnostics,
    ) -> Track {
        let mut track = Track::default();
        let mut program: [Option<u8>; 16] = [None; 16];
        // For each channel and pitch, the note that sounds.
        let mut sounding: BTreeMap<(u8, u8), usize> = BTreeMap::new();
        let (mut ticks, mut ended) = (0u64, false);
        for event in events.map_while(Result::ok) {
            ticks += u64::from(event.delta.as_int());
            let now = self.time(ticks);
            match event.kind {
                TrackEventKind::Meta(MetaMessage::EndOfTrack) => {
                    ended = true;
                    break;
                }
                TrackEventKind::Meta(meta) => {
                    if let MetaMessage::TrackName(name) = meta {
                        track.name.get_or_insert_with(|| decoded(name));
                    } else if let Some(sign) = sign(&meta)
                        && *room > 0
                    {
                        *room -= 1;
                        track.signs.push((now, sign));
                    }
                }
                TrackEventKind::Midi { channel, message } => {
                    let channel = channel.as_int();
                    let of = usize::from(channel);
                    match message {
                        MidiMessage::ProgramChange { program: new } => {
                            program[of] = Some(new.as_int());
                        }
                        MidiMessage::NoteOn { key, vel } => {
                            let pitch = key.as_int();
                            if let Some(open) = sounding.remove(&(channel, pitch)) {
                                end(&mut track.notes, open, now);
                            }
                            if vel > 0 {
                                sounding.insert((channel, pitch), track.notes.len());
                                track.programs[of] = track.programs[of].or(program[of]);
                                track.notes.push(Played {
                                    from: now,
                                    to: now,
                                    pitch,
                                    channel,
                                });
                            }
                        }
                        MidiMessage::NoteOff { key, .. } => {
                            if let Some(open) = sounding.remove(&(channel, key.as_int())) {
                                end(&mut track.notes, open, now);
                            }
                        }
                        _ => {}
                    }
                }
                TrackEventKind::SysEx(_) | TrackEventKind::Escape(_) => {}
            }
        }
        track.end = self.time(ticks);
        if !ended {
            problems.remark(
                Place::Whole,
                format!("track {number} breaks off without its end"),
                "what comes before was read; export the file anew if something is missing",
            );
        }
        if !sounding.is_empty() {
            problems.remark(
                Place::Whole,
                format!("in track {number} notes never end: {}", sounding.len()),
                "they were read as lasting to the end of the track or to the next note",
            );
        }
        for note in sounding.into_values() {
            end(&mut track.notes, note, track.end);
        }
        for (channel, first) in track.programs.iter_mut().enumerate() {
            *first = first.or(program[channel]);
        }
        track
    }
}

/// What the header chunk says, each as it stands there.
struct Header {
    format: u16,
    tracks: u16,
    division: u16,
}

/// The header, and the bytes after its chunk. A file may be wrapped in RIFF.
fn header(bytes: &[u8]) -> Option<(Header, &[u8])> {
    /// Where the file begins inside RIFF: after `RIFF`, a length, `RMID`, `data` and a length.
    const WRAPPED: usize = 20;
    let bytes = match bytes.get(..4)? {
        b"RIFF" => bytes.get(WRAPPED..)?,
        _ => bytes,
    };
    let chunk = chunks(bytes).next().filter(|c| c.starts_with(b"MThd"))?;
    let number = |at: usize| Some(u16::from_be_bytes(chunk.get(at..at + 2)?.try_into().ok()?));
    let header = Header {
        format: number(8)?,
        tracks: number(10)?,
        division: number(12)?,
    };
    Some((header, &bytes[chunk.len()..]))
}

/// The chunks of a file, each with its four letters and its length. The last may be cut off.
fn chunks(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    let mut rest = bytes;
    std::iter::from_fn(move || {
        let length = rest.get(4..8)?.try_into().ok().map(u32::from_be_bytes)?;
        let end = usize::try_from(length)
            .ok()?
            .saturating_add(8)
            .min(rest.len());
        let (chunk, tail) = rest.split_at(end);
        rest = tail;
        Some(chunk)
    })
}

/// Ends a note; one of no length sounds for an instant.
fn end(notes: &mut [Played], which: usize, now: Time) {
    if let Some(note) = notes.get_mut(which) {
        note.to = now.max(note.from + 1);
    }
}

/// What a message says, if it is kept.
fn sign(meta: &MetaMessage<'_>) -> Option<Sign> {
    Some(match *meta {
        MetaMessage::Tempo(microseconds) => Sign::Tempo(microseconds.as_int()),
        MetaMessage::TimeSignature(beats, power, ..) => Sign::Metre(beats, power),
        MetaMessage::KeySignature(fifths, minor) => Sign::Key(fifths, minor),
        MetaMessage::Marker(text) => Sign::Marker(decoded(text)),
        MetaMessage::Text(text) => Sign::Text(decoded(text)),
        _ => return None,
    })
}

/// A text as UTF-8, or else byte by byte as Latin-1, without what disturbs a terminal.
fn decoded(bytes: &[u8]) -> String {
    let bytes = &bytes[..bytes.len().min(4 * LONGEST_TEXT)];
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        // A text that was cut in the middle of a character.
        Err(error) if error.error_len().is_none() => {
            String::from_utf8_lossy(&bytes[..error.valid_up_to()]).into_owned()
        }
        Err(_) => bytes.iter().map(|&byte| char::from(byte)).collect(),
    };
    one_line(&text.chars().take(LONGEST_TEXT).collect::<String>())
}
