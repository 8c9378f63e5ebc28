use std::time::{Duration, Instant};

use linewright_theory::Key;

use super::*;
use crate::abc::round_trip::assert_sound;
use crate::{BarLine, Event, Jump, Measure, QUARTER, Symbol, TimeSignature, Until};

/// A tune in G and 4/4, in eighths.
fn tune(music: &str) -> String {
    format!("X:1\nT:Test\nM:4/4\nL:1/8\nK:G\n{music}\n")
}

fn both(text: &str) -> (Score, Diagnostics) {
    read(text.as_bytes(), None).unwrap_or_else(|problems| panic!("{text}\n{problems}"))
}

/// The score of a tune that is read without a report.
fn clean(text: &str) -> Score {
    let (score, problems) = both(text);
    assert!(problems.is_empty(), "{text}\n{problems}");
    score
}

fn measures(music: &str) -> Vec<Measure> {
    clean(&tune(music)).measures
}

fn first_report(text: &str) -> String {
    let (_, problems) = both(text);
    problems.list().first().expect("a report").to_string()
}

/// Notes as name and eighths, rests as `z`.
fn notes(measure: &Measure) -> String {
    let text = |event: &Event| {
        let name = event.note.map_or("z".to_owned(), |note| note.to_string());
        let tie = if event.tied { "-" } else { "" };
        format!(
            "{name}:{}{tie}",
            f64::from(event.ticks) / f64::from(QUARTER / 2)
        )
    };
    let texts: Vec<String> = measure.events.iter().map(text).collect();
    texts.join(" ")
}

#[test]
fn letters_octaves_lengths_and_the_signature_make_notes() {
    let bars = measures("C, C c c' f2 z2 | ^f =f _B B/ B/2 A3/2 G/ G2|");
    assert_eq!(notes(&bars[0]), "C3:1 C4:1 C5:1 C6:1 F#5:2 z:2");
    assert_eq!(
        notes(&bars[1]),
        "F#5:1 F5:1 Bb4:1 Bb4:0.5 Bb4:0.5 A4:1.5 G4:0.5 G4:2"
    );
}

#[test]
fn an_accidental_lasts_for_its_measure_in_every_octave_or_as_it_is_told() {
    let music = "^c c C =c c4 | c8 |";
    assert_eq!(notes(&measures(music)[0]), "C#5:1 C#5:1 C#4:1 C5:1 C5:4");
    assert_eq!(notes(&measures(music)[1]), "C5:8");
    let octave = clean(&tune(&format!("%%propagate-accidentals octave\n{music}")));
    assert_eq!(notes(&octave.measures[0]), "C#5:1 C#5:1 C4:1 C5:1 C5:4");
    let not = clean(&tune(&format!("I:propagate-accidentals not\n{music}")));
    assert_eq!(notes(&not.measures[0]), "C#5:1 C5:1 C4:1 C5:1 C5:4");
}

#[test]
fn a_tie_carries_an_accidental_over_the_bar_line() {
    let bars = measures("^c8- | c4 c4 |");
    assert_eq!(notes(&bars[0]), "C#5:8-");
    assert_eq!(notes(&bars[1]), "C#5:4 C5:4");
}

#[test]
fn a_tie_to_another_pitch_is_left_out_with_a_report() {
    let text = tune("c4-d4 |");
    assert!(first_report(&text).contains("tie leads to no note"));
    assert_eq!(notes(&both(&text).0.measures[0]), "C5:4 D5:4");
}

#[test]
fn broken_rhythm_lengthens_one_note_and_shortens_the_other() {
    let bars = measures("A>B A<B c2>c2 | A>>B c2<d2 d2 |");
    assert_eq!(notes(&bars[0]), "A4:1.5 B4:0.5 A4:0.5 B4:1.5 C5:3 C5:1");
    assert_eq!(notes(&bars[1]), "A4:1.75 B4:0.25 C5:1 D5:3 D5:2");
}

#[test]
fn tuplets_take_their_time_from_count_time_and_notes() {
    let bars = measures("(3ABc (3:2:2A2B z4 | (5:4:5ABcde z4 |");
    let lengths = |bar: &Measure| -> Vec<u32> { bar.events.iter().map(|e| e.ticks).collect() };
    let third = QUARTER / 3;
    assert_eq!(
        lengths(&bars[0]),
        [third, third, third, 2 * third, third, 2 * QUARTER]
    );
    assert_eq!(lengths(&bars[1])[..5], [QUARTER * 2 / 5; 5]);
}

