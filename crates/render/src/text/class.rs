//! The page of a class: a row for each line, and the means at the end.

use linewright_diagnostic::clean::one_line;
use linewright_rulebook::style::Criterion;
use linewright_study::mark::{Assessed, Class, CriterionMark, Entry, Means};

use super::Options;
use super::paint::{Paint, Part};
use super::table::table;
use crate::wording::marks::{adding_up, marks};
use crate::wording::study::count;

/// What stands where there is nothing to tell.
const NOTHING: &str = "–";

/// The page of a class. Ends with a line break.
pub fn class(class: &Class, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let criteria: Vec<Criterion> = Criterion::ALL
        .into_iter()
        .filter(|criterion| class.marked().any(|line| of(line, *criterion).is_some()))
        .collect();
    let named = class.entries.iter().any(|entry| entry.student.is_some());
    let mut heads = vec!["file", if named { "student" } else { "title" }];
    heads.extend(criteria.iter().map(|criterion| criterion.name()));
    heads.extend(["total", "result", "to know"]);
    let mut rows: Vec<Vec<String>> = class
        .entries
        .iter()
        .map(|entry| row(entry, &criteria))
        .collect();
    let means = class.means();
    rows.extend(means.as_ref().map(|means| mean(means, &criteria)));
    let mut page = table(&heads, &rows, paint);
    let unmarked = class.entries.len() - class.marked().count();
    let mut verdict = means.map_or("No line has marks".to_owned(), |means| {
        format!("{} of {} pass", means.passed, count(means.lines, "line"))
    });
    if unmarked > 0 {
        verdict.push_str(&format!("; {unmarked} could not be read"));
    }
    page.push_str(&format!("\n{}\n", paint.paint(Part::Title, &verdict)));
    page
}

fn of(line: &Assessed, criterion: Criterion) -> Option<&CriterionMark> {
    line.mark
        .criteria
        .iter()
        .find(|mark| mark.criterion == criterion)
}

fn share(got: i64, total: i64) -> String {
    format!("{}/{}", marks(got), marks(total))
}

/// A cell for each of the criteria; `known` are those that count, each with what was got and what
/// could be had.
fn shares(criteria: &[Criterion], known: &[(Criterion, i64, i64)]) -> Vec<String> {
    let got: Vec<i64> = known.iter().map(|(_, got, _)| *got).collect();
    let got = adding_up(&got);
    let cell = |criterion: &Criterion| {
        let at = known.iter().position(|(other, ..)| other == criterion);
        at.map_or(NOTHING.to_owned(), |at| {
            format!("{}/{}", got[at], marks(known[at].2))
        })
    };
    criteria.iter().map(cell).collect()
}

fn row(entry: &Entry, criteria: &[Criterion]) -> Vec<String> {
    let number = entry
        .line
        .map_or(String::new(), |line| format!(" line {line}"));
    let name = entry.student.as_ref().or(entry.title.as_ref());
    let mut cells = vec![
        format!("{}{number}", one_line(&entry.file)),
        name.map_or(NOTHING.to_owned(), |name| one_line(name)),
    ];
    match &entry.outcome {
        Ok(line) => {
            let known = line.mark.criteria.iter();
            let known: Vec<_> = known.map(|c| (c.criterion, c.got, c.total)).collect();
            cells.extend(shares(criteria, &known));
            let result = if line.mark.passes() {
                "pass"
            } else {
                "not yet"
            };
            cells.extend([
                share(line.mark.got(), line.mark.total()),
                result.to_owned(),
                one_line(&remarks(&line.remarks)),
            ]);
        }
        Err(why) => {
            cells.extend(vec![NOTHING.to_owned(); criteria.len() + 1]);
            cells.extend(["not read".to_owned(), one_line(why)]);
        }
    }
    cells
}

/// The first remark, and how many more there are.
fn remarks(remarks: &[String]) -> String {
    match remarks {
        [] => String::new(),
        [one] => one.clone(),
        [first, more @ ..] => format!("{first} (and {} more)", more.len()),
    }
}

fn mean(means: &Means, criteria: &[Criterion]) -> Vec<String> {
    let mut cells = vec!["mean".to_owned(), String::new()];
    cells.extend(shares(criteria, &means.criteria));
    cells.extend([share(means.got, means.total), String::new(), String::new()]);
    cells
}
