//! Arbitrary scores for property tests.

use linewright_theory::{Chord, Key, Letter, Mode, Name, Note};
use proptest::prelude::*;

use crate::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};

/// Texts, some of which no file can hold as they are.
fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[A-Za-z0-9 <>&\"'é♭-]{0,12}",
        1 => "\\PC{0,6}",
        1 => any::<String>().prop_map(|text| text.chars().take(8).collect()),
    ]
}

fn length() -> impl Strategy<Value = Ticks> {
    prop_oneof![
        6 => (1..=16_u32).prop_map(|sixteenths| sixteenths * QUARTER / 4),
        3 => (1..=12_u32).prop_map(|twelfths| twelfths * QUARTER / 6),
        1 => (1..=10_u32).prop_map(|fifths| fifths * QUARTER / 5),
        1 => (1..=14_u32).prop_map(|sevenths| sevenths * QUARTER / 7),
        1 => 0..3 * QUARTER,
    ]
}

fn name() -> impl Strategy<Value = Name> {
    (0..7_i32, -2..=2_i8).prop_map(|(letter, alter)| Name::new(Letter::from_index(letter), alter))
}

fn note() -> impl Strategy<Value = Note> {
    prop_oneof![
        8 => (name(), 1..=3_i8).prop_map(|(name, octave)| Note::new(name, octave)),
        1 => (0..7_i32, any::<i8>(), any::<i8>()).prop_map(|(letter, alter, octave)| Note::new(
            Name::new(Letter::from_index(letter), alter),
            octave
        )),
    ]
}

fn symbol() -> impl Strategy<Value = Symbol> {
    let suffixes = "m dim aug 5 6 m6 6/9 7 maj7 m7 mMaj7 dim7 ø 9 maj9 m9 11 13 7b9 7#9 7#11 7alt \
                    7sus4 9sus4 sus2 sus24 add9 m(add9) 13(b9,#11) 7(no3,no5) (b5)";
    let suffixes: Vec<&str> = suffixes.split_whitespace().collect();
    let suffix = prop::sample::select(suffixes);
    prop_oneof![
        8 => (name(), suffix, prop::option::weighted(0.3, name())).prop_filter_map(
            "a symbol that is read",
            |(root, suffix, bass)| {
                let mut chord = Chord::parse(&format!("{root}{suffix}")).ok()?;
                chord.bass = bass;
                Some(Symbol::Chord(chord))
            }
        ),
        1 => Just(Symbol::NoChord),
        1 => text().prop_map(Symbol::Unread),
    ]
}

fn event() -> impl Strategy<Value = (Ticks, Event)> {
    let under = prop::collection::vec(text(), 0..3);
    (
        prop_oneof![5 => Just(0), 1 => length()],
        length(),
        prop::option::weighted(0.9, note()),
        any::<bool>(),
        prop::bool::weighted(0.1),
        under,
    )
        .prop_map(|(gap, ticks, note, tied, ghost, under)| {
            let event = Event {
                at: 0,
                ticks,
                note,
                tied,
                ghost,
                under,
            };
            (gap, event)
        })
}

fn time() -> impl Strategy<Value = TimeSignature> {
    prop_oneof![
        6 => (1..=7_u8).prop_map(|beats| TimeSignature { beats, unit: 4 }),
        2 => (1..=12_u8).prop_map(|beats| TimeSignature { beats, unit: 8 }),
        1 => (0..=9_u8, 0..=70_u8).prop_map(|(beats, unit)| TimeSignature { beats, unit }),
    ]
}

fn key() -> impl Strategy<Value = Key> {
    (-7..=7_i8, any::<bool>()).prop_filter_map("a key", |(fifths, minor)| {
        Key::from_fifths(fifths, if minor { Mode::Minor } else { Mode::Major })
    })
}

fn jump() -> impl Strategy<Value = Jump> {
    let until = prop::sample::select(vec![Until::End, Until::Fine, Until::Coda]);
    (any::<bool>(), until).prop_map(|(to_segno, until)| Jump { to_segno, until })
}

fn division() -> impl Strategy<Value = BarLine> {
    prop_oneof![
        5 => Just(BarLine::Single),
        1 => Just(BarLine::Double),
        1 => Just(BarLine::Final),
        1 => (0..=9_u8).prop_map(BarLine::Repeat),
    ]
}

fn seldom() -> impl Strategy<Value = bool> {
    prop::bool::weighted(0.1)
}

prop_compose! {
    fn form()(
        opens_repeat in seldom(),
        ending in prop_oneof![6 => Just(vec![]), 1 => prop::collection::vec(0..9_u8, 1..3)],
        (segno, coda, to_coda, fine) in (seldom(), seldom(), seldom(), seldom()),
        jump in prop::option::weighted(0.1, jump()),
        right in division(),
    ) -> Measure {
        Measure {
            opens_repeat, ending, segno, coda, to_coda, fine, jump, right, ..Measure::new(0)
        }
    }
}

prop_compose! {
    fn measure()(
        form in form(),
        pickup in seldom(),
        time in prop::option::weighted(0.2, time()),
        key in prop::option::weighted(0.2, key()),
        tempo in prop::option::weighted(0.1, any::<u16>()),
        section in prop::option::weighted(0.1, text()),
        odd in prop::option::weighted(0.1, length()),
        symbols in prop::collection::vec((length(), symbol()), 0..3),
        events in prop::collection::vec(event(), 0..8),
    ) -> (Measure, Option<Ticks>) {
        let mut now = 0;
        let events = events.into_iter().map(|(gap, mut event)| {
            event.at = now + gap;
            now = event.at + event.ticks;
            event
        }).collect();
        let symbols = symbols
            .into_iter()
            .map(|(at, symbol)| SymbolAt { at: at - QUARTER.min(at), symbol })
            .collect();
        (Measure { pickup, time, key, tempo, section, symbols, events, ..form }, odd)
    }
}

prop_compose! {
    /// A score as it may come, with all that no page can show; most measures are as long as
    /// their time signature says.
    pub(crate) fn score()(
        title in prop::option::of(text()),
        feel in prop::option::of("[a-z]{1,6} four"),
        composer in prop::option::of(text()),
        student in prop::option::of(text()),
        about in prop::collection::vec((text(), text()), 0..3),
        measures in prop::collection::vec(measure(), 0..6),
    ) -> Score {
        let mut time = TimeSignature { beats: 4, unit: 4 };
        let measures = measures.into_iter().map(|(mut measure, odd)| {
            time = measure.time.filter(|t| t.beats > 0 && t.unit > 0).unwrap_or(time);
            measure.ticks = odd.unwrap_or(time.ticks());
            measure
        }).collect();
        Score { title, composer, student, feel, about, measures, ..Score::default() }
    }
}
