//! Scores to engrave: some written by hand, many by a small generator with a seed.

#![allow(dead_code)]

use linewright_engrave::Options;
use linewright_notation::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};
use linewright_theory::{Chord, Key, Mode, Note, Pitch, spell};

/// Bars as text: chords, then notes by beat after a colon. `C7 F7: C2 E2 A1 C2`. A note may be
/// followed by `/` for an eighth, `=` for a half, `.` for a dotted quarter, `3` after `/` for an
/// eighth of a triplet, `~` for a tie, `x` for a ghost note; `r` is a rest.
pub fn tune(title: &str, key: &str, beats: u8, bars: &str) -> Score {
    let time = TimeSignature { beats, unit: 4 };
    let mut score = Score {
        title: Some(title.to_owned()),
        feel: Some("Swing".to_owned()),
        ..Score::default()
    };
    for bar in bars.split('|').filter(|bar| !bar.trim().is_empty()) {
        let (chords, notes) = bar.split_once(':').unwrap_or((bar, ""));
        let mut measure = Measure::new(time.ticks());
        let chords: Vec<&str> = chords.split_whitespace().collect();
        for (at, chord) in chords.iter().enumerate() {
            measure.symbols.push(SymbolAt {
                at: at as Ticks * (time.ticks() / chords.len() as Ticks) / QUARTER * QUARTER,
                symbol: symbol(chord),
            });
        }
        let mut at = 0;
        for word in notes.split_whitespace() {
            let event = event(at, word);
            at += event.ticks;
            measure.events.push(event);
        }
        assert!(at <= time.ticks(), "{bar} is too long");
        score.measures.push(measure);
    }
    let first = &mut score.measures[0];
    first.time = Some(time);
    first.key = Some(key.parse().unwrap());
    first.tempo = Some(144);
    if let Some(last) = score.measures.last_mut() {
        last.right = BarLine::Final;
    }
    score
}

pub fn symbol(text: &str) -> Symbol {
    match text {
        "N.C." => Symbol::NoChord,
        text => Symbol::Chord(text.parse().unwrap()),
    }
}

fn event(at: Ticks, word: &str) -> Event {
    let mut ticks = QUARTER;
    let end = word.find(['/', '=', '.', '~', 'x']).unwrap_or(word.len());
    let (name, signs) = word.split_at(end);
    let mut event = match name {
        "r" => Event::rest(at, QUARTER),
        name => Event::note(at, QUARTER, name.parse().unwrap()),
    };
    for sign in signs.chars() {
        match sign {
            '/' => ticks /= 2,
            '3' => ticks = ticks * 2 / 3,
            '=' => ticks *= 2,
            '.' => ticks = ticks * 3 / 2,
            '~' => event.tied = true,
            'x' => event.ghost = true,
            _ => panic!("{word}"),
        }
    }
    event.ticks = ticks;
    event
}

/// Writes rows under the notes in turn.
pub fn with_rows(mut score: Score, rows: &[&[&str]]) -> Score {
    let mut turn = 0;
    for event in score.measures.iter_mut().flat_map(|m| &mut m.events) {
        if event.note.is_some() {
            event.under = rows
                .iter()
                .map(|row| row[turn % row.len()].to_owned())
                .collect();
            turn += 1;
        }
    }
    score
}

/// A blues with everything on the page.
pub fn blues() -> Score {
    let mut score = tune(
        "Blues for the Front Row",
        "F",
        4,
        "F7: F1 A1 C2 Eb2 | Bb7: D2 Bb1 Ab1 F1 | F7: A1 C2 B1 C2 | Cm7 F7: C2 Eb2 F2 E2/ Eb2/ \
         | Bb7: D2 F2 G2 Ab2 | Bdim7: B2 Ab2 F2 D2 | F7: C2 A1 F1 A1 | Am7 D7: A1 G1 F#1 D2 \
         | Gm7: G1 Bb1 D2 Db2 | C7: C2 E2/3 D2/3 C2/3 Bb1 G1 | F7 D7b9: A1 F1 F#1 A1 \
         | Gm7 C7(#9,#5): G1 Bb1 C2~ C2",
    );
    score.measures[0].section = Some("A".to_owned());
    score.measures[0].opens_repeat = true;
    score.measures[11].right = BarLine::Repeat(3);
    with_rows(
        score,
        &[
            &["1", "3", "5", "b7", "3", "1", "b7", "5"],
            &["root", "", "", "half step", "", "approach"],
        ],
    )
}

