//! What is written is read back equal, for all kinds of parts.

use linewright_diagnostic::Diagnostics;
use linewright_theory::{Chord, Key, Letter, Mode, Name, Note};
use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::{Options, read, tunes, write, write_with};
use crate::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};

fn a_text() -> impl Strategy<Value = String> {
    "\\PC{1,20}"
        .prop_map(|text| text.trim().to_owned())
        .prop_filter("text", |t| !t.is_empty())
}

fn a_fact() -> impl Strategy<Value = (String, String)> {
    ("[a-z][a-z0-9 -]{0,10}[a-z]", "\\PC{0,20}")
        .prop_map(|(name, value)| (name, value.trim().to_owned()))
}

fn a_note() -> impl Strategy<Value = Note> {
    (select(Letter::ALL.to_vec()), -2i8..=2, 0i8..=8)
        .prop_map(|(letter, alter, octave)| Note::new(Name::new(letter, alter), octave))
}

fn a_symbol() -> impl Strategy<Value = Symbol> {
    let chords = [
        "F7", "Bbmaj7", "Em7b5", "D7b9/F#", "N.C.", "C6/9", "Gm", "A7alt", "Ebsus4",
    ];
    prop_oneof![
        8 => select(chords.to_vec()).prop_map(|text| match Chord::parse(text) {
            Ok(chord) => Symbol::Chord(chord),
            Err(_) => Symbol::NoChord,
        }),
        1 => "[A-G][#b]?(13x|4|7b12|m\"x|2%|-\\\\|/H&amp;)".prop_map(Symbol::Unread),
    ]
}

/// A length: note values, dots, tuplets, sums of them, and what nobody writes.
fn a_length() -> impl Strategy<Value = Ticks> {
    let quarters = |over: Ticks, under: Ticks| QUARTER * over / under;
    prop_oneof![
        10 => select(vec![quarters(1, 1), quarters(2, 1), quarters(1, 2), quarters(3, 2), quarters(1, 4)]),
        3 => select(vec![quarters(1, 3), quarters(2, 3), quarters(1, 6), quarters(2, 5), quarters(4, 7)]),
        2 => select(vec![quarters(5, 2), quarters(7, 4), quarters(5, 3), quarters(9, 2), quarters(1, 64)]),
        1 => 1..5 * QUARTER,
    ]
}

/// What stands in a measure, in order: a note (`Some(Some)`), a rest, or a gap.
#[derive(Clone, Debug)]
struct Step {
    ticks: Ticks,
    what: Option<Option<Note>>,
    ghost: bool,
    /// Tied to a further one of the same pitch.
    tied_twice: bool,
}

fn a_step() -> impl Strategy<Value = Step> {
    (
        a_length(),
        prop_oneof![
            6 => a_note().prop_map(|note| Some(Some(note))),
            1 => Just(Some(None)),
            1 => Just(None),
        ],
        proptest::bool::weighted(0.1),
        proptest::bool::weighted(0.2),
    )
        .prop_map(|(ticks, what, ghost, tied_twice)| Step {
            ticks,
            what,
            ghost,
            tied_twice,
        })
}

fn events(steps: &[Step], ticks: Ticks) -> Vec<Event> {
    let mut events: Vec<Event> = Vec::new();
    let mut now = 0;
    for step in steps {
        let times = if step.tied_twice && matches!(step.what, Some(Some(_))) {
            2
        } else {
            1
        };
        for turn in 0..times {
            let length = step.ticks.min(ticks - now);
            if length == 0 {
                return events;
            }
            if let Some(note) = step.what {
                if turn == 1 {
                    events.last_mut().expect("the first of two").tied = true;
                }
                events.push(Event {
                    ghost: step.ghost && note.is_some(),
                    note,
                    ..Event::rest(now, length)
                });
            }
            now += length;
        }
    }
    events
}

