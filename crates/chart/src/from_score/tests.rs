//! Lead sheets → charts: what stays, what is moved, what is refused.

use linewright_diagnostic::Diagnostics;
use linewright_notation::{
    BarLine, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};
use proptest::prelude::*;

use crate::{Chart, Content, Harmony};

const Q: Ticks = QUARTER;

/// The chart as a score: every chord where the chart begins one.
fn as_score(chart: &Chart) -> Score {
    let mut score = Score {
        title: chart.title.clone(),
        composer: chart.composer.clone(),
        feel: chart.feel.clone(),
        ..Score::default()
    };
    let page = chart.resolved();
    for (nth, (bar, resolved)) in chart.bars.iter().zip(&page).enumerate() {
        let mut measure = Measure::new(Ticks::from(bar.beats) * Q);
        measure.pickup = bar.pickup;
        measure.time = (nth == 0 || bar.new_metre.is_some()).then_some(TimeSignature {
            beats: bar.metre.beats,
            unit: 4,
        });
        (measure.key, measure.tempo) = match nth {
            0 => (chart.told_key, chart.tempo),
            _ => (bar.new_key, bar.new_tempo),
        };
        measure.section = bar.section.clone();
        measure.opens_repeat = bar.opens_repeat;
        measure.ending = bar.ending.clone();
        measure.segno = bar.segno;
        measure.coda = bar.coda;
        measure.to_coda = bar.to_coda;
        measure.fine = bar.fine;
        measure.jump = bar.jump;
        measure.right = bar.right;
        for span in &resolved.spans {
            measure.symbols.push(SymbolAt {
                at: Ticks::from(span.start) * Q,
                symbol: match span.harmony {
                    Harmony::Chord(chord) => Symbol::Chord(chord),
                    Harmony::NoChord => Symbol::NoChord,
                },
            });
        }
        score.measures.push(measure);
    }
    score
}

/// The same without symbols that say what sounds already.
fn sparse(mut score: Score) -> Score {
    let mut now = None;
    for measure in &mut score.measures {
        if !measure.ending.is_empty() || measure.opens_repeat {
            now = None;
        }
        measure.symbols.retain(|here| {
            let new = now.as_ref() != Some(&here.symbol);
            now = Some(here.symbol.clone());
            new
        });
    }
    score
}

fn chart(score: &Score) -> (Chart, Diagnostics) {
    let (chart, remarks) = Chart::from_score(score).unwrap_or_else(|e| panic!("{e}"));
    // Whatever it is, it can be printed and read again.
    let again = Chart::parse("again", chart.to_string().as_bytes());
    assert_eq!(again.unwrap_or_else(|e| panic!("{e}\n{chart}")), chart);
    (chart, remarks)
}

fn refused(score: &Score) -> String {
    Chart::from_score(score).expect_err("a fault").to_string()
}

/// Measures of 4/4 from chords at beats: `0 F7, 2 Bb7`.
fn sheet(measures: &[&str]) -> Score {
    let mut score = Score::default();
    for told in measures {
        let mut measure = Measure::new(4 * Q);
        for chord in told.split(',').filter(|told| !told.trim().is_empty()) {
            let (at, symbol) = chord.trim().split_once(' ').unwrap();
            measure.symbols.push(SymbolAt {
                at: (at.parse::<f64>().unwrap() * f64::from(Q)) as Ticks,
                symbol: match symbol.parse() {
                    Ok(chord) => Symbol::Chord(chord),
                    Err(_) if symbol == "N.C." => Symbol::NoChord,
                    Err(_) => Symbol::Unread(symbol.to_owned()),
                },
            });
        }
        score.measures.push(measure);
    }
    score
}

fn bars(chart: &Chart) -> String {
    let text = chart.to_string();
    let from = text.find('|').unwrap();
    text[from..]
        .trim()
        .replace(" |\n| ", " | ")
        .replace('\n', " ")
}

