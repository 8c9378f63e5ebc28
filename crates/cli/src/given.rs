//! Lines that are given: reading their files, and reading them over a chart.

use std::path::{Path, PathBuf};

use linewright::{Chart, Diagnostic, Given, Reading, Tune, read_lines, study::Study};

use crate::args::GivenLine;
use crate::exit::Failure;
use crate::keys::AskedKey;
use crate::output::path_name;
use crate::{output, read};

/// The chart and the lines: the chart stands first, or is given by name.
pub fn inputs<'a>(
    arguments: &'a GivenLine,
    inputs: &'a [PathBuf],
) -> Result<(&'a Path, &'a [PathBuf]), Failure> {
    if let Some(chart) = &arguments.chart {
        return Ok((chart, inputs));
    }
    match inputs {
        [first, ..] if first.is_dir() => Err(Failure::usage(format!(
            "the chart is missing: {} is a folder\n  hint: give the chart by name, such as `--chart blues.chart`",
            path_name(first)
        ))),
        [chart, lines @ ..] if !lines.is_empty() => Ok((chart, lines)),
        _ => Err(Failure::usage(
            "a chart and a line are needed, and only one file is given\n  hint: give the chart first, then the line, such as `blues.chart line.txt`",
        )),
    }
}

/// How a line is to be read over a chart, as the arguments say.
pub fn reading(arguments: &GivenLine, chart: &Chart) -> Result<Reading, Failure> {
    let style = arguments.style.name();
    Ok(Reading {
        style: style.as_deref().map(read::style).transpose()?,
        key: AskedKey::of_any(arguments.line_key, chart)?,
        tempo: arguments.tempo,
        choruses: arguments.choruses.map(usize::from),
        fit: Default::default(),
        infer: arguments.plan_from_notes,
    })
}

/// Reads the lines of a file, and tells what was read otherwise than written.
pub fn lines(path: &Path, part: Option<&str>) -> Result<Vec<Given>, Failure> {
    let (name, bytes) = read::line(path)?;
    let told = |problems: &dyn std::fmt::Display| format!("{name}: {problems}");
    let (lines, problems) =
        read_lines(&name, &bytes, part).map_err(|problems| Failure::line(told(&problems)))?;
    if !problems.is_empty() {
        output::note(&told(&problems));
    }
    Ok(lines)
}

/// Reads the lines of a file with what was read otherwise than written, or says in one sentence
/// why it cannot.
pub fn lines_in_short(
    path: &Path,
    part: Option<&str>,
) -> Result<(Vec<Given>, Vec<String>), String> {
    let (name, bytes) = read::line(path).map_err(|failure| failure.in_short().to_owned())?;
    match read_lines(&name, &bytes, part) {
        Ok((lines, problems)) => {
            let told = problems.list().iter().map(Diagnostic::in_short);
            Ok((lines, told.collect()))
        }
        Err(problems) => {
            let (first, more) = problems.list().split_first().ok_or("it cannot be read")?;
            let more = match more.len() + problems.more() {
                0 => String::new(),
                more => format!(" (and {more} more)"),
            };
            Err(first.in_short() + &more)
        }
    }
}

/// Lays a line over a chart and reads it.
pub fn study(chart: &Chart, given: &Given, how: &Reading) -> Result<(Tune, Study), Failure> {
    given.study(chart, how).map_err(Failure::tune)
}
