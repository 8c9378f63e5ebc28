//! `linewright mark` of one file: marks by criterion, remarks, and the nearest line that passes.

use serde_json::Value;

use crate::run::{Folder, LINE};

/// A line that is not good enough: the same note over and over in the first half.
fn poor() -> String {
    LINE.replace("F1 A1 C2 A1", "E2 E2 E2 E2")
        .replace("Bb1 D2 F2 D2", "B2 B2 E2 E2")
        .replace("F2 Eb2 C2 A1", "F#2 F#2 F#2 B1")
        .replace("C2 G1 F1 A1", "C#2 C#2 E2 E2")
        .replace("Bb1 D2 F2 Bb1", "A1 A1 E2 E2")
}

fn number(value: &Value, key: &str) -> i64 {
    value[key]
        .as_i64()
        .unwrap_or_else(|| panic!("{key} in {value}"))
}

/// The MIDI number of a note such as `Bb1`; C4 is 60.
fn midi(name: &str) -> i32 {
    let mut letters = name.chars();
    let letter = letters.next().unwrap();
    let natural = [9, 11, 0, 2, 4, 5, 7]["ABCDEFG".find(letter).unwrap()];
    letters.fold(natural, |midi, sign| match sign {
        'b' => midi - 1,
        '#' => midi + 1,
        octave => midi + 12 * (octave.to_digit(10).unwrap() as i32 + 1),
    })
}

#[test]
fn the_marks_of_the_criteria_add_up_and_stand_on_the_page() {
    let folder = Folder::with_lines();
    let page = folder
        .line("mark line.txt --chart blues.chart --grade 3 -o marks.json")
        .ok();
    let marks = folder.json("marks.json");
    assert_eq!(marks["format"], "linewright marks");
    assert_eq!(marks["style"], "grade-3");
    let criteria = marks["criteria"].as_array().unwrap();
    let sum = |key: &str| criteria.iter().map(|c| number(c, key)).sum::<i64>();
    assert_eq!(sum("got_millimarks"), number(&marks, "got_millimarks"));
    assert_eq!(sum("total_millimarks"), number(&marks, "total_millimarks"));
    for criterion in criteria {
        let faults = criterion["faults"].as_array().unwrap();
        let cost: i64 = faults
            .iter()
            .map(|fault| number(fault, "cost_millimarks"))
            .sum();
        let left = (number(criterion, "total_millimarks") - cost).max(0);
        assert_eq!(number(criterion, "got_millimarks"), left, "{criterion}");
    }
    assert_eq!(marks["passes"], true);
    assert!(page.contains("marks: passes"), "{page}");
    assert!(page.contains("\ncriterion "), "{page}");
    assert!(marks["fix"].is_null());
    // The line is there too, and is marked alike.
    folder
        .line("mark marks.json --chart blues.chart --grade 3 -o again.json")
        .ok();
    assert_eq!(folder.json("again.json"), marks);
}

#[test]
fn the_nearest_line_that_passes_does_pass() {
    let folder = Folder::new();
    folder.write("poor.txt", poor());
    let page = folder
        .line("mark poor.txt --chart blues.chart --grade 2 -o marks.json")
        .ok();
    assert!(page.contains("does not pass yet"), "{page}");
    assert!(page.contains("the nearest line that passes"), "{page}");
    let marks = folder.json("marks.json");
    assert_eq!(marks["passes"], false);
    let changes = marks["fix"].as_array().unwrap();
    assert!(!changes.is_empty());
    let text = poor();
    let (head, bars) = text.split_at(text.find('|').unwrap());
    let mut notes: Vec<&str> = bars
        .split_whitespace()
        .filter(|word| *word != "|")
        .collect();
    for change in changes {
        let at = (number(change, "bar") - 1) * 4 + number(change, "beat") - 1;
        let from = change["from"].as_str().unwrap();
        assert_eq!(midi(notes[at as usize]), midi(from), "{change}");
        notes[at as usize] = change["to"].as_str().unwrap();
    }
    let bars: Vec<String> = notes.chunks(4).map(|bar| bar.join(" ")).collect();
    folder.write("mended.txt", format!("{head}| {} |\n", bars.join(" | ")));
    folder
        .line("mark mended.txt --chart blues.chart --grade 2 -o mended.json")
        .ok();
    assert_eq!(folder.json("mended.json")["passes"], true);
}

#[test]
fn the_nearest_line_that_passes_is_looked_for_within_so_many_changes() {
    let folder = Folder::new();
    folder.write("poor.txt", poor());
    let within = |most: usize| {
        folder.line(&format!(
            "mark poor.txt --chart blues.chart --grade 3 --most-changes {most} -o m{most}.json"
        ))
    };
    let page = within(99).ok();
    let needed = folder.json("m99.json")["fix"].as_array().unwrap().len();
    assert!(needed > 1, "{page}");
    within(needed).ok();
    let changes = |most: usize| folder.json(&format!("m{most}.json"))["fix"].clone();
    assert_eq!(changes(needed).as_array().unwrap().len(), needed);
    let fewer = needed - 1;
    let page = within(fewer).ok();
    let told = format!("more than {fewer} note");
    assert!(page.contains(&told), "{page}");
    assert!(changes(fewer).is_null());
    let refused = folder.line("mark poor.txt --chart blues.chart --most-changes 0");
    assert!(refused.fails(2).contains("a whole number from 1 to 99"));
}

#[test]
fn the_fix_is_left_out_where_it_is_not_wanted() {
    let folder = Folder::new();
    folder.write("poor.txt", poor());
    let page = folder
        .line("mark poor.txt --chart blues.chart --grade 2 --no-fix")
        .ok();
    assert!(!page.contains("the nearest line that passes"), "{page}");
    assert!(page.contains("to look at again"), "{page}");
}

#[test]
fn a_composed_line_of_a_grade_passes_that_grade() {
    let folder = Folder::new();
    for grade in 1..=8 {
        folder
            .line(&format!(
                "compose blues.chart --style grade-{grade} -o g{grade}.mid"
            ))
            .ok();
        let page = folder
            .line(&format!(
                "mark g{grade}.mid --chart blues.chart --grade {grade}"
            ))
            .ok();
        assert!(page.contains("marks: passes"), "grade {grade}: {page}");
    }
}

#[test]
fn one_file_is_marked_in_every_format_and_its_row_in_a_table() {
    let folder = Folder::with_lines();
    let page = folder
        .line("mark line.txt --chart blues.chart -o m.txt -o m.json -o m.mid -o m.svg -o m.csv -o {name}-marked.txt")
        .ok();
    assert_eq!(folder.read("m.txt"), page.clone().into_bytes());
    assert_eq!(folder.read("line-marked.txt"), page.into_bytes());
    assert!(folder.read("m.mid").starts_with(b"MThd"));
    let table = String::from_utf8(folder.read("m.csv")).unwrap();
    let rows: Vec<&str> = table.split_terminator("\r\n").collect();
    assert_eq!(rows.len(), 2, "{table}");
    assert!(
        rows[1].starts_with("line.txt,,Kim,First walk,plain,"),
        "{table}"
    );
}

#[test]
fn a_line_without_a_note_over_a_chord_is_not_marked() {
    let folder = Folder::new();
    folder.write("silent.chart", "| N.C. | N.C. | N.C. | C7 |\n");
    folder.write("line.txt", "| F1 A1 C2 A1 | Bb1 D2 F2 D2 |\n");
    let said = folder.line("mark line.txt --chart silent.chart").fails(7);
    assert!(said.contains("no note") && said.contains("hint"), "{said}");
}
