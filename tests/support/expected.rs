//! What a MIDI file must hold, from the chart as played and from the page.

use linewright::Line;
use linewright::theory::Mode;
use serde_json::{Value, json};

/// Ticks of a beat.
const QUARTER: u32 = 480;

/// What a file must say besides its notes, worked out from the chart as played: a list for each
/// thing, with ticks.
#[derive(Default)]
pub struct Signs {
    pub metres: Vec<Value>,
    pub keys: Vec<Value>,
    pub tempos: Vec<(u32, u16)>,
    pub markers: Vec<Value>,
    /// First tick of each bar, and of the bar after the last.
    pub bars: Vec<u32>,
}

/// The signs of a line's file.
pub fn signs(line: &Line) -> Signs {
    let mut signs = Signs::default();
    let (mut now, mut before, mut sounding) = (0, None, None);
    // A chart without a tempo is played at 140.
    let mut tempo = line.timeline.tempo.unwrap_or(140);
    for bar in &line.timeline.bars {
        tempo = bar.tempo.unwrap_or(tempo);
        let minor = bar.key.mode == Mode::Minor;
        let sign = (bar.beats, bar.key.fifths(), minor, tempo);
        let changes = |of: fn((u8, i8, bool, u16)) -> Value| before.map(of) != Some(of(sign));
        if changes(|s| json!(s.0)) {
            signs.metres.push(json!([now, bar.beats, 4]));
        }
        if changes(|s| json!([s.1, s.2])) {
            signs.keys.push(json!([now, bar.key.fifths(), minor]));
        }
        if changes(|s| json!(s.3)) {
            signs.tempos.push((now, tempo));
        }
        before = Some(sign);
        if let Some(section) = &bar.section {
            signs.markers.push(json!([now, section]));
            // A section is followed by its chord, which tells it from one.
            sounding = None;
        }
        for beat in 0..bar.beats {
            let harmony = bar.harmony_at(beat);
            if harmony != sounding {
                let at = now + u32::from(beat) * QUARTER;
                signs
                    .markers
                    .push(json!([at, harmony.expect("a harmony").to_string()]));
                sounding = harmony;
            }
        }
        signs.bars.push(now);
        now += u32::from(bar.beats) * QUARTER;
    }
    signs.bars.push(now);
    signs
}

/// The notes of a page, by its documented format: the words between the bar lines of the rows
/// named `notes`, one a beat. Tick, pitch and written length of each, and the length of all.
pub fn notes_of_page(page: &str) -> (Vec<(u32, u8, u32)>, u32) {
    let (mut notes, mut now): (Vec<(u32, u8, u32)>, u32) = (Vec::new(), 0);
    for row in page.lines().filter(|row| row.starts_with("notes ")) {
        for word in row.split('|').skip(1).flat_map(str::split_whitespace) {
            match word {
                "r" => {}
                "." => notes.last_mut().expect("a note to hold").2 += QUARTER,
                note => notes.push((now, pitch_of(note), QUARTER)),
            }
            now += QUARTER;
        }
    }
    (notes, now)
}

/// The MIDI number of a note such as `Bb2`, C4 being 60.
fn pitch_of(note: &str) -> u8 {
    let mut chars = note.chars();
    let letter = chars
        .next()
        .and_then(|c| "C D EF G A B".find(c))
        .expect("a letter") as i32;
    let rest = chars.as_str();
    let accidentals = rest.trim_end_matches(|c: char| c.is_ascii_digit());
    let octave: i32 = rest[accidentals.len()..].parse().expect("an octave");
    let alter: i32 = accidentals
        .chars()
        .map(|c| if c == '#' { 1 } else { -1 })
        .sum();
    u8::try_from(12 * (octave + 1) + letter + alter).expect("a MIDI number")
}

/// Notes of a line as tick, pitch, written length.
pub fn notes_of_line(line: &Line, bars: &[u32]) -> Vec<(u32, u8, u32)> {
    let notes = line.plan.slots.iter().zip(&line.reading.notes);
    notes
        .map(|(slot, note)| {
            let start = bars[slot.bar] + u32::from(slot.beat) * QUARTER;
            (start, note.pitch.midi(), u32::from(slot.beats) * QUARTER)
        })
        .collect()
}
