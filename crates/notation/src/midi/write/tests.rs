//! The bytes themselves, what comes back from them, and what is refused.

use midly::{Format, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};
use proptest::prelude::*;

use super::*;

fn note(start: u32, length: u32, pitch: u8) -> Sounded {
    Sounded {
        start,
        length,
        pitch,
        velocity: 80,
    }
}

/// A bar of B flat in two: B flat, then F below it.
fn tiny() -> Part {
    let mut part = Part::new("Tiny", 1920);
    part.name = "Bass".to_owned();
    part.texts = vec!["seed 7".to_owned()];
    part.keys = vec![KeyChange {
        at: 0,
        fifths: -2,
        minor: false,
    }];
    part.markers = vec![Marker {
        at: 0,
        text: "B♭6".to_owned(),
    }];
    part.notes = vec![
        Sounded {
            velocity: 88,
            ..note(0, 960, 34)
        },
        note(960, 912, 29),
    ];
    part
}

/// Laid out by hand after *Standard MIDI Files 1.0* (MIDI Manufacturers Association),
/// from memory; `midi_outside` has other readers agree.
#[test]
fn a_tiny_part_gives_exactly_these_bytes() {
    let expected: Vec<u8> = [
        // Header: six bytes, type 1, two tracks, 480 (01E0) ticks to a quarter.
        &b"MThd\x00\x00\x00\x06\x00\x01\x00\x02\x01\xE0"[..],
        b"MTrk\x00\x00\x00\x35",
        b"\x00\xFF\x03\x04Tiny",
        b"\x00\xFF\x01\x06seed 7",
        b"\x00\xFF\x58\x04\x04\x02\x18\x08", // 4/4, a click every 24 clocks
        b"\x00\xFF\x59\x02\xFE\x00",         // two flats, major
        b"\x00\xFF\x51\x03\x07\xA1\x20",     // 500 000 microseconds a quarter
        b"\x00\xFF\x06\x05B\xE2\x99\xAD6",   // B♭6 in UTF-8
        b"\x8F\x00\xFF\x2F\x00",             // 1920 ticks on: end of track
        b"MTrk\x00\x00\x00\x21",
        b"\x00\xFF\x03\x04Bass",
        b"\x00\xC0\x20",         // program 33 counted from one
        b"\x00\x90\x22\x58",     // B flat 1 on, velocity 88
        b"\x87\x40\x80\x22\x40", // 960 ticks on: off, before the next note
        b"\x00\x90\x1D\x50",     // F 1 on
        b"\x87\x10\x80\x1D\x40", // 912 ticks on: off
        b"\x30\xFF\x2F\x00",     // the last 48 ticks of the bar
    ]
    .concat();
    assert_eq!(write(&tiny()).unwrap(), expected);
}

/// The lengths of the track chunks of a file, walked without any reader.
fn chunks(bytes: &[u8]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut rest = &bytes[14..];
    while let Some((head, tail)) = rest.split_at_checked(8) {
        assert_eq!(&head[..4], b"MTrk");
        let length = u32::from_be_bytes([head[4], head[5], head[6], head[7]]) as usize;
        found.push(length);
        rest = &tail[length..];
    }
    assert!(rest.is_empty(), "bytes after the last track");
    found
}

/// The absolute times of a track's events.
fn timed<'a>(track: &[TrackEvent<'a>]) -> Vec<(u32, TrackEventKind<'a>)> {
    let mut now = 0;
    track
        .iter()
        .map(|event| {
            now += event.delta.as_int();
            (now, event.kind)
        })
        .collect()
}

