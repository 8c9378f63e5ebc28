use linewright_theory::{Chord, Note};

use super::*;
use crate::{Event, Jump, Symbol, SymbolAt, TimeSignature, Until};

fn note(name: &str) -> Note {
    name.parse().unwrap()
}

fn chord(at: Ticks, text: &str) -> SymbolAt {
    SymbolAt {
        at,
        symbol: Symbol::Chord(Chord::parse(text).unwrap()),
    }
}

/// A measure of 4/4 with these notes, as name and quarters over two.
fn bar(notes: &[(&str, Ticks)]) -> Measure {
    let mut measure = Measure::new(4 * QUARTER);
    let mut now = 0;
    for (name, halves) in notes {
        let ticks = halves * QUARTER / 2;
        measure.events.push(match *name {
            "z" => Event::rest(now, ticks),
            name => Event::note(now, ticks, note(name)),
        });
        now += ticks;
    }
    measure
}

fn score(mut measures: Vec<Measure>) -> Score {
    measures[0].time = Some(TimeSignature { beats: 4, unit: 4 });
    measures[0].key = "F".parse().ok();
    Score {
        measures,
        ..Score::default()
    }
}

/// The lines after the header.
fn music(score: &Score) -> String {
    let text = write(std::slice::from_ref(score));
    let (_, music) = text.split_once("clef=bass-8\n").expect("a header");
    music.to_owned()
}

#[test]
fn a_line_reads_as_a_player_would_type_it() {
    let mut first = bar(&[("F1", 2), ("A1", 2), ("C2", 2), ("D2", 2)]);
    first.symbols = vec![chord(0, "F6"), chord(2 * QUARTER, "D7")];
    first.tempo = Some(132);
    first.section = Some("A".into());
    let mut second = bar(&[("G1", 2), ("Bb1", 2), ("B1", 2), ("C2", 2)]);
    second.right = BarLine::Final;
    let mut score = score(vec![first, second]);
    score.title = Some("Walk".into());
    score.feel = Some("swing".into());
    score.about = vec![("style".into(), "plain".into())];
    assert_eq!(
        write(&[score]),
        "%abc-2.1\nX:1\nT:Walk\nR:swing\nN:style: plain\nM:4/4\nL:1/4\nQ:1/4=132\nK:F clef=bass-8\n\
         P:A\n\"F6\"F,, A,, \"D7\"C, D, | G,, B,, =B,, C, |]\n"
    );
}

#[test]
fn eighths_are_beamed_within_a_beat_and_set_the_unit() {
    let score = score(vec![bar(&[
        ("F1", 1),
        ("A1", 1),
        ("C2", 1),
        ("D2", 1),
        ("z", 4),
    ])]);
    assert_eq!(music(&score), "F,,A,, C,D, z4 |\n");
}

#[test]
fn lengths_without_a_value_and_chord_changes_cut_a_note() {
    let mut cut = bar(&[("F1", 5), ("z", 3)]);
    cut.symbols = vec![chord(0, "F7"), chord(QUARTER, "Bb7")];
    let score = score(vec![cut, bar(&[("C2", 5), ("C2", 3)])]);
    assert_eq!(
        music(&score),
        "\"F7\"F,,2-\"Bb7\"F,,2-F,, z3 | C,4-C, C,3 |\n"
    );
}

#[test]
fn ties_of_the_part_have_a_blank_and_run_over_bar_lines() {
    let mut bars = vec![bar(&[("C#2", 4), ("C#2", 4)]), bar(&[("C#2", 8)])];
    bars[0].events[0].tied = true;
    bars[0].events[1].tied = true;
    assert_eq!(music(&score(bars)), "^C,2- C,2- | ^C,4 |\n");
}