fn shipped() -> Vec<Chart> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "chart"))
        .collect();
    paths.sort();
    let read =
        |path: &std::path::PathBuf| Chart::parse("shipped", &std::fs::read(path).unwrap()).unwrap();
    paths.iter().map(read).collect()
}

#[test]
fn shipped_charts_come_back_from_scores_that_say_the_same() {
    let charts = shipped();
    assert!(charts.len() >= 20);
    for original in charts {
        for score in [as_score(&original), sparse(as_score(&original))] {
            let (made, remarks) = chart(&score);
            assert!(remarks.is_empty(), "{}: {remarks}", original.title());
            assert_eq!(made.unroll(), original.unroll(), "{}", original.title());
            let road = |chart: &Chart| -> Vec<_> {
                let mut bars = chart.bars.clone();
                bars.iter_mut().for_each(|bar| bar.content = Content::Same);
                bars
            };
            assert_eq!(road(&made), road(&original), "{}", original.title());
        }
    }
}

#[test]
fn chords_beside_the_beat_are_moved_to_it_and_told() {
    let score = sheet(&[
        "0 F7, 1.9 Bb7, 3.5 C7",
        "2 F7, 2.25 F#dim7",
        "0.1 G7, 0.2 A7, 3.9 D7",
        "",
    ]);
    let (chart, remarks) = chart(&score);
    assert_eq!(bars(&chart), "| F7 Bb7 | C7 F7 | G7 | D7 |");
    let said = remarks.to_string();
    assert!(
        said.contains("measure 1: chords stand beside the beats: 6 times"),
        "{said}"
    );
    assert!(
        said.contains("measure 2: two chords fall on one beat: 2 times"),
        "{said}"
    );
}

#[test]
fn a_chord_pushed_over_a_repeat_stays_in_its_bar() {
    let mut score = sheet(&["0 F7", "0 Bb7, 3.5 F7"]);
    score.measures[1].right = BarLine::Repeat(2);
    assert_eq!(bars(&chart(&score).0), "| F7 | Bb7 / / F7 :|");
}

#[test]
fn measures_without_symbols_hold_the_chord_and_later_endings_that_before_the_first() {
    let mut score = sheet(&["2 F7", "", "0 C7, 2 Bb7", "", "0 G7", "", "0 F6"]);
    score.measures[3].ending = vec![1];
    score.measures[4].right = BarLine::Repeat(2);
    score.measures[5].ending = vec![2];
    assert_eq!(
        bars(&chart(&score).0),
        "| N.C. F7 | / / / / | C7 Bb7 |1. / / / / | G7 :|2. Bb7 | F6 |"
    );
}

#[test]
fn metres_of_other_note_values_are_counted_in_beats_or_refused() {
    let with = |beats, unit, at: &[(Ticks, &str)]| {
        let time = TimeSignature { beats, unit };
        let mut measure = Measure::new(time.ticks());
        measure.time = Some(time);
        measure.tempo = Some(180);
        measure.symbols = at
            .iter()
            .map(|&(at, chord)| SymbolAt {
                at,
                symbol: Symbol::Chord(chord.parse().unwrap()),
            })
            .collect();
        Score {
            measures: vec![measure],
            ..Score::default()
        }
    };
    let (cut, remarks) = chart(&with(2, 2, &[(0, "F7"), (2 * Q, "C7")]));
    assert_eq!(
        (cut.metre().to_string(), cut.tempo()),
        ("4/4".into(), Some(180))
    );
    assert!(remarks.to_string().contains("2/2 was read as 4/4"));
    let (twelve, remarks) = chart(&with(12, 8, &[(0, "F7"), (3 * Q, "C7"), (9 * Q / 2, "D7")]));
    assert_eq!(
        (twelve.metre().to_string(), twelve.tempo()),
        ("4/4".into(), Some(120))
    );
    assert_eq!(bars(&twelve), "| F7 / C7 D7 |");
    assert!(remarks.to_string().contains("dotted quarter"));
    for (beats, unit) in [(7, 8), (3, 8), (8, 4)] {
        let why = refused(&with(beats, unit, &[(0, "F7")]));
        assert!(
            why.contains(&format!("measure 1: a chart cannot count {beats}/{unit}")),
            "{why}"
        );
    }
}