#[derive(Clone, Debug)]
struct Draft {
    steps: Vec<Step>,
    symbols: Vec<(Index, Symbol)>,
    short: Option<Index>,
    time: Option<TimeSignature>,
    key: Option<Key>,
    tempo: Option<u16>,
    section: Option<String>,
    ending: Vec<u8>,
    flags: [bool; 5],
    jump: Option<Jump>,
    right: BarLine,
}

fn rarely<T: std::fmt::Debug + Clone>(
    of: impl Strategy<Value = T>,
) -> impl Strategy<Value = Option<T>> {
    proptest::option::weighted(0.15, of)
}

fn a_draft() -> impl Strategy<Value = Draft> {
    let time = select(vec![
        (4u8, 4u8),
        (3, 4),
        (5, 4),
        (6, 8),
        (2, 2),
        (12, 8),
        (7, 16),
        (1, 1),
    ])
    .prop_map(|(beats, unit)| TimeSignature { beats, unit });
    let key = (-7i8..=7, proptest::bool::ANY).prop_map(|(fifths, minor)| {
        let mode = if minor { Mode::Minor } else { Mode::Major };
        Key::from_fifths(fifths, mode).expect("seven at most")
    });
    let until = select(vec![Until::End, Until::Fine, Until::Coda]);
    let jump = (proptest::bool::ANY, until).prop_map(|(to_segno, until)| Jump { to_segno, until });
    let right = prop_oneof![
        6 => Just(BarLine::Single),
        1 => Just(BarLine::Double),
        1 => Just(BarLine::Final),
        2 => Just(BarLine::Repeat(2)),
        1 => any::<u8>().prop_map(BarLine::Repeat),
    ];
    (
        (
            proptest::collection::vec(a_step(), 0..8),
            proptest::collection::vec((any::<Index>(), a_symbol()), 0..4),
            rarely(any::<Index>()),
            rarely(time),
            rarely(key),
            rarely(1u16..=999),
        ),
        rarely(a_text()),
        prop_oneof![4 => Just(vec![]), 1 => proptest::collection::vec(1u8..=255, 1..4)],
        proptest::array::uniform5(proptest::bool::weighted(0.15)),
        rarely(jump),
        right,
    )
        .prop_map(|(music, section, ending, flags, jump, right)| {
            let (steps, symbols, short, time, key, tempo) = music;
            Draft {
                steps,
                symbols,
                short,
                time,
                key,
                tempo,
                section,
                ending,
                flags,
                jump,
                right,
            }
        })
}

/// Makes the measures of drafts: what is new is new, and only one has the coda.
fn measures(drafts: Vec<Draft>) -> Vec<Measure> {
    let mut measures: Vec<Measure> = Vec::new();
    let (mut time, mut key, mut tempo) = (None, None, None);
    let mut coda_is_there = false;
    for draft in drafts {
        let first = measures.is_empty();
        let common = TimeSignature { beats: 4, unit: 4 };
        let wanted = draft.time.or(first.then_some(common));
        let new_time = wanted.filter(|wanted| time != Some(*wanted));
        time = new_time.or(time);
        let full = time.map_or(4 * QUARTER, TimeSignature::ticks);
        let ticks = draft
            .short
            .map_or(full, |short| 1 + short.index(full as usize) as Ticks);
        let mut measure = Measure::new(ticks);
        measure.pickup = first && ticks < full;
        measure.time = new_time;
        measure.key = draft.key.filter(|wanted| key != Some(*wanted));
        key = measure.key.or(key);
        measure.tempo = draft.tempo.filter(|wanted| tempo != Some(*wanted));
        tempo = measure.tempo.or(tempo);
        measure.section = draft.section;
        measure.ending = draft.ending;
        let [opens, segno, coda, to_coda, fine] = draft.flags;
        measure.opens_repeat = opens;
        measure.segno = segno;
        measure.coda = coda && !coda_is_there;
        coda_is_there |= measure.coda;
        measure.to_coda = to_coda;
        measure.fine = fine;
        measure.jump = draft.jump;
        measure.right = draft.right;
        measure.events = events(&draft.steps, ticks);
        let mut symbols: Vec<SymbolAt> = draft
            .symbols
            .into_iter()
            .map(|(at, symbol)| SymbolAt {
                at: at.index(ticks as usize) as Ticks / 840 * 840,
                symbol,
            })
            .collect();
        symbols.sort_by_key(|symbol| symbol.at);
        measure.symbols = symbols;
        measures.push(measure);
    }
    measures
}

