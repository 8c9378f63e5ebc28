//! `linewright profile`: what lines are like, and how they differ from others.

use serde_json::Value;

use crate::run::{Folder, LINE};

/// Runs the command and reads its JSON.
fn profiled(folder: &Folder, arguments: &str) -> Value {
    folder
        .line(&format!("profile {arguments} -o p.json --force"))
        .ok();
    folder.json("p.json")
}

/// The counts of one measure, by value.
fn counts(told: &Value, measure: &str, beat: Option<u64>) -> Vec<(String, u64)> {
    let measures = told["measures"].as_array().unwrap();
    let found = measures
        .iter()
        .find(|m| m["measure"] == measure && m["beat"].as_u64() == beat);
    let values = found.unwrap_or_else(|| panic!("{measure} {beat:?}"))["values"].as_array();
    let row = |value: &Value| {
        let name = match &value["value"] {
            Value::String(name) => name.clone(),
            other => other.to_string(),
        };
        (name, value["count"].as_u64().unwrap())
    };
    values.unwrap().iter().map(row).collect()
}

fn row(counts: &[(&str, u64)]) -> Vec<(String, u64)> {
    counts
        .iter()
        .map(|(name, times)| ((*name).to_owned(), *times))
        .collect()
}

#[test]
fn a_line_is_counted_as_one_would_by_hand() {
    let folder = Folder::with_lines();
    let told = profiled(&folder, "line.txt --chart blues.chart");
    assert_eq!(told["format"], "linewright profile");
    assert_eq!(
        (&told["lines"], &told["bars"], &told["notes"]),
        (&1.into(), &12.into(), &48.into())
    );
    assert_eq!(told["of"]["files"][0], "line.txt");
    // Only bar 7 begins on another note than its root.
    assert_eq!(
        counts(&told, "degrees", Some(1)),
        row(&[("1", 11), ("3", 1)])
    );
    assert_eq!(
        counts(&told, "root-where-chord-is-new", None),
        row(&[("false", 1), ("true", 11)])
    );
    // Into bars 2 to 12: A1 Bb1, D2 F2, A1 C2, A1 Bb1, Bb1 B1, Ab2 A2, A1 D2, Ab2 G2, Bb1 C2,
    // C2 F2, A1 G1.
    assert_eq!(
        counts(&told, "into-beat-one", None),
        row(&[
            ("half-step-from-below", 4),
            ("half-step-from-above", 1),
            ("whole-step-from-below", 1),
            ("whole-step-from-above", 1),
            ("third", 2),
            ("fourth-or-fifth", 2),
        ])
    );
    let percentiles = told["percentiles"].as_array().unwrap();
    let midi = |percentile: &Value| percentile["midi"].as_u64().unwrap();
    assert!(percentiles.is_sorted_by_key(midi) && percentiles.len() == 5);
}

#[test]
fn the_page_shows_every_table_in_aligned_columns() {
    let folder = Folder::with_lines();
    let page = folder
        .line("profile line.txt --chart blues.chart -o p.txt")
        .ok();
    for title in [
        "degrees by beat, in %",
        "moves by beats, in %",
        "root on beat one",
        "into beat one",
        "up and down",
        "parts in the harmony",
        "cadences of bars",
        "devices",
        "range",
    ] {
        assert!(page.lines().any(|row| row == title), "{title} in {page}");
    }
    assert!(
        page.contains("1 line of line.txt: 12 bars, 48 notes, over Backyard blues"),
        "{page}"
    );
    let new = page
        .lines()
        .find(|row| row.starts_with("where the chord is new"));
    let cells: Vec<&str> = new.unwrap().split_whitespace().skip(5).collect();
    assert_eq!(cells, ["91.7", "11", "12"], "{page}");
    assert_eq!(folder.read("p.txt"), page.into_bytes());
}

#[test]
fn a_folder_counts_as_its_files_together() {
    let folder = Folder::with_lines();
    let whole = profiled(&folder, "homework --chart blues.chart");
    assert_eq!(whole["lines"], 3);
    let one = |name: &str| {
        counts(
            &profiled(&folder, &format!("homework/{name} --chart blues.chart")),
            "directions",
            None,
        )
    };
    let mut sum = std::collections::BTreeMap::new();
    for (way, times) in [one("kim.txt"), one("lee.txt"), one("noa.mid")].concat() {
        *sum.entry(way).or_insert(0) += times;
    }
    let found: std::collections::BTreeMap<String, u64> =
        counts(&whole, "directions", None).into_iter().collect();
    assert_eq!(found, sum);
}

#[test]
fn lines_of_a_style_are_those_that_compose_makes() {
    let folder = Folder::new();
    for seed in 3..=6 {
        folder
            .line(&format!(
                "compose blues.chart --style waltz --seed {seed} -o made-{seed}.mid"
            ))
            .ok();
    }
    let style = profiled(&folder, "--style waltz --seeds 3-6 --chart blues.chart");
    let files = profiled(
        &folder,
        "made-3.mid made-4.mid made-5.mid made-6.mid --chart blues.chart",
    );
    assert_eq!(style["of"]["style"], "waltz");
    assert_eq!(
        (&style["of"]["first_seed"], &style["of"]["last_seed"]),
        (&3.into(), &6.into())
    );
    assert_eq!(style["measures"], files["measures"]);
    assert_eq!(style["lines"], 4);
}