/// A form with a pick-up, endings, segno, coda and changes of key and metre.
pub fn form() -> Score {
    let mut score = tune(
        "Twice to the Gate",
        "Eb",
        4,
        "Bb7: r r r Bb1 | Ebmaj7: Eb2 G2 Bb2 C3 | Cm7: C3 Bb2 G2 Eb2 | Fm7: F1 Ab1 C2 Eb2 \
         | Bb7: D2 Bb1 F1 Bb1 | Ebmaj7 C7: Eb1 G1 C2 E2 | Fm7 Bb7: F2 Ab2 Bb2 D2 \
         | Eb6 Bb7: Eb2= Bb1= | Eb6: Eb2= r r | Gmaj7: G1 B1 D2 F#2 | Em7 A7: E1 G1 A1 C#2 \
         | Dmaj7: D2 r r r | Bb7: | Ebmaj7: Eb2= Eb2=",
    );
    let first = &mut score.measures[0];
    first.pickup = true;
    first.ticks = QUARTER;
    first.events.drain(..3);
    first.events[0].at = 0;
    let measures = &mut score.measures;
    measures[1].section = Some("A".to_owned());
    measures[1].opens_repeat = true;
    measures[1].segno = true;
    measures[7].ending = vec![1];
    measures[7].right = BarLine::Repeat(2);
    measures[8].ending = vec![2];
    measures[8].right = BarLine::Double;
    measures[8].to_coda = true;
    measures[9].section = Some("B".to_owned());
    measures[9].key = Some("D".parse().unwrap());
    measures[12].key = Some("Eb".parse().unwrap());
    measures[12].jump = Some(Jump {
        to_segno: true,
        until: Until::Coda,
    });
    measures[13].coda = true;
    score
}

/// Small whole numbers from a seed.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0xda94_2042_e4dd_58b5)
    }

    pub fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 16) % end
    }

    pub fn one_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }

    pub fn pick<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[self.below(words.len() as u64) as usize]
    }
}

/// What a generated score is like.
#[derive(Copy, Clone, Debug)]
pub struct Kind {
    pub fifths: i8,
    pub beats: u8,
    pub bars: usize,
    /// The lowest and highest MIDI note.
    pub range: (u8, u8),
    /// Two chords a bar with long symbols.
    pub dense: bool,
    /// Eighths, triplets, dots, ties, ghost notes.
    pub busy: bool,
    /// Rows under the notes, and whether their texts are long.
    pub rows: usize,
    pub wordy: bool,
    pub form: bool,
}

const PLAIN: [&str; 8] = ["C", "F7", "Bbmaj7", "Am7", "Gm7b5", "Ebdim7", "D7", "Ab6"];
const LONG: [&str; 6] = [
    "Bb7#9#5/F#",
    "Ebmaj7#11",
    "C#m7b5/G#",
    "G7b9b13",
    "AbmMaj7/Eb",
    "F13sus4",
];
const WORDS: [&str; 6] = [
    "half-step approach from below",
    "b7",
    "scale tone",
    "1",
    "enclosure",
    "#11",
];
const DEGREES: [&str; 7] = ["1", "b3", "5", "b7", "#11", "", "b13"];

pub fn generated(kind: Kind, seed: u64) -> Score {
    let mut dice = Dice::new(seed);
    let time = TimeSignature {
        beats: kind.beats,
        unit: 4,
    };
    let key = Key::from_fifths(kind.fifths, Mode::Major).unwrap();
    let mut score = Score {
        title: Some(format!("Study {seed} in {key}")),
        ..Score::default()
    };
    for number in 0..kind.bars {
        let mut measure = Measure::new(time.ticks());
        let names = if kind.dense { &LONG[..] } else { &PLAIN[..] };
        let chord: Chord = dice.pick(names).parse().unwrap();
        let half = Ticks::from(kind.beats.div_ceil(2)) * QUARTER;
        for at in [0, half].into_iter().take(1 + usize::from(kind.dense)) {
            let symbol = match dice.one_in(12) {
                true => Symbol::NoChord,
                false => symbol(dice.pick(names)),
            };
            measure.symbols.push(SymbolAt { at, symbol });
        }
        fill(&mut measure, kind, key, &chord, &mut dice);
        if kind.form {
            mark(&mut measure, number, &mut dice);
        }
        score.measures.push(measure);
    }
    let first = &mut score.measures[0];
    first.time = Some(time);
    first.key = Some(key);
    first.tempo = Some(120);
    tie_on(&mut score, &mut dice);
    score
}

