//! `linewright mark` of folders and many files: a table, tables in files, reports for each.

use std::fs;

use crate::run::{Folder, LINE};

/// The rows of the table of a page, by their cells.
fn rows(page: &str) -> Vec<Vec<String>> {
    let rows = page.lines().take_while(|row| !row.is_empty());
    rows.map(|row| {
        let cells = row
            .split("  ")
            .map(str::trim)
            .filter(|cell| !cell.is_empty());
        cells.map(str::to_owned).collect()
    })
    .collect()
}

/// The first cells of the rows between the heads and the means.
fn files(page: &str) -> Vec<String> {
    let rows = rows(page);
    let ended = rows.last().is_some_and(|row| row[0] == "mean");
    let end = rows.len() - usize::from(ended);
    rows[1..end].iter().map(|row| row[0].clone()).collect()
}

/// A table of comma-separated values, where no cell has a line break.
fn csv(text: &[u8]) -> Vec<Vec<String>> {
    let text = String::from_utf8(text.to_vec()).unwrap();
    assert!(text.ends_with("\r\n"), "{text:?}");
    let row = |row: &str| {
        let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
        let mut letters = row.chars().peekable();
        while let Some(letter) = letters.next() {
            match letter {
                '"' if quoted && letters.peek() == Some(&'"') => {
                    letters.next();
                    cell.push('"');
                }
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(std::mem::take(&mut cell)),
                other => cell.push(other),
            }
        }
        cells.push(cell);
        cells
    };
    text.split_terminator("\r\n").map(row).collect()
}

#[test]
fn a_folder_is_marked_in_a_table_in_the_order_of_its_files() {
    let folder = Folder::with_lines();
    folder.write("homework/.hidden.txt", LINE);
    folder.write("homework/notes.md", "not a line");
    folder.write("homework/blues.chart", "| F7 |\n");
    fs::create_dir(folder.path().join("homework/deeper.txt")).unwrap();
    folder.write("homework/deeper.txt/zoe.txt", LINE);
    folder.write(
        "homework/ann.ABC",
        "X:1\nL:1/4\nM:4/4\nK:F clef=bass\nF,,A,,C,A,, | B,,D,F,D, |\n",
    );
    let page = folder
        .line("mark homework --chart blues.chart --grade 3")
        .ok();
    assert_eq!(
        files(&page),
        [
            "homework/ann.ABC",
            "homework/kim.txt",
            "homework/lee.txt",
            "homework/noa.mid"
        ]
    );
    let rows = rows(&page);
    let head = &rows[0];
    assert_eq!(head[..3], ["file", "student", "harmony"], "{page}");
    let kim = rows
        .iter()
        .find(|row| row[0] == "homework/kim.txt")
        .unwrap();
    assert_eq!(kim[1], "Kim");
    assert!(kim.contains(&"pass".to_owned()), "{page}");
    let last = page.lines().last().unwrap();
    assert!(last.ends_with("of 4 lines pass"), "{page}");
}

#[test]
fn the_table_is_the_same_every_time() {
    let folder = Folder::with_lines();
    for copy in 0..20 {
        folder.write(&format!("homework/x{copy}.txt"), LINE.replace("F1", "A1"));
    }
    let mark = || folder.line("mark homework --chart blues.chart").ok();
    let first = mark();
    assert_eq!(files(&first).len(), 23);
    assert!((0..3).all(|_| mark() == first));
}

