//! The page of a marked line: the marks, credit first, then the remarks.

use linewright_study::mark::{Fix, Marked, bar_and_beat};

use super::explained::{making, remarks};
use super::paint::{Paint, Part};
use super::table::table;
use super::{Options, header, legend, shown, system, wrapped};
use crate::wording::marks::{adding_up, change, credit, criterion, marks, remark, silence};
use crate::wording::study::count;

const HEADS: [&str; 3] = ["criterion", "marks", "what speaks for it"];

/// The page of a marked line. Ends with a line break.
pub fn marked(marked: &Marked, options: &Options) -> String {
    let line = &marked.study.line;
    let mark = &marked.mark;
    let paint = Paint::new(options.colour);
    let title = |name: &str| paint.paint(Part::Section, name) + "\n";
    let mut page = header::head(line, &making(&marked.study), options, paint);
    page.push_str(&remarks(&marked.study));
    let verdict = if mark.passes() {
        "passes"
    } else {
        "does not pass yet"
    };
    page.push_str(&paint.paint(
        Part::Title,
        &format!(
            "{} of {} marks: {verdict}",
            marks(mark.got()),
            marks(mark.total())
        ),
    ));
    page.push_str(&format!(" ({} are needed)\n\n", marks(mark.pass())));
    let got: Vec<i64> = mark.criteria.iter().map(|c| c.got).collect();
    let rows: Vec<Vec<String>> = mark
        .criteria
        .iter()
        .zip(adding_up(&got))
        .map(|(c, got)| {
            vec![
                criterion(c.criterion).to_owned(),
                format!("{got} of {}", marks(c.total)),
                credit(line, &c.credit),
            ]
        })
        .collect();
    page.push_str(&table(&HEADS, &rows, paint));
    page.push('\n');
    page.push_str(&system::systems(
        line,
        &shown(line, options),
        options,
        paint,
    ));
    let mut faults: Vec<_> = mark.faults().collect();
    faults.sort_by_key(|fault| bar_and_beat(line, fault.place));
    let mut remarks: Vec<String> = silence(marked).into_iter().collect();
    remarks.extend(faults.into_iter().map(|fault| remark(marked, fault)));
    if remarks.is_empty() {
        page.push_str("Nothing was taken off.\n\n");
    } else {
        page.push_str(&title("to look at again"));
        for remark in &remarks {
            page.push_str(&wrapped(remark, options.width));
        }
        page.push('\n');
    }
    if let Some(fix) = &marked.fix {
        page.push_str(&title("the nearest line that passes"));
        match fix {
            Fix::Changes(changes) | Fix::AtMost(changes) => {
                page.push_str(&format!("with {}:\n", count(changes.len(), "changed note")));
                for mend in changes {
                    page.push_str(&wrapped(&change(line, mend), options.width));
                }
                if matches!(fix, Fix::AtMost(_)) {
                    page.push_str("Whether fewer would do was not searched to the end.\n");
                }
            }
            Fix::MoreThan(most) => {
                page.push_str(&format!(
                    "more than {} would have to change\n",
                    count(*most, "note")
                ));
            }
            Fix::MoreNotes => page.push_str(
                "No change of notes is enough: the bars without notes have to be written first.\n",
            ),
            Fix::NotFound => page.push_str("The search ended before one was found.\n"),
        }
        page.push('\n');
    }
    page.push_str(&legend::legend(
        line,
        &shown(line, options),
        options.width,
        paint,
    ));
    page.push_str(&header::last_line(line, options));
    page
}
