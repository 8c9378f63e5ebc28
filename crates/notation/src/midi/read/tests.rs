//! Files made by hand, whole and damaged, and what is read of them.

use linewright_diagnostic::Diagnostics;
use midly::num::{u4, u7, u15, u24, u28};
use midly::{Format, Header, MetaMessage, MidiMessage, Smf, Timing, TrackEvent, TrackEventKind};
use proptest::prelude::*;

use super::{MAX_BARS, MAX_BYTES, read};
use crate::score::{Measure, QUARTER, Score, TimeSignature};

const PPQ: u32 = 96;

/// A track as pairs of tick and event.
type Track<'a> = Vec<(u32, TrackEventKind<'a>)>;

fn meta(at: u32, message: MetaMessage<'_>) -> (u32, TrackEventKind<'_>) {
    (at, TrackEventKind::Meta(message))
}

fn midi(at: u32, channel: u8, message: MidiMessage) -> (u32, TrackEventKind<'static>) {
    let channel = u4::new(channel);
    (at, TrackEventKind::Midi { channel, message })
}

/// Notes as start, length and pitch, in ticks.
fn notes(channel: u8, notes: &[(u32, u32, u8)]) -> Track<'static> {
    let mut track = Track::new();
    for &(at, length, pitch) in notes {
        let key = u7::new(pitch);
        let vel = u7::new(80);
        track.push(midi(at, channel, MidiMessage::NoteOn { key, vel }));
        track.push(midi(
            at + length,
            channel,
            MidiMessage::NoteOff { key, vel },
        ));
    }
    track
}

/// Quarters that sound for nine tenths of a beat.
fn quarters(channel: u8, from: u32, pitches: &[u8]) -> Track<'static> {
    let line: Vec<_> = (0..)
        .zip(pitches)
        .map(|(nth, &pitch)| ((from + nth) * PPQ, PPQ * 9 / 10, pitch))
        .collect();
    notes(channel, &line)
}

fn program(channel: u8, program: u8) -> (u32, TrackEventKind<'static>) {
    let program = u7::new(program);
    midi(0, channel, MidiMessage::ProgramChange { program })
}

/// The track in order of time, with its end.
fn with_deltas<'a>(track: &Track<'a>) -> Vec<TrackEvent<'a>> {
    let mut track = track.clone();
    track.sort_by_key(|(at, _)| *at);
    let last = track.last().map_or(0, |(at, _)| *at);
    track.push(meta(last, MetaMessage::EndOfTrack));
    let mut now = 0;
    let event = |(at, kind)| {
        let delta = u28::new(at - now);
        now = at;
        TrackEvent { delta, kind }
    };
    track.into_iter().map(event).collect()
}

