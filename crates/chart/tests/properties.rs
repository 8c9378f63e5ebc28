//! What holds of every text: no panic, no hang, printing and reading agree,
//! and the play order is the one that a naive expansion gives.

use linewright_chart::{Chart, Harmony};
use proptest::prelude::*;

/// Words that charts are made of, right and wrong.
const WORDS: [&str; 66] = [
    "|",
    "|",
    "|",
    "|",
    "|",
    "||",
    "|]",
    "|:",
    ":|",
    ":|:",
    ":|x3",
    "x2",
    "1.",
    "2.",
    "1,2.",
    "3.",
    "%",
    "/",
    "/",
    "//",
    "C",
    "F7",
    "Bb7",
    "Am7",
    "Dm7b5",
    "G7/B",
    "F#m7",
    "Ebmaj7",
    "N.C.",
    "H",
    "C7(b9, #11)",
    "\n",
    "\n",
    "[A]",
    "[B part]",
    "(segno)",
    "(coda)",
    "(to coda)",
    "(fine)",
    "(D.C.)",
    "(D.C. al fine)",
    "(D.S. al coda)",
    "(D.S.)",
    "(key: Eb)",
    "(key: F#m)",
    "(time: 3/4)",
    "(time: 5/4)",
    "(tempo: 90)",
    "(time: 0/4)",
    "# no\n",
    "title: T\n",
    "composer: A\n",
    "key: G\n",
    "time: 3/4\n",
    "tempo: 120\n",
    "pickup: 1\n",
    "feel: x\n",
    "♭",
    "\u{A0}",
    "\t",
    "[",
    "(",
    "]",
    ")",
    ":",
    "C / / /",
];

fn soup() -> impl Strategy<Value = String> {
    prop::collection::vec((prop::sample::select(&WORDS[..]), any::<bool>()), 0..40).prop_map(
        |words| {
            let joined = words.iter().map(|(word, blank)| {
                let blank = if *blank { " " } else { "" };
                format!("{word}{blank}")
            });
            joined.collect()
        },
    )
}

/// One chord bar, written in a way that fits 4/4.
fn bar() -> impl Strategy<Value = String> {
    let chord =
        || prop::sample::select(vec!["C", "Dm7", "G7b9", "F#m7b5", "Bb13", "N.C.", "A7/C#"]);
    prop_oneof![
        chord().prop_map(str::to_owned),
        (chord(), chord()).prop_map(|(a, b)| format!("{a} {b}")),
        (chord(), chord()).prop_map(|(a, b)| format!("{a} / / {b}")),
        (chord(), chord(), chord()).prop_map(|(a, b, c)| format!("{a} {b} / {c}")),
    ]
}

/// A part of a form, in bars.
#[derive(Clone, Debug)]
enum Part {
    Plain(Vec<String>),
    Repeat(Vec<String>, u8),
    Endings(Vec<String>, Vec<Vec<String>>),
}

fn bars(most: usize) -> impl Strategy<Value = Vec<String>> {
    prop::collection::vec(bar(), 1..=most)
}

fn part() -> impl Strategy<Value = Part> {
    prop_oneof![
        bars(6).prop_map(Part::Plain),
        (bars(4), 2u8..6).prop_map(|(body, times)| Part::Repeat(body, times)),
        (bars(4), prop::collection::vec(bars(2), 2..5))
            .prop_map(|(body, endings)| Part::Endings(body, endings)),
    ]
}

impl Part {
    fn write(&self) -> String {
        match self {
            Part::Plain(bars) => format!("| {} |\n", bars.join(" | ")),
            Part::Repeat(bars, times) => format!("|: {} :|x{times}\n", bars.join(" | ")),
            Part::Endings(body, endings) => {
                let mut text = format!("|: {} |", body.join(" | "));
                for (index, ending) in endings.iter().enumerate() {
                    let close = if index + 1 < endings.len() { ":|" } else { "|" };
                    text += &format!("{}. {} {close}", index + 1, ending.join(" | "));
                }
                text + "\n"
            }
        }
    }

    /// Appends the numbers of the played bars; `next` counts the page.
    fn play(&self, next: &mut usize, back: bool, out: &mut Vec<usize>) {
        let mut take = |count: usize| -> Vec<usize> {
            let start = *next;
            *next += count;
            (start..*next).collect()
        };
        match self {
            Part::Plain(bars) => out.extend(take(bars.len())),
            Part::Repeat(bars, times) => {
                let page = take(bars.len());
                for _ in 0..(if back { 1 } else { *times }) {
                    out.extend(&page);
                }
            }
            Part::Endings(body, endings) => {
                let body = take(body.len());
                let endings: Vec<_> = endings.iter().map(|ending| take(ending.len())).collect();
                let from = if back { endings.len() - 1 } else { 0 };
                for ending in &endings[from..] {
                    out.extend(body.iter().chain(ending));
                }
            }
        }
    }
}

