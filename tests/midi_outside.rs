//! MIDI files as other people's readers find them: mido's messages and the score that
//! music21 makes hold exactly the notes, times and signs that were put in.

use linewright_checkers::python;
use linewright_notation::midi::{
    self, KeyChange, Marker, MetreChange, Part, Sounded, TICKS_PER_QUARTER, TempoChange, program,
};
use serde_json::{Value, json};

const QUARTER: u32 = TICKS_PER_QUARTER;

/// Quarters from tick `from`, each a little shorter than its beat, every second one stronger.
fn walk(from: u32, pitches: &[u8]) -> Vec<Sounded> {
    (0u32..)
        .zip(pitches)
        .map(|(i, &pitch)| Sounded {
            start: from + i * QUARTER,
            length: 456,
            pitch,
            velocity: if i % 2 == 1 { 88 } else { 80 },
        })
        .collect()
}

/// Two bars in four, two bars of three, then one of 6/8, with everything that can
/// change changing.
fn eventful() -> Part {
    let mut part = Part::new("Prüfstück № 1", 2 * 1920 + 2 * 1440 + 1440);
    part.program = program::ACOUSTIC_BASS;
    part.channel = 5;
    part.texts = vec![
        "linewright 0.1.0".to_owned(),
        "style plain, seed 41".to_owned(),
    ];
    part.tempos = tempos(&[(0, 132_500), (3840, 96_000), (6720, 41_337)]);
    part.metres = [(0, 4, 4), (3840, 3, 4), (6720, 6, 8)]
        .map(|(at, beats, unit)| MetreChange { at, beats, unit })
        .to_vec();
    part.keys = [(0, -2, false), (3840, 3, true)]
        .map(|(at, fifths, minor)| KeyChange { at, fifths, minor })
        .to_vec();
    part.markers = [
        (0, "A"),
        (0, "B♭6"),
        (960, "G7(♭9)"),
        (1920, "Cm7"),
        (3840, "B"),
        (3840, "F♯m7♭5"),
        (6720, "Coda"),
    ]
    .map(|(at, text)| Marker {
        at,
        text: text.to_owned(),
    })
    .to_vec();
    part.notes = walk(0, &[34, 38, 31, 35, 36, 36, 39, 41]);
    part.notes.extend(walk(3840, &[42, 45, 48, 47, 45, 43]));
    // A triplet drop, a double stop and a note to the last tick.
    part.notes.extend(
        [
            (6720, 160, 45, 90),
            (6880, 160, 40, 61),
            (7040, 160, 33, 127),
            (7200, 960, 28, 1),
            (7200, 960, 40, 70),
        ]
        .map(|(start, length, pitch, velocity)| Sounded {
            start,
            length,
            pitch,
            velocity,
        }),
    );
    part
}

fn tempos(changes: &[(u32, u32)]) -> Vec<TempoChange> {
    changes
        .iter()
        .map(|&(at, milli_bpm)| TempoChange { at, milli_bpm })
        .collect()
}

/// The eventful part, and a bar in each of the thirty keys, each in another metre,
/// tempo, register and sound.
fn parts() -> Vec<Part> {
    let metres = [(4, 4), (3, 4), (5, 4), (2, 2), (7, 4), (6, 4), (12, 8)];
    let sounds = [
        program::ACOUSTIC_BASS,
        program::FINGERED_BASS,
        program::FRETLESS_BASS,
    ];
    let keys = (-7i8..=7).flat_map(|fifths| [(fifths, false), (fifths, true)]);
    let bars = (0u32..).zip(keys).map(|(i, (fifths, minor))| {
        let (beats, unit) = metres[i as usize % metres.len()];
        // No name that tells the instrument: only the program does.
        let (program, name) = (sounds[i as usize % sounds.len()], "Line");
        let end = 4 * QUARTER / u32::from(unit) * u32::from(beats);
        let mut part = Part::new(format!("Key {i}"), end);
        part.metres[0] = MetreChange { at: 0, beats, unit };
        part.tempos[0].milli_bpm = 40_000 + 9_871 * i;
        part.keys = vec![KeyChange {
            at: 0,
            fifths,
            minor,
        }];
        (part.program, part.name) = (program, name.to_owned());
        part.channel = (i % 9) as u8;
        let low = 23 + i as u8;
        let pitches: Vec<u8> = (0..end / QUARTER).map(|b| low + 2 * b as u8).collect();
        part.notes = walk(0, &pitches);
        part
    });
    std::iter::once(eventful()).chain(bars).collect()
}

/// What a checker script tells about the file of each part.
fn told(script: &str, parts: &[Part]) -> Vec<Value> {
    let asked: String = parts
        .iter()
        .map(|part| {
            let bytes = midi::write(part).expect("a part that can be written");
            let hex: String = bytes.iter().map(|b| format!("{b:02x}")).collect();
            format!("{}\n", json!({ "bytes": hex }))
        })
        .collect();
    let answers = python()
        .unwrap_or_else(|e| panic!("{e}"))
        .run(script, asked.as_bytes())
        .unwrap_or_else(|e| panic!("{e}"));
    let answers: Vec<Value> = answers
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect();
    assert_eq!(answers.len(), parts.len());
    answers
}

