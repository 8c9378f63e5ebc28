//! `linewright learn`.

use std::path::PathBuf;

use linewright::study::learn::{Asked, Lesson, learn};
use linewright::{Chart, Reading, style_text};

use crate::args;
use crate::exit::Failure;
use crate::line_files::{Found, files};
use crate::{given, output, read};

/// Learns.
pub fn run(arguments: &args::Learn) -> Result<(), Failure> {
    let name = arguments.style.name().unwrap_or_else(|| "plain".to_owned());
    let style = read::style(&name)?;
    let mut lessons = Vec::new();
    for found in files(std::slice::from_ref(&arguments.folder), &[]) {
        let Found::File(path) = found else { continue };
        let stem = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let stem = stem.split('.').next().unwrap_or_default().to_owned();
        let chart: PathBuf = path.with_file_name(format!("{stem}.chart"));
        if !chart.exists() {
            continue;
        }
        let chart: Chart = read::chart(&chart, None)?;
        let how = Reading {
            style: Some(style.clone()),
            infer: true,
            ..Reading::default()
        };
        for line in given::lines(&path, None)? {
            let (_, study) = given::study(&chart, &line, &how)?;
            let end = stem
                .rfind(|c: char| c.is_ascii_digit())
                .map_or(stem.len(), |at| at + 1);
            lessons.push(Lesson {
                group: stem[..end].to_owned(),
                name: stem.clone(),
                line: study.line,
            });
        }
    }
    let asked = Asked {
        seed: arguments.seed,
        samples: arguments.samples,
        folds: arguments.folds,
        deviation: arguments.deviation,
        ..Asked::default()
    };
    let Some(learned) = learn(&style, &lessons, &asked, &|| true) else {
        return Err(Failure::line("nothing could be learned".to_owned()));
    };
    let mut text = format!(
        "{} notes, {} steps, fitted {:.3} bits a note\n",
        learned.notes, learned.steps, learned.fitted_bits
    );
    if let Some(held) = &learned.held_out {
        text.push_str(&format!("held out {:.3} bits a note\n", held.bits));
        for (group, bits, notes) in &held.by_group {
            text.push_str(&format!("  {group:12} {bits:.2} {notes}\n"));
        }
    }
    for weight in &learned.weights {
        text.push_str(&format!(
            "{:28} {:+.2} ± {:.2}  {}{}\n",
            weight.rule.name,
            weight.weight,
            weight.error,
            weight.count,
            if weight.was_limit {
                " (was a limit)"
            } else {
                ""
            }
        ));
    }
    output::bytes(text.as_bytes())?;
    if let Some(path) = &arguments.output {
        std::fs::write(path, style_text(&learned.style))
            .map_err(|error| Failure::output(&error))?;
    }
    Ok(())
}
