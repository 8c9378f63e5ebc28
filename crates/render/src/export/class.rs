//! The marks of many lines, a row for each.

use linewright_study::mark::{Mark, Marked, Means};

use super::Report;
use crate::json::MarksText;
use crate::text::Options;
use crate::{csv, json, text};

/// The marks of many lines.
#[derive(Default)]
pub struct Class {
    /// The lines, in the order of the table.
    pub entries: Vec<Entry>,
}

/// One line of a class.
pub struct Entry {
    /// The name of its file.
    pub file: String,
    /// Its number in the file, from 1, where the file holds several.
    pub line: Option<usize>,
    /// Who wrote it, where the file says so.
    pub student: Option<String>,
    /// Its title, where the file has one.
    pub title: Option<String>,
    /// Its marks, or in a few words why it has none.
    pub outcome: Result<Assessed, String>,
}

/// A line with its marks, without the line.
pub struct Assessed {
    /// The marks.
    pub mark: Mark,
    /// The style that it was marked in.
    pub style: String,
    /// What was read otherwise than written, in sentences.
    pub remarks: Vec<String>,
    /// The marks as JSON tells them.
    pub(crate) text: MarksText,
}

impl Assessed {
    /// What a table needs of a marked line.
    pub fn of(marked: &Marked) -> Self {
        Self {
            mark: marked.mark.clone(),
            style: marked.study.line.style.name.clone(),
            remarks: marked
                .study
                .remarks
                .iter()
                .map(ToString::to_string)
                .collect(),
            text: MarksText::of(marked),
        }
    }
}

impl Class {
    /// The marks in the mean; `None` where there are none.
    pub fn means(&self) -> Option<Means> {
        Means::of(self.marked().map(|assessed| &assessed.mark))
    }

    /// The lines that have marks.
    pub fn marked(&self) -> impl Iterator<Item = &Assessed> {
        self.entries
            .iter()
            .filter_map(|entry| entry.outcome.as_ref().ok())
    }
}

impl Report for Class {
    fn page(&self, options: &Options) -> String {
        text::class(self, options)
    }

    fn json(&self) -> String {
        json::class(self)
    }

    fn csv(&self) -> String {
        csv::class(self)
    }
}
