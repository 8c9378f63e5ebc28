//! Checking, printing, transposing and unrolling charts.

use crate::run::Folder;

#[test]
fn a_chart_without_faults_is_summed_up() {
    let folder = Folder::new();
    folder.write(
        "form.chart",
        "title: Form\npickup: 1\n| G7 |: [A] C | F :|x3 [B] C G7 | C |]\n",
    );
    let said = folder.line("chart form.chart").ok();
    for part in [
        "Form\n",
        "C major (from the chords",
        "4 and a pick-up written, 8 and a pick-up played",
        "A A A B",
        "No faults.",
    ] {
        assert!(said.contains(part), "{part} in {said}");
    }
}

#[test]
fn printing_a_printed_chart_changes_nothing() {
    let folder = Folder::new();
    let printed = folder.line("chart blues.chart --print").ok();
    assert!(printed.contains("Cm7 F7"), "{printed}");
    assert_eq!(
        folder.fed("chart - --print", printed.as_bytes()).ok(),
        printed
    );
}

#[test]
fn there_and_back_again_is_the_same_chart() {
    let folder = Folder::new();
    let printed = folder.line("chart blues.chart --print").ok();
    let up = folder.line("chart blues.chart --transpose +5").ok();
    assert!(up.contains("key: Bb") && up.contains("Fm7 Bb7"), "{up}");
    assert_eq!(
        folder.fed("chart - --transpose -5", up.as_bytes()).ok(),
        printed
    );
    assert_eq!(folder.line("chart blues.chart --transpose Bb").ok(), up);
}

#[test]
fn unrolling_shows_every_bar_as_played_with_its_place_on_the_page() {
    let folder = Folder::new();
    folder.write("form.chart", "|: [A] C F | G7 :| C |]\n");
    let said = folder.line("chart form.chart --unroll").ok();
    let rows: Vec<Vec<&str>> = said
        .lines()
        .filter(|row| row.trim_start().starts_with(|c: char| c.is_ascii_digit()))
        .map(|row| row.split_whitespace().collect())
        .collect();
    let expected: [&[&str]; 5] = [
        &["1", "1", "C:2", "F:2"],
        &["2", "2", "G7:4"],
        &["3", "1", "C:2", "F:2"],
        &["4", "2", "G7:4"],
        &["5", "3", "C:4"],
    ];
    assert_eq!(rows, expected);
}
