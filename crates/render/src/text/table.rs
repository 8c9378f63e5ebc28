//! Tables: columns as wide as they need to be.

use super::paint::{Paint, Part};

/// A row of heads and rows of cells, with two blanks between columns.
pub(super) fn table(heads: &[&str], rows: &[Vec<String>], paint: Paint) -> String {
    let size = |text: &str| text.chars().count();
    let widest = |column: usize| {
        let cells = rows.iter().map(|row| size(&row[column]));
        cells.chain([size(heads[column])]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(widest).collect();
    let line = |part: Part, cells: &mut dyn Iterator<Item = &str>| {
        let cells: Vec<String> = cells
            .zip(&widths)
            .map(|(cell, width)| format!("{cell}{:1$}", "", width - size(cell)))
            .collect();
        paint.paint(part, cells.join("  ").trim_end()) + "\n"
    };
    let mut text = line(Part::Frame, &mut heads.iter().copied());
    for row in rows {
        text.push_str(&line(Part::Plain, &mut row.iter().map(String::as_str)));
    }
    text
}

/// The same with every column but the first to the right, for figures.
pub(super) fn figures(heads: &[String], rows: &[Vec<String>], paint: Paint) -> String {
    let size = |text: &str| text.chars().count();
    let all = || std::iter::once(heads).chain(rows.iter().map(Vec::as_slice));
    let widest = |column: usize| all().map(|row| size(&row[column])).max().unwrap_or(0);
    let widths: Vec<usize> = (0..heads.len()).map(widest).collect();
    let line = |part: Part, row: &[String]| {
        let cell = |(column, cell): (usize, &String)| {
            let blanks = " ".repeat(widths[column] - size(cell));
            if column == 0 {
                format!("{cell}{blanks}")
            } else {
                format!("{blanks}{cell}")
            }
        };
        let cells: Vec<String> = row.iter().enumerate().map(cell).collect();
        paint.paint(part, cells.join("  ").trim_end()) + "\n"
    };
    let mut text = line(Part::Frame, heads);
    for row in rows {
        text.push_str(&line(Part::Plain, row));
    }
    text
}