#[test]
fn symbols_that_are_no_chords_are_told_with_their_measures() {
    let (made, remarks) = chart(&sheet(&["0 F7", "0 H7, 2 Q", "0 C7, 2 Bb/h"]));
    assert_eq!(bars(&made), "| F7 | % | C7 Bb |");
    let told = remarks.to_string();
    for part in [
        "measure 2: \"H7\"",
        "measure 2: \"Q\"",
        "measure 3: \"Bb/h\" has a bass",
    ] {
        assert!(told.contains(part), "{told}");
    }
    // Where nothing can be read there is no chart.
    let why = refused(&sheet(&["0 H7", "0 N.C., 2 Q"]));
    for part in ["measure 1: \"H7\"", "measure 2: \"Q\""] {
        assert!(why.contains(part), "{why}");
    }
    assert!(refused(&sheet(&["", ""])).contains("no chord symbols"));
    assert!(refused(&Score::default()).contains("no chord symbols"));
    let mut short = sheet(&["0 F7"]);
    short.measures[0].ticks = Q / 4;
    assert!(refused(&short).contains("no full bar"));
}

/// Sets the lengths of measures in beats.
fn lengths(score: &mut Score, beats: &[Ticks]) {
    for (measure, beats) in score.measures.iter_mut().zip(beats) {
        measure.ticks = beats * Q;
    }
}

#[test]
fn a_repeat_in_mid_bar_moves_to_the_next_bar_line() {
    // A pick-up that belongs to the repeat, and the bar that it splits.
    let mut score = sheet(&["0 C7", "0 F7", "0 Bb7", "0 F7", "0 D7", "0 Gm7", "0 F6"]);
    lengths(&mut score, &[1, 4, 4, 3, 1, 4, 3]);
    score.measures[0].opens_repeat = true;
    score.measures[3].right = BarLine::Repeat(2);
    score.measures[4].opens_repeat = true;
    score.measures[6].right = BarLine::Repeat(2);
    let (chart, remarks) = chart(&score);
    assert_eq!(chart.pickup(), Some(1));
    assert_eq!(
        bars(&chart),
        "| C7 | |: F7 | Bb7 | F7 / / D7 :| |: Gm7 | F6 :|"
    );
    let said = remarks.to_string();
    assert!(said.contains("measure 4: a repeat sign"), "{said}");
    assert!(said.contains("measure 7: the measure is short"), "{said}");
}

#[test]
fn halves_of_a_bar_are_joined_and_odd_lengths_change_the_metre() {
    let mut score = sheet(&["0 F7", "0 C7", "0 F7", "0 Bb7", "0 F7", "0 C7"]);
    lengths(&mut score, &[4, 2, 2, 2, 5, 4]);
    score.measures[2].section = Some("B".into());
    let (chart, remarks) = chart(&score);
    assert_eq!(
        bars(&chart),
        "| F7 | C7 F7 |  [B] | (time: 2/4) Bb7 | (time: 5/4) F7 | (time: 4/4) C7 |"
    );
    assert!(
        remarks
            .to_string()
            .contains("measure 2: measures 2 and 3 are one bar")
    );
    score.measures[4].ticks = 13 * Q / 2;
    assert!(refused(&score).contains("measure 5: the measure lasts 6.50 quarter notes"));
}

