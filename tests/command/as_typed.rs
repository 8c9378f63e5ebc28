//! Charts, keys, bars and lines as people type them: understood and told, or refused with what to
//! write.

use crate::run::{Folder, LINE};

#[test]
fn a_grid_without_bar_lines_is_composed_over_with_a_remark() {
    let folder = Folder::new();
    let rows = "Gravel Path\nKey: F Tempo: 120\nF7 Bb7 F7 F7\nBb7 Bb7 F7 F7\nC7 Bb7 F7 C7\n";
    folder.write("grid.chart", rows);
    let barred = "title: Gravel Path\nkey: F\ntempo: 120\n| F7 | Bb7 | F7 | F7 |\n\
                  | Bb7 | Bb7 | F7 | F7 |\n| C7 | Bb7 | F7 | C7 |\n";
    folder.write("barred.chart", barred);
    let grid = folder.line("compose grid.chart");
    assert!(
        grid.err.contains("grid.chart:1:1") && grid.err.contains("title"),
        "{}",
        grid.err
    );
    assert!(
        grid.err.contains("grid.chart:3:1") && grid.err.contains("12 bars"),
        "{}",
        grid.err
    );
    let barred = folder.line("compose barred.chart");
    assert_eq!(barred.err, "");
    assert_eq!(grid.ok(), barred.ok());
}

#[test]
fn a_key_of_the_other_mode_is_refused_by_every_command() {
    let folder = Folder::with_lines();
    folder.write("minor.chart", "key: Dm\n| Dm7 | Gm7 | A7 | Dm7 |\n");
    for command in [
        "compose blues.chart --key Gm",
        "vary blues.chart --bars 3-4 --key Gm",
        "vary blues.chart --bars 3-4 --line line.txt --line-key Gm",
        "explain line.txt --chart blues.chart --line-key Gm",
        "mark line.txt --chart blues.chart --line-key Gm",
        "profile --style plain --seeds 1-2 --chart blues.chart --key Gm",
        "profile line.txt --chart blues.chart --line-key Gm",
        "chart blues.chart --transpose Gm",
    ] {
        let said = folder.line(command).fails(2);
        let words = ["F major", "G minor", "hint: ask for Bb major"];
        assert!(
            words.iter().all(|word| said.contains(word)),
            "{command}: {said}"
        );
    }
    let said = folder
        .run(["compose", "minor.chart", "--key", "C major"])
        .fails(2);
    assert!(
        said.contains("D minor") && said.contains("A minor"),
        "{said}"
    );
    // A tonic alone keeps the mode.
    let page = folder.line("compose minor.chart --key G").ok();
    assert!(page.contains("\nG minor"), "{page}");
    let page = folder
        .run(["compose", "blues.chart", "--key", "G major"])
        .ok();
    assert_eq!(page, folder.line("compose blues.chart --key G").ok());
}

#[test]
fn bars_that_are_not_there_are_refused_by_every_command_alike() {
    let folder = Folder::with_lines();
    for (bars, missing) in [("11-14", 14), ("0-2", 0), ("13-14", 13), ("0-0", 0)] {
        let told: Vec<String> = [
            "compose blues.chart",
            "vary blues.chart",
            "vary blues.chart --line line.txt",
            "explain line.txt --chart blues.chart",
            "mark line.txt --chart blues.chart",
        ]
        .iter()
        .map(|command| folder.line(&format!("{command} --bars {bars}")).fails(2))
        .collect();
        let words = format!("there is no bar {missing}: the piece has bars 1 to 12");
        assert!(
            told[0].contains(&words) && told[0].contains("hint"),
            "{}",
            told[0]
        );
        assert!(told.iter().all(|other| *other == told[0]), "{told:#?}");
    }
    folder.write("upbeat.chart", "pickup: 1\n| G7 | C | F |\n");
    folder.line("compose upbeat.chart --bars 0-2").ok();
    let said = folder.line("vary upbeat.chart --bars 0-3").fails(2);
    assert!(
        said.contains("there is no bar 3: the piece has bars 0 to 2"),
        "{said}"
    );
}

#[test]
fn orders_take_degrees_as_the_chord_has_them() {
    let folder = Folder::new();
    let own = folder.line("orders 1-3-5-6 --chord Am7").ok();
    assert_eq!(own, folder.line("orders 1-b3-5-6 --chord Am7").ok());
    assert_eq!(
        own,
        folder.run(["orders", "A C E F#", "--chord", "Am7"]).ok()
    );
    assert_eq!(
        folder.line("orders 1-3-5-7 --chord F7").ok(),
        folder.line("orders 1-3-5-b7 --chord F7").ok()
    );
}

#[test]
fn a_chart_of_nothing_but_no_chords_is_refused_however_a_line_is_asked_for() {
    let folder = Folder::new();
    folder.write("silent.chart", "pickup: 1\n| N.C. | N.C. / / / | % |\n");
    for options in [
        "",
        "--best",
        "--ranked",
        "--lines 3",
        "--style two-feel",
        "--style waltz",
    ] {
        let said = folder
            .line(&format!("compose silent.chart {options}"))
            .fails(1);
        assert!(
            said.contains("nothing to play") && said.contains("hint"),
            "{options}: {said}"
        );
    }
    folder.line("vary silent.chart --bars 1-2").fails(1);
}

#[test]
fn a_students_line_without_octaves_is_read_and_told() {
    let folder = Folder::with_lines();
    let bare: String = LINE
        .lines()
        .map(|line| match line.starts_with('|') {
            true => {
                line.replace(|c: char| c.is_ascii_digit(), "")
                    .replace(" |", ", |")
                    + "\n"
            }
            false => format!("{line}\n"),
        })
        .collect();
    folder.write("bare.txt", &bare);
    let read = folder.line("explain bare.txt --chart blues.chart --brief");
    let words = ["bare.txt: 3:3: ", "\"F\" has no octave", "F1", "hint"];
    assert!(
        words.iter().all(|word| read.err.contains(word)),
        "{}",
        read.err
    );
    assert_eq!(read.err.matches("has no octave").count(), 1, "{}", read.err);
    let page = read.ok();
    assert!(
        page.contains("| F1   A1   C2   A1   | Bb1  D2   F2   D2   |"),
        "{page}"
    );
    assert!(
        folder
            .line("mark bare.txt --chart blues.chart --grade 3")
            .ok()
            .contains(" of 100 marks")
    );
}
