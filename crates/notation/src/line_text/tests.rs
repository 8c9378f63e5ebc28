//! Lines are read, refused with every fault, and written so that they read back.

mod any_text;

use std::time::{Duration, Instant};

use linewright_diagnostic::Place;
use linewright_theory::{Name, Note};

use super::{read, write};
use crate::score::{BarLine, Event, Measure, QUARTER, Score, Symbol, Ticks, TimeSignature};

const BEAT: Ticks = QUARTER;

fn line(text: &str) -> Score {
    let (mut lines, problems) = read(text.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    assert!(problems.is_empty(), "{problems}");
    assert_eq!(lines.len(), 1);
    lines.remove(0)
}

/// Each event as `start length name`, in eighths of a beat; `+` is tied on, `x` a ghost.
fn events(measure: &Measure) -> Vec<String> {
    let part = |ticks: Ticks| f64::from(ticks) / f64::from(BEAT);
    measure
        .events
        .iter()
        .map(|event| {
            let name = event.note.map_or("r".to_owned(), |note| note.to_string());
            let ghost = if event.ghost { "x" } else { "" };
            let tied = if event.tied { "+" } else { "" };
            format!(
                "{:.2} {:.2} {ghost}{name}{tied}",
                part(event.at),
                part(event.ticks)
            )
        })
        .collect()
}

/// The places and messages of all faults.
fn faults(text: &str) -> Vec<(usize, usize, String)> {
    let problems = read(text.as_bytes()).expect_err("a text with faults");
    problems
        .list()
        .iter()
        .map(|problem| {
            assert!(!problem.hint().is_empty());
            let (line, column) = problem.place().line_and_column().unwrap_or((0, 0));
            let told = format!("{}; {}", problem.message(), problem.hint());
            (line, column, told)
        })
        .collect()
}

#[test]
fn every_sign_lasts_one_beat_and_groups_share_one() {
    let score = line("| F1 . r xC#3 | (F2 . A2) (Bb1 b♭1) (r C2) . | . (. D2) r r |");
    let measures = &score.measures;
    assert_eq!(
        events(&measures[0]),
        ["0.00 2.00 F1", "2.00 1.00 r", "3.00 1.00 xC#3"]
    );
    assert_eq!(
        events(&measures[1]),
        [
            "0.00 0.67 F2",
            "0.67 0.33 A2",
            "1.00 0.50 Bb1",
            "1.50 0.50 Bb1",
            "2.00 0.50 r",
            "2.50 1.50 C2+"
        ]
    );
    assert_eq!(
        events(&measures[2]),
        ["0.00 1.50 C2", "1.50 0.50 D2", "2.00 2.00 r"]
    );
}

#[test]
fn a_bar_repeated_is_the_signs_again_holds_and_all() {
    let score = line("| F1 . . . | . A1 C2 . | % |");
    assert_eq!(events(&score.measures[0]), ["0.00 4.00 F1+"]);
    assert_eq!(
        events(&score.measures[1]),
        ["0.00 1.00 F1", "1.00 1.00 A1", "2.00 2.00 C2+"]
    );
    assert_eq!(
        events(&score.measures[2]),
        ["0.00 1.00 C2", "1.00 1.00 A1", "2.00 2.00 C2"]
    );
}

#[test]
fn the_header_tells_what_holds_from_the_first_bar_and_facts() {
    let text = "# by hand\ntitle: Walk #2 | home\nComposer: Ada #1\ntime: 3/4\nkey: Gm # flat\ntempo: 96 bpm\n\
        feel: swing\npickup: 1\nStudent: Kim Oh\nabout key: F major\n\n\
        D2 # from above\n[A] | (tempo: 90) G1 Bb1 D2 || (time: 4/4) (key: Bb) F1 . . r |]\n";
    let score = line(text);
    assert_eq!(score.title.as_deref(), Some("Walk #2 | home"));
    assert_eq!(score.feel.as_deref(), Some("swing"));
    let fact = |name: &str, value: &str| (name.to_owned(), value.to_owned());
    assert_eq!(score.composer.as_deref(), Some("Ada #1"));
    assert_eq!(score.student.as_deref(), Some("Kim Oh"));
    assert_eq!(score.about, [fact("key", "F major")]);
    let [pickup, a, b] = &score.measures[..] else {
        panic!("{} measures", score.measures.len())
    };
    assert!(pickup.pickup && pickup.ticks == BEAT);
    assert_eq!(pickup.time, Some(TimeSignature { beats: 3, unit: 4 }));
    assert_eq!(pickup.key, "Gm".parse().ok());
    assert_eq!(pickup.tempo, Some(96));
    assert_eq!(a.section.as_deref(), Some("A"));
    assert_eq!((a.tempo, a.time, a.key), (Some(90), None, None));
    assert_eq!(a.right, BarLine::Double);
    assert_eq!(b.time, Some(TimeSignature { beats: 4, unit: 4 }));
    assert_eq!(b.key, "Bb".parse().ok());
    assert_eq!(b.right, BarLine::Final);
}

#[test]
fn without_a_metre_the_commonest_length_of_a_bar_is_taken() {
    let time = |text: &str| line(text).measures[0].time.unwrap().beats;
    assert_eq!(time("| F1 A1 C2 | F1 A1 C2 | F1 |"), 3);
    assert_eq!(time("| F1 A1 C2 r | F1 A1 C2 |"), 4);
    assert_eq!(time("| F1 |"), 4);
    assert_eq!(time("| F1 (A1 A1) C2 . r | %"), 5);
}

#[test]
fn bars_last_as_long_as_what_is_written_in_them() {
    let score = line("time: 4/4\n| F1 A1 | F1 A1 C2 D2 E2 |\n");
    let ticks: Vec<Ticks> = score.measures.iter().map(|m| m.ticks / BEAT).collect();
    assert_eq!(ticks, [2, 5]);
    let eighths = line("time: 7/8\n| F1 . F1 . A1 C2 . |\n");
    assert_eq!(eighths.measures[0].ticks, 7 * BEAT / 2);
    assert_eq!(
        line("time: 2/2\n| F1 A1 C2 A1 |").measures[0].ticks,
        4 * BEAT
    );
}

#[test]
fn all_faults_are_told_together_with_their_place_and_the_right_spelling() {
    let found = faults(
        "titel: x\nkey: H\ntempo: fast\n| F1 Gm H1 . | (A2 q) | | F7 |\n\
         | % r | C2 (key: X) |\ntempo: 90\n(time: 3/4)\n",
    );
    let expected = [
        (2, 6, "H"),
        (3, 8, "fast"),
        (4, 6, "`F1`"),
        (4, 9, "`B1`"),
        (4, 20, "\"q\""),
        (4, 25, "empty"),
        (4, 27, "chart"),
        (5, 3, "`%`"),
        (5, 12, "middle of a bar"),
        (6, 1, "(tempo: 90)"),
        (7, 1, "no bar follows"),
    ];
    let places: Vec<(usize, usize)> = found.iter().map(|f| (f.0, f.1)).collect();
    assert_eq!(
        places,
        expected.iter().map(|e| (e.0, e.1)).collect::<Vec<_>>(),
        "{found:#?}"
    );
    for ((_, _, told), (_, _, wanted)) in found.iter().zip(expected) {
        assert!(told.contains(wanted), "{told}, not {wanted}");
    }
}

#[test]
fn names_without_octaves_and_commas_are_understood_and_told_once() {
    let typed = "key: F\n\n| F, G, A, C | (Bb . A) G r xF# |\n| % | F3 G . A |\n";
    let written = "key: F\n\n| F1 G1 A1 C2 | (Bb1 . A1) G1 r xF#1 |\n| % | F3 G3 . A2 |\n";
    let (lines, problems) = read(typed.as_bytes()).unwrap();
    assert_eq!(lines, [line(written)]);
    let [told] = problems.list() else {
        panic!("{problems}")
    };
    assert_eq!(told.place(), Place::column(3, 3));
    let told = told.to_string();
    for words in [
        "\"F\"",
        "F1",
        "note before",
        "E1 to G3",
        "the lower",
        "`F2`",
    ] {
        assert!(told.contains(words), "{told}, not {words}");
    }
    // A page with notes changed by hand is read so, too.
    let page = "chords | F7 |\nnotes | F1 G1 A C |\n";
    let (lines, problems) = read(page.as_bytes()).unwrap();
    assert_eq!(
        events(&lines[0].measures[0])[2..],
        ["2.00 1.00 A1", "3.00 1.00 C2"]
    );
    assert_eq!(problems.list().len(), 1);
}

#[test]
fn what_cannot_be_a_line_is_refused_and_says_why() {
    for (text, why) in [
        ("", "no notes"),
        ("title: x\n", "no notes"),
        (". F1 |", "none yet"),
        ("% |", "there is none"),
        ("|: F1 A1 :|", "written out|write the bars out"),
        ("pickup: 2\n| F1 | A1 A1 A1 A1 |", "1 beat and not the 2"),
        ("pickup: 4\n| F1 F1 F1 F1 | A1 A1 A1 A1 |", "not shorter"),
        ("key: F\nkey: G\n| F1 |", "told twice"),
        ("title:\n| F1 |", "empty"),
        ("| () |", "nothing stands"),
        ("| F1 ] |", "closes nothing"),
        ("(A: b) F1", "does not change"),
    ] {
        let found = faults(text);
        assert!(
            why.split('|').any(|why| found[0].2.contains(why)),
            "{text}: {found:?}"
        );
    }
    let long = format!("| {}|", "r ".repeat(33));
    assert!(faults(&long)[0].2.contains("32 beats"));
    let many = "| F1 ".repeat(4097);
    assert!(faults(&many)[0].2.contains("4096 bars"));
    let bar = format!("| {} ", format!("({})", "r ".repeat(24)).repeat(32));
    let dense = bar + &"| % ".repeat(4000);
    assert!(faults(&dense)[0].2.contains("100000"));
}

#[test]
fn a_name_that_is_nearly_a_header_line_is_kept_and_remarked() {
    let (lines, remarks) = read(b"titel: Mine\n| F1 |").unwrap();
    assert_eq!(lines[0].about, [("titel".to_owned(), "Mine".to_owned())]);
    assert!(remarks.list()[0].hint().contains("`title:`"));
}

#[test]
fn texts_that_are_nothing_but_faults_are_refused_at_once() {
    let size = super::MAX_PLAIN;
    for sign in [
        "[", "(", ")", "x ", "q|", "| ", "[]", "(q)", "%|", "a:", "\u{1b}[",
    ] {
        let text = sign.repeat(size / sign.len());
        for text in [text.clone(), format!("notes |{}", &text[..size - 8])] {
            // Unoptimised tests on a busy machine get a wider limit than the one second of a user.
            let started = Instant::now();
            let faults = faults(&text);
            assert!(started.elapsed() < Duration::from_secs(20), "{sign}");
            assert!((1..=50).contains(&faults.len()), "{sign}");
            assert!(
                faults
                    .iter()
                    .all(|(line, column, _)| *line == 1 && *column >= 1),
                "{sign}"
            );
        }
    }
}

/// A page of two lines: a pick-up, a waltz bar, holds, rests, no chord, a plan and a key.
const PAGES: &str = "\
First | try
D minor · 140 beats a minute at first · swing · double bass (program 33), E1 to G3
1 chorus, 3 bars
linewright 0.1.0 · style plain (hash 0123456789abcdef) · seed 1 · line 1
sampled at 0.65 points · score +11.66

[B]
        | 0    | 1 statement ●1      | 2 drive        |
chords  | A7   | Dm7       G7        | N.C. Fmaj7     |
notes   | A1   | D2   .    G1   F1   | r    F1   A1   |
degrees | 1    | 1         1    b7   |      1    3    |
why     |      |           cad1 ½↓   |           ½↓   |
        |      |                     |      cp↓       |

        | 3 release           |
chords  | Fmaj7               |
notes   | C2   .    (A1 . F1) xE1 |

plan  wished → as the line came out
bar  role       tension
1    statement  0.15 → 0.19

.    the note before is held   r    rest
Notes as they sound: C4 is middle C. Under each note stand its two strongest functions;
a note without any is a chord tone.

Second
C major · 90 beats a minute · double bass (program 33), E1 to G3 · 2 choruses, 8 bars
linewright 0.1.0 · style plain (hash 0123456789abcdef) · seed 1 · line 2 · best · score +1.00

chorus 2 [Out]
        | 5 statement         |
chords  | C6                  |
notes   | C2   E2   G2   A2   |

Notes as they sound: C4 is middle C. Under each note stand its two strongest functions;
a note without any is a chord tone.
";

#[test]
fn the_lines_of_a_page_are_read_with_chords_sections_and_facts() {
    let (lines, remarks) = read(PAGES.as_bytes()).unwrap();
    assert!(remarks.is_empty(), "{remarks}");
    let [first, second] = &lines[..] else {
        panic!("{} lines", lines.len())
    };
    assert_eq!(first.title.as_deref(), Some("First | try"));
    assert_eq!(first.feel.as_deref(), Some("swing"));
    let [pickup, one, two, three] = &first.measures[..] else {
        panic!("{} measures", first.measures.len())
    };
    assert!(pickup.pickup);
    assert_eq!(pickup.time, Some(TimeSignature { beats: 4, unit: 4 }));
    assert_eq!((pickup.key, pickup.tempo), ("Dm".parse().ok(), Some(140)));
    assert_eq!(one.section.as_deref(), Some("B"));
    assert_eq!(one.time, None);
    assert_eq!(
        events(one),
        ["0.00 2.00 D2", "2.00 1.00 G1", "3.00 1.00 F1"]
    );
    assert_eq!(two.time, Some(TimeSignature { beats: 3, unit: 4 }));
    assert_eq!(events(two), ["0.00 1.00 r", "1.00 1.00 F1", "2.00 1.00 A1"]);
    assert_eq!(
        events(three),
        [
            "0.00 2.00 C2",
            "2.00 0.67 A1",
            "2.67 0.33 F1",
            "3.00 1.00 xE1"
        ]
    );
    let chords: Vec<(usize, Ticks, String)> = (0..)
        .zip(&first.measures)
        .flat_map(|(nth, measure)| {
            let told = move |s: &crate::SymbolAt| (nth, s.at / BEAT, s.symbol.to_string());
            measure.symbols.iter().map(told)
        })
        .collect();
    let chord = |bar, beat, name: &str| (bar, beat, name.to_owned());
    assert_eq!(
        chords,
        [
            chord(0, 0, "A7"),
            chord(1, 0, "Dm7"),
            chord(1, 2, "G7"),
            chord(2, 0, "N.C."),
            chord(2, 1, "Fmaj7")
        ]
    );
    assert!(second.about.contains(&("line".into(), "2".into())));
    assert!(second.about.contains(&("choruses".into(), "2".into())));
    assert_eq!(second.measures.len(), 1);
    assert_eq!(second.measures[0].section.as_deref(), Some("Out"));
}

#[test]
fn a_page_changed_by_hand_is_read_with_its_faults_in_place() {
    let coloured = PAGES.replace("| A1   |", "\u{1b}[2m|\u{1b}[0m H1 |");
    let found = faults(&coloured);
    assert_eq!((found[0].0, found[0].1), (10, 11), "{found:?}");
    assert!(found[0].2.contains("`B1`"));
    let odd = PAGES.replace("| C6  ", "| H6  ");
    let (lines, remarks) = read(odd.as_bytes()).unwrap();
    assert_eq!(
        lines[1].measures[0].symbols[0].symbol,
        Symbol::Unread("H6".into())
    );
    assert_eq!(remarks.list()[0].place(), Place::column(33, 11));
    let bare = "notes | F1 A1 |\n";
    assert_eq!(
        read(bare.as_bytes()).unwrap().0[0].measures[0].ticks,
        2 * BEAT
    );
}

#[test]
fn a_name_may_be_left_empty_and_a_second_one_is_a_fact() {
    let score = line("composer:\nstudent: Kim\nstudent: Lee\n| F1 |\n");
    assert_eq!(
        (&score.composer, &score.student),
        (&None, &Some("Kim".into()))
    );
    assert_eq!(score.about, [("student".to_owned(), "Lee".to_owned())]);
    assert_eq!(line(&write(&score)), score);
}

#[test]
fn what_a_line_cannot_say_is_filled_up_or_left_away() {
    let note = |name: &str| name.parse::<Note>().unwrap();
    let mut pickup = Measure::new(BEAT / 2);
    pickup.pickup = true;
    pickup.events = vec![Event::note(0, BEAT / 2, note("E1"))];
    let mut short = Measure::new(BEAT * 3 / 2);
    short.events = vec![Event::note(BEAT, BEAT / 2, note("F1"))];
    short.section = Some("A|[x]".into());
    let score = Score {
        title: Some("two\nlines".into()),
        composer: Some("Ada\tLind".into()),
        student: Some("Kim".into()),
        about: vec![("a:b".into(), "c".into()), ("Sage".into(), "x\ty".into())],
        measures: vec![pickup, short],
        ..Score::default()
    };
    assert_eq!(
        write(&score),
        "title: two lines\ncomposer: Ada Lind\nstudent: Kim\ntime: 4/4\npickup: 1\nsage: x y\n\n| (r E1) |\n\n[A/(x)]\n| r (F1 r) |\n"
    );
}

/// A score of these measures, in 4/4.
fn in_four(measures: Vec<Measure>) -> Score {
    Score {
        measures,
        ..Score::default()
    }
}

fn sound(at: Ticks, ticks: Ticks, name: &str) -> Event {
    Event::note(at, ticks, name.parse().unwrap())
}

#[test]
fn notes_far_above_or_below_are_moved_into_octaves_that_a_line_has() {
    let mut measure = Measure::new(2 * BEAT);
    measure.events = vec![sound(0, BEAT, "C#7"), sound(BEAT, BEAT, "Cb-1")];
    let text = write(&in_four(vec![measure]));
    assert_eq!(text, "time: 4/4\n\n| C#5 Cb0 |\n");
    line(&text);
}

#[test]
fn a_pickup_that_is_filled_to_a_whole_bar_is_none_any_more() {
    let mut measure = Measure::new(3 * BEAT + BEAT / 2);
    measure.pickup = true;
    measure.events = vec![sound(0, BEAT / 2, "F1")];
    let text = write(&in_four(vec![measure.clone(), Measure::new(BEAT)]));
    assert_eq!(text, "time: 4/4\n\n| (r F1) r r r | r |\n");
    line(&text);
    (measure.ticks, measure.events) = (4 * BEAT, vec![]);
    line(&write(&in_four(vec![measure])));
}

#[test]
fn a_bar_longer_than_a_line_can_have_becomes_several() {
    let mut measure = Measure::new(40 * BEAT);
    measure.time = Some(TimeSignature { beats: 40, unit: 4 });
    measure.events = vec![sound(30 * BEAT, 4 * BEAT, "F1")];
    let text = write(&in_four(vec![measure]));
    let bars = line(&text).measures;
    assert_eq!(events(&bars[0])[1], "30.00 2.00 F1+");
    assert_eq!(events(&bars[1])[0], "0.00 2.00 F1");
    assert_eq!(bars[0].time, Some(TimeSignature { beats: 4, unit: 4 }));
}

#[test]
fn a_note_is_not_held_over_the_rest_that_fills_a_bar() {
    let mut first = Measure::new(BEAT + BEAT / 2);
    first.events = vec![Event {
        tied: true,
        ..sound(0, BEAT + BEAT / 2, "F1")
    }];
    let mut second = Measure::new(BEAT);
    second.events = vec![sound(0, BEAT, "F1")];
    let text = write(&in_four(vec![first, second]));
    assert_eq!(text, "time: 4/4\n\n| F1 (. r) | F1 |\n");
}

#[test]
fn rests_ties_and_fine_lengths_make_no_more_signs_than_they_need() {
    let mut measure = Measure::new(3 * BEAT);
    measure.events = vec![
        Event {
            tied: true,
            ..sound(0, BEAT / 2, "F1")
        },
        sound(BEAT / 2, BEAT / 2, "F1"),
        Event::rest(BEAT, BEAT / 2),
        Event::rest(BEAT + BEAT / 2, BEAT / 2),
        // As near to the middle of the beat as can be without standing there.
        sound(2 * BEAT + BEAT / 2 + 1, BEAT / 2 - 1, "G1"),
    ];
    let text = write(&in_four(vec![measure]));
    assert_eq!(text, "time: 4/4\n\n| F1 r (r G1) |\n");
}

#[test]
fn any_number_of_signs_in_a_beat_is_written_as_it_was_read() {
    for signs in 1..=24 {
        let notes = ["F1", "G1"].repeat(12)[..signs].join(" ");
        let score = line(&format!("| ({notes}) |"));
        let text = write(&score);
        assert!(text.contains(&notes), "{text}");
        assert_eq!(line(&text), score);
    }
}
