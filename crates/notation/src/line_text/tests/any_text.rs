//! Any text is read or refused, and what is read or written comes back.

use linewright_theory::Letter;
use proptest::prelude::*;

use super::*;

fn notes() -> impl Strategy<Value = Note> {
    (0usize..7, -2i8..=2, 0i8..6)
        .prop_map(|(letter, alter, octave)| {
            Note::new(Name::new(Letter::ALL[letter], alter), octave)
        })
        .prop_filter("a note that sounds", |note| note.pitch().is_some())
}

/// Beats of a bar: how many signs share each, and what they are.
fn beats() -> impl Strategy<Value = Vec<Vec<u8>>> {
    let sign = prop::sample::select(vec![0u8, 0, 0, 0, 1, 1, 2, 3]);
    let group = prop_oneof![
        4 => prop::collection::vec(sign.clone(), 1),
        1 => prop::collection::vec(sign, 2..=24),
    ];
    prop::collection::vec(group, 1..8)
}

/// A text in no tidy form that reads without fault.
fn texts() -> impl Strategy<Value = String> {
    let bar = (beats(), prop::collection::vec(notes(), 64), 0u8..12);
    prop::collection::vec(bar, 1..9).prop_map(|bars| {
        let mut text = "key: Eb\nseed: 4\nfeel: a # b\n".to_owned();
        for (nth, (beats, notes, extra)) in bars.into_iter().enumerate() {
            text.push_str("\n|");
            text.push_str(match extra {
                0 if nth > 0 => "(time: 7/8)",
                1 if nth > 0 => "(key: F# minor)[B b]",
                2 if nth > 0 => "(tempo: 77) ",
                3 => "[A]",
                _ => "",
            });
            // A bar can have more signs than there are notes.
            let mut notes = notes.iter().cycle();
            for (at, beat) in beats.iter().enumerate() {
                let signs: Vec<String> = (0..)
                    .zip(beat)
                    .map(|(part, sign)| match sign {
                        1 if nth + at + part > 0 => ".".to_owned(),
                        2 => "r".to_owned(),
                        3 => format!("x{}", notes.next().unwrap()),
                        _ => notes.next().unwrap().to_string(),
                    })
                    .collect();
                text.push_str(&format!(" ({})", signs.join(" ")));
            }
            text.push_str(if extra == 4 { "||" } else { "|" });
        }
        text
    })
}

/// What is read is written and read back equal; what is refused says why.
fn reads_soundly(bytes: &[u8]) -> Result<(), TestCaseError> {
    match read(bytes) {
        Ok((lines, _)) => {
            for mut line in lines {
                // Chords stand on pages, not in the plain text.
                for measure in &mut line.measures {
                    measure.symbols.clear();
                }
                let written = write(&line);
                let (again, _) = read(written.as_bytes())
                    .map_err(|problems| TestCaseError::fail(problems.to_string()))?;
                prop_assert_eq!(again, [line], "{}", written);
            }
        }
        Err(problems) => {
            prop_assert!(!problems.is_empty());
            let mut list = problems.list().iter();
            prop_assert!(list.all(|p| !p.message().is_empty() && !p.hint().is_empty()));
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_written_reads_back_as_the_same_line(text in texts()) {
        let score = line(&text);
        let written = write(&score);
        let again = line(&written);
        prop_assert_eq!(&score, &again, "{}", written);
        prop_assert_eq!(write(&again), written);
    }

    #[test]
    fn no_text_is_too_odd(text in "[-|:\\[\\]()%#.,xr A-Ha-h0-9♭♯\n\t]{0,80}") {
        reads_soundly(text.as_bytes())?;
        reads_soundly(format!("notes | {text}").as_bytes())?;
        reads_soundly(format!("{PAGES}{text}").as_bytes())?;
    }

    #[test]
    fn no_bytes_are_too_odd(bytes in prop::collection::vec(any::<u8>(), 0..60)) {
        reads_soundly(&bytes)?;
    }

    #[test]
    fn any_score_is_written_so_that_it_reads_back(
        measures in prop::collection::vec(
            (0u32..40_000, prop::collection::vec((0u32..40_000, 0u32..9_000, notes(), any::<bool>()), 0..6)),
            1..5,
        ),
        pickup in any::<bool>(),
    ) {
        let measures = measures.into_iter().map(|(ticks, events)| {
            let mut measure = Measure::new(ticks + 1);
            measure.events = events.into_iter().map(|(at, ticks, note, tied)| Event {
                tied,
                ..Event::note(at, ticks, note)
            }).collect();
            measure.events.sort_by_key(|event| event.at);
            measure
        });
        let mut score = Score { measures: measures.collect(), ..Score::default() };
        score.measures[0].pickup = pickup;
        if pickup {
            score.measures[0].ticks = score.measures[0].ticks.min(3 * BEAT);
        }
        let text = write(&score);
        prop_assert!(read(text.as_bytes()).is_ok(), "{}", text);
    }
}