fn bytes_with(format: Format, ppq: u32, tracks: &[Track<'_>]) -> Vec<u8> {
    let smf = Smf {
        header: Header::new(format, Timing::Metrical(u15::new(ppq as u16))),
        tracks: tracks.iter().map(with_deltas).collect(),
    };
    let mut bytes = Vec::new();
    smf.write(&mut bytes).unwrap();
    bytes
}

fn bytes(tracks: &[Track<'_>]) -> Vec<u8> {
    bytes_with(Format::Parallel, PPQ, tracks)
}

fn line(bytes: &[u8]) -> (Score, Diagnostics) {
    read(bytes, None).unwrap_or_else(|e| panic!("{e}"))
}

/// A measure's events as names and lengths in hundredths of a beat: `F1 100`, `r 50`.
fn told(measure: &Measure) -> String {
    let mut end = 0;
    let words: Vec<String> = measure
        .events
        .iter()
        .map(|event| {
            assert_eq!(event.at, end, "events fill the measure");
            end += event.ticks;
            let name = event.note.map_or("r".to_owned(), |note| note.to_string());
            let tied = if event.tied { "+" } else { "" };
            format!(
                "{name}{tied} {}",
                (event.ticks * 100 + QUARTER / 2) / QUARTER
            )
        })
        .collect();
    assert_eq!(end, measure.ticks, "events fill the measure");
    words.join(", ")
}

#[test]
fn a_walking_line_is_read_with_title_metre_key_tempo_chords_sections_and_facts() {
    let conductor = vec![
        meta(0, MetaMessage::TrackName(b"Gravel")),
        meta(0, MetaMessage::Text(b"linewright 0.1.0")),
        meta(0, MetaMessage::Text(b"Style hash: 00ff")),
        meta(0, MetaMessage::Text(b"just words")),
        meta(0, MetaMessage::Text(b"composer: Ada Lind")),
        meta(0, MetaMessage::Text(b"student: Kim")),
        meta(0, MetaMessage::TimeSignature(1, 2, 24, 8)),
        meta(0, MetaMessage::KeySignature(-1, true)),
        meta(0, MetaMessage::Tempo(u24::new(454_545))),
        meta(0, MetaMessage::Marker(b"A7")),
        meta(PPQ, MetaMessage::TimeSignature(3, 2, 24, 8)),
        meta(PPQ, MetaMessage::Marker(b"A")),
        meta(PPQ, MetaMessage::Marker(b"Dm7")),
        meta(3 * PPQ, MetaMessage::Marker("B♭7".as_bytes())),
        meta(4 * PPQ, MetaMessage::Marker(b"N.C.")),
        meta(4 * PPQ, MetaMessage::KeySignature(1, false)),
    ];
    let mut bass = notes(
        0,
        &[
            (0, 90, 25),
            (PPQ, 180, 26),
            (3 * PPQ, 90, 32),
            (5 * PPQ, 90, 43),
        ],
    );
    bass.push(meta(0, MetaMessage::TrackName(b"double bass")));
    bass.push(program(0, 32));
    let (score, problems) = line(&bytes(&[conductor, bass]));
    assert!(problems.is_empty(), "{problems}");
    assert_eq!(score.title.as_deref(), Some("Gravel"));
    assert_eq!(score.composer.as_deref(), Some("Ada Lind"));
    assert_eq!(score.student.as_deref(), Some("Kim"));
    let fact = |name: &str, value: &str| (name.to_owned(), value.to_owned());
    assert_eq!(
        score.about,
        [fact("linewright", "0.1.0"), fact("style hash", "00ff")]
    );
    let [pickup, one, two] = &score.measures[..] else {
        panic!("{} measures", score.measures.len())
    };
    assert!(pickup.pickup);
    assert_eq!(pickup.time, Some(TimeSignature { beats: 3, unit: 4 }));
    assert_eq!((pickup.key, pickup.tempo), ("Dm".parse().ok(), Some(132)));
    assert_eq!((one.time, one.key, one.tempo), (None, None, None));
    assert_eq!(two.key, "G".parse().ok());
    // The third of A7 in D minor, and the seventh of Bb7.
    assert_eq!(told(pickup), "C#1 100");
    assert_eq!(told(one), "D1 200, Ab1 100");
    assert_eq!(told(two), "r 100, G2 100, r 100");
    let symbols: Vec<String> = score
        .measures
        .iter()
        .flat_map(|m| &m.symbols)
        .map(|s| format!("{} {}", s.at / QUARTER, s.symbol))
        .collect();
    assert_eq!(symbols, ["0 A7", "0 Dm7", "2 Bb7", "0 N.C."]);
    assert_eq!(one.section.as_deref(), Some("A"));
}

#[test]
fn letters_alone_are_sections_unless_there_are_other_chords_or_the_file_is_ours() {
    let read = |markers: &[&'static [u8]], ours: bool| {
        let mut conductor: Track<'_> = (0..)
            .zip(markers)
            .map(|(nth, text)| meta(nth * 4 * PPQ, MetaMessage::Marker(text)))
            .collect();
        if ours {
            conductor.push(meta(0, MetaMessage::Text(b"linewright 0.1.0")));
        }
        let line = quarters(0, 0, &[40; 12]);
        let score = line_of(&bytes(&[conductor, line]));
        let sections = score.measures.iter().filter(|m| m.section.is_some());
        sections.count()
    };
    fn line_of(bytes: &[u8]) -> Score {
        line(bytes).0
    }
    assert_eq!(read(&[b"A", b"B", b"C"], false), 3);
    assert_eq!(read(&[b"A", b"B", b"C"], true), 0);
    assert_eq!(read(&[b"A", b"Bm7", b"Solo"], false), 1);
}

#[test]
fn without_chords_pitches_are_spelled_by_the_key_and_the_step_to_the_next() {
    let spelled = |fifths, minor, pitches: &[u8]| {
        let sign = vec![meta(0, MetaMessage::KeySignature(fifths, minor))];
        let score = line(&bytes(&[sign, quarters(0, 0, pitches)])).0;
        told(&score.measures[0]).replace(" 100", "")
    };
    assert_eq!(spelled(-3, false, &[39, 44, 46, 38]), "Eb2, Ab2, Bb2, D2");
    assert_eq!(spelled(4, false, &[44, 39, 42, 37]), "G#2, D#2, F#2, C#2");
    assert_eq!(spelled(0, true, &[44, 45, 42, 41]), "G#2, A2, Gb2, F2");
}

#[test]
fn the_bass_is_found_by_number_name_program_name_or_register_and_told() {
    let named = |name: &'static str, channel, of: u8, pitches: &[u8]| {
        let mut track = quarters(channel, 0, pitches);
        track.push(meta(0, MetaMessage::TrackName(name.as_bytes())));
        track.push(program(channel, of));
        track
    };
    let piano = || named("Piano", 0, 0, &[30, 64, 67, 60]);
    let first = |tracks: &[Track<'_>], asked: Option<&str>| {
        let (score, problems) = read(&bytes(tracks), asked).unwrap();
        let note = score.measures[0].events[0].note.unwrap();
        (note.to_string(), problems.to_string())
    };
    let drums = named("Kit", 9, 32, &[20, 20, 20, 20]);
    let fretless = named("Line", 1, 35, &[40, 41, 42, 43]);
    let called = named("Upright BASS", 2, 50, &[45, 45, 45, 45]);
    let bassoon = named("Bassoon", 3, 70, &[47, 47, 47, 47]);
    let all = [
        piano(),
        drums.clone(),
        fretless,
        called.clone(),
        bassoon.clone(),
    ];
    let (note, why) = first(&all, None);
    assert_eq!(note, "E2");
    assert!(
        why.contains("track 3 \"Line\"") && why.contains("program 36"),
        "{why}"
    );
    assert!(why.contains("track 1 \"Piano\""), "{why}");
    let (note, why) = first(&[piano(), drums.clone(), called, bassoon.clone()], None);
    assert!(note == "A2" && why.contains("called a bass"), "{why}");
    let (note, why) = first(&[piano(), drums.clone(), bassoon], None);
    assert!(note == "B2" && why.contains("lowest"), "{why}");
    for (asked, wanted) in [
        ("1", "F#1"),
        ("track 3", "E2"),
        ("piano", "F#1"),
        ("upright", "A2"),
        ("channel 4", "B2"),
        ("2", "Ab0"),
    ] {
        assert_eq!(first(&all, Some(asked)).0, wanted, "{asked}");
    }
    let refused =
        |tracks: &[Track<'_>], asked| read(&bytes(tracks), asked).unwrap_err().to_string();
    let why = refused(&all, Some("tuba"));
    assert!(
        why.contains("\"tuba\"") && why.contains("track 5 \"Bassoon\""),
        "{why}"
    );
    assert!(refused(&[drums], None).contains("drums"));
    assert!(refused(&[vec![]], None).contains("no notes"));
    let (_, why) = first(&[piano()], None);
    assert!(why.is_empty(), "{why}");
}

#[test]
fn channels_of_one_track_are_parts_and_pieces_of_type_2_have_their_own_signs() {
    let mut mixed = quarters(0, 0, &[60, 62, 64, 65]);
    mixed.extend(quarters(3, 0, &[36, 38, 40, 41]));
    let single = bytes_with(Format::SingleTrack, PPQ, &[mixed]);
    assert_eq!(
        told(&line(&single).0.measures[0]),
        "C2 100, D2 100, E2 100, F2 100"
    );

    let piece = |name: &'static [u8], beats, pitches: &[u8]| {
        let mut track = quarters(0, 0, pitches);
        track.push(meta(0, MetaMessage::TrackName(name)));
        track.push(meta(0, MetaMessage::TimeSignature(beats, 2, 24, 8)));
        track
    };
    let pieces = [piece(b"High", 4, &[60; 12]), piece(b"Low", 3, &[40; 12])];
    let separate = bytes_with(Format::Sequential, PPQ, &pieces);
    let score = line(&separate).0;
    assert_eq!(score.title.as_deref(), Some("Low"));
    assert_eq!(score.measures.len(), 4);
    assert_eq!(read(&separate, Some("1")).unwrap().0.measures.len(), 3);
}

#[test]
fn a_played_line_is_put_on_its_places_and_the_moves_are_told() {
    let played = notes(
        0,
        &[
            (2, 88, 41),
            (91, 60, 43),
            (160, 25, 45),
            (195, 90, 48),
            (285, 80, 50),
            (386, 170, 53),
        ],
    );
    let (score, problems) = line(&bytes(&[played]));
    assert_eq!(
        told(&score.measures[0]),
        "F2 100, G2 67, A2 33, C3 100, D3 100"
    );
    assert_eq!(told(&score.measures[1]), "F3 200, r 200");
    let said = problems.to_string();
    assert!(said.contains("5 of 6 notes"), "{said}");
    assert!(said.contains("0.05 of a beat"), "{said}");
}

#[test]
fn one_voice_is_read_and_what_is_left_out_is_told() {
    let chords = notes(
        0,
        &[
            (0, 90, 40),
            (0, 90, 47),
            (PPQ, 90, 52),
            (PPQ, 90, 45),
            (2 * PPQ, 3 * PPQ, 43),
            (3 * PPQ, 90, 41),
        ],
    );
    let (score, problems) = line(&bytes(&[chords]));
    assert_eq!(told(&score.measures[0]), "E2 100, A2 100, G2 100, F2 100");
    let said = problems.to_string();
    assert!(said.contains("begin together: 2 times"), "{said}");
    assert!(said.contains("sounds on into the next: once"), "{said}");
}

#[test]
fn notes_are_tied_over_bar_lines() {
    let held = notes(0, &[(2 * PPQ, 6 * PPQ, 40), (8 * PPQ, 4 * PPQ, 41)]);
    let score = line(&bytes(&[held])).0;
    assert_eq!(told(&score.measures[0]), "r 200, E2+ 200");
    assert_eq!(told(&score.measures[1]), "E2 400");
    assert_eq!(told(&score.measures[2]), "F2 400");
}

/// Bytes of a header, and of tracks that hold these bytes.
fn raw(format: u8, declared: u8, division: [u8; 2], tracks: &[&[u8]]) -> Vec<u8> {
    let mut bytes = b"MThd\x00\x00\x00\x06\x00".to_vec();
    bytes.extend([format, 0, declared]);
    bytes.extend(division);
    for track in tracks {
        bytes.extend(b"MTrk");
        bytes.extend((track.len() as u32).to_be_bytes());
        bytes.extend(*track);
    }
    bytes
}

const ONE_NOTE: &[u8] = b"\x00\x90\x28\x50\x60\x80\x28\x40\x00\xFF\x2F\x00";

#[test]
fn files_that_count_no_beats_or_are_no_midi_are_refused() {
    let refused = |bytes: &[u8]| read(bytes, None).unwrap_err().to_string();
    assert!(refused(b"").contains("no MIDI file"));
    assert!(refused(b"MThd").contains("no MIDI file"));
    assert!(refused(&raw(1, 1, [0, 0], &[ONE_NOTE])).contains("0 ticks"));
    assert!(refused(&raw(1, 1, [0xE7, 0x28], &[ONE_NOTE])).contains("SMPTE"));
    assert!(refused(&raw(1, 0, [0, 96], &[])).contains("no notes"));
    assert!(refused(&vec![0; MAX_BYTES + 1]).contains("4194305 bytes"));
}

#[test]
fn of_a_damaged_file_is_read_what_can_be_and_the_damage_is_told() {
    let said = |bytes: &[u8]| {
        let (score, problems) = line(bytes);
        assert_eq!(score.measures[0].events[0].note.unwrap().to_string(), "E2");
        problems.to_string()
    };
    let whole = raw(1, 1, [0, 96], &[ONE_NOTE]);
    assert_eq!(said(&whole), "");
    let wrapped = [b"RIFF\0\0\0\0RMIDdata\0\0\0\0".as_slice(), &whole].concat();
    assert_eq!(said(&wrapped), "");
    let strange = [&whole, b"XFIH\x00\x00\x00\x02ab".as_slice()].concat();
    assert_eq!(said(&strange), "");
    assert!(
        said(&raw(1, 3, [0, 96], &[ONE_NOTE])).contains("says that it has 3 tracks, and has 1")
    );
    let no_end = &ONE_NOTE[..ONE_NOTE.len() - 4];
    assert!(said(&raw(1, 1, [0, 96], &[no_end])).contains("breaks off"));
    let open = said(&raw(1, 1, [0, 96], &[&ONE_NOTE[..4]]));
    assert!(
        open.contains("breaks off") && open.contains("never end: 1"),
        "{open}"
    );
    assert!(said(&whole[..whole.len() - 2]).contains("breaks off"));
    let signs: &[u8] = b"\x00\xFF\x51\x03\x00\x00\x00\x00\xFF\x58\x04\x00\x02\x18\x08\
        \x00\xFF\x59\x02\x09\x00\x00\xFF\x2F\x00";
    let odd = said(&raw(1, 2, [0, 96], &[signs, ONE_NOTE]));
    for what in ["a tempo makes", "a metre makes", "a key signature makes"] {
        assert!(odd.contains(what), "{odd}");
    }
    let broken: &[u8] = b"\x00\x28\x50";
    assert!(said(&raw(1, 2, [0, 96], &[ONE_NOTE, broken])).contains("track 2 breaks off"));
}

#[test]
fn huge_times_give_a_bounded_number_of_bars() {
    let late: Vec<u8> = [
        b"\x00\x90\x28\x50\x60\x80\x28\x40".as_slice(),
        &b"\xFF\xFF\xFF\x7F\x90\x2A\x50".repeat(20),
        b"\x00\xFF\x2F\x00",
    ]
    .concat();
    let (score, problems) = line(&raw(0, 1, [0, 1], &[&late]));
    assert!(score.measures.len() <= MAX_BARS);
    let said = problems.to_string();
    assert!(
        said.contains("longer than 4096 bars; notes after them: 20"),
        "{said}"
    );
    let mut long_end = quarters(0, 0, &[40; 8]);
    long_end.push(meta(0x0FFF_FFFF, MetaMessage::Marker(b"End")));
    let (score, _) = line(&bytes(&[long_end]));
    assert_eq!(score.measures.len(), 2);
}

#[test]
fn files_of_the_largest_size_are_read_in_a_moment() {
    let tiny = b"MTrk\x00\x00\x00\x04\x00\x90\x28\x50".repeat(MAX_BYTES / 12 - 2);
    let tracks = [raw(1, 9, [0, 96], &[]), tiny].concat();
    let (score, problems) = line(&tracks);
    assert_eq!(told(&score.measures[0]).split(' ').next(), Some("E2"));
    assert!(problems.more() > 1000);
    let dense = b"\x01\x90\x28\x50\x00\x28\x00".repeat(MAX_BYTES / 7 - 10);
    let (score, _) = line(&raw(0, 1, [0, 1], &[&dense]));
    assert_eq!(score.measures.len(), MAX_BARS);
    let markers = b"\x01\xFF\x06\x01A".repeat(MAX_BYTES / 5 - 20);
    let (score, _) = line(&raw(0, 2, [0, 96], &[ONE_NOTE, &markers]));
    assert_eq!(score.measures.len(), 1);
}

#[test]
fn changes_of_tempo_inside_a_bar_wait_for_the_next() {
    let tempo = |at, bpm: u32| meta(at, MetaMessage::Tempo(u24::new(60_000_000 / bpm)));
    let signs = vec![
        tempo(0, 120),
        tempo(PPQ, 100),
        tempo(2 * PPQ, 80),
        tempo(8 * PPQ, 80),
    ];
    let (score, problems) = line(&bytes(&[signs, quarters(0, 0, &[40; 12])]));
    let tempos: Vec<Option<u16>> = score.measures.iter().map(|m| m.tempo).collect();
    assert_eq!(tempos, [Some(120), Some(80), None]);
    assert!(problems.to_string().contains("inside a bar: 2 times"));
}

proptest! {
    #[test]
    fn lines_on_a_grid_come_back_as_they_were(
        ppq in prop::sample::select(vec![24u32, 96, 120, 192, 384, 480, 960]),
        division in prop::sample::select(vec![1u32, 2, 3, 4]),
        steps in prop::collection::vec((1u32..6, 30u8..60), 1..40),
        share in 85u32..=100,
    ) {
        let step = ppq / division;
        let mut at = 0;
        let mut line_notes = Vec::new();
        for (length, pitch) in &steps {
            // Notes follow each other, so that each lasts until the next.
            let ticks = length * step;
            line_notes.push((at, (ticks * share / 100).max(1), *pitch));
            at += ticks;
        }
        let (score, _) = line(&bytes_with(Format::Parallel, ppq, &[notes(0, &line_notes)]));
        let mut found = Vec::new();
        let mut from = 0;
        let mut tied = false;
        for measure in &score.measures {
            told(measure);
            for event in &measure.events {
                if let Some(note) = event.note
                    && !std::mem::replace(&mut tied, event.tied)
                {
                    found.push((from + event.at, note.pitch().unwrap().midi()));
                }
            }
            from += measure.ticks;
        }
        let wanted: Vec<(u32, u8)> = line_notes
            .iter()
            .map(|&(at, _, pitch)| (at / step * (QUARTER / division), pitch))
            .collect();
        prop_assert_eq!(found, wanted);
    }

    #[test]
    fn no_bytes_are_too_odd(
        head in prop::sample::select(vec![0u8, 1, 2, 9]),
        division in any::<[u8; 2]>(),
        body in prop::collection::vec(any::<u8>(), 0..120),
        cut in 0usize..40,
    ) {
        let _ = read(&body, None);
        let bytes = raw(head, 2, division, &[ONE_NOTE, &body]);
        if let Ok((score, _)) = read(&bytes, None) {
            prop_assert!(score.measures.len() <= MAX_BARS);
            for measure in &score.measures {
                told(measure);
            }
        }
        let _ = read(&bytes[..bytes.len().saturating_sub(cut)], Some("2"));
    }

    #[test]
    fn events_of_every_kind_at_any_time_are_read(
        events in prop::collection::vec((0u32..60_000, 0u8..7, any::<u8>(), any::<u8>()), 1..60),
        ppq in 1u32..2000,
    ) {
        let mut now = 0;
        let mut track = Track::new();
        for (delta, kind, a, b) in events {
            now += delta;
            let (key, vel) = (u7::new(a & 127), u7::new(b & 127));
            track.push(match kind {
                0..=2 => midi(now, b & 1, MidiMessage::NoteOn { key, vel }),
                3 => midi(now, b & 1, MidiMessage::NoteOff { key, vel }),
                4 => meta(now, MetaMessage::TimeSignature(a, b % 9, 24, 8)),
                5 => meta(now, MetaMessage::Tempo(u24::new(u32::from(a) << (b % 16)))),
                _ => meta(now, MetaMessage::KeySignature(a as i8, b > 9)),
            });
        }
        let bytes = bytes_with(Format::SingleTrack, ppq, &[track]);
        if let Ok((score, _)) = read(&bytes, None) {
            prop_assert!(!score.measures.is_empty() && score.measures.len() <= MAX_BARS);
            for measure in &score.measures {
                told(measure);
            }
        }
    }
}
