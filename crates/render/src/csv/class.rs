//! The marks of many lines as a table: a row for each line.

use linewright_rulebook::style::Criterion;
use linewright_study::mark::{Assessed, Class, CriterionMark, Entry};

use super::{own, row};
use linewright_compose::thousandths::decimal;

/// The table of a class: file, number of the line in it, student, title and style; what was got
/// and what could be had, by criterion and in all; what passes, and whether the line does; what
/// was read otherwise than written, and why a line has no marks. Marks have up to three decimals.
/// A criterion that does not count for a line leaves its cells empty.
pub fn class(class: &Class) -> String {
    let heads = ["file", "line", "student", "title", "style"].map(str::to_owned);
    let mut heads = heads.to_vec();
    for criterion in Criterion::ALL {
        heads.extend([
            criterion.name().to_owned(),
            format!("{} of", criterion.name()),
        ]);
    }
    heads.extend(
        [
            "total",
            "total of",
            "pass mark",
            "result",
            "remarks",
            "error",
        ]
        .map(str::to_owned),
    );
    let rows = class.entries.iter().map(|entry| row(cells(entry)));
    row(heads) + &rows.collect::<String>()
}

fn cells(entry: &Entry) -> Vec<String> {
    let text = |text: &Option<String>| text.as_deref().map_or(String::new(), own);
    let mut cells = vec![
        own(&entry.file),
        entry.line.map_or(String::new(), |line| line.to_string()),
        text(&entry.student),
        text(&entry.title),
    ];
    match &entry.outcome {
        Ok(assessed) => cells.extend(marks(assessed)),
        Err(error) => {
            cells.extend(vec![String::new(); 1 + 2 * Criterion::ALL.len() + 5]);
            cells.push(own(error));
        }
    }
    cells
}

fn marks(assessed: &Assessed) -> Vec<String> {
    let number = |milli: i64| decimal(milli.abs());
    let mark = &assessed.mark;
    let mut cells = vec![own(&assessed.style)];
    for criterion in Criterion::ALL {
        let here = |mark: &&CriterionMark| mark.criterion == criterion;
        let found = mark.criteria.iter().find(here);
        let cell = |milli: fn(&CriterionMark) -> i64| {
            found.map_or(String::new(), |mark| number(milli(mark)))
        };
        cells.extend([cell(|mark| mark.got), cell(|mark| mark.total)]);
    }
    let result = if mark.passes() { "pass" } else { "not yet" };
    cells.extend([
        number(mark.got()),
        number(mark.total()),
        number(mark.pass()),
    ]);
    cells.extend([
        result.to_owned(),
        own(&assessed.remarks.join("; ")),
        String::new(),
    ]);
    cells
}
