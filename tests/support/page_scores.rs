//! Scores of many kinds, as pages: keys, metres, rhythms, chord symbols, forms.

use linewright_notation::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, TimeSignature, Until,
};
use linewright_theory::{Chord, Key, Mode, Note};

const EIGHTH: u32 = QUARTER / 2;

/// All scores.
pub fn all() -> Vec<Score> {
    let mut scores = keys();
    scores.push(qualities());
    scores.push(rhythms());
    scores.push(lasting());
    scores.push(metres());
    scores.push(endings());
    scores.push(dal_segno());
    scores.push(da_capo());
    scores.push(rows());
    scores
}

fn titled(title: &str, measures: Vec<Measure>) -> Score {
    Score {
        title: Some(title.to_owned()),
        feel: Some("swing".to_owned()),
        about: vec![
            ("style hash".to_owned(), "0123 & <abc>".to_owned()),
            ("seed".to_owned(), "41".to_owned()),
        ],
        measures,
        ..Score::default()
    }
}

fn chord(at: u32, symbol: &str) -> SymbolAt {
    SymbolAt {
        at,
        symbol: match symbol {
            "N.C." => Symbol::NoChord,
            _ => Symbol::Chord(Chord::parse(symbol).unwrap_or_else(|e| panic!("{symbol}: {e}"))),
        },
    }
}

/// A measure of these notes: `G1:2` is a half note, `r:1` a rest, `~` after a note ties it on,
/// `x` makes it a ghost; lengths are fractions of a quarter note.
fn measure(time: TimeSignature, notes: &str) -> Measure {
    let mut measure = Measure::new(time.ticks());
    let mut now = 0;
    for word in notes.split_whitespace() {
        let (note, length) = word.split_once(':').expect("a note and a length");
        let (over, under) = length.split_once('/').unwrap_or((length, "1"));
        let number = |text: &str| -> u32 { text.parse().expect("a number") };
        let ticks = QUARTER * number(over) / number(under);
        let mut event = Event::rest(now, ticks);
        let name = note.trim_end_matches(['~', 'x']);
        if !["r", "gap"].contains(&name) {
            event.note = Some(name.parse().expect("a note"));
        }
        (event.tied, event.ghost) = (note.contains('~'), note.contains('x'));
        if name != "gap" {
            measure.events.push(event);
        }
        now += ticks;
    }
    assert!(now <= measure.ticks, "{notes}");
    measure
}

fn four(notes: &str) -> Measure {
    measure(TimeSignature { beats: 4, unit: 4 }, notes)
}

/// Two measures in each of the thirty keys: up the scale with notes altered on the way, then
/// with the altered notes first.
fn keys() -> Vec<Score> {
    let times = [
        (2, 4),
        (3, 4),
        (4, 4),
        (5, 4),
        (6, 4),
        (7, 4),
        (6, 8),
        (12, 8),
        (2, 2),
    ];
    let modes = [Mode::Major, Mode::Minor];
    let keys = (-7..=7).flat_map(|fifths| modes.map(|mode| Key::from_fifths(fifths, mode)));
    keys.flatten()
        .zip(times.into_iter().cycle())
        .map(|(key, (beats, unit))| {
            let time = TimeSignature { beats, unit };
            let names = key.names();
            let up: Vec<Note> = (0..14)
                .map(|step| {
                    let mut name = names[step / 2];
                    // Every other note is raised or lowered, whatever the key has.
                    if step % 2 == 1 {
                        name.alter += if name.alter < 1 { 1 } else { -1 };
                    }
                    Note::new(name, 2)
                })
                .collect();
            let mut measures = Vec::new();
            for reverse in [false, true] {
                let mut bar = Measure::new(time.ticks());
                let count = bar.ticks / EIGHTH;
                let order: Vec<Note> = if reverse {
                    up.iter().rev().copied().collect()
                } else {
                    up.clone()
                };
                for (place, note) in (0..count).zip(order.into_iter().cycle()) {
                    bar.events.push(Event::note(place * EIGHTH, EIGHTH, note));
                }
                let tonic = if key.mode == Mode::Minor {
                    "m7"
                } else {
                    "maj7"
                };
                bar.symbols.push(chord(0, &format!("{}{tonic}", key.tonic)));
                bar.symbols.push(chord(EIGHTH, &format!("{}7", names[4])));
                measures.push(bar);
            }
            (measures[0].time, measures[0].key) = (Some(time), Some(key));
            measures[1].right = BarLine::Final;
            titled(&format!("{key}"), measures)
        })
        .collect()
}