fn fill(measure: &mut Measure, kind: Kind, key: Key, chord: &Chord, dice: &mut Dice) {
    let note = |dice: &mut Dice| -> Note {
        let span = u64::from(kind.range.1 - kind.range.0) + 1;
        let midi = kind.range.0 + dice.below(span) as u8;
        spell(Pitch::new(midi).unwrap(), chord, key, None)
    };
    let mut at = 0;
    while at < measure.ticks {
        let left = measure.ticks - at;
        let parts: &[Ticks] = match dice.below(if kind.busy { 9 } else { 2 }) {
            0 | 1 => &[QUARTER],
            2 if left >= 2 * QUARTER => &[2 * QUARTER],
            3 if left >= 2 * QUARTER => &[QUARTER * 3 / 2, QUARTER / 2],
            4 => &[QUARTER / 3; 3],
            5 => &[QUARTER * 2 / 3, QUARTER / 3],
            6 => &[QUARTER * 3 / 4, QUARTER / 4],
            7 => &[QUARTER / 2, QUARTER / 4, QUARTER / 4],
            8 if left >= 3 * QUARTER => &[3 * QUARTER],
            _ => &[QUARTER / 2; 2],
        };
        for &ticks in parts {
            let mut event = match dice.one_in(12) {
                true => Event::rest(at, ticks),
                false => Event::note(at, ticks, note(dice)),
            };
            event.ghost = kind.busy && dice.one_in(8);
            if event.note.is_some() {
                let words = if kind.wordy { &WORDS[..] } else { &DEGREES[..] };
                event.under = (0..kind.rows)
                    .map(|_| dice.pick(words).to_owned())
                    .collect();
            }
            measure.events.push(event);
            at += ticks;
        }
    }
    if dice.one_in(15) {
        measure.events.clear();
    }
}

fn mark(measure: &mut Measure, number: usize, dice: &mut Dice) {
    measure.opens_repeat = number.is_multiple_of(8);
    measure.section =
        (number.is_multiple_of(8)).then(|| dice.pick(&["A", "B", "Interlude"]).to_owned());
    measure.segno = dice.one_in(10);
    measure.to_coda = dice.one_in(10);
    measure.fine = dice.one_in(10);
    measure.coda = dice.one_in(14);
    if dice.one_in(10) {
        measure.jump = Some(Jump {
            to_segno: true,
            until: Until::Coda,
        });
    }
    if dice.one_in(9) {
        measure.key = Key::from_fifths(dice.below(15) as i8 - 7, Mode::Minor);
    }
    if number % 8 == 6 {
        measure.ending = vec![1];
        measure.right = BarLine::Repeat(2);
    } else if number % 8 == 7 {
        measure.ending = vec![2];
        measure.right = BarLine::Double;
    } else if dice.one_in(9) {
        measure.right = BarLine::Repeat(3);
    }
}

/// Ties some notes to the next by giving that the same pitch.
fn tie_on(score: &mut Score, dice: &mut Dice) {
    let mut events: Vec<&mut Event> = score
        .measures
        .iter_mut()
        .flat_map(|measure| &mut measure.events)
        .collect();
    for at in 1..events.len() {
        let note = events[at - 1].note;
        if note.is_some() && events[at].note.is_some() && dice.one_in(7) {
            events[at - 1].tied = true;
            events[at].note = note;
        }
    }
}

/// A tension for each measure that rises and falls.
pub fn arch(measures: usize) -> Vec<f64> {
    (0..measures)
        .map(|at| [0.1, 0.3, 0.55, 0.9, 0.7, 0.8, 1.0, 0.0][at % 8])
        .collect()
}

/// Options with everything on.
pub fn everything(score: &Score) -> Options {
    Options {
        tension: arch(score.measures.len()),
        footer: vec!["plain".to_owned(), "seed 7".to_owned()],
        ..Options::default()
    }
}

