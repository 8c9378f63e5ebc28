//! The marks of many lines as JSON: an array, an object for each line in the order of the table.
//!
//! Each has the `file`, the number of the `line` in it (`null` where the file holds one), the
//! `student` (`null` where the file does not say), and then everything that the marks of a single
//! line have (see [`super::marked`]), but for the line itself. A `mend` is `null` also where none
//! was looked for. A line that has no marks has `error` in their place, in words.

use linewright_study::mark::{Class, Entry};
use schemars::JsonSchema;
use serde::Serialize;

use super::marked::MarksText;
use super::pretty;

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "ClassRow")]
pub(super) struct Row<'a> {
    /// The name of the file.
    file: &'a str,
    /// Number of the line in the file; `null` where it holds one.
    line: Option<usize>,
    /// Who wrote the line; `null` where the file does not say.
    student: Option<&'a str>,
    #[serde(flatten)]
    outcome: Outcome<'a>,
}

#[derive(Serialize, JsonSchema)]
#[serde(untagged)]
enum Outcome<'a> {
    Marks {
        #[serde(flatten)]
        marks: MarksText,
        /// What was read otherwise than written.
        remarks: &'a [String],
    },
    Error {
        /// Why the line has no marks.
        error: &'a str,
    },
}

/// The JSON text of a class. Ends with a line break.
pub fn class(class: &Class) -> String {
    let row = |entry| {
        let Entry {
            file,
            line,
            student,
            outcome,
            ..
        }: &Entry = entry;
        Row {
            file,
            line: *line,
            student: student.as_deref(),
            outcome: match outcome {
                Ok(assessed) => Outcome::Marks {
                    marks: MarksText::of(assessed),
                    remarks: &assessed.remarks,
                },
                Err(error) => Outcome::Error { error },
            },
        }
    };
    let rows: Vec<Row> = class.entries.iter().map(row).collect();
    pretty(&rows)
}