/// All qualities on many roots, two chords a measure, every third over another bass note.
fn qualities() -> Score {
    let suffixes = "- m dim aug 5 6 m6 6/9 m6/9 7 maj7 m7 mMaj7 dim7 ø augMaj7 dimMaj7 7#5 7b5 \
        maj7#11 maj7#5 9 maj9 m9 mMaj9 dim9 11 maj11 m11 13 maj13 m13 7b9 7#9 7#11 7b13 \
        7(b9,#11) 7(b9,b13) 7(#9,b13) 7alt 9b5 9#5 9#11 13b9 13#11 maj9#11 sus4 sus2 sus24 \
        7sus4 9sus4 13sus4 7(sus4,b9) maj7sus4 add9 m(add9) m7(add11) 7(add13) (b5) (#5) no3 no5 \
        7no3 7no5 maj7no5";
    let roots = "C F# Bb Db E G Ab B D# Gb A Eb";
    let basses = "E C# Ab F D Bb Gb A C G B Db";
    let mut symbols = suffixes
        .split_whitespace()
        .zip(roots.split(' ').zip(basses.split(' ')).cycle())
        .enumerate()
        .map(|(place, (suffix, (root, bass)))| {
            let suffix = if suffix == "-" { "" } else { suffix };
            let bass = if place % 3 == 2 {
                format!("/{bass}")
            } else {
                String::new()
            };
            format!("{root}{suffix}{bass}")
        });
    let mut measures = Vec::new();
    while let Some(symbol) = symbols.next() {
        let mut bar = four("C2:1 D2:1 E2:1 F2:1");
        bar.symbols.push(chord(0, &symbol));
        bar.symbols.push(chord(
            2 * QUARTER,
            &symbols.next().unwrap_or("N.C.".to_owned()),
        ));
        measures.push(bar);
    }
    titled("Qualities", measures)
}

/// Dots, ties, eighths, sixteenths, triplets, ghosts, rests, gaps.
fn rhythms() -> Score {
    let lines = [
        "F1:1 A1:1 C2:1 Eb2:1",
        "F1:3/2 A1:1/2 C2:1/2 D2:1/2 Eb2:1",
        "F1:3 A1:1/2 Bb1~:1/2",
        "Bb1:1 r:1 D2:2/3 F2:1/3 Bb1~:1",
        "Bb1:5/2 Ab1:1/2 G1:1",
        "F#1:1/3 G1:1/3 Ab1:1/3 A1x:1/2 A1x:1/2 Bb1:1/4 B1:1/4 C2:1/2 C#2:3/4 D2:1/4",
        "E1:2/3 r:1/3 F1:1/3 r:2/3 gap:1 G1:1/6 A1:1/6 Bb1:1/6 C2:1/2",
        "D2:2/3 E2:2/3 F2:2/3 G2:4/3 A2:2/3",
        "gap:1/2 G1:1 A1:1 B1:1 gap:1/2",
        "r:4",
        "",
        "C2:1/2 D2~:7/2",
        "D2~:4",
        "D2:1/5 E2:1/5 F2:1/5 G2:1/5 A2:1/5 r:2 D2:1",
        "gap:3 G2:1",
        "G2:1/8 A2:1/8 B2:1/4 C3:3/8 D3:1/8 r:1 F2:3/2 E2:1/2",
        "Cb2:1 B1:1 B#1:1 C2~:1",
        "C2:1 E#2:1 Fb2:1 Ebb2:1",
    ];
    let mut measures: Vec<Measure> = lines.map(four).into();
    measures[0].key = Some("F".parse().expect("a key"));
    measures[0].tempo = Some(168);
    for (place, symbol) in [(1, "F7"), (3, "Bb7"), (5, "F7/C"), (8, "Gm7"), (10, "C7b9")] {
        measures[place].symbols.push(chord(0, symbol));
        // Inside a note or rest.
        measures[place].symbols.push(chord(5 * EIGHTH / 2, "N.C."));
    }
    titled("Rhythms", measures)
}

/// Notes as long as several measures, in three, two and five.
fn lasting() -> Score {
    let mut measures = Vec::new();
    for (beats, unit) in [(3, 4), (2, 4), (5, 4), (7, 8), (9, 8), (12, 8), (3, 2)] {
        let time = TimeSignature { beats, unit };
        for place in 0..2 {
            let mut bar = Measure::new(time.ticks());
            let mut note = Event::note(0, bar.ticks, "A1".parse().expect("a note"));
            note.tied = true;
            bar.events.push(note);
            bar.time = (place == 0).then_some(time);
            measures.push(bar);
        }
    }
    if let Some(last) = measures.last_mut() {
        last.events[0].tied = false;
    }
    titled("Long notes", measures)
}