#[test]
fn one_file_s_trouble_stands_in_its_row_and_never_stops_the_others() {
    let folder = Folder::with_lines();
    folder.write("homework/bad.txt", "| F1 H2 |\n| X9 |\n");
    folder.write("homework/empty.mid", "");
    folder.write("homework/torn.mxl", &b"PK\x03\x04torn"[..]);
    folder.write("homework/silent.txt", "| r r r r |\n");
    fs::create_dir(folder.path().join("nobody")).unwrap();
    let ended = folder
        .line("mark homework nobody nowhere.txt --chart blues.chart -o class.csv -o class.json");
    let said = ended.err.clone();
    let page = ended.ended(7);
    for (file, words) in [
        ("homework/bad.txt", "line 1, column 6"),
        ("homework/empty.mid", "MThd"),
        ("homework/torn.mxl", ""),
        ("homework/silent.txt", ""),
        ("nobody", ".musicxml"),
        ("nowhere.txt", "cannot be read"),
    ] {
        let row = page.lines().find(|row| row.starts_with(file));
        let row = row.unwrap_or_else(|| panic!("{file} in {page}"));
        assert!(row.contains("not read") && row.contains(words), "{row}");
    }
    assert!(
        page.contains("(and 1 more)"),
        "the other fault of bad.txt: {page}"
    );
    for file in ["homework/kim.txt", "homework/lee.txt", "homework/noa.mid"] {
        let row = page.lines().find(|row| row.starts_with(file)).unwrap();
        assert!(row.contains("pass") || row.contains("not yet"), "{row}");
    }
    assert!(said.contains("6 of 9 could not be marked"), "{said}");
    let table = csv(&folder.read("class.csv"));
    assert_eq!(table.len(), 10);
    let errors = table
        .iter()
        .skip(1)
        .filter(|row| !row.last().unwrap().is_empty());
    assert_eq!(errors.count(), 6);
    let told = folder.json("class.json");
    let with_errors = told
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["error"].is_string());
    assert_eq!(with_errors.count(), 6);
}

#[test]
fn where_no_line_is_at_all_nothing_is_printed() {
    let folder = Folder::new();
    fs::create_dir(folder.path().join("empty")).unwrap();
    folder.write("empty/read.me", "nothing");
    let said = folder
        .line("mark empty --chart blues.chart -o class.csv")
        .fails(7);
    assert!(said.contains("empty: no line is in this folder"), "{said}");
    assert!(
        said.contains(".musicxml") && said.contains("hint"),
        "{said}"
    );
    assert_eq!(folder.names(), ["blues.chart", "empty"]);
}

#[test]
fn the_table_of_values_has_the_marks_of_the_single_pages() {
    let folder = Folder::with_lines();
    folder
        .line("mark homework --chart blues.chart --grade 3 -o class.csv -o class.json -o class.txt")
        .ok();
    let table = csv(&folder.read("class.csv"));
    let (heads, rows) = table.split_first().unwrap();
    assert!(rows.iter().all(|row| row.len() == heads.len()), "{table:?}");
    let column = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let told = folder.json("class.json");
    assert_eq!(rows.len(), 3);
    for (row, told) in rows.iter().zip(told.as_array().unwrap()) {
        let file = &row[column("file")];
        assert_eq!(told["file"], *file);
        folder
            .line(&format!(
                "mark {file} --chart blues.chart --grade 3 -o one.json --force"
            ))
            .ok();
        let one = folder.json("one.json");
        let milli = |cell: &str| (cell.parse::<f64>().unwrap() * 1000.0).round() as i64;
        assert_eq!(
            milli(&row[column("total")]),
            one["got_millimarks"].as_i64().unwrap()
        );
        assert_eq!(told["got_millimarks"], one["got_millimarks"], "{file}");
        for criterion in one["criteria"].as_array().unwrap() {
            let name = criterion["name"].as_str().unwrap();
            let got = criterion["got_millimarks"].as_i64().unwrap();
            assert_eq!(milli(&row[column(name)]), got, "{file}, {name}");
        }
    }
    let lee = rows.iter().find(|row| row[0].ends_with("lee.txt")).unwrap();
    assert_eq!(lee[column("student")], "Lee, \"Slim\"");
    let page = String::from_utf8(folder.read("class.txt")).unwrap();
    assert_eq!(files(&page).len(), 3);
}