#[test]
fn tuplets_are_grouped_until_they_fill_a_beat() {
    let third = QUARTER / 3;
    let mut measure = Measure::new(4 * QUARTER);
    let lengths = [third, third, third, 2 * third, third, 2 * QUARTER];
    let mut now = 0;
    for ticks in lengths {
        measure.events.push(Event::note(now, ticks, note("C2")));
        now += ticks;
    }
    assert_eq!(music(&score(vec![measure])), "(3C,C,C, (3:2:2C,2C, C,4 |\n");
}

#[test]
fn gaps_are_invisible_and_ghosts_have_a_cross() {
    let mut measure = bar(&[("C2", 2)]);
    measure.events[0].ghost = true;
    measure.symbols = vec![chord(2 * QUARTER, "C7")];
    assert_eq!(music(&score(vec![measure])), "!style=x!C, x\"C7\"x2 |\n");
}

#[test]
fn repeats_endings_and_signs_stand_where_readers_look_for_them() {
    let mut bars = vec![bar(&[("C2", 8)]); 6];
    bars[0].opens_repeat = true;
    bars[0].segno = true;
    bars[1].ending = vec![1, 3];
    bars[1].right = BarLine::Repeat(2);
    bars[2].ending = vec![2];
    bars[2].right = BarLine::Double;
    bars[2].to_coda = true;
    bars[3].opens_repeat = true;
    bars[3].right = BarLine::Repeat(3);
    bars[4].opens_repeat = true;
    bars[4].right = BarLine::Repeat(2);
    bars[4].jump = Some(Jump {
        to_segno: true,
        until: Until::Coda,
    });
    bars[5].coda = true;
    bars[5].fine = true;
    bars[5].right = BarLine::Final;
    assert_eq!(
        music(&score(bars)),
        "|: !segno!C,4 | [1,3 C,4 :| [2 \"^To Coda\"C,4 || |: \"^3x\"C,4 :|\n\
         |: \"^D.S. al Coda\"C,4 :| !coda!!fine!C,4 |]\n"
    );
}

#[test]
fn changes_stand_on_their_own_lines() {
    let mut bars = vec![bar(&[("C2", 8)]), bar(&[("B1", 8)])];
    bars[1].key = "C".parse().ok();
    bars[1].tempo = Some(90);
    bars[1].section = Some("Verse 2]".into());
    assert_eq!(
        music(&score(bars)),
        "C,4 |\nP:Verse 2]\nK:C\nQ:1/4=90\nB,,4 |\n"
    );
}

#[test]
fn tunes_are_numbered_with_a_blank_line_between() {
    let one = score(vec![bar(&[("C2", 8)])]);
    let text = write(&[one.clone(), one]);
    assert!(text.starts_with("%abc-2.1\nX:1\nT:\n"));
    assert!(text.contains("C,4 |\n\nX:2\nT:\n"));
}

#[test]
fn rows_under_the_notes_are_lines_of_words() {
    let mut measure = bar(&[("C2", 5), ("z", 1), ("D2", 2)]);
    measure.events[0].under = vec!["R".into(), "half step".into()];
    measure.events[2].under = vec!["b9".into(), String::new()];
    let score = score(vec![measure]);
    let text = write_with(&[score], Options { under: true });
    assert!(
        text.ends_with("C,4-C, z D,2 |\nw:R * b9\nw:half~step * *\n"),
        "{text}"
    );
}

#[test]
fn a_part_against_the_model_is_still_written() {
    let mut odd = Measure::new(QUARTER);
    odd.events = vec![
        Event::note(0, 3 * QUARTER, note("C2")),
        Event::note(QUARTER, QUARTER, note("D2")),
        Event::note(u32::MAX - 1, 5, note("D2")),
    ];
    odd.events.pop();
    odd.symbols = vec![chord(9 * QUARTER, "F7"), chord(0, "C")];
    let score = Score {
        measures: vec![odd, Measure::new(0)],
        ..Score::default()
    };
    assert!(music(&score).contains("C,"));
    assert!(write(&[Score::default()]).contains("K:none"));
}