/// A change of metre, key and tempo in every measure.
fn metres() -> Score {
    let times = [
        (4, 4),
        (3, 4),
        (5, 4),
        (6, 8),
        (7, 4),
        (2, 4),
        (6, 4),
        (5, 8),
        (7, 8),
        (2, 2),
    ];
    let mut measures = Vec::new();
    for (place, (beats, unit)) in (0..).zip(times) {
        let time = TimeSignature { beats, unit };
        let mut bar = Measure::new(time.ticks());
        for at in 0..bar.ticks / EIGHTH {
            let note = ["E1", "F#1", "G1", "A#1", "Bb1"][at as usize % 5];
            let note = note.parse().expect("a note");
            bar.events.push(Event::note(at * EIGHTH, EIGHTH, note));
        }
        bar.time = Some(time);
        bar.key = Key::from_fifths(place - 5, Mode::Major);
        bar.tempo = u16::try_from(100 + place).ok();
        bar.symbols.push(chord(0, "Em7"));
        measures.push(bar);
    }
    titled("Metres", measures)
}

/// A pick-up, sections, repeats with two endings, a repeat of three times: played as
/// 0 1 2 3 4 1 2 5 6 7 6 7 6 7.
fn endings() -> Score {
    let mut measures: Vec<Measure> = [
        "C2:1",
        "F1:1 A1:1 C2:1 A1:1",
        "Bb1:1 D2:1 C2:1 Bb1:1",
        "A1:1 G1:1 F1:1 E1:1",
        "D1:2 E1:2",
        "F1:2 C2:1 F1:1",
        "G1:1 A1:1 B1:1 C2:1",
        "D2:4",
    ]
    .map(four)
    .into();
    (measures[0].pickup, measures[0].ticks) = (true, QUARTER);
    measures[0].tempo = Some(120);
    measures[0].symbols.push(chord(0, "C7"));
    (measures[1].section, measures[1].opens_repeat) = (Some("A".to_owned()), true);
    measures[3].ending = vec![1];
    measures[4].right = BarLine::Repeat(2);
    measures[5].ending = vec![2];
    measures[5].right = BarLine::Double;
    (measures[6].section, measures[6].opens_repeat) = (Some("B".to_owned()), true);
    measures[7].right = BarLine::Repeat(3);
    for (place, symbol) in [
        (1, "F6"),
        (2, "Bb7"),
        (3, "Am7"),
        (4, "Gm7"),
        (5, "F6"),
        (6, "G7"),
    ] {
        measures[place].symbols.push(chord(0, symbol));
    }
    titled("Endings", measures)
}

/// From the sign to the coda: played as 1 2 3 4 5 2 3 6.
fn dal_segno() -> Score {
    let mut measures: Vec<Measure> = [
        "C2:1 E2:1 G2:1 A2:1",
        "D2:1 F2:1 A2:1 C3:1",
        "G1:1 B1:1 D2:1 F2:1",
        "Bb1:1 D2:1 F2:1 Ab2:1",
        "C2:4",
        "C2:1 G1:1 C1:2",
    ]
    .map(four)
    .into();
    measures[1].segno = true;
    measures[2].to_coda = true;
    measures[4].jump = Some(Jump {
        to_segno: true,
        until: Until::Coda,
    });
    measures[4].right = BarLine::Double;
    measures[5].coda = true;
    measures[5].right = BarLine::Final;
    for (measure, symbol) in measures
        .iter_mut()
        .zip(["C6", "Dm7", "G7", "Bb7", "C6", "C6"])
    {
        measure.symbols.push(chord(0, symbol));
    }
    titled("Dal segno", measures)
}

/// Back to the beginning and to the fine: played as 1 2 3 4 1 2.
fn da_capo() -> Score {
    let mut measures: Vec<Measure> = [
        "F1:1 A1:1 C2:1 E2:1",
        "C2:2 G1:2",
        "Bb1:1 D2:1 F2:1 Ab2:1",
        "C2:4",
    ]
    .map(four)
    .into();
    measures[1].fine = true;
    measures[3].jump = Some(Jump {
        to_segno: false,
        until: Until::Fine,
    });
    measures[3].right = BarLine::Double;
    titled("Da capo", measures)
}

/// Degrees and fingers under the notes.
fn rows() -> Score {
    let mut bar = four("C2:1 E2:1 r:1 F#2:1/2 G2:1/2");
    bar.symbols.push(chord(0, "Cmaj7"));
    for (event, under) in bar.events.iter_mut().zip(["1", "3", "", "#4", "5"]) {
        event.under = vec![under.to_owned(), String::new(), format!("<{under}>")];
    }
    let mut score = titled("Rows", vec![bar]);
    score
        .about
        .push(("instrument".to_owned(), "Electric bass".to_owned()));
    score
}