#[test]
fn a_measure_that_is_short_by_no_whole_beat_is_filled_up() {
    let mut score = sheet(&["0 F7", "0 C7", "0 F7"]);
    score.measures[1].ticks = 7 * Q / 2;
    let (made, remarks) = chart(&score);
    assert_eq!(bars(&made), "| F7 | C7 | F7 |");
    assert!(
        remarks
            .to_string()
            .contains("measure 2: the measure lasts 3.50")
    );
}

#[test]
fn an_up_beat_within_the_piece_is_left_out_where_its_part_ends_as_much_earlier() {
    let mut score = sheet(&["0 F7", "0 C7", "0 Bb7", "", "0 F7", "0 C7"]);
    lengths(&mut score, &[4, 4, 1, 4, 4, 3]);
    score.measures[1].right = BarLine::Repeat(2);
    score.measures[2].opens_repeat = true;
    score.measures[2].section = Some("B".into());
    score.measures[5].right = BarLine::Repeat(2);
    let (made, remarks) = chart(&score);
    assert_eq!(bars(&made), "| F7 | C7 :|  [B] |: Bb7 | F7 | C7 :|");
    assert!(
        remarks.to_string().contains("measure 3: an up-beat"),
        "{remarks}"
    );
}

#[test]
fn a_repeat_that_only_its_end_tells_of_begins_where_the_one_before_ended() {
    let mut score = sheet(&["0 F7", "0 C7", "0 Bb7", "0 F7", "0 D7", "0 G7"]);
    score.measures[1].right = BarLine::Repeat(2);
    score.measures[3].right = BarLine::Repeat(2);
    let (made, _) = chart(&score);
    assert_eq!(bars(&made), "| F7 | C7 :| |: Bb7 | F7 :| | D7 | G7 |");
    // A double bar line begins a part of its own.
    score.measures[2].right = BarLine::Double;
    let (made, _) = chart(&score);
    assert_eq!(bars(&made), "| F7 | C7 :| Bb7 || |: F7 :| | D7 | G7 |");
}

#[test]
fn endings_without_a_begin_have_one_and_nothing_goes_back_from_the_last() {
    let mut score = sheet(&["0 F7", "0 C7", "0 Bb7", "0 F7", "0 D7", "0 G7", "0 C7"]);
    score.measures[0].right = BarLine::Double;
    score.measures[2].ending = vec![1];
    score.measures[2].right = BarLine::Repeat(2);
    score.measures[3].ending = vec![2];
    score.measures[4].right = BarLine::Repeat(2);
    let (made, _) = chart(&score);
    let wanted = "| F7 || C7 |1. Bb7 :|2. F7 | D7 || G7 | C7 |";
    assert_eq!(bars(&made), wanted);
    score.measures.insert(0, score.measures[6].clone());
    score.measures[0].right = BarLine::Repeat(2);
    let (made, _) = chart(&score);
    let wanted = "| C7 :| F7 || |: C7 |1. Bb7 :| |2. F7 | D7 || G7 | C7 |";
    assert_eq!(bars(&made), wanted);
}

#[test]
fn signs_without_use_are_left_out_and_jumps_without_a_goal_refused() {
    let mut score = sheet(&["0 F7", "0 Bb7", "0 C7", "0 F6"]);
    score.measures[0].segno = true;
    score.measures[1].fine = true;
    score.measures[2].coda = true;
    let (made, remarks) = chart(&score);
    assert_eq!(bars(&made), "| F7 | Bb7 | C7 | F6 |");
    assert_eq!(remarks.list().len(), 3);
    score.measures[0].segno = false;
    score.measures[3].jump = Some(Jump {
        to_segno: true,
        until: Until::Fine,
    });
    let why = refused(&score);
    assert!(why.contains("measure 4") && why.contains("segno"), "{why}");
}

