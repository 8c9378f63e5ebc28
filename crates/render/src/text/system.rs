//! Systems: bars side by side, row under row.

use linewright_compose::Line;
use linewright_diagnostic::clean::one_line;

use super::Options;
use super::bar::{BarCell, Word};
use super::paint::{Paint, Part};

/// Columns before the first bar line: the name of the row.
const MARGIN: usize = 8;

/// Most bars in a system, a pick-up not counted.
const MOST: usize = 4;

/// All systems of the bars that are shown, each with a blank line after it.
pub(super) fn systems(line: &Line, shown: &[usize], options: &Options, paint: Paint) -> String {
    let mut text = String::new();
    for group in groups(line, shown) {
        text.push_str(&headings(line, group[0], paint));
        let cells: Vec<BarCell> = group.iter().map(|&bar| BarCell::new(line, bar)).collect();
        fit(&cells, options.width, &mut |cells| {
            system(cells, paint, &mut text)
        });
    }
    text
}

/// Whether a chorus begins at a bar, and which, from 1.
fn chorus(line: &Line, bar: usize) -> Option<usize> {
    let choruses = line.timeline.choruses;
    let first = line.timeline.pickups();
    let form = (line.timeline.bars.len() - first) / choruses.max(1);
    let at = bar.checked_sub(first)?;
    let begins = choruses > 1 && form > 0 && at.is_multiple_of(form);
    begins.then(|| at / form + 1)
}

/// Runs of bars: at most four, broken where a section or a chorus begins. A pick-up joins
/// the run after it.
fn groups(line: &Line, shown: &[usize]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for &bar in shown {
        let begins = line.timeline.bars[bar].section.is_some() || chorus(line, bar).is_some();
        match groups.last_mut() {
            Some(group) if joins(line, group, begins) => group.push(bar),
            _ => groups.push(vec![bar]),
        }
    }
    groups
}

fn joins(line: &Line, group: &[usize], begins: bool) -> bool {
    let full = group
        .iter()
        .filter(|&&bar| !line.timeline.bars[bar].pickup)
        .count();
    full == 0 || (full < MOST && !begins)
}

/// The lines above a system: chorus and section.
fn headings(line: &Line, bar: usize, paint: Paint) -> String {
    let bars = &line.timeline.bars;
    let first = if bars[bar].pickup { bar + 1 } else { bar };
    let mut heading = Vec::new();
    if let Some(number) = chorus(line, first) {
        heading.push(format!("chorus {number}"));
    }
    if let Some(section) = bars.get(first).and_then(|bar| bar.section.as_deref()) {
        heading.push(format!("[{}]", one_line(section)));
    }
    if heading.is_empty() {
        return String::new();
    }
    format!("{}\n", paint.paint(Part::Section, &heading.join(" ")))
}

/// Prints cells in one system if they fit, else their halves; a pick-up that makes a system
/// too wide stands before it by itself.
fn fit(cells: &[BarCell], width: usize, print: &mut impl FnMut(&[BarCell])) {
    let needed = MARGIN + 1 + cells.iter().map(|cell| cell.width + 2).sum::<usize>();
    if cells.len() < 2 || needed <= width {
        print(cells);
    } else {
        let middle = if cells[0].pickup {
            1
        } else {
            cells.len().div_ceil(2)
        };
        let (first, second) = cells.split_at(middle);
        fit(first, width, print);
        fit(second, width, print);
    }
}

fn system(cells: &[BarCell], paint: Paint, text: &mut String) {
    row(text, "", cells, paint, |cell| &cell.head);
    row(text, "chords", cells, paint, |cell| &cell.chords);
    row(text, "notes", cells, paint, |cell| &cell.notes);
    row(text, "degrees", cells, paint, |cell| &cell.degrees);
    let rows = cells
        .iter()
        .map(|cell| cell.functions.len())
        .max()
        .unwrap_or(0);
    for nth in 0..rows {
        let name = if nth == 0 { "why" } else { "" };
        row(text, name, cells, paint, |cell| {
            cell.functions.get(nth).map_or(&[], Vec::as_slice)
        });
    }
    text.push('\n');
}

/// One row: its name, then the words of each bar at their beats, between bar lines.
fn row<'a>(
    text: &mut String,
    name: &str,
    cells: &'a [BarCell],
    paint: Paint,
    words: impl Fn(&'a BarCell) -> &'a [Word],
) {
    let bar_line = paint.paint(Part::Frame, "|");
    text.push_str(&paint.cell(Part::Frame, name, MARGIN));
    for cell in cells {
        text.push_str(&bar_line);
        text.push(' ');
        let mut column = 0;
        for word in words(cell) {
            let start = (word.beat * cell.column).max(column);
            text.extend(std::iter::repeat_n(' ', start - column));
            text.push_str(&paint.paint(word.part, &word.text));
            column = start + word.text.chars().count();
            if column < cell.width {
                text.push(' ');
                column += 1;
            }
        }
        text.extend(std::iter::repeat_n(' ', cell.width.saturating_sub(column)));
    }
    text.push_str(&bar_line);
    text.push('\n');
}
