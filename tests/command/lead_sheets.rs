//! Charts that stand in files of notation.

use crate::run::Folder;

/// Two tunes with chord symbols; the first one has a repeat with two endings.
const TUNES: &str = "\
X:1
T:Round the Bollard
M:4/4
L:1/4
Q:1/4=132
K:F
|: \"F7\" F A c A | \"Bb7\" B2 d2 |1 \"F7\" f e d c | \"C7\" c4 :|2 \"F7\" f2 c2 | \"F7\" F4 |]

X:7
T:Two Left Boots
M:3/4
L:1/4
K:Gm
\"Gm\" G B d | \"D7\" A2 F | \"Gm\" G3 |]
";

#[test]
fn a_chart_is_read_from_an_abc_tune_by_its_number() {
    let folder = Folder::new();
    folder.write("tunes.abc", TUNES);
    let printed = folder.line("chart tunes.abc --chart-part 7 --print").ok();
    for part in [
        "title: Two Left Boots",
        "key: Gm",
        "time: 3/4",
        "| Gm | D7 | Gm |",
    ] {
        assert!(printed.contains(part), "{part} in {printed}");
    }
    // Its style is the one that suits it, as of any chart.
    let page = folder.line("compose tunes.abc --chart-part 7").ok();
    assert!(page.contains("style waltz"), "{page}");
}

#[test]
fn of_several_tunes_the_first_is_read_and_the_others_are_told() {
    let folder = Folder::new();
    folder.write("tunes.abc", TUNES);
    let ended = folder.line("chart tunes.abc");
    assert_eq!(ended.code, Some(0), "{ended:?}");
    assert!(ended.out.contains("Round the Bollard"), "{ended:?}");
    for part in ["2 tunes", "1, 7"] {
        assert!(ended.err.contains(part), "{part} in {ended:?}");
    }
    let said = folder.line("compose tunes.abc --chart-part 3").fails(3);
    assert!(said.contains('3'), "{said}");
}

#[test]
fn repeats_and_endings_of_notation_are_those_of_the_chart() {
    let folder = Folder::new();
    folder.write("tunes.abc", TUNES);
    let unrolled = folder.line("chart tunes.abc --chart-part 1 --unroll").ok();
    let again = folder.line("chart tunes.abc --chart-part 1 --print").ok();
    let printed = folder.fed("chart - --unroll", again.as_bytes()).ok();
    assert_eq!(unrolled, printed);
    assert!(
        again.contains("|: F7 | Bb7 |1. F7 | C7 :|\n|2. F7 | F7 |]"),
        "{again}"
    );
}

#[test]
fn what_compose_wrote_as_notation_is_a_chart_and_a_line_over_it() {
    let folder = Folder::new();
    for file in ["line.musicxml", "line.mxl", "line.abc"] {
        folder
            .line(&format!("compose blues.chart --seed 4 -o {file}"))
            .ok();
        let page = folder.line(&format!("explain {file} --chart {file}")).ok();
        assert_eq!(
            page,
            folder
                .line(&format!("explain {file} --chart blues.chart"))
                .ok(),
            "{file}"
        );
        // The same chart makes the same line.
        folder
            .line(&format!("compose {file} --seed 4 -o again-{file}"))
            .ok();
        assert_eq!(
            folder.read(file),
            folder.read(&format!("again-{file}")),
            "{file}"
        );
    }
}

#[test]
fn notation_without_chords_or_in_ruins_is_refused_with_a_hint() {
    let folder = Folder::new();
    folder.write("bare.abc", "X:1\nT:Bare\nK:C\nC D E F |]\n");
    folder.write("ruin.musicxml", "<score-partwise><part-list>");
    folder.write("ruin.mxl", b"PK\x03\x04 and no more");
    for (file, words) in [
        ("bare.abc", "no chord symbols"),
        ("ruin.musicxml", "ruin.musicxml"),
        ("ruin.mxl", "ruin.mxl"),
    ] {
        let said = folder.line(&format!("chart {file}")).fails(3);
        assert!(said.contains(words) && said.contains("hint"), "{said}");
    }
}

#[test]
fn repeats_of_the_chart_stay_where_the_line_is_the_same_each_time() {
    let folder = Folder::new();
    folder.write(
        "form.chart",
        "title: Form\nkey: F\n|: F7 | Bb7 |1. F7 :|2. C7 | F7 |\n",
    );
    folder.write(
        "line.txt",
        "| F1 A1 C2 A1 | Bb1 D2 F2 E2 | F2 Eb2 C2 G1 | C2 E2 G2 E2 | F2 C2 A1 F1 |\n",
    );
    let page = folder.line("explain line.txt --chart form.chart").ok();
    folder
        .line("explain line.txt --chart form.chart -o kept.musicxml -o kept.abc -o kept.svg")
        .ok();
    let text = |name: &str| String::from_utf8(folder.read(name)).unwrap();
    assert_eq!(text("kept.musicxml").matches("<measure ").count(), 5);
    for part in ["<repeat direction=\"backward\"", "<ending number=\"2\""] {
        assert!(text("kept.musicxml").contains(part), "{part}");
    }
    assert!(text("kept.abc").contains(":|"), "{}", text("kept.abc"));
    for file in ["kept.musicxml", "kept.abc"] {
        let again = folder
            .line(&format!("explain {file} --chart form.chart"))
            .ok();
        assert_eq!(again, page, "{file}");
        // What was written is its own chart too.
        let own = folder.line(&format!("chart {file} --unroll")).ok();
        let form = folder.line("chart form.chart --unroll").ok();
        let chords = |page: &str| -> Vec<String> {
            page.split_whitespace()
                .filter(|word| word.ends_with('7'))
                .map(str::to_owned)
                .collect()
        };
        assert_eq!(chords(&own), chords(&form), "{file}: {own}");
    }
    folder
        .line("explain line.txt --chart form.chart --unroll -o unrolled.musicxml -o unrolled.abc")
        .ok();
    assert_eq!(text("unrolled.musicxml").matches("<measure ").count(), 7);
    assert!(!text("unrolled.abc").contains(":|"));
}
