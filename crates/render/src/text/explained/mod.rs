//! The page of a line that was given: what it does, note by note and bar by bar.

mod bars;
mod cadences;
mod notes;
mod register;

use linewright_study::explain::Explanation;
use linewright_study::{PlanSource, Study};

use super::paint::{Paint, Part};
use super::{Options, header, legend, plan, reasons, shown, system, wrapped};
use crate::numbers::points;
use crate::wording::study::count;
use crate::wording::summary::summary;

/// What an explained page shows besides the line.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Details {
    /// Every note in words: its part in the harmony, its functions, where it moves.
    pub notes: bool,
}

/// The page of a line that was given. Ends with a line break.
pub fn explained(study: &Study, details: Details, options: &Options) -> String {
    let line = &study.line;
    let paint = Paint::new(options.colour);
    let explained = Explanation::of(line);
    let shown = shown(line, options);
    let title = |name: &str| paint.paint(Part::Section, name) + "\n";
    let mut page = header::head(line, &making(study), options, paint);
    page.push_str(&remarks(study));
    page.push_str(&title("in short"));
    for sentence in summary(line, &explained) {
        page.push_str(&wrapped(&sentence, options.width));
    }
    page.push('\n');
    page.push_str(&system::systems(line, &shown, options, paint));
    page.push_str(&title("bars"));
    page.push_str(&bars::bars(line, &explained, &shown, paint));
    page.push('\n');
    page.push_str(&title("cadences"));
    page.push_str(&cadences::cadences(line, &explained, &shown, paint));
    page.push('\n');
    page.push_str(&title("register"));
    page.push_str(&register::register(line, &shown, paint));
    page.push('\n');
    if details.notes {
        page.push_str(&title("notes"));
        page.push_str(&notes::notes(line, &shown, paint));
        page.push('\n');
    }
    if options.plan {
        page.push_str(&plan::plan(line, &shown, paint));
    }
    if options.reasons {
        page.push_str(&reasons::reasons(line, &shown, paint));
    }
    page.push_str(&legend::legend(line, &shown, options.width, paint));
    page.push_str(&header::last_line(line, options));
    page
}

/// By which style and plan the line is read.
pub(super) fn making(study: &Study) -> Vec<String> {
    let line = &study.line;
    let plan = match study.plan {
        PlanSource::Drawn { seed, line } => {
            format!(
                "under its own plan (seed {seed}, line {})",
                line.saturating_add(1)
            )
        }
        PlanSource::Inferred => "under the plan that it seems to follow".to_owned(),
    };
    let mut making = vec![
        header::style(line),
        plan,
        format!("score {}", points(line.reading.score)),
    ];
    if study.between() > 0 {
        let notes = count(study.between(), "note");
        making.push(format!("{notes} between the beats, not judged"));
    }
    making
}

/// What was read otherwise than written, with a blank line after it.
pub(super) fn remarks(study: &Study) -> String {
    let lines = study
        .remarks
        .iter()
        .map(|remark| format!("note: {remark}\n"));
    let text: String = lines.collect();
    if text.is_empty() { text } else { text + "\n" }
}