#[test]
fn the_unit_follows_from_the_metre_and_may_change() {
    let score = clean("X:1\nM:2/4\nK:C\nA4 B4 | [L:1/4] A B |\n");
    assert_eq!(score.measures[0].ticks, 2 * QUARTER);
    assert_eq!(score.measures[1].ticks, 2 * QUARTER);
}

#[test]
fn repeats_endings_and_bar_lines_are_told_apart() {
    let bars = measures("|: A8 |1 B8 :|2 c8 || d8 :: e8 ::| f8 | [1,3 g8 :| [2 a8 |]");
    let rights: Vec<BarLine> = bars.iter().map(|bar| bar.right).collect();
    use BarLine::*;
    assert_eq!(
        rights,
        [
            Single,
            Repeat(2),
            Double,
            Repeat(2),
            Repeat(3),
            Single,
            Repeat(2),
            Final
        ]
    );
    let opens: Vec<usize> = (0..8).filter(|&i| bars[i].opens_repeat).collect();
    assert_eq!(opens, [0, 4]);
    let endings: Vec<&[u8]> = bars.iter().map(|bar| bar.ending.as_slice()).collect();
    let none: &[u8] = &[];
    assert_eq!(endings, [none, &[1], &[2], none, none, none, &[1, 3], &[2]]);
}

#[test]
fn bar_lines_with_nothing_between_are_one() {
    let bars = measures("| A8 |\n|: B8 :|\n|: c8 | |]");
    assert_eq!(bars.len(), 3);
    assert!(bars[1].opens_repeat && bars[2].opens_repeat);
    assert_eq!(bars[1].right, BarLine::Repeat(2));
    assert_eq!(bars[2].right, BarLine::Final);
}

#[test]
fn a_measure_cut_by_a_repeat_is_two_that_make_up_a_full_one() {
    let bars = measures("GA | B8 | c6 :: de | f8 | g6 :|");
    let lengths: Vec<u32> = bars.iter().map(|bar| bar.ticks / (QUARTER / 2)).collect();
    assert_eq!(lengths, [2, 8, 6, 2, 8, 6]);
    assert!(bars[0].pickup && !bars[3].pickup);
}

#[test]
fn measures_that_fit_nowhere_keep_their_length_and_are_reported() {
    let text = tune("A8 | B7 | c9 | d8 |]");
    let (score, problems) = both(&text);
    let told: Vec<String> = problems.list().iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].starts_with("6:6: measure 2 is too short: it holds 7/8"));
    assert!(told[1].starts_with("6:11: measure 3 is too long: it holds 9/8"));
    let lengths: Vec<u32> = score
        .measures
        .iter()
        .map(|bar| bar.ticks / (QUARTER / 2))
        .collect();
    assert_eq!(lengths, [8, 7, 9, 8]);
}

#[test]
fn a_full_line_without_a_bar_line_ends_its_measure() {
    let text = tune("A4 _B4\n_B4 B4 |\ne8\n| f8 |");
    let (score, problems) = both(&text);
    assert_eq!(score.measures.len(), 4);
    assert_eq!(notes(&score.measures[1]), "Bb4:4 Bb4:4");
    assert_eq!(problems.list().len(), 1, "{problems}");
    assert!(problems.to_string().contains("without a bar line"));
}

#[test]
fn chord_symbols_stand_where_the_next_note_is() {
    let bars = measures("\"G\"G4 \"D7/F#\"F4 | \"N.C.\"z8 | z8 \"Am7\" | A8 |");
    let told = |bar: &Measure| -> Vec<String> {
        bar.symbols
            .iter()
            .map(|s| format!("{}@{}", s.symbol, s.at / (QUARTER / 2)))
            .collect()
    };
    assert_eq!(told(&bars[0]), ["G@0", "D7/F#@4"]);
    assert_eq!(told(&bars[1]), ["N.C.@0"]);
    assert_eq!(told(&bars[3]), ["Am7@0"], "before the bar line");
}

#[test]
fn a_symbol_that_cannot_be_read_is_kept_and_reported() {
    let text = tune("\"Gm13x\"G8 |");
    let (score, problems) = both(&text);
    assert_eq!(
        score.measures[0].symbols[0].symbol,
        Symbol::Unread("Gm13x".into())
    );
    let told = problems.list()[0].to_string();
    assert!(told.starts_with("6:1: the chord symbol `Gm13x`"), "{told}");
}

