//! What is wrong, where, and what to write instead.

use linewright_chart::Chart;
use linewright_diagnostic::Diagnostics;

fn faults(text: &str) -> Diagnostics {
    match Chart::parse("test", text.as_bytes()) {
        Ok(chart) => panic!("no fault in {text:?}, read as\n{chart}"),
        Err(faults) => faults,
    }
}

/// Asserts that the text has exactly one fault, at this place, with these
/// words in its message and its hint.
#[track_caller]
fn one(text: &str, place: (usize, usize), message: &str, hint: &str) {
    let faults = faults(text);
    assert_eq!(faults.list().len(), 1, "{faults}");
    let fault = &faults.list()[0];
    assert_eq!(fault.place().line_and_column(), Some(place), "{faults}");
    assert!(fault.message().contains(message), "{faults}");
    assert!(fault.hint().contains(hint), "{faults}");
}

#[test]
fn all_faults_of_a_text_are_reported_together_with_carets() {
    let text = "\
titel: Wrong
tempo: fast
[A]
| F7 | C7 F7 Bb7 | (sengo) F7 |
|\tF7 / / | % G7 | |
";
    let told = faults(text).to_string();
    let expected = "\
test:1:1: \"titel\" is no header line
    titel: Wrong
    ^
    hint: write `title:`
test:2:8: \"fast\" is no tempo
    tempo: fast
           ^
    hint: write whole beats a minute from 20 to 400, for example `140`
test:4:8: 3 chords do not share a bar of 4/4 evenly
    | F7 | C7 F7 Bb7 | (sengo) F7 |
           ^
    hint: say which chord is held, one sign a beat: for example `C7 / F7 Bb7`
test:4:20: \"(sengo)\" is no directive
    | F7 | C7 F7 Bb7 | (sengo) F7 |
                       ^
    hint: `(segno)` is known
test:5:3: 3 beats written, but a bar of 4/4 has 4
    |\tF7 / / | % G7 | |
     \t^
    hint: in a bar with `/` every sign is one beat: add one `/`
test:5:12: `%` repeats a whole bar, but here it stands beside other chords
    |\tF7 / / | % G7 | |
     \t         ^
    hint: let `%` stand alone between its bar lines, or write `/` to hold a chord one more beat
test:5:19: the bar that ends here is empty
    |\tF7 / / | % G7 | |
     \t                ^
    hint: write `%` to repeat the bar before, `N.C.` for a bar without a chord, or leave one of \
the bar lines out";
    assert_eq!(told, expected);
}

#[test]
fn a_faulty_chord_is_shown_at_its_own_column() {
    let faults = faults("| F7 | H7 | Gmaj7b12 |");
    let places: Vec<_> = faults
        .list()
        .iter()
        .filter_map(|fault| fault.place().line_and_column())
        .collect();
    assert_eq!(places[0], (1, 8), "{faults}");
    assert!((13..=20).contains(&places[1].1), "{faults}");
    assert!(
        faults.list().iter().all(|fault| !fault.hint().is_empty()),
        "{faults}"
    );
}

#[test]
fn a_chord_on_a_chord_is_refused_where_it_stands() {
    let faults = faults("| C | Dm7/Em7 |");
    assert_eq!(faults.list().len(), 1, "{faults}");
    let (_, column) = faults.list()[0].place().line_and_column().unwrap();
    assert!(column >= 7, "{faults}");
}

#[test]
fn bars_that_do_not_fill_are_refused_with_the_way_to_write_them() {
    one("C F G |", (1, 1), "3 chords", "`C / F G`");
    one("time: 6/4\nC F G C |", (2, 1), "4 chords", "`C / F / G C`");
    one("C F G C F |", (1, 1), "5 chords", "at most 4");
    one("C / / / / / |", (1, 1), "6 beats", "leave 2 out");
    one("C / F / C / F /", (1, 1), "8 beats", "bar lines `|`");
    one("| C / F | C |", (1, 3), "3 beats", "add one `/`");
    one("C ////////// |", (1, 1), "11 beats", "leave 7 out");
}

#[test]
fn signs_for_what_came_before_need_something_before() {
    one("| % | C |", (1, 3), "there is none", "first bar");
    one("| / C / / | C |", (1, 3), "none yet", "begin the tune");
    one(
        "C | (time: 3/4) % | C",
        (1, 17),
        "has 4 beats",
        "write the chords",
    );
    one("C | %% | C", (1, 5), "\"%%\"", "one `%` for each bar");
}

#[test]
fn words_that_are_nearly_right_get_their_own_hint() {
    one("C7/// | C", (1, 1), "\"C7///\"", "a blank before each `/`");
    one("C7... | C", (1, 1), "\"C7...\"", "a blank after the chord");
    one("| C7 . . . | F", (1, 6), "\".\"", "write `C7 / / /`");
    one("C7 - Fm7 -", (1, 4), "\"-\"", "write `C7 / Fm7 /`");
    one("| C7 ... | F", (1, 6), "\"...\"", "write `C7 / / /`");
    one("Cj7 | F", (1, 2), "\"j7\"", "write Cmaj7");
    one("C | 3/4 C", (1, 5), "\"3/4\"", "(time: 3/4)");
}

