//! MIDI files that mido writes, at several resolutions, played swung, late and early, are read
//! as the lines that were meant.

use linewright_checkers::python;
use linewright_diagnostic::Diagnostics;
use linewright_notation::{QUARTER, Score, midi};
use serde_json::{Value, json};

/// A note as it is meant: start and length in twelfths of a quarter note, and pitch.
type Meant = (u32, u32, u8);

/// Pitches that walk about between E1 and G3, no two alike in a row.
fn pitch(nth: u32) -> u8 {
    let step = (nth * 7 + nth / 5) % 27;
    28 + step as u8
}

/// Sixteen bars of quarters with half notes, rests of a beat, and a few pairs of eighths.
fn walking(beats: u32) -> Vec<Meant> {
    let mut line = Vec::new();
    let mut beat = 0;
    while beat < 16 * beats {
        let nth = line.len() as u32;
        match beat % 11 {
            3 => {
                line.push((beat * 12, 6, pitch(nth)));
                line.push((beat * 12 + 6, 6, pitch(nth + 1)));
            }
            6 => {
                line.push((beat * 12, 24, pitch(nth)));
                beat += 1;
            }
            // A rest of one beat.
            9 => {}
            _ => line.push((beat * 12, 12, pitch(nth))),
        }
        beat += 1;
    }
    line
}

/// How a line is played.
struct Played {
    ppq: u32,
    kind: u32,
    share: f64,
    swing: f64,
    late: &'static [f64],
    upper: u32,
}

const STRAIGHT: Played = Played {
    ppq: 480,
    kind: 1,
    share: 0.93,
    swing: 0.5,
    late: &[],
    upper: 4,
};

/// In quarter notes: ahead of the beat and behind it, by up to a tenth.
const HUMAN: &[f64] = &[
    0.0, 0.03, -0.02, 0.05, 0.08, -0.06, 0.01, -0.04, 0.1, 0.02, -0.09,
];

fn files(played: &[Played]) -> Vec<Vec<u8>> {
    let asked: String = played
        .iter()
        .map(|how| {
            let notes = |line: &[Meant]| -> Value {
                let beats = |twelfths: u32| f64::from(twelfths) / 12.0;
                line.iter()
                    .map(|&(at, length, pitch)| json!([beats(at), beats(length), pitch]))
                    .collect()
            };
            let melody: Vec<Meant> = (0..20).map(|nth| (nth * 24, 24, 72)).collect();
            let asked = json!({
                "ppq": how.ppq, "type": how.kind, "bpm": 160, "key": "Eb",
                "metres": [[0, how.upper, 4]], "share": how.share, "late": how.late,
                "swing": how.swing,
                "tracks": [
                    {"name": "Lead", "channel": 0, "program": 65, "notes": notes(&melody)},
                    {"name": "Low", "channel": 1, "program": 33, "notes": notes(&walking(how.upper))},
                ],
            });
            format!("{asked}\n")
        })
        .collect();
    let answers = python()
        .unwrap_or_else(|e| panic!("{e}"))
        .run("midi_write.py", asked.as_bytes())
        .unwrap_or_else(|e| panic!("{e}"));
    let bytes = |line: &str| {
        let answer: Value = serde_json::from_str(line).expect("one JSON object a line");
        let hex = answer["bytes"].as_str().expect("hex digits");
        (0..hex.len())
            .step_by(2)
            .map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("hex digits"))
            .collect()
    };
    let files: Vec<Vec<u8>> = answers.lines().map(bytes).collect();
    assert_eq!(files.len(), played.len());
    files
}

/// The notes that a score has, tied ones joined.
fn notes(score: &Score) -> Vec<Meant> {
    let mut notes: Vec<Meant> = Vec::new();
    let (mut from, mut tied) = (0, false);
    for measure in &score.measures {
        for event in &measure.events {
            let Some(note) = event.note else { continue };
            let pitch = note.pitch().expect("a pitch that sounds").midi();
            let length = event.ticks * 12 / QUARTER;
            match notes.last_mut() {
                Some(last) if tied => last.1 += length,
                _ => notes.push(((from + event.at) * 12 / QUARTER, length, pitch)),
            }
            tied = event.tied;
        }
        from += measure.ticks;
    }
    notes
}