/// The notes of a track: each note off ends the one note on of its pitch.
fn notes_of(track: &[TrackEvent<'_>]) -> Vec<Sounded> {
    let mut notes: Vec<Sounded> = Vec::new();
    for (at, kind) in timed(track) {
        let TrackEventKind::Midi { message, .. } = kind else {
            continue;
        };
        match message {
            MidiMessage::NoteOn { key, vel } => notes.push(Sounded {
                start: at,
                length: 0,
                pitch: key.as_int(),
                velocity: vel.as_int(),
            }),
            MidiMessage::NoteOff { key, .. } => {
                let open: Vec<_> = notes
                    .iter_mut()
                    .filter(|n| n.length == 0 && n.pitch == key.as_int())
                    .collect();
                assert_eq!(open.len(), 1, "one note of pitch {key} sounds at {at}");
                for n in open {
                    n.length = at - n.start;
                }
            }
            _ => {}
        }
    }
    notes
}

/// A part that can be written: notes of any pitch that never meet themselves.
fn parts() -> impl Strategy<Value = Part> {
    let notes = prop::collection::vec((0u32..2000, 1u32..3000, 0u8..128, 1u8..128), 0..40);
    (notes, 0u8..128, 0u8..16, 3_577u32..400_000).prop_map(|(raw, program, channel, milli_bpm)| {
        let mut part = Part::new("Any", 0);
        (part.program, part.channel) = (program, channel);
        part.tempos[0].milli_bpm = milli_bpm;
        let mut start = 0;
        for (step, length, pitch, velocity) in raw {
            start += step;
            part.notes.push(Sounded {
                start,
                length,
                pitch,
                velocity,
            });
        }
        part.notes.sort_by_key(|n| (n.start, n.pitch));
        let mut free = [0; 128];
        part.notes.retain(|n| {
            let free = &mut free[usize::from(n.pitch)];
            let fits = n.start >= *free;
            if fits {
                *free = n.start + n.length;
            }
            fits
        });
        let last = part.notes.iter().map(|n| n.start + n.length).max();
        part.end = last.unwrap_or(0).div_ceil(1920) * 1920;
        part
    })
}

proptest! {
    #[test]
    fn every_part_comes_back_note_for_note(part in parts()) {
        let bytes = write(&part).unwrap();
        prop_assert_eq!(&bytes, &write(&part).unwrap(), "the same bytes twice");
        prop_assert_eq!(u16::from_be_bytes([bytes[10], bytes[11]]), 2, "declared tracks");
        prop_assert_eq!(chunks(&bytes).len(), 2, "actual tracks");
        let file = Smf::parse(&bytes).unwrap();
        prop_assert_eq!(file.header.format, Format::Parallel);
        prop_assert_eq!(file.header.timing, Timing::Metrical(480.into()));
        prop_assert_eq!(file.tracks.len(), 2);
        for track in &file.tracks {
            let last = timed(track).pop();
            let end = (part.end, TrackEventKind::Meta(MetaMessage::EndOfTrack));
            prop_assert_eq!(last, Some(end));
        }
        prop_assert_eq!(notes_of(&file.tracks[1]), part.notes);
        for (_, kind) in timed(&file.tracks[1]) {
            if let TrackEventKind::Midi { channel, message } = kind {
                prop_assert_eq!(channel.as_int(), part.channel);
                if let MidiMessage::ProgramChange { program } = message {
                    prop_assert_eq!(program.as_int(), part.program);
                }
            }
        }
    }
}

/// That `part` is refused with a text that has all of `words` in it.
fn refused(change: impl FnOnce(&mut Part), words: &[&str]) {
    let mut part = tiny();
    change(&mut part);
    let error = write(&part).expect_err("it can be written").to_string();
    for word in words {
        assert!(error.contains(word), "`{word}` is not in: {error}");
    }
}

#[test]
fn notes_that_the_format_cannot_hold_are_refused_by_name_and_tick() {
    refused(|p| p.notes[1].pitch = 128, &["pitch", "960", "127"]);
    refused(
        |p| p.notes[1].velocity = 0,
        &["velocity", "960", "1 to 127"],
    );
    refused(|p| p.notes[1].length = 0, &["length", "960"]);
    refused(|p| p.notes[1].length = 961, &["1921", "ends at tick 1920"]);
    refused(|p| p.notes[1].length = u32::MAX, &["length", "268435455"]);
    refused(|p| p.notes.reverse(), &["tick 0", "tick 960", "order"]);
    refused(
        |p| p.notes[1] = note(959, 10, 34),
        &["pitch 34", "tick 959", "until tick 960"],
    );
    refused(|p| p.notes.insert(0, note(0, 1, 35)), &["order"]);
}

#[test]
fn notes_of_other_pitches_may_sound_together() {
    let mut part = tiny();
    part.notes.insert(1, note(0, 1900, 41));
    let bytes = write(&part).unwrap();
    assert_eq!(notes_of(&Smf::parse(&bytes).unwrap().tracks[1]), part.notes);
}

#[test]
fn tempo_metre_and_key_must_make_sense() {
    refused(|p| p.tempos.clear(), &["no tempo at tick 0"]);
    refused(|p| p.tempos[0].at = 480, &["no tempo at tick 0"]);
    refused(|p| p.tempos[0].milli_bpm = 0, &["tempo", "3577"]);
    refused(
        |p| p.tempos.push(p.tempos[0]),
        &["tempo at tick 0", "order"],
    );
    refused(|p| p.metres.clear(), &["no metre at tick 0"]);
    refused(|p| p.metres[0].unit = 3, &["counts in 3", "16"]);
    refused(|p| p.metres[0].beats = 0, &["upper number"]);
    refused(|p| p.metres[0].beats = 3, &["the end", "480 ticks past"]);
    refused(|p| p.keys[0].fifths = 8, &["sharps or flats", "-7 to 7"]);
    refused(
        |p| {
            p.metres.push(MetreChange {
                at: 480,
                beats: 3,
                unit: 4,
            });
        },
        &["a metre at tick 480", "bars are 1920 ticks"],
    );
}

#[test]
fn the_slowest_and_fastest_tempos_still_fit() {
    for (milli_bpm, microseconds) in [(3_577, 16_773_833), (60_000_000, 1_000)] {
        let mut part = tiny();
        part.tempos[0].milli_bpm = milli_bpm;
        let bytes = write(&part).unwrap();
        let tempo = TrackEventKind::Meta(MetaMessage::Tempo(microseconds.into()));
        let file = Smf::parse(&bytes).unwrap();
        assert!(file.tracks[0].iter().any(|e| e.kind == tempo));
    }
}

#[test]
fn numbers_of_the_part_itself_are_checked() {
    refused(|p| p.program = 128, &["the program is 128", "127"]);
    refused(|p| p.channel = 16, &["channel", "15"]);
    refused(|p| p.end = 1919, &["the end", "bar line"]);
    refused(|p| p.end = LONGEST + 1, &["the end is", "268435455"]);
}

#[test]
fn texts_are_single_lines_of_bounded_length() {
    refused(|p| p.title = "one\ntwo".into(), &["title", "\\u{a}"]);
    refused(|p| p.texts.push("\0".into()), &["metadata", "\\u{0}"]);
    refused(|p| p.markers[0].text = "\u{85}".into(), &["marker"]);
    refused(|p| p.title = "x".repeat(LONGEST_TEXT + 1), &["1048577"]);
    refused(|p| p.markers[0].at = 1921, &["marker", "1921"]);
    let mut part = tiny();
    part.title = "x".repeat(LONGEST_TEXT);
    assert!(write(&part).is_ok());
}

#[test]
fn a_click_is_a_beat_and_a_dotted_one_in_compound_time() {
    // MIDI clocks, 24 to a quarter (Standard MIDI Files 1.0, time signature, from
    // memory); which beat clicks is common practice, no source.
    let clicks = [
        (4, 4, 2, 24),
        (2, 2, 1, 48),
        (3, 4, 2, 24),
        (3, 8, 3, 12),
        (6, 8, 3, 36),
        (12, 8, 3, 36),
        (7, 8, 3, 12),
        (4, 1, 0, 96),
        (5, 32, 5, 3),
    ];
    for (beats, unit, power, clocks) in clicks {
        let mut part = Part::new("Click", 0);
        part.metres[0] = MetreChange { at: 0, beats, unit };
        let bytes = write(&part).unwrap();
        let wanted = MetaMessage::TimeSignature(beats, power, clocks, 8);
        let file = Smf::parse(&bytes).unwrap();
        let found = file.tracks[0]
            .iter()
            .any(|e| e.kind == TrackEventKind::Meta(wanted));
        assert!(found, "{beats}/{unit}");
    }
}
