//! Charts as people type them: what is understood, and what is said of it.

use linewright_chart::Chart;

/// Where a remark stands, and what it says.
type Told = ((usize, usize), String);

/// The chart, printed tidily, and each remark.
fn read(text: &str) -> (String, Vec<Told>) {
    let (chart, remarks) =
        Chart::read("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    let told = remarks.list().iter().map(|remark| {
        assert!(!remark.hint().is_empty(), "{remark}");
        let place = remark.place().line_and_column().expect("a place");
        (place, format!("{}; {}", remark.message(), remark.hint()))
    });
    (chart.to_string(), told.collect())
}

/// Reads a text on which there is one remark, here and with these words.
#[track_caller]
fn remarked(text: &str, place: (usize, usize), words: &[&str]) -> String {
    let (chart, remarks) = read(text);
    assert_eq!(remarks.len(), 1, "{remarks:?}");
    assert_eq!(remarks[0].0, place, "{remarks:?}");
    assert!(
        words.iter().all(|word| remarks[0].1.contains(word)),
        "{remarks:?}"
    );
    chart
}

/// Reads a text on which there is nothing to remark.
#[track_caller]
fn plain(text: &str) -> String {
    let (chart, remarks) = read(text);
    assert!(remarks.is_empty(), "{remarks:?}");
    chart
}

#[test]
fn in_a_text_without_bar_lines_each_chord_is_a_bar() {
    let blues = "F7 Bb7 F7 F7\nBb7 Bb7 F7 F7\nC7 Bb7 F7 C7\n";
    let barred = "| F7 | Bb7 | F7 | F7 |\n| Bb7 | Bb7 | F7 | F7 |\n| C7 | Bb7 | F7 | C7 |\n";
    let read = remarked(
        blues,
        (1, 1),
        &["no bar line", "12 bars", "`| F7 | Bb7 Eb7 |`"],
    );
    assert_eq!(read, plain(barred));
    let signs = "key: F\n[A] F7 % N.C. (fine)\n[B] (key: Bb) Bb7 (tempo: 90) Eb7 (D.C. al fine)";
    let barred =
        "key: F\n[A] F7 | % | N.C. (fine)\n[B] (key: Bb) Bb7 | (tempo: 90) Eb7 (D.C. al fine)";
    assert_eq!(remarked(signs, (2, 5), &["5 bars"]), plain(barred));
    assert_eq!(
        remarked(
            "pickup: 1\nG7 C F | # no bar line\nC"
                .replace('|', "")
                .as_str(),
            (2, 1),
            &["4 bars"]
        ),
        plain("pickup: 1\n| G7 | C | F |\n| C |")
    );
    // A bar line in a comment or a title is none of the chart.
    remarked("title: a | b\nC F # C | F", (2, 1), &["2 bars"]);
}

#[test]
fn rows_of_one_chord_with_beats_or_beside_bar_lines_are_read_as_ever() {
    assert_eq!(plain("C\nF\nG7\n"), plain("| C | F | G7 |"));
    assert_eq!(plain("C- | F-7 | G+"), plain("| Cm | Fm7 | Gaug |"));
    assert_eq!(plain("C / F /\nG7\n"), plain("| C / F / | G7 |"));
    assert_eq!(plain("C F\nG7 | C\n"), plain("| C F | G7 | C |"));
}

#[test]
fn a_first_line_of_words_is_the_title() {
    let read = remarked(
        "\n# mine\n  Gravel Path # slow\nkey: F\n| F7 | Bb7 |",
        (3, 3),
        &["the title", "`title: Gravel Path`"],
    );
    assert_eq!(read, plain("title: Gravel Path\nkey: F\n| F7 | Bb7 |"));
    assert!(Chart::read("test", b"| F7 | Bb7 |\nGravel Path").is_err());
    assert!(Chart::read("test", b"Gravel Path").is_err());
}

#[test]
fn headers_may_share_a_line_in_any_case() {
    let apart = plain("title: Gravel\nkey: Bb\ntempo: 120\ntime: 3/4\nfeel: swing\n| Bb |");
    for together in [
        "Title: Gravel\nKey: Bb Tempo: 120 TIME: 3/4 Feel: swing\n| Bb |",
        "title: Gravel\nKEY: Bb major, tempo : 120 bpm; Time: 3/4  # key: C\nfeel: swing\n| Bb |",
        "tempo: 120, key: Bb title: Gravel\ntime: 3/4, feel: swing\n| Bb |",
    ] {
        assert_eq!(plain(together), apart, "{together}");
    }
    let read = remarked(
        "title: What Key: F\n| C |",
        (1, 13),
        &["`Key:`", "of its own"],
    );
    assert!(read.contains("title: What Key: F\n"), "{read}");
}

#[test]
fn a_feel_that_is_not_known_is_told() {
    for known in [
        "swing",
        "Medium Swing",
        "straight",
        "ballad, in two",
        "jazz waltz",
    ] {
        plain(&format!("feel: {known}\n| C |"));
    }
    let read = remarked(
        "key: C\nfeel: bossa\n| C |",
        (2, 7),
        &["\"bossa\"", "`swing`", "`straight`", "`in two`", "`waltz`"],
    );
    assert!(read.contains("feel: bossa\n"), "{read}");
}

#[test]
fn the_passes_of_a_repeat_may_stand_either_way() {
    for passes in [":|x3", ":| x3", ":|3x", ":| 3X", ":|×3"] {
        assert_eq!(
            plain(&format!("|: C {passes} F")),
            plain("|: C :|x3 F"),
            "{passes}"
        );
    }
}