fn notes(part: &Part) -> Value {
    part.notes
        .iter()
        .map(|n| json!([n.start, n.length, n.pitch, n.velocity]))
        .collect()
}

fn metres(part: &Part) -> Value {
    part.metres
        .iter()
        .map(|m| json!([m.at, m.beats, m.unit]))
        .collect()
}

fn keys(part: &Part) -> Value {
    part.keys
        .iter()
        .map(|k| json!([k.at, k.fifths, k.minor]))
        .collect()
}

fn markers(part: &Part) -> Value {
    part.markers.iter().map(|m| json!([m.at, m.text])).collect()
}

/// Microseconds in a quarter note, as a real number.
fn microseconds(tempo: &TempoChange) -> f64 {
    60e9 / f64::from(tempo.milli_bpm)
}

/// How long the part lasts, in seconds.
fn seconds(part: &Part) -> f64 {
    let ends = part.tempos.iter().skip(1).map(|t| t.at).chain([part.end]);
    part.tempos
        .iter()
        .zip(ends)
        .map(|(tempo, end)| {
            f64::from(end - tempo.at) / f64::from(QUARTER) * microseconds(tempo) / 1e6
        })
        .sum()
}

/// The pairs of time and number in `told`, against the tempos, each turned by `number`.
fn assert_tempos(told: &Value, part: &Part, within: f64, number: impl Fn(&TempoChange) -> f64) {
    let told = told.as_array().expect("a list of tempos");
    assert_eq!(told.len(), part.tempos.len(), "{}", part.title);
    for (told, tempo) in told.iter().zip(&part.tempos) {
        assert_eq!(told[0], json!(tempo.at), "{}", part.title);
        let (found, wanted) = (told[1].as_f64().expect("a number"), number(tempo));
        assert!(
            (found - wanted).abs() <= within,
            "{}: {found}, not {wanted}",
            part.title
        );
    }
}

#[test]
fn mido_finds_every_message_that_was_put_in() {
    let parts = parts();
    for (part, told) in parts.iter().zip(told("midi_mido.py", &parts)) {
        let title = &part.title;
        assert_eq!(told["type"], json!(1), "{title}");
        assert_eq!(told["ppq"], json!(480), "{title}");
        assert_eq!(told["names"], json!([title, part.name]), "{title}");
        assert_eq!(told["texts"], json!(part.texts), "{title}");
        assert_tempos(&told["tempos"], part, 0.5, microseconds);
        assert_eq!(told["metres"], metres(part), "{title}");
        assert_eq!(told["keys"], keys(part), "{title}");
        assert_eq!(told["markers"], markers(part), "{title}");
        assert_eq!(told["programs"], json!([[1, 0, part.program]]), "{title}");
        assert_eq!(told["channels"], json!([part.channel]), "{title}");
        assert_eq!(told["notes"], json!([[], notes(part)]), "{title}");
        assert_eq!(told["ends"], json!([part.end, part.end]), "{title}");
        let length = told["seconds"].as_f64().expect("a length");
        assert!((length - seconds(part)).abs() < 1e-4, "{title}: {length} s");
    }
}

#[test]
fn music21_makes_a_score_with_the_same_notes_and_signs() {
    let parts = parts();
    for (part, told) in parts.iter().zip(told("midi_music21.py", &parts)) {
        let title = &part.title;
        assert_eq!(told["type"], json!(1), "{title}");
        assert_eq!(told["ppq"], json!(480), "{title}");
        assert_eq!(told["texts"], json!(part.texts), "{title}");
        // It rounds to hundredths of a quarter a minute.
        assert_tempos(&told["tempos"], part, 0.0101, |tempo| {
            f64::from(tempo.milli_bpm) / 1000.0
        });
        assert_eq!(told["metres"], metres(part), "{title}");
        assert_eq!(told["keys"], keys(part), "{title}");
        assert_eq!(told["markers"], markers(part), "{title}");
        assert_eq!(told["notes"], notes(part), "{title}");
        assert_eq!(told["ends"], json!([part.end, part.end]), "{title}");
    }
}

/// *General MIDI System Level 1* (MIDI Manufacturers Association): programs 33, 34 and
/// 36 counted from one; music21 has the list of its own.
#[test]
fn music21_knows_the_programs_as_basses() {
    let parts = parts();
    for (part, told) in parts.iter().zip(told("midi_music21.py", &parts)) {
        let class = match part.program {
            32 => "AcousticBass",
            33 => "ElectricBass",
            35 => "FretlessBass",
            other => panic!("no bass: program {other}"),
        };
        let named: Vec<&Value> = told["instruments"]
            .as_array()
            .expect("a list")
            .iter()
            .filter(|instrument| !instrument[1].is_null())
            .collect();
        let wanted = json!([0, part.program, class]);
        assert!(!named.is_empty(), "{}", part.title);
        assert!(
            named.iter().all(|&found| *found == wanted),
            "{}: {named:?}, not {wanted}",
            part.title
        );
    }
}
