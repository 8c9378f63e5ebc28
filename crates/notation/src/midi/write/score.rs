//! A score put into a part: signs, markers, texts, and the notes as they sound.

use linewright_diagnostic::clean::one_line;
use linewright_theory::Mode;

use super::articulation::{Articulation, Written, articulate};
use super::part::{KeyChange, Marker, MetreChange, Part, TICKS_PER_QUARTER, TempoChange};
use crate::about::PROGRAM;
use crate::score::{Measure, QUARTER, Score, Ticks, TimeSignature};

/// The slowest tempo that a file can tell, in quarter notes a minute.
const SLOWEST: u16 = 4;

impl Part {
    /// An empty part with the title of a score, and the instrument that its facts `instrument`
    /// and `program` (counted from one) name.
    #[must_use]
    pub fn of(score: &Score) -> Self {
        let fact = |wanted: &str| {
            let mut facts = score.about.iter().filter(|(name, _)| name == wanted);
            facts.next().map(|(_, value)| one_line(value))
        };
        let mut part = Self::new(one_line(score.title.as_deref().unwrap_or("")), 0);
        if let Some(name) = fact("instrument").filter(|name| !name.is_empty()) {
            part.name = name;
        }
        if let Some(program) = fact("program").and_then(|program| program.parse::<u8>().ok()) {
            part.program = program.saturating_sub(1).min(127);
        }
        part
    }

    /// Puts a score after what the part holds already: each measure once, in the order of the
    /// page. Notes that are tied sound as one. `accented` says of a note by its measure and its
    /// place in it whether it is a little stronger.
    ///
    /// Metre, key and tempo are told where they are not in force already; a measure that is
    /// longer or shorter than its time signature has a metre of its own, and one that no metre
    /// can tell is followed by silence up to the next 32nd. A marker stands where a section or a
    /// chord symbol does. Facts, composer and student become texts.
    pub fn append(
        &mut self,
        score: &Score,
        articulation: Articulation,
        accented: impl Fn(usize, Ticks) -> bool,
    ) {
        self.texts(score);
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let mut starts = Vec::with_capacity(score.measures.len());
        for measure in &score.measures {
            time = measure.time.unwrap_or(time);
            starts.push(self.end);
            let (metre, length) = metre(measure, time);
            self.signs(measure, metre);
            self.symbols(measure);
            self.end = self.end.saturating_add(length);
        }
        let written = written(score, &starts, accented);
        self.notes.extend(articulate(&written, articulation));
    }

    fn texts(&mut self, score: &Score) {
        for (name, value) in &score.about {
            let colon = if name == PROGRAM { "" } else { ":" };
            self.texts.push(one_line(&format!("{name}{colon} {value}")));
        }
        // Of several scores that are somebody's one tells so.
        for (name, who) in [("composer", &score.composer), ("student", &score.student)] {
            let text = who.as_ref().map(|who| one_line(&format!("{name}: {who}")));
            let new = text.filter(|text| !self.texts.contains(text));
            self.texts.extend(new);
        }
    }

    /// Metre, key and tempo where they change.
    fn signs(&mut self, measure: &Measure, (beats, unit): (u8, u8)) {
        let at = self.end;
        let metre = MetreChange { at, beats, unit };
        change(
            &mut self.metres,
            metre,
            |metre| metre.at,
            |metre| (metre.beats, metre.unit),
        );
        let key = measure.key.map(|key| KeyChange {
            at,
            fifths: key.fifths(),
            minor: key.mode == Mode::Minor,
        });
        if let Some(key) = key.filter(|key| (-7..=7).contains(&key.fifths)) {
            change(
                &mut self.keys,
                key,
                |key| key.at,
                |key| (key.fifths, key.minor),
            );
        }
        if let Some(tempo) = measure.tempo {
            let milli_bpm = u32::from(tempo.max(SLOWEST)) * 1000;
            let tempo = TempoChange { at, milli_bpm };
            change(
                &mut self.tempos,
                tempo,
                |tempo| tempo.at,
                |tempo| tempo.milli_bpm,
            );
        }
    }

    /// The section and the chords that begin in a measure.
    fn symbols(&mut self, measure: &Measure) {
        let start = self.end;
        let section = measure.section.iter().map(|section| (0, section.clone()));
        let mut symbols: Vec<(Ticks, String)> = section
            .chain(measure.symbols.iter().map(|symbol| {
                let at = symbol.at.min(measure.ticks);
                (at, symbol.symbol.to_string())
            }))
            .collect();
        symbols.sort_by_key(|(at, _)| *at);
        self.markers
            .extend(symbols.into_iter().map(|(at, text)| Marker {
                at: start.saturating_add(in_file(at)),
                text: one_line(&text),
            }));
    }
}

/// Adds what is new from a time on; a second one at that time takes the place of the first.
fn change<T, V: PartialEq>(list: &mut Vec<T>, new: T, at: fn(&T) -> u32, value: fn(&T) -> V) {
    if list.last().is_some_and(|last| value(last) == value(&new)) {
        return;
    }
    if list.last().is_some_and(|last| at(last) == at(&new)) {
        list.pop();
    }
    list.push(new);
}