fn read(bytes: &[u8]) -> (Score, Diagnostics) {
    midi::read(bytes, None).unwrap_or_else(|e| panic!("{e}"))
}

/// The line with its second halves of beats on the last third.
fn swung(line: &[Meant]) -> Vec<Meant> {
    let place = |at: u32| if at % 12 == 6 { at + 2 } else { at };
    line.iter()
        .map(|&(at, length, pitch)| (place(at), place(at + length) - place(at), pitch))
        .collect()
}

#[test]
fn quantised_files_of_every_resolution_and_type_are_read_as_they_are() {
    let mut played = Vec::new();
    for ppq in [24, 48, 96, 120, 192, 240, 384, 480, 960, 1024, 15360] {
        for kind in [0, 1] {
            for (share, upper) in [(0.93, 4), (1.0, 3), (0.8, 5)] {
                played.push(Played {
                    ppq,
                    kind,
                    share,
                    upper,
                    ..STRAIGHT
                });
            }
        }
    }
    for (how, bytes) in played.iter().zip(files(&played)) {
        let what = format!("{} ticks, type {}, {}/4", how.ppq, how.kind, how.upper);
        let (score, problems) = read(&bytes);
        assert_eq!(notes(&score), walking(how.upper), "{what}");
        assert!(
            !problems.to_string().contains("moved"),
            "{what}: {problems}"
        );
        assert!(problems.to_string().contains("(program 34)"), "{what}");
        assert_eq!(score.measures.len(), 16, "{what}");
        let first = &score.measures[0];
        assert_eq!(first.time.map(|t| u32::from(t.beats)), Some(how.upper));
        assert_eq!(
            first.key.map(|key| key.to_string()),
            Some("Eb major".into())
        );
        assert_eq!(first.tempo, Some(160));
    }
}

#[test]
fn swung_eighths_stand_on_the_last_third_of_their_beat() {
    let mut played = Vec::new();
    for swing in [0.62, 0.66, 2.0 / 3.0, 0.69] {
        for ppq in [96, 480, 960] {
            played.push(Played {
                ppq,
                swing,
                ..STRAIGHT
            });
        }
    }
    for (how, bytes) in played.iter().zip(files(&played)) {
        let (score, _) = read(&bytes);
        let what = format!("swing {} at {} ticks", how.swing, how.ppq);
        assert_eq!(notes(&score), swung(&walking(4)), "{what}");
    }
}

#[test]
fn played_lines_are_put_on_their_beats_and_every_move_is_counted() {
    let mut played = Vec::new();
    for ppq in [96, 240, 480, 960] {
        for swing in [0.5, 0.65] {
            for share in [0.93, 0.85] {
                played.push(Played {
                    ppq,
                    swing,
                    share,
                    late: HUMAN,
                    ..STRAIGHT
                });
            }
        }
    }
    for (how, bytes) in played.iter().zip(files(&played)) {
        let (score, problems) = read(&bytes);
        let what = format!(
            "swing {}, share {}, {} ticks",
            how.swing, how.share, how.ppq
        );
        let line = walking(4);
        let straight = |notes: Vec<Meant>| -> Vec<(u32, u8)> {
            // A swung eighth may be a little too early or late to be told from a straight one.
            let place = |at: u32| if at % 12 == 8 { at - 2 } else { at };
            notes
                .iter()
                .map(|&(at, _, pitch)| (place(at), pitch))
                .collect()
        };
        assert_eq!(straight(notes(&score)), straight(line.clone()), "{what}");
        let rests: Vec<u32> = (0..64).filter(|beat| beat % 11 == 9).collect();
        let sounding = |beat: u32| {
            let middle = beat * 12 + 6;
            notes(&score)
                .iter()
                .any(|&(at, length, _)| at < middle && middle < at + length)
        };
        assert!(rests.iter().all(|&beat| !sounding(beat)), "{what}");
        let said = problems.to_string();
        assert!(
            said.contains(&format!("of {} notes were moved", line.len())),
            "{said}"
        );
        assert!(said.contains("of a beat"), "{said}");
    }
}
