//! Lines over other people's lead sheets: every tune with chord symbols among the files that
//! music21 ships, folk tunes in ABC and pieces in MusicXML. Each is read as a chart or reported
//! with the reason, and a line is composed over each that is read.

#[path = "support/tunes.rs"]
mod cut;

use std::num::NonZero;
use std::sync::Arc;
use std::thread::available_parallelism;

use linewright::{Choice, Composer, Library, Setting, read_chart, suited_style};
use linewright_checkers::python;
use linewright_notation::abc;
use linewright_workshop::Promises;
use linewright_workshop::shipped::in_threads;
use serde_json::{Value, json};

/// A lead sheet: its file's name, the number of the tune where the file has several, and its
/// bytes.
struct Sheet {
    file: String,
    number: String,
    bytes: Vec<u8>,
}

/// The files of the corpus with these suffixes that hold a text.
fn files(suffixes: &[&str], holding: &str) -> Vec<Sheet> {
    let asked = json!({ "suffixes": suffixes, "holding": holding }).to_string();
    let told = python()
        .and_then(|python| python.run("corpus_files.py", asked.as_bytes()))
        .unwrap_or_else(|error| panic!("{error}"));
    let sheet = |line: &str| {
        let file: Value = serde_json::from_str(line).expect("an object a line");
        let digits = file["bytes"].as_str().expect("hex digits");
        let byte = |at| u8::from_str_radix(&digits[at..at + 2], 16).expect("hex digits");
        Sheet {
            file: file["name"].as_str().expect("a name").to_owned(),
            number: String::new(),
            bytes: (0..digits.len()).step_by(2).map(byte).collect(),
        }
    };
    told.lines().map(sheet).collect()
}

/// Every tune with chord symbols in ABC, by itself.
fn tunes() -> Vec<Sheet> {
    let mut tunes: Vec<Sheet> = Vec::new();
    for Sheet { file, bytes, .. } in files(&[".abc"], "\"") {
        let cut = cut::tunes(&String::from_utf8_lossy(&bytes));
        tunes.extend(cut.into_iter().map(|(number, text)| Sheet {
            file: file.clone(),
            number,
            bytes: text.into_bytes(),
        }));
    }
    tunes.retain(|tune| {
        let read = abc::read(&tune.bytes, None);
        read.is_ok_and(|(score, _)| score.measures.iter().any(|m| !m.symbols.is_empty()))
    });
    tunes
}

/// What became of a lead sheet.
enum Outcome {
    /// No chart is in it, and why.
    NotRead(String),
    /// No line is possible over it, and why.
    NoLine(String),
    /// A line was composed over it; what it breaks of what every line keeps.
    Line(Promises),
}

fn outcome(sheet: &Sheet, composers: &[(&str, Composer)]) -> Outcome {
    let chart = match read_chart(&sheet.file, &sheet.bytes, None) {
        Ok((chart, _)) => chart,
        Err(fault) => return Outcome::NotRead(fault.to_string()),
    };
    let style = suited_style(&chart);
    let (_, composer) = composers
        .iter()
        .find(|(name, _)| *name == style)
        .expect("a shipped style");
    // What was read is a chart like any other: printed, it is read again.
    let printed = chart.to_string();
    let again = linewright::Chart::parse(&sheet.file, printed.as_bytes());
    let again = again.unwrap_or_else(|faults| panic!("{}: {faults}\n{printed}", sheet.file));
    assert_eq!(again, chart, "{}", sheet.file);
    let timeline = match Setting::default().timeline(&chart) {
        Ok(timeline) => Arc::new(timeline),
        Err(faults) => return Outcome::NotRead(faults.to_string()),
    };
    let choice = Choice::Sampled {
        temperature: composer.style().temperature,
    };
    match composer.compose(&timeline, 1, 0, choice) {
        Ok(line) => {
            let mut promises = Promises::new(style);
            promises.add(&line);
            Outcome::Line(promises)
        }
        Err(error) => Outcome::NoLine(error.to_string()),
    }
}

/// Composes over every lead sheet, prints what becomes of each and the share over which there is
/// a line, and gives the files over which there is none.
fn left_over<'a>(what: &str, sheets: &'a [Sheet]) -> Vec<&'a str> {
    let library = Library::builtin();
    let composers: Vec<(&str, Composer)> = ["plain", "waltz", "two-feel"]
        .map(|name| {
            let composer = library.style(name).and_then(Composer::new);
            (name, composer.unwrap_or_else(|e| panic!("{name}: {e}")))
        })
        .into();
    let threads = available_parallelism().map_or(1, NonZero::get);
    let outcomes = in_threads(sheets.len(), threads, |at| outcome(&sheets[at], &composers));
    let mut left = Vec::new();
    for (sheet, outcome) in sheets.iter().zip(&outcomes) {
        let became = match outcome {
            Outcome::Line(promises) => {
                assert!(promises.are_kept(), "{} {}", sheet.file, sheet.number);
                "a line is composed"
            }
            Outcome::NotRead(why) | Outcome::NoLine(why) => {
                left.push(sheet.file.as_str());
                why
            }
        };
        println!("{} {}: {became}", sheet.file, sheet.number);
    }
    let lines = sheets.len() - left.len();
    let share = 100 * lines / sheets.len();
    println!(
        "{what}: a line over {lines} of {}, {share} of 100",
        sheets.len()
    );
    left
}

#[test]
fn a_line_is_composed_over_the_folk_tunes_with_chords() {
    let sheets = tunes();
    assert!(sheets.len() > 8, "{}", sheets.len());
    let left = left_over("tunes in ABC", &sheets);
    // What is left is vocal music without bars, whose parts have letters for names.
    assert!(
        left.iter().all(|file| file.starts_with("josquin/")),
        "{left:?}"
    );
}

#[test]
fn a_line_is_composed_over_the_pieces_with_chords_in_musicxml() {
    let sheets = files(&[".mxl", ".musicxml", ".xml"], "<harmony");
    assert!(sheets.len() > 8, "{}", sheets.len());
    assert_eq!(left_over("pieces in MusicXML", &sheets), Vec::<&str>::new());
}