#[test]
fn printed_criteria_add_up_to_the_printed_total() {
    let folder = Folder::with_lines();
    let tenths = |text: &str| {
        let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
        10 * whole.parse::<u32>().unwrap() + part.parse::<u32>().unwrap()
    };
    let mut seen = 0;
    for grade in 1..=8 {
        let page = folder
            .line(&format!(
                "mark homework --chart blues.chart --grade {grade}"
            ))
            .ok();
        for row in &rows(&page)[1..] {
            let got = row[1..].iter().filter_map(|cell| cell.split_once('/'));
            let got: Vec<u32> = got.map(|(got, _)| tenths(got)).collect();
            let (total, criteria) = got.split_last().unwrap();
            assert_eq!(
                criteria.iter().sum::<u32>(),
                *total,
                "grade {grade}: {row:?}"
            );
            seen += usize::from(criteria.iter().any(|got| got % 10 > 0));
        }
        let page = folder
            .line(&format!(
                "mark line.txt --chart blues.chart --grade {grade} --no-fix"
            ))
            .ok();
        let total = page
            .lines()
            .find_map(|line| line.split_once(" of 100 marks"));
        let table = page
            .split("criterion")
            .nth(1)
            .and_then(|rest| rest.split("\n\n").next());
        let got = table.unwrap().lines().skip(1).map(|row| {
            let cells: Vec<&str> = row.split("  ").filter(|cell| !cell.is_empty()).collect();
            tenths(cells[1].trim().split(' ').next().unwrap())
        });
        if let Some((total, _)) = total {
            assert_eq!(got.sum::<u32>(), tenths(total), "{page}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen} rows with tenths");
}

#[test]
fn the_means_are_those_of_the_marks() {
    let folder = Folder::with_lines();
    let page = folder
        .line("mark homework --chart blues.chart --grade 3 -o class.csv")
        .ok();
    let table = csv(&folder.read("class.csv"));
    let column = |name: &str| table[0].iter().position(|head| head == name).unwrap();
    let sum: f64 = table[1..]
        .iter()
        .map(|row| row[column("total")].parse::<f64>().unwrap())
        .sum();
    // Told in tenths, rounded down.
    let mean = (sum / 3.0 * 10.0 + 1e-9).floor() / 10.0;
    let row = page.lines().find(|row| row.starts_with("mean")).unwrap();
    let told = row.split_whitespace().last().unwrap();
    let (got, total) = told.split_once('/').unwrap();
    assert_eq!(got.parse::<f64>().unwrap(), mean, "{page}");
    assert_eq!(total, "100");
}

#[test]
fn each_line_of_many_gets_a_report_by_the_name_of_its_file() {
    let folder = Folder::with_lines();
    fs::create_dir(folder.path().join("reports")).unwrap();
    folder
        .line("mark homework --chart blues.chart --grade 3 -o reports/{name}.txt -o reports/{name}.svg")
        .ok();
    for name in ["kim", "lee", "noa"] {
        assert!(
            folder
                .read(&format!("reports/{name}.svg"))
                .starts_with(b"<svg")
        );
    }
    let single = folder
        .line("mark homework/kim.txt --chart blues.chart --grade 3")
        .ok();
    assert_eq!(folder.read("reports/kim.txt"), single.into_bytes());
    // A line that fails has the mends and the nearest fix in its report.
    let lee = String::from_utf8(folder.read("reports/lee.txt")).unwrap();
    assert!(lee.contains("to look at again"), "{lee}");
}

#[test]
fn files_of_one_name_get_reports_of_their_own() {
    let folder = Folder::with_lines();
    for name in ["reports", "late"] {
        fs::create_dir(folder.path().join(name)).unwrap();
    }
    folder.write("homework/kim.abc", "X:1\nK:F\nF,,A,,C,A,, |\n");
    folder.write("late/kim.txt", LINE);
    // A name that is given to another one is not taken.
    folder.write("late/kim-abc.txt", LINE);
    let ended = folder.line("mark homework late --chart blues.chart -o reports/{name}.txt");
    for told in [
        "kim-txt for homework/kim.txt",
        "kim-txt-2 for late/kim.txt",
        "kim-abc-2 for homework/kim.abc",
    ] {
        assert!(ended.err.contains(told), "{}", ended.err);
    }
    assert!(!ended.err.contains("lee"), "{}", ended.err);
    ended.ok();
    let reports = fs::read_dir(folder.path().join("reports")).unwrap();
    let mut names: Vec<_> = reports.map(|report| report.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(
        names,
        [
            "kim-abc-2.txt",
            "kim-abc.txt",
            "kim-txt-2.txt",
            "kim-txt.txt",
            "lee.txt",
            "noa.txt"
        ]
    );
    // A table alone has no use for them.
    let ended = folder.line("mark homework late --chart blues.chart -o class.csv");
    assert!(!ended.err.contains("kim-"), "{}", ended.err);
}

#[test]
fn every_report_is_checked_before_anything_is_written() {
    let folder = Folder::with_lines();
    // Two lines: that there are two is known by reading the file.
    folder
        .line("explain line.txt --chart blues.chart -o one.json")
        .ok();
    let line = folder.json("one.json")["line"].clone();
    folder.write(
        "homework/two.json",
        serde_json::json!([line, line]).to_string(),
    );
    folder.write("two-2.txt", "mine");
    let before = folder.names();
    let said = folder
        .line("mark homework --chart blues.chart -o {name}.txt")
        .fails(6);
    assert!(said.contains("two-2.txt exists already"), "{said}");
    assert_eq!(folder.names(), before);
}

#[test]
fn outputs_that_make_no_sense_for_many_lines_are_refused() {
    let folder = Folder::with_lines();
    for output in ["all.mid", "all.pdf"] {
        let command = format!("mark homework --chart blues.chart -o {output}");
        let said = folder.line(&command).fails(2);
        assert!(said.contains("{name}") && said.contains(".csv"), "{said}");
    }
    let said = folder
        .line("mark homework --chart blues.chart -o all.doc")
        .fails(2);
    assert!(said.contains(".csv"), "{said}");
    let said = folder
        .line("mark homework --chart blues.chart -o {name}.csv")
        .fails(2);
    assert!(said.contains(".txt"), "{said}");
    assert_eq!(
        folder.names(),
        ["blues.chart", "homework", "line.txt", "take.mid"]
    );
}

#[test]
fn a_file_that_is_named_twice_is_marked_once() {
    let folder = Folder::with_lines();
    let ended =
        folder.line("mark homework/kim.txt homework ./line.txt line.txt --chart blues.chart");
    assert!(ended.err.contains("named twice"), "{}", ended.err);
    let page = ended.ok();
    assert_eq!(
        files(&page),
        [
            "homework/kim.txt",
            "homework/lee.txt",
            "homework/noa.mid",
            "./line.txt"
        ]
    );
}

#[test]
fn a_table_written_into_the_folder_is_no_line_of_it() {
    let folder = Folder::with_lines();
    let command = "mark homework --chart blues.chart -o homework/marks.json -o homework/marks.txt";
    let first = folder.line(command).ok();
    let again = folder.line(&format!("{command} --force")).ok();
    assert_eq!(first, again);
}

#[test]
fn every_line_of_a_file_that_holds_several_has_its_row_and_report() {
    let folder = Folder::new();
    folder
        .line("compose blues.chart --lines 2 -o take.txt")
        .ok();
    let both = [
        folder.read("take-1.txt"),
        b"\n".to_vec(),
        folder.read("take-2.txt"),
    ]
    .concat();
    fs::create_dir(folder.path().join("class")).unwrap();
    folder.write("class/both.txt", both);
    folder.write("class/one.txt", LINE);
    let page = folder
        .line("mark class --chart blues.chart -o {name}.txt -o c.csv")
        .ok();
    assert_eq!(
        files(&page),
        [
            "class/both.txt line 1",
            "class/both.txt line 2",
            "class/one.txt"
        ]
    );
    let names = folder.names();
    for name in ["both-1.txt", "both-2.txt", "one.txt"] {
        assert!(names.contains(&name.to_owned()), "{name} in {names:?}");
    }
    let table = csv(&folder.read("c.csv"));
    let numbers: Vec<&str> = table[1..].iter().map(|row| row[1].as_str()).collect();
    assert_eq!(numbers, ["1", "2", ""]);
}

#[test]
fn no_name_of_a_student_is_a_formula_in_a_spreadsheet() {
    let folder = Folder::with_lines();
    folder.write("homework/sly.txt", LINE.replace("Kim", "=HYPERLINK(\"x\")"));
    folder
        .line("mark homework --chart blues.chart -o class.csv")
        .ok();
    let table = csv(&folder.read("class.csv"));
    let sly = table
        .iter()
        .find(|row| row[0].ends_with("sly.txt"))
        .unwrap();
    assert_eq!(sly[2], "'=HYPERLINK(\"x\")");
}

#[test]
fn what_was_read_otherwise_than_written_is_told_in_the_row() {
    let folder = Folder::with_lines();
    let short: String = LINE.split_inclusive('\n').take(3).collect();
    folder.write("homework/short.txt", short);
    let page = folder.line("mark homework --chart blues.chart").ok();
    let row = page
        .lines()
        .find(|row| row.starts_with("homework/short.txt"))
        .unwrap();
    assert!(row.contains("the line ends before bar 5"), "{row}");
}