#[test]
fn alternatives_words_and_annotations_are_no_symbols() {
    let (score, problems) = both(&tune("\"G(Em)\"\"^slow\"\"4\"G4 \"G\"\"(Em)\"G4 |"));
    let symbols: Vec<String> = score.measures[0]
        .symbols
        .iter()
        .map(|s| s.symbol.to_string())
        .collect();
    assert_eq!(symbols, ["G", "G"]);
    assert_eq!(problems.list().len(), 2, "{problems}");
}

#[test]
fn the_signs_of_the_way_are_known_in_every_dress() {
    let jump = |to_segno, until| Some(Jump { to_segno, until });
    let bars =
        measures("A8 | !segno!B8 | c8 \"^To Coda\"| \"Fine\"d8 | e8 !D.S.alcoda!| Of8 !D.C.!|]");
    assert!(bars[1].segno && bars[2].to_coda && bars[3].fine && bars[5].coda);
    assert_eq!(bars[4].jump, jump(true, Until::Coda));
    assert_eq!(bars[5].jump, jump(false, Until::End));
    let old = measures("SA8 | +fine+B8 | \"D.C. al Fine\"c8 | d8 \"D.S.\"|");
    assert!(old[0].segno && old[1].fine);
    assert_eq!(old[2].jump, jump(false, Until::Fine));
    assert_eq!(old[3].jump, jump(true, Until::End));
}

#[test]
fn of_two_codas_the_first_is_the_way_to_the_other() {
    let bars = measures("A8 | !coda!B8 | c8 !D.C.!| !coda!d8 |]");
    assert!(bars[0].to_coda && !bars[1].coda && bars[3].coda);
}

#[test]
fn a_sign_over_a_bar_line_belongs_to_the_measure_that_it_ends_or_begins() {
    let bars = measures("A8 !segno!| B8 !fine!| c8 !D.S.!|]");
    assert!(bars[1].segno && bars[1].fine);
    assert!(bars[2].jump.is_some());
}

#[test]
fn the_header_tells_title_feel_facts_metre_tempo_and_key() {
    let score = clean(
        "%abc-2.1\nX:4\nT:Caf\\'e % not this\nT:Other\nR:swing\nN:style: plain\nN:Just words\n\
         C:nobody % old\nC:\nC:A. Roe\nN:student: Kim\nM:C|\nL:1/8\nQ:\"Fast\" 1/2=96\nK:Ebm\nA8|\n",
    );
    assert_eq!(score.title.as_deref(), Some("Café"));
    assert_eq!(score.feel.as_deref(), Some("swing"));
    assert_eq!(score.composer.as_deref(), Some("nobody, A. Roe"));
    assert_eq!(score.student.as_deref(), Some("Kim"));
    assert_eq!(score.about, [("style".into(), "plain".into())]);
    let first = &score.measures[0];
    assert_eq!(first.time, Some(TimeSignature { beats: 2, unit: 2 }));
    assert_eq!(first.tempo, Some(192));
    assert_eq!(first.key, "Ebm".parse::<Key>().ok());
    assert_eq!(notes(first), "Ab4:8");
}

#[test]
fn changes_stand_before_the_measure_that_they_change() {
    let bars = measures("G8 |\nP:B\nM:3/4\nK:Am\nQ:1/4=90\nA6 | [M:C][K:F]B8 | [K:F]c8 |");
    assert_eq!(bars[1].section.as_deref(), Some("B"));
    assert_eq!(bars[1].time, Some(TimeSignature { beats: 3, unit: 4 }));
    assert_eq!(bars[1].tempo, Some(90));
    assert_eq!(bars[2].key, "F".parse::<Key>().ok());
    assert_eq!(notes(&bars[2]), "Bb4:8");
    assert_eq!(bars[3].key, None, "not new");
}

#[test]
fn clefs_octaves_and_transposition_give_what_sounds() {
    let first = |key: &str| {
        clean(&format!("X:1\nM:4/4\nL:1/1\nK:{key}\nC|\n"))
            .measures
            .remove(0)
    };
    assert_eq!(notes(&first("C clef=bass-8")), "C3:8");
    assert_eq!(notes(&first("C clef=bass octave=-2")), "C2:8");
    assert_eq!(notes(&first("C bass transpose=-12")), "C3:8");
    assert_eq!(notes(&first("C\n%%MIDI transpose -24")), "C2:8");
    let (score, problems) = both("X:1\nM:4/4\nL:1/4\nK:D transpose=-2\n\"D7\"DF \"A/C#\"c2|\n");
    assert!(problems.to_string().contains("transposing"));
    let bar = &score.measures[0];
    assert_eq!(notes(bar), "C4:2 E4:2 B4:4");
    assert_eq!(bar.key, "C".parse::<Key>().ok());
    assert_eq!(bar.symbols[0].symbol.to_string(), "C7");
    assert_eq!(bar.symbols[1].symbol.to_string(), "G/B");
}