#[test]
fn two_sets_of_lines_are_compared_with_the_largest_differences_first() {
    let folder = Folder::with_lines();
    let command = "profile homework --chart blues.chart --against-style closing-four --seeds 1-20";
    let page = folder.line(&format!("{command} -o c.json -o c.csv")).ok();
    assert!(
        page.contains("3 lines of 3 files, homework/kim.txt to homework/noa.mid"),
        "{page}"
    );
    assert!(
        page.contains("20 lines in style closing-four, seeds 1 to 20"),
        "{page}"
    );
    assert!(page.contains("often here: "), "{page}");
    assert_eq!(page, folder.line(command).ok(), "the same every time");
    let told = folder.json("c.json");
    let differences = told["differences"].as_array().unwrap();
    let apart = |d: &Value| {
        let share = |count: &str, of: &str| d[count].as_f64().unwrap() / d[of].as_f64().unwrap();
        (share("count_here", "of_here") - share("count_there", "of_there")).abs()
    };
    assert!(differences.len() > 3);
    assert!(differences.is_sorted_by(|one, other| apart(one) + 1e-9 >= apart(other)));
    let first = differences[0]["sentence"].as_str().unwrap();
    let words: String = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains(first), "{first} in {page}");
    let root = told["divergences"]
        .as_array()
        .unwrap()
        .iter()
        .find(|d| d["measure"] == "degrees" && d["beat"] == 1);
    let bits = root.unwrap()["millibits"].as_u64().unwrap();
    assert!(bits > root.unwrap()["by_chance_millibits"].as_u64().unwrap());
    let table = String::from_utf8(folder.read("c.csv")).unwrap();
    assert!(
        table.starts_with("measure,beat,to beat,value,count here,"),
        "{table}"
    );
    assert!(
        table
            .split_terminator("\r\n")
            .all(|row| row.split(',').count() == 10),
        "{table}"
    );
}

#[test]
fn lines_against_themselves_do_not_differ() {
    let folder = Folder::with_lines();
    let page = folder
        .line("profile homework --chart blues.chart --against homework")
        .ok();
    assert!(
        page.contains("Nothing differs by more than chance."),
        "{page}"
    );
}

#[test]
fn lines_that_bring_their_chords_need_no_chart() {
    let folder = Folder::new();
    folder
        .line("compose blues.chart --seed 4 --choruses 2 -o take.musicxml -o take.abc -o take.mid")
        .ok();
    let own = profiled(&folder, "take.musicxml");
    let with = profiled(&folder, "take.mid --chart blues.chart");
    assert_eq!(
        counts(&own, "directions", None),
        counts(&with, "directions", None)
    );
    assert_eq!(
        counts(&own, "degrees", Some(1)),
        counts(&with, "degrees", Some(1))
    );
    assert!(own["over"].is_null() && own["bars"] == 24);
    assert_eq!(profiled(&folder, "take.abc")["measures"], own["measures"]);
    folder.write("line.txt", LINE);
    let said = folder.line("profile line.txt").fails(7);
    assert!(
        said.contains("line.txt") && said.contains("--chart"),
        "{said}"
    );
}

#[test]
fn what_cannot_be_counted_is_told_and_left_out() {
    let folder = Folder::with_lines();
    folder.write("homework/bad.txt", "| F1 H2 |\n");
    let ended = folder.line("profile homework nowhere.mid --chart blues.chart");
    let said = ended.err.clone();
    let page = ended.ended(7);
    assert!(page.contains("3 lines of 3 files"), "{page}");
    for words in [
        "homework/bad.txt: line 1, column 6",
        "nowhere.mid",
        "2 of the lines or files",
    ] {
        assert!(said.contains(words), "{words} in {said}");
    }
    let said = folder
        .line("profile homework/bad.txt --chart blues.chart")
        .fails(7);
    assert!(said.contains("column 6") && said.contains("hint"), "{said}");
}

#[test]
fn what_makes_no_sense_is_refused() {
    let folder = Folder::with_lines();
    folder.write("silent.chart", "| N.C. |\n");
    for (arguments, code, words) in [
        ("", 2, "LINES"),
        ("--style plain", 2, "--chart"),
        (
            "--style plain --chart blues.chart --seeds 5-1",
            2,
            "5 comes after 1",
        ),
        ("--style plain --chart blues.chart --seeds x", 2, "1-50"),
        (
            "--style plain --chart blues.chart --seeds 1-1001",
            2,
            "1000",
        ),
        ("--style plain --chart silent.chart", 1, "chord"),
        ("--style plane --chart blues.chart", 4, "`plain`"),
        (
            "line.txt --chart blues.chart --against-style plane",
            4,
            "`plain`",
        ),
        ("line.txt --against-style plain", 2, "--chart"),
        (
            "line.txt --chart blues.chart --against homework --against-style plain",
            2,
            "--against",
        ),
        ("line.txt --chart blues.chart -o p.mid", 2, ".csv"),
        (
            "line.txt --chart blues.chart -o p.csv -o ./p.csv",
            2,
            "twice",
        ),
        ("line.txt --chart blues.chart --choruses 0", 2, "0"),
        ("line.txt --chart nowhere.chart", 5, "nowhere.chart"),
    ] {
        let said = folder.line(&format!("profile {arguments}")).fails(code);
        assert!(said.contains(words), "{arguments}: {said}");
    }
}