/// Sheets in many keys and metres, to be looked at and compared.
pub fn sheets() -> Vec<(&'static str, Score)> {
    let mut sheets = vec![
        ("blues", blues()),
        ("form", form()),
        (
            "waltz",
            tune(
                "Waltz",
                "A",
                3,
                "Amaj7: A1 C#2 E2 | F#m7: F#1 A1 C#2 | Bm7: B1 D2 F#2 | E7: G#1 B1 E2 \
                 | Amaj7: C#2= B1 | D7: D2 A1/ F#1/ A1 | Bm7 E7: B1. F#1/ E1 | A6: A1=.",
            ),
        ),
        (
            "five",
            tune(
                "Three and Two",
                "Cm",
                5,
                "Cm7 Fm7: C2 Eb2 G2 F1 Ab1 | Dm7b5 G7b9: D2 Ab1 F1 G1 B1 | Cm7 Abmaj7: C2 G1 Eb1 Ab1 C2 \
                 | G7(#9,#5): G1 B1 Eb2 F2 Ab2 | Cm6: C2=. G1= | Ebmaj7: Eb2 D2/3 Eb2/3 D2/3 Bb1 G1 Eb1",
            ),
        ),
        (
            "two",
            tune(
                "In Two",
                "Db",
                4,
                "Dbmaj7: Db2= Ab1= | Bbm7: Bb1= F1 A1 | Ebm7 Ab7: Eb2= Ab1= | Dbmaj7: F2=. E2 \
                 | Ebm7: Eb2= Bb1= | Ab7sus4 Ab7: Ab1= Ab1 C2 | Db6: Db2= r Ab1 | Db6: Db1~ Db1 r r",
            ),
        ),
        (
            "high",
            tune(
                "High and Low",
                "F#",
                4,
                "F#maj7: F#1 A#2 C#3 E#3 | D#m7: G#3 F##3 G#3 D#3 | G#m7 C#7: E#1 E1 D#1 C#1 \
                 | F#6: F#3/ E3/ C#3/ A#2/ F#2/ D#2/ C#2/ A#1/ | B6: B0 C#1 D1 D#1 | N.C.: | C#7: G#2/ B1/ E#1/ G#1/ B3/ C#3/ D2/ E#1/ | F#6: F#2=.",
            ),
        ),
        (
            "seven",
            tune(
                "Seven",
                "D",
                7,
                "D7: D2 F#2 A2 B2 C3 A2 F#2 | G7 A7: G1 B1 D2 F2 A1 C#2 E2 | Em7b5 A7b13: E2 Bb1 G1 E1 A1 C#2 F2 | D6/9: D2=.",
            ),
        ),
        (
            "eighths",
            tune(
                "Skips and Drops",
                "Bb",
                4,
                "Bbmaj7 G7: Bb1. D2/ F2/3 E2/3 D2/3 B1 | Cm7 F7b9: C2/ C2x/ Eb2 F2/ F#2/ A2/ Gb2/ \
                 | Dm7 G7: D2~ D2/ C2/ B1/ A1/ G1 | Cm7b5 F7: C2// Db2// C2// Bb1// Gb1 r/ F1/ A1 \
                 | Bb7: r/ D2. Ab1/3 r/3 F1/3 Bb1x | Ebmaj7 Edim7: Eb2 G2/ Bb2/ E2= \
                 | Bb6 G7#9: F2 D2 Bb1/ B1/ D2/ F2/ | Cm9 F13: G2/3 Eb2/3 C2/3 Bb1/3 G1/3 Eb1/3 F1=~ | Bb6: F1 r Bb1=",
            ),
        ),
    ];
    for fifths in [-7, 4, -4] {
        let kind = Kind {
            fifths,
            beats: 4,
            bars: 8,
            range: (28, 55),
            dense: fifths == -7,
            busy: fifths == 4,
            rows: 0,
            wordy: false,
            form: false,
        };
        let name = match fifths {
            -7 => "flats",
            4 => "sharps",
            _ => "plain",
        };
        sheets.push((name, generated(kind, 11)));
    }
    sheets
}

/// Several pages with everything that needs room.
pub fn dense() -> Score {
    let kind = Kind {
        fifths: -3,
        beats: 4,
        bars: 32,
        range: (26, 58),
        dense: true,
        busy: true,
        rows: 2,
        wordy: true,
        form: true,
    };
    generated(kind, 5)
}