#[test]
fn the_bass_voice_is_read_or_else_the_first() {
    let two = "X:1\nM:4/4\nL:1/1\nV:1\nV:2 clef=bass name=\"Low\"\nK:C\n[V:1] c|d|\n[V:2] C,|D,|\n";
    let (score, problems) = both(two);
    assert_eq!(notes(&score.measures[1]), "D3:8");
    assert!(problems.to_string().contains("2 voices; only `2` is read"));
    let first = two.replace("clef=bass", "clef=alto");
    assert_eq!(notes(&both(&first).0.measures[1]), "D5:8");
}

#[test]
fn of_chords_the_lowest_note_is_read_and_grace_notes_are_left_out() {
    let text = tune("[ceG]4 {ga}[E,2B,2]2 |");
    let (score, problems) = both(&text);
    assert_eq!(notes(&score.measures[0]), "G4:4 E3:4");
    assert_eq!(problems.list().len(), 2, "{problems}");
}

#[test]
fn rests_of_many_measures_are_counted_out() {
    let bars = measures("A8 | Z3 | B8 |");
    assert_eq!(bars.len(), 5);
    assert_eq!(notes(&bars[2]), "z:8");
    let gaps = measures("X2 |");
    assert!(gaps.len() == 2 && gaps[0].events.is_empty());
}

#[test]
fn free_tunes_keep_the_lengths_of_their_measures() {
    let (score, problems) = both("X:1\nM:none\nL:1/4\nK:C\nABc | de | ABc | ABc |\n");
    let lengths: Vec<u32> = score
        .measures
        .iter()
        .map(|bar| bar.ticks / QUARTER)
        .collect();
    assert_eq!(lengths, [3, 2, 3, 3]);
    assert_eq!(
        score.measures[0].time,
        Some(TimeSignature { beats: 3, unit: 4 })
    );
    assert!(problems.to_string().contains("begins without a metre"));
}

#[test]
fn what_carries_no_music_is_skipped_in_silence() {
    let text = tune(
        "%%staffsep 40\n(AB)(c d) !trill!A~B .c`d |\\\n% words\nA2 B2 y c2 $ d2 !mf!|!\nw:la la\ns:* *\n",
    );
    assert_eq!(clean(&text).measures.len(), 2);
}

#[test]
fn user_signs_stand_for_what_they_are_told_to() {
    let bars = clean(&tune("U: W = !segno!\nA8 | WB8 |")).measures;
    assert!(bars[1].segno);
}

#[test]
fn pieces_of_one_length_are_one_note_and_notes_apart_are_not() {
    let bars = measures("F6-F2 | G4-G3- G | A4-\"D7\"A4 | B4- B4 | z6z2 | z4z2zA | c4-c4 |");
    let counts: Vec<usize> = bars.iter().map(|bar| bar.events.len()).collect();
    assert_eq!(counts[2..], [1, 2, 2, 2, 2], "{bars:?}");
    assert_eq!(
        notes(&bars[0]),
        "F#4:6- F#4:2",
        "a whole note would be written as one"
    );
    assert_eq!(notes(&bars[1]), "G4:7- G4:1");
}

#[test]
fn a_tune_is_found_by_its_number() {
    let file = "X:3\nT:One\nM:4/4\nL:1/1\nK:C\nC|\n\nX:5\nT:Two\nM:4/4\nL:1/1\nK:C\nD|\n";
    let listed = tunes(file.as_bytes());
    assert_eq!(
        listed,
        [(3, Some("One".to_owned())), (5, Some("Two".to_owned()))]
    );
    let title = |number| read(file.as_bytes(), number).map(|(score, _)| score.title.unwrap());
    assert_eq!(title(None).unwrap(), "One");
    assert_eq!(title(Some(5)).unwrap(), "Two");
    let refused = title(Some(4)).unwrap_err().to_string();
    assert!(
        refused.contains("number 4") && refused.contains("3, 5"),
        "{refused}"
    );
}