#[test]
fn words_are_kept_so_that_a_chart_can_hold_them() {
    let mut score = sheet(&["0 F7", "0 C7"]);
    score.title = Some(" Blues\t#2 [F]  ".into());
    score.composer = Some("A.\nLind".into());
    score.feel = Some("\n".into());
    score.measures[1].section = Some("  B | [solo] ".into());
    score.measures[0].tempo = Some(7);
    let (chart, remarks) = chart(&score);
    assert_eq!(chart.title(), "Blues no. 2 [F]");
    assert_eq!(chart.composer(), Some("A. Lind"));
    assert_eq!((chart.feel(), chart.tempo()), (None, None));
    assert_eq!(chart.bars[1].section.as_deref(), Some("B / (solo)"));
    assert!(remarks.to_string().contains("a tempo of 7"));
    assert!(!chart.tells_key());
    assert_eq!(chart.key().to_string(), "F major");
}

const CHORDS: [&str; 7] = ["F7", "Bb7", "Cm7", "N.C.", "Gm7b5", "C", "odd"];

proptest! {
    #[test]
    fn whatever_a_score_holds_is_a_chart_that_reads_back_or_a_fault(
        measures in prop::collection::vec(
            (
                prop::sample::select(vec![4u32, 4, 4, 4, 3, 1, 2, 7]),
                prop::collection::vec((0u32..9, 0usize..CHORDS.len()), 0..4),
                0u8..40,
                prop::option::of(prop::sample::select(vec![(4u8, 4u8), (3, 4), (6, 8), (2, 2), (7, 8)])),
            ),
            1..10,
        ),
        pickup in any::<bool>(),
    ) {
        let mut score = Score::default();
        for (beats, chords, sign, time) in measures {
            let time = time.filter(|_| sign % 3 == 0).map(|(beats, unit)| TimeSignature { beats, unit });
            let ticks = time.map_or(beats * Q, TimeSignature::ticks);
            let mut measure = Measure::new(if sign == 29 { Q / 4 } else { ticks });
            measure.time = time;
            for (at, chord) in chords {
                let text = CHORDS[chord];
                measure.symbols.push(SymbolAt {
                    at: at * Q / 2,
                    symbol: match text.parse() {
                        Ok(chord) => Symbol::Chord(chord),
                        Err(_) if text == "odd" && sign < 3 => Symbol::Unread(text.into()),
                        Err(_) => Symbol::NoChord,
                    },
                });
            }
            match sign {
                30 => measure.opens_repeat = true,
                31 => measure.right = BarLine::Repeat(2),
                32 => measure.ending = vec![1],
                33 => measure.ending = vec![2],
                34 => measure.segno = true,
                35 => measure.fine = true,
                36 => measure.jump = Some(Jump { to_segno: false, until: Until::End }),
                37 => measure.section = Some("A ]b".into()),
                38 => measure.right = BarLine::Final,
                39 => measure.tempo = Some(120),
                _ => {}
            }
            score.measures.push(measure);
        }
        score.measures[0].pickup = pickup;
        if let Ok((chart, _)) = Chart::from_score(&score) {
            let printed = chart.to_string();
            let again = Chart::parse("again", printed.as_bytes());
            prop_assert_eq!(again.as_ref(), Ok(&chart), "{}", printed);
        }
    }
}

#[test]
fn an_ending_that_goes_back_may_have_a_double_bar_line_inside() {
    let mut score = sheet(&["0 C", "0 F", "0 G", "0 Am", "0 Dm", "0 Em"]);
    score.measures[0].opens_repeat = true;
    for (at, pass) in [(1, 1), (2, 2), (4, 3)] {
        score.measures[at].ending = vec![pass];
    }
    score.measures[1].right = BarLine::Repeat(2);
    score.measures[2].right = BarLine::Double;
    score.measures[3].right = BarLine::Repeat(2);
    let (chart, _) = chart(&score);
    let timeline = chart.unroll().unwrap();
    let played: Vec<usize> = timeline.bars.iter().map(|bar| bar.written).collect();
    assert_eq!(played, [1, 2, 1, 3, 4, 1, 5, 6]);
}