#[test]
fn signs_and_sections_without_their_brackets_get_a_hint() {
    one("C | F D.C.", (1, 7), "\"D.C.\"", "`(D.C. al fine)`");
    one("C Fine | F", (1, 3), "\"Fine\"", "in parentheses");
    one("Verse: C | F", (1, 1), "no header line", "`[Verse]`");
    one("C | [1. F | G |]", (1, 5), "section", "`|1. C7 :|2. F7 |`");
}

#[test]
fn absurd_metres_are_refused_with_the_list_of_those_that_are_read() {
    for metre in [
        "0/4",
        "99/4",
        "4/0",
        "6/8",
        "12/8",
        "9999999999/4",
        "-3/4",
        "4",
    ] {
        one(
            &format!("time: {metre}\nC"),
            (1, 7),
            "no metre",
            "`2/4`, `3/4`, `4/4`",
        );
        one(
            &format!("C | (time: {metre}) C"),
            (1, 5),
            "no metre",
            "`7/4`",
        );
    }
    one("time: C\nC", (1, 7), "no metre", "write `4/4`");
}

#[test]
fn header_lines_are_checked() {
    one("author: Ada\nC", (1, 1), "no header line", "`composer:`");
    one("arranger: nobody\nC", (1, 1), "no header line", "`title:`");
    one("Meter: 4/4\nC", (1, 1), "\"Meter\"", "`time:`");
    one("forms: AABA\nC", (1, 1), "\"forms\"", "`[A]`");
    one("key: Bb Tempo: fast\nC", (1, 16), "no tempo", "20 to 400");
    one("key: Bb, Key: F\nC", (1, 10), "told twice", "leave one");
    one(
        "Gravel Path\ntitle: Gravel\nC",
        (2, 1),
        "told twice",
        "leave one",
    );
    one("key: F\nkey: G\nC", (2, 1), "told twice", "(tempo: 160)");
    one("key:\nC", (1, 5), "empty", "after the colon");
    one("key: H\nC", (1, 6), "\"H\"", "major");
    one("key: G# major\nC", (1, 6), "G#", "Ab major");
    one("tempo: 7\nC", (1, 8), "no tempo", "20 to 400");
    one("pickup: 0\nC", (1, 9), "pick-up", "`pickup: 1`");
    one("pickup: 4\nC | C", (1, 9), "not shorter", "1 to 3");
    one(
        "C | F\nkey: Eb\nG",
        (2, 1),
        "after the first bar",
        "(key: Eb)",
    );
    one(
        "C | F\ntitle: Late\nG",
        (2, 1),
        "after the first bar",
        "above the first bar",
    );
    let long = format!("title: {}\nC", "x".repeat(1000));
    one(&long, (1, 8), "longer than 200", "shorten");
}

#[test]
fn repeats_that_do_not_fit_are_refused() {
    one("|: C | F", (1, 1), "never ends", "`:|`");
    one(
        "|: C |: F :|",
        (1, 6),
        "inside the repeat that began at bar 1",
        "do not nest",
    );
    one("|: C :| F :|", (1, 11), "none began", "`|:`");
    one(":| C", (1, 1), "before the first bar", "leave");
    one("|: |: C :|", (1, 4), "twice", "out");
    one(
        "C x3 | F",
        (1, 3),
        "`x3` stands alone",
        "between `|:` and `:|x3`",
    );
    one("3x C | F", (1, 1), "`x3` stands alone", "played 3 times");
    one("C | (4x) F", (1, 5), "no directive", "`:|x3`");
    one("|: C :|x1", (1, 8), "1 times", "`x2` to `x99`");
    one("|: C :|x1000", (1, 8), "1000 times", "`x99`");
    one("C ||| F", (1, 3), "no bar line", "`||`");
}

#[test]
fn endings_that_do_not_fit_are_refused() {
    one("|: C |2. F :| G", (1, 7), "comes first", "`1.`");
    one("|: C |1. F :| G", (1, 7), "no second", "`:|2.`");
    one(
        "|: C |1. F :|3. G",
        (1, 7),
        "pass 2 of this repeat has no ending",
        "every pass",
    );
    one(
        "|: C |1. F :|1,2. G",
        (1, 14),
        "has two endings",
        "every pass",
    );
    one("|: C |1. F |2. G", (1, 13), "does not follow", "`:|`");
    one("|: C |1. F :|2,3. G | C", (1, 14), "not closed", "`:|`");
    one(
        "|: C |1. F :|2. G :| C",
        (1, 19),
        "nothing goes back",
        "`||`",
    );
    one("|: C |1. F :|x3 |2. G", (1, 12), "count too", "`1,2.`");
    one("|: C :| |1. F | G", (1, 10), "belongs to no repeat", "`|:`");
    one("C 1. F | G", (1, 3), "middle of a bar", "start of a bar");
    one("|: C |0. F :|", (1, 7), "names no passes", "`1.`");
}