#[test]
fn the_fields_before_the_first_tune_count_for_all() {
    let score = clean("M:3/4\nL:1/4\n\nX:1\nK:C\nABc|\n");
    assert_eq!(
        score.measures[0].time,
        Some(TimeSignature { beats: 3, unit: 4 })
    );
    assert_eq!(score.measures[0].ticks, 3 * QUARTER);
}

#[test]
fn a_tune_without_number_or_key_is_read_with_a_report() {
    assert!(first_report("M:4/4\nL:1/1\nK:C\nC|\n").contains("no number"));
    assert!(first_report("X:1\nM:4/4\nL:1/1\nC|\n").contains("without a key"));
}

#[test]
fn what_holds_no_music_is_refused_with_a_hint() {
    let refusal = |text: &str| read(text.as_bytes(), None).unwrap_err().to_string();
    assert!(refusal("").contains("no ABC file"));
    assert!(refusal("just words\n").contains("no ABC file"));
    assert!(refusal("X:1\nT:Empty\nK:C\n").contains("no music"));
    assert!(refusal(&tune("Z999999|")).contains("more than 10000 measures"));
    assert!(refusal(&tune(&"C999999".repeat(4000))).contains("absurdly long"));
    let voices: String = (0..200).map(|n| format!("V:{n}\nC|\n")).collect();
    assert!(refusal(&tune(&voices)).contains("more than 100 voices"));
    let large = format!("X:1\nK:C\n{}", "C".repeat(MAX_BYTES));
    assert!(refusal(&large).contains("at most 1048576 are read"));
}

#[test]
fn hostile_files_are_read_or_refused_in_time() {
    // Unoptimised tests on a busy machine get a wider limit than the one second of a user.
    let in_time = |text: &str| {
        let started = Instant::now();
        let found = read(text.as_bytes(), None);
        if let Ok((score, _)) = &found {
            crate::abc::write(std::slice::from_ref(score));
        }
        let took = started.elapsed();
        assert!(took < Duration::from_secs(20), "{took:?}: {:.80}", text);
        assert_sound(&found);
        found
    };
    for piece in [
        "{", "[", "(", "\"", "\"A\"", "!", "A|", "[K:C]", "^", ":", "[V:1]", "C-", "z", "&", "\"&",
        "\\",
    ] {
        let found = in_time(&tune(&piece.repeat(1_000_000 / piece.len())));
        // All that is strange is told, in a list that does not grow with the file.
        let problems = found.map_or_else(|problems| problems, |(_, problems)| problems);
        assert!((1..=100).contains(&problems.list().len()), "{piece}");
    }
    let accidentals = tune(&format!(
        "{}{}",
        "^C/9".repeat(120_000),
        "D/9".repeat(150_000)
    ));
    in_time(&accidentals).expect("a measure of 270,000 notes");
    let lines = tune(&"K:D\nV:1 name=a\nP:A\nA\n".repeat(40_000));
    in_time(&lines).expect("forty thousand measures told one by one");
}

#[test]
fn wrong_fields_are_reported_with_line_and_column() {
    for (line, wrong) in [
        ("M:4/5", "is no metre"),
        ("L:1/7", "is no unit length"),
        ("Q:fast", "is no tempo"),
        ("K:H", "is no key"),
    ] {
        let (_, problems) = both(&tune(&format!("A8 |\n{line}\nA8 |")));
        let told = problems.list()[0].to_string();
        assert!(told.starts_with("7:3: ") && told.contains(wrong), "{told}");
    }
}

#[test]
fn a_metre_told_inside_the_first_measure_counts_from_the_second() {
    let (score, problems) = both("X:1\nL:1/4\nK:C\nC [M:4/4] C C C | C4 | [M:3/4] C3 |");
    let times: Vec<_> = score.measures.iter().map(|m| m.time).collect();
    let time = |beats| Some(TimeSignature { beats, unit: 4 });
    assert_eq!(times, [time(4), None, time(3)]);
    assert!(problems.to_string().contains("begins without a metre"));
}

#[test]
fn a_metre_key_or_tempo_that_is_in_force_is_not_new() {
    let (score, _) = both("X:1\nM:3/4\nL:1/4\nK:F\nF3 | [M:none] F2 | [M:3/4][K:none][K:F] F3 |");
    assert_eq!(score.measures[2].time, None);
    assert_eq!(score.measures[2].key, None);
    let (score, _) = both("X:1\nM:3/4\nL:1/4\nQ:60\nK:F\nF [Q:80] F [Q:60] F | F3 |");
    assert_eq!(score.measures[1].tempo, None);
}