/// Holds of every chart that was read.
fn check(chart: &Chart) -> Result<(), TestCaseError> {
    let printed = chart.to_string();
    let again = Chart::parse("printed", printed.as_bytes());
    prop_assert!(again.is_ok(), "{printed}\n{}", again.unwrap_err());
    prop_assert_eq!(&again.unwrap(), chart, "{}", printed);
    let timeline = chart.unroll();
    prop_assert!(timeline.is_ok(), "{printed}");
    for bar in timeline.unwrap().bars {
        let mut at = 0;
        for span in &bar.spans {
            prop_assert_eq!(span.start, at);
            prop_assert!(span.beats > 0);
            at = span.end();
        }
        prop_assert_eq!(at, bar.beats);
        prop_assert!(
            bar.spans
                .windows(2)
                .all(|pair| pair[0].harmony != pair[1].harmony)
        );
        prop_assert_eq!(bar.pickup, bar.written == 0);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        if let Ok(chart) = Chart::parse("bytes", &bytes) {
            check(&chart)?;
        }
    }

    #[test]
    fn arbitrary_text_never_panics_and_every_fault_has_a_place_in_it(text in "\\PC{0,120}") {
        match Chart::parse("text", text.as_bytes()) {
            Ok(chart) => check(&chart)?,
            Err(faults) => for fault in faults.list() {
                let (line, column) = fault.place().line_and_column().expect("a place");
                let line = text.split(['\n', '\r']).nth(line - 1);
                let length = line.map_or(0, |line| line.chars().count());
                prop_assert!(column <= length + 1, "{}", faults);
                prop_assert!(!fault.message().is_empty() && !fault.hint().is_empty());
            },
        }
    }

    #[test]
    fn words_of_charts_in_any_order_are_read_or_refused_and_what_is_read_prints(text in soup()) {
        match Chart::parse("soup", text.as_bytes()) {
            Ok(chart) => check(&chart)?,
            Err(faults) => prop_assert!(!faults.to_string().is_empty()),
        }
    }

    #[test]
    fn the_play_order_is_that_of_a_naive_expansion(
        parts in prop::collection::vec(part(), 1..6),
        fine in any::<prop::sample::Index>(),
        capo in any::<bool>(),
    ) {
        let fine = fine.index(parts.len());
        let mut text = String::new();
        for (index, part) in parts.iter().enumerate() {
            text += &part.write();
            if capo && index == fine {
                text += "(fine)\n";
            }
        }
        if capo {
            text += "(D.C. al fine)\n";
        }
        let mut expected = Vec::new();
        let mut next = 1;
        for part in &parts {
            part.play(&mut next, false, &mut expected);
        }
        if capo {
            next = 1;
            for part in &parts[..=fine] {
                part.play(&mut next, true, &mut expected);
            }
        }
        let chart = Chart::parse("form", text.as_bytes());
        prop_assert!(chart.is_ok(), "{text}\n{}", chart.unwrap_err());
        let chart = chart.unwrap();
        check(&chart)?;
        let timeline = chart.unroll().unwrap();
        let played: Vec<usize> = timeline.bars.iter().map(|bar| bar.written).collect();
        prop_assert_eq!(played, expected, "{}", text);
    }

    #[test]
    fn transposing_there_and_back_sounds_the_same(
        parts in prop::collection::vec(part(), 1..4),
        semitones in -30i32..30,
    ) {
        let text: String = parts.iter().map(Part::write).collect();
        let chart = Chart::parse("form", text.as_bytes()).unwrap();
        let moved = chart.transposed_by(semitones);
        check(&moved)?;
        let back = moved.transposed_by(-semitones);
        prop_assert_eq!(sound(&back, 0), sound(&chart, 0), "{}", text);
        prop_assert_eq!(sound(&moved, 0), sound(&chart, semitones), "{}", text);
        prop_assert_eq!(back.key().tonic.class(), chart.key().tonic.class());
    }
}

/// Root and bass by pitch class, and the quality.
type Sound = (u8, Option<u8>, String);

/// The length of each span as played and its chord after moving; `None` for no
/// chord.
fn sound(chart: &Chart, semitones: i32) -> Vec<(u8, Option<Sound>)> {
    let timeline = chart.unroll().unwrap();
    let spans = timeline.bars.iter().flat_map(|bar| &bar.spans);
    spans
        .map(|span| {
            let chord = match span.harmony {
                Harmony::Chord(chord) => Some((
                    chord.root.class().up(semitones).get(),
                    chord.bass.map(|bass| bass.class().up(semitones).get()),
                    chord.suffix(),
                )),
                Harmony::NoChord => None,
            };
            (span.beats, chord)
        })
        .collect()
}

#[test]
fn large_hostile_texts_are_answered_quickly() {
    let big = |piece: &str| piece.repeat((1 << 20) / piece.len());
    let started = std::time::Instant::now();
    for piece in [
        "H ",
        "|",
        "C|",
        "|: ",
        "[",
        "{",
        "(",
        "(C",
        "/",
        "%|",
        "1.|",
        ":|x99 ",
        "a: b\n",
        "\n",
        "# \n",
        "(fine)",
        "C(fine)|",
        "é",
        "x2 ",
        "C7(b9 ",
        "\r",
        "|: C :|x99 ",
    ] {
        let result = Chart::parse("big", big(piece).as_bytes());
        if let Err(faults) = result {
            assert!(faults.to_string().len() < 50_000, "{piece:?}");
        }
    }
    // Generous: the whole takes about a second unless something is quadratic.
    assert!(started.elapsed().as_secs() < 60, "{:?}", started.elapsed());
}
