//! `linewright orders`: every order of a cell, ranked.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::run::Folder;

/// The rows of the table: notes, degrees, points in hundredths.
fn rows(page: &str) -> Vec<(Vec<String>, Vec<String>, i64)> {
    let rows = page
        .lines()
        .skip_while(|row| !row.starts_with("rank "))
        .skip(1);
    rows.map(|row| {
        let cells: Vec<&str> = row
            .split("  ")
            .map(str::trim)
            .filter(|cell| !cell.is_empty())
            .collect();
        let points: f64 = cells[3].parse().unwrap();
        (
            cells[1].split(' ').map(str::to_owned).collect(),
            cells[2].split('-').map(str::to_owned).collect(),
            (points * 100.0).round() as i64,
        )
    })
    .collect()
}

#[test]
fn a_cell_of_four_notes_has_twenty_four_orders_best_first() {
    let folder = Folder::new();
    let page = folder.line("orders 1-3-5-b7 --chord F7").ok();
    assert!(page.starts_with("24 orders, "), "{page}");
    let rows = rows(&page);
    let orders: BTreeSet<&Vec<String>> = rows.iter().map(|(_, degrees, _)| degrees).collect();
    assert_eq!((rows.len(), orders.len()), (24, 24));
    for (notes, degrees, _) in &rows {
        let mut sorted = degrees.clone();
        sorted.sort();
        assert_eq!(sorted, ["1", "3", "5", "b7"]);
        assert_eq!(notes.len(), 4);
    }
    assert!(rows.is_sorted_by(|one, other| one.2 >= other.2), "{page}");
}

#[test]
fn a_note_that_comes_twice_counts_once_for_each_place() {
    let page = Folder::new().line("orders 1-1-3-5").ok();
    assert!(page.starts_with("12 orders, "), "{page}");
    assert_eq!(rows(&page).len(), 12);
}

#[test]
fn placements_list_every_octave_within_the_range() {
    let folder = Folder::new();
    // From E1 to E2 lie two E and one of each other class.
    let page = folder
        .line("orders C-E-G --chord C --placements --low E1 --high E2 -n 100")
        .ok();
    assert!(
        page.starts_with("6 orders, 2 placements of each: 12 in all"),
        "{page}"
    );
    let rows = rows(&page);
    let notes: BTreeSet<&Vec<String>> = rows.iter().map(|(notes, ..)| notes).collect();
    assert_eq!((rows.len(), notes.len()), (12, 12));
    for (notes, ..) in &rows {
        for note in notes {
            assert!(["C2", "E1", "E2", "G1"].contains(&note.as_str()), "{note}");
        }
    }
}

#[test]
fn the_notes_around_a_cell_change_its_ranking() {
    let folder = Folder::new();
    let alone = folder.line("orders 1-3-5-b7 --chord F7").ok();
    let around = folder
        .line("orders 1-3-5-b7 --chord F7 --before E2 --after Bb1 --next-chord Bb7")
        .ok();
    assert_ne!(rows(&alone), rows(&around));
    // What leads into Bb1 by a half step or from its fifth is named.
    assert!(around.contains("approach"), "{around}");
}

#[test]
fn names_and_degrees_of_the_same_notes_give_the_same_orders() {
    let folder = Folder::new();
    let names = folder.run(["orders", "C E G B", "--chord", "Cmaj7"]).ok();
    assert_eq!(names, folder.line("orders 1-3-5-7 --chord Cmaj7").ok());
}

#[test]
fn orders_are_written_to_files() {
    let folder = Folder::new();
    let page = folder
        .line("orders 1-b3-5-6 --chord Dm6 -n 5 -o o.mid -o o.json -o o.txt -o o.svg")
        .ok();
    assert_eq!(folder.read("o.txt"), page.clone().into_bytes());
    assert!(folder.read("o.mid").starts_with(b"MThd"));
    assert!(folder.read("o.svg").starts_with(b"<svg"));
    let told = folder.json("o.json");
    assert_eq!(told["format"], "linewright orders");
    let text = told.to_string();
    for (notes, ..) in rows(&page) {
        for note in notes {
            assert!(text.contains(&format!("\"{note}\"")), "{note}");
        }
    }
    let lists = told
        .as_object()
        .unwrap()
        .values()
        .filter_map(Value::as_array);
    assert!(lists.into_iter().any(|list| list.len() == 5), "{told}");
}

#[test]
fn cells_chords_and_ranges_that_make_no_sense_are_refused() {
    let folder = Folder::new();
    for (arguments, code, words) in [
        ("1", 2, "2 to 7"),
        ("1-2-3-4-5-6-7-b7", 2, "2 to 7"),
        ("1-x", 2, "neither a degree nor a note"),
        ("1-3-5 --chord H", 2, "\"H\" is not a chord"),
        ("1-3-5 --chord C/", 2, "chord"),
        ("1-3-5 --key H", 2, "key"),
        ("1-3-5 --next-chord F7", 2, "--after"),
        ("1-3-5 --after Bb", 2, "Bb"),
        ("1-3-5 --count 0", 2, "0"),
        ("1-3-5 --low G3 --high E1", 4, "from G3 to E1"),
        ("1-3-5 --style plane", 4, "`plain`"),
        ("1-3-5 -o orders.doc", 2, ".mid"),
        ("", 2, "CELL"),
    ] {
        let said = folder.line(&format!("orders {arguments}")).fails(code);
        assert!(said.contains(words), "{arguments}: {said}");
    }
}