fn a_score() -> impl Strategy<Value = Score> {
    (
        proptest::option::of(a_text()),
        proptest::option::of(a_text()),
        [
            proptest::option::of(a_text()),
            proptest::option::of(a_text()),
        ],
        proptest::collection::vec(a_fact(), 0..4),
        proptest::collection::vec(a_draft(), 1..8),
    )
        .prop_map(|(title, feel, [composer, student], about, drafts)| Score {
            title,
            composer,
            student,
            feel,
            about,
            measures: measures(drafts),
            ..Score::default()
        })
}

/// That what was read keeps what a score promises, and that what was refused says why.
pub(crate) fn assert_sound(read: &Result<(Score, Diagnostics), Diagnostics>) {
    let (score, problems) = match read {
        Ok((score, problems)) => (Some(score), problems),
        Err(problems) => (None, problems),
    };
    assert!(score.is_some() || !problems.is_empty());
    for problem in problems.list() {
        assert!(!problem.message().is_empty() && !problem.hint().is_empty());
    }
    for measure in score.iter().flat_map(|score| &score.measures) {
        let mut now = 0;
        for event in &measure.events {
            assert!(event.at >= now && event.ticks > 0, "{measure:?}");
            now = event.at + event.ticks;
        }
        assert!(now <= measure.ticks, "{measure:?}");
        let symbols = &measure.symbols;
        assert!(symbols.iter().all(|symbol| symbol.at < measure.ticks));
        assert!(symbols.is_sorted_by_key(|symbol| symbol.at));
    }
}

proptest! {
    #[test]
    fn a_part_that_is_written_is_read_back_equal(score in a_score()) {
        let text = write(std::slice::from_ref(&score));
        let (back, _) = read(text.as_bytes(), None).expect("a part that was written");
        prop_assert_eq!(&back, &score, "{}", text);
    }

    #[test]
    fn rows_under_the_notes_change_nothing_else(score in a_score(), words in "\\PC{0,8}") {
        let mut score = score;
        let text = write(std::slice::from_ref(&score));
        for event in score.measures.iter_mut().flat_map(|measure| &mut measure.events) {
            event.under = vec![words.clone(), String::new()];
        }
        let with_rows = write_with(std::slice::from_ref(&score), Options { under: true });
        prop_assert_eq!(write(std::slice::from_ref(&score)), text.clone());
        let (plain, _) = read(text.as_bytes(), None).expect("a part");
        let (rows, _) = read(with_rows.as_bytes(), None).expect("a part with rows");
        prop_assert_eq!(rows, plain, "{}", with_rows);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,80}(\n\\PC{0,40}){0,6}") {
        assert_sound(&read(text.as_bytes(), None));
        let begun = text.lines().filter(|line| line.starts_with("X:")).count();
        prop_assert!(tunes(text.as_bytes()).len() <= begun.max(1));
    }

    #[test]
    fn any_music_is_read_or_refused(
        key in "(Bb|Am|D dor|none|HP|C exp _b|G transpose=-2|clef=bass-8)",
        music in "[A-Gacz0-9/|:\\[\\]()!\"{}^_=,'<>&ZxSO \n-]{0,120}",
    ) {
        let text = format!("X:1\nM:3/4\nK:{key}\n{music}");
        let found = read(text.as_bytes(), Some(1));
        assert_sound(&found);
        if let Ok((score, _)) = found {
            prop_assert!(score.measures[0].time.is_some());
        }
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        assert_sound(&read(&bytes, None));
        prop_assert!(tunes(&bytes).len() <= bytes.len());
    }
}