#[test]
fn jumps_and_signs_that_do_not_fit_are_refused() {
    one("C | F (D.C. al fine)", (1, 7), "needs a `(fine)`", "(fine)");
    one("C | F (D.S.)", (1, 7), "needs a `(segno)`", "(segno)");
    one("(segno) C | F", (1, 1), "never used", "(D.S.)");
    one("C (fine) | F", (1, 3), "never used", "(D.C. al fine)");
    one("C | (coda) F", (1, 5), "never used", "(D.S. al coda)");
    one(
        "C | (segno) F | (segno) G (D.S.)",
        (1, 17),
        "second time",
        "one of each",
    );
    one("C (fine) (fine) | F (D.C.)", (1, 10), "twice", "keep");
    one(
        "C (to coda) | (segno) F | G (D.S. al coda) | (coda) Am",
        (1, 29),
        "`(to coda)` is never reached",
        "between",
    );
    one(
        "C (fine) | (segno) F | G (D.S. al fine)",
        (1, 26),
        "`(fine)` is never reached",
        "between",
    );
    one(
        "C (fine) | F (D.C. al fine) | G",
        (1, 31),
        "bar 3 is never played",
        "leave it out",
    );
    one("(fine)\nC", (1, 1), "no bar before", "after the chords");
}

#[test]
fn a_jump_al_coda_names_all_that_it_lacks() {
    let told = faults("C | F (D.C. al coda)").to_string();
    assert!(
        told.contains("needs a `(coda)`") && told.contains("needs a `(to coda)`"),
        "{told}"
    );
}

#[test]
fn nothing_goes_back_to_a_pick_up_bar() {
    one("pickup: 1\n|: G7 | C :|", (2, 1), "pick-up bar", "full bar");
    one(
        "pickup: 1\n(segno) G7 | C (D.S.)",
        (2, 1),
        "pick-up bar",
        "full bar",
    );
    one(
        "pickup: 1\nG7",
        (2, 1),
        "nothing after it",
        "bars that follow",
    );
}

#[test]
fn brackets_and_places_are_checked() {
    one("[A\nC", (1, 1), "not closed", "`]`");
    one("C (key: F\nC", (1, 3), "not closed", "`)`");
    one("[] C", (1, 1), "no name", "`[A]`");
    one("C [B] | F", (1, 3), "middle of a bar", "start of a bar");
    one("[A] [B] C", (1, 5), "two sections", "one section name");
    one(
        "C F (key: F) | G",
        (1, 5),
        "middle of a bar",
        "start of a bar",
    );
    one("C | F |\n[B]\n", (2, 1), "no bar follows", "leave it out");
    one("C | (key Eb) F", (1, 5), "no directive", "a colon");
    one("| C : F", (1, 5), "no bar line", "`|`");
}

#[test]
fn a_text_without_bars_is_refused() {
    one("", (1, 1), "no bars", "`| F7 | Bb7 |`");
    one(
        "title: Empty\n\n# nothing\n",
        (3, 10),
        "no bars",
        "`| F7 | Bb7 |`",
    );
    one("| |", (1, 3), "empty", "`%`");
}

#[test]
fn what_is_no_text_is_refused_in_one_word() {
    let told = |bytes: &[u8]| Chart::parse("bytes", bytes).unwrap_err().to_string();
    assert!(told(b"C | F\0").starts_with("bytes: this is no text: byte 6 is zero"));
    assert!(told(b"C | \xE9").starts_with("bytes: byte 5 (in line 1) is not UTF-8"));
    assert!(told(&vec![b'C'; (1 << 20) + 1]).contains("at most 1048576"));
}

#[test]
fn many_faults_are_cut_at_fifty_and_counted() {
    let faults = faults(&"H7 | ".repeat(300));
    assert_eq!(faults.list().len(), 50);
    assert_eq!(faults.more(), 250);
    assert!(faults.to_string().ends_with("\nand 250 more"));
}

#[test]
fn more_bars_than_a_chart_may_have_are_refused_as_written_and_as_played() {
    let long = |bars: usize| "C | ".repeat(bars);
    let longest = Chart::parse("long", long(4096).as_bytes()).expect("as long as can be");
    assert_eq!(longest.unroll().expect("its bars").bars.len(), 4096);
    one(
        &long(4097),
        (1, 4 * 4096 + 1),
        "more than 4096 bars",
        "several charts",
    );
    let repeats = "|: C | F | G | Am :|x99 ".repeat(11);
    one(
        &repeats,
        (1, 10 * 24 + 4),
        "plays more than 4096 bars",
        "fewer repeats",
    );
}

#[test]
fn a_terminal_is_not_disturbed_by_what_was_typed() {
    let told = faults("\u{1b}[31mC | F").to_string();
    assert!(!told.contains('\u{1b}'), "{told:?}");
}