/// The metre of a measure and its length in ticks of a file: the time signature where it is
/// full, else as many quarters, halves, wholes, eighths, 16ths or 32nds as it lasts.
fn metre(measure: &Measure, time: TimeSignature) -> ((u8, u8), u32) {
    let known = matches!(time.unit, 1 | 2 | 4 | 8 | 16 | 32) && time.beats > 0;
    if known && measure.ticks == time.ticks() {
        return ((time.beats, time.unit), in_file(measure.ticks));
    }
    let whole = 4 * QUARTER;
    let of = |unit: u8| {
        let beat = whole / Ticks::from(unit);
        let beats = u8::try_from(measure.ticks / beat).ok()?;
        (beats > 0 && measure.ticks.is_multiple_of(beat)).then_some((beats, unit))
    };
    if let Some(metre) = [4, 2, 1, 8, 16, 32].into_iter().find_map(of) {
        return (metre, in_file(measure.ticks));
    }
    let beat = whole / 32;
    let beats = u8::try_from(measure.ticks.div_ceil(beat).max(1)).unwrap_or(u8::MAX);
    let bar = Ticks::from(beats) * beat;
    let length = measure.ticks.div_ceil(bar).max(1).saturating_mul(bar);
    ((beats, 32), in_file(length))
}

/// The notes of a score whose measures start at these ticks of a file, each with all that is
/// tied to it.
fn written(score: &Score, starts: &[u32], accented: impl Fn(usize, Ticks) -> bool) -> Vec<Written> {
    let mut notes: Vec<Written> = Vec::new();
    // The end of the last note, if it is tied.
    let mut held = None;
    for (nth, (measure, &start)) in score.measures.iter().zip(starts).enumerate() {
        for event in &measure.events {
            let pitch = event.note.and_then(|note| note.pitch());
            let Some(pitch) = pitch.map(|pitch| pitch.midi()) else {
                held = None;
                continue;
            };
            let from = start.saturating_add(in_file(event.at));
            let to = start.saturating_add(in_file(event.at.saturating_add(event.ticks)));
            match notes.last_mut() {
                Some(last) if held == Some(from) && last.pitch == pitch => {
                    last.length = to - last.start;
                }
                _ => notes.push(Written {
                    start: from,
                    length: to - from,
                    pitch,
                    accented: accented(nth, event.at),
                    ghost: event.ghost,
                }),
            }
            held = event.tied.then_some(to);
        }
    }
    notes
}

/// Ticks of a score in ticks of a file, to the nearest.
fn in_file(ticks: Ticks) -> u32 {
    let (file, part) = (u64::from(TICKS_PER_QUARTER), u64::from(QUARTER));
    // Fewer than came in.
    ((u64::from(ticks) * file + part / 2) / part) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::midi::{self, write_score};
    use crate::{Event, line_text};

    fn line(text: &str) -> Score {
        let (mut lines, _) = line_text::read(text.as_bytes()).expect("a line");
        lines.remove(0)
    }

    /// Place, length, pitch (none for a rest) and whether it is tied.
    type Told = (Ticks, Ticks, Option<u8>, bool);

    /// What stands in each measure.
    fn sounds(score: &Score) -> Vec<Vec<Told>> {
        let told = |event: &Event| {
            let pitch = event.note.and_then(|note| note.pitch());
            (event.at, event.ticks, pitch.map(|p| p.midi()), event.tied)
        };
        let measures = score.measures.iter();
        measures
            .map(|measure| measure.events.iter().map(told).collect())
            .collect()
    }

    #[test]
    fn a_score_alone_comes_back_with_notes_ties_metres_and_names() {
        let score = line(
            "title: Walk\ncomposer: Ada\nstudent: Kim\ntime: 3/4\nkey: Gm\ntempo: 96\npickup: 1\n\
             linewright: 0.1.0\nmood: blue\n\n| D2 |\n\
             [Head] | G1 Bb1 (D2 . Eb2) | . . r | (time: 4/4) (key: F) (tempo: 80) F1 . . A1 | \
             (time: 7/8) C2 . . D2 . E2 . |\n",
        );
        let (back, problems) = midi::read(&write_score(&score).unwrap(), None).unwrap();
        assert!(problems.is_empty(), "{problems}");
        assert_eq!(sounds(&back), sounds(&score));
        let head = |score: &Score| {
            let Score {
                title,
                composer,
                student,
                about,
                ..
            } = score.clone();
            (title, composer, student, about)
        };
        assert_eq!(head(&back), head(&score));
        for (back, measure) in back.measures.iter().zip(&score.measures) {
            assert_eq!(back.pickup, measure.pickup);
            assert_eq!(back.time, measure.time);
            assert_eq!((back.key, back.tempo), (measure.key, measure.tempo));
            assert_eq!(back.section, measure.section);
        }
    }

    #[test]
    fn measures_of_any_length_end_on_a_bar_line_of_the_file() {
        for ticks in [
            1,
            839,
            840,
            QUARTER / 3,
            QUARTER + 1,
            7 * QUARTER,
            300 * QUARTER,
            5_000_000,
        ] {
            let score = Score {
                measures: vec![Measure::new(ticks), Measure::new(4 * QUARTER)],
                ..Score::default()
            };
            let mut part = Part::of(&score);
            part.append(&score, Articulation::default(), |_, _| false);
            assert!(part.end >= in_file(ticks) + 4 * TICKS_PER_QUARTER);
            assert_eq!(midi::write(&part).map(|_| ()), Ok(()), "{ticks}");
        }
    }

    #[test]
    fn accents_are_asked_for_where_a_note_begins() {
        let score = line("| F1 . A1 . | . r C2 (D2 E2) |");
        let mut part = Part::of(&score);
        part.append(
            &score,
            Articulation {
                velocity: 70,
                accent: 9,
                length: 1000,
            },
            |measure, at| {
                (measure, at) == (0, 2 * QUARTER) || (measure, at) == (1, 7 * QUARTER / 2)
            },
        );
        let told: Vec<(u32, u32, u8)> = part
            .notes
            .iter()
            .map(|note| (note.start / 240, note.length / 240, note.velocity))
            .collect();
        assert_eq!(
            told,
            [
                (0, 4, 70),
                (4, 6, 79),
                (12, 2, 70),
                (14, 1, 70),
                (15, 1, 79)
            ]
        );
    }
}
