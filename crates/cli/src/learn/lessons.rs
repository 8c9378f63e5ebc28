//! Lines with their charts, read to be learned from.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use linewright::study::learn::Lesson;
use linewright::{Chart, Given, Reading, Style};

use super::told;
use crate::args;
use crate::exit::Failure;
use crate::line_files::Found;
use crate::output::path_name;
use crate::{given, output, progress, read};

/// The extension of chart files that stand beside lines.
const CHART: &str = "chart";

/// The lines of the files over their charts. What cannot be read is told and left out.
pub fn read(
    arguments: &args::Learn,
    style: &Style,
    found: &[Found],
) -> Result<Vec<Lesson>, Failure> {
    let part = arguments.chart_part.name();
    let chart = arguments.chart.as_deref();
    let mut reader = Reader {
        arguments,
        how: Reading {
            style: Some(style.clone()),
            infer: true,
            ..Reading::default()
        },
        common: chart.map(|path| read::chart(path, part)).transpose()?,
        in_folder: BTreeMap::new(),
        charts: BTreeMap::new(),
    };
    let bar = progress::bar(found.len(), "reading");
    let (mut lessons, mut left_out) = (Vec::new(), Vec::new());
    for found in found {
        match found {
            Found::Trouble(folder, why) => left_out.push(told(folder, why)),
            Found::File(path) => match reader.file(path) {
                Ok(lines) => lessons.extend(lines),
                Err(why) => left_out.push(told(path, &why)),
            },
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    if lessons.is_empty() {
        return Err(Failure::line(format!(
            "{}\n  hint: give a folder that holds lines with their charts, such as `tune.line.txt` beside `tune.chart`; or the chart of all with --chart",
            left_out.join("\n")
        )));
    }
    left_out.iter().for_each(|why| output::note(why));
    Ok(lessons)
}

struct Reader<'a> {
    arguments: &'a args::Learn,
    how: Reading,
    /// The chart of all lines.
    common: Option<Chart>,
    /// The charts that stand in a folder, with their stems.
    in_folder: BTreeMap<PathBuf, Vec<(String, PathBuf)>>,
    /// Charts that were read, or in one sentence why they cannot be.
    charts: BTreeMap<PathBuf, Result<Chart, String>>,
}

impl Reader<'_> {
    /// The lessons of a file, or in one sentence why there are none.
    fn file(&mut self, path: &Path) -> Result<Vec<Lesson>, String> {
        let name = file_name(path);
        let beside = match self.common {
            Some(_) => None,
            None => self.chart_beside(path, &name)?,
        };
        let (lines, _) = given::lines_in_short(path, self.arguments.part.as_deref())?;
        let (stem, group) = (stem(&name), group(stem(&name)));
        let many = lines.len() > 1;
        let chart = self.common.clone().or(beside);
        let lesson = |(nth, line): (usize, &Given)| {
            let own = match &chart {
                Some(_) => None,
                None => Some(own_chart(line)?),
            };
            let how = match own {
                // All choruses stand in the file.
                Some(_) => Reading {
                    choruses: Some(1),
                    ..self.how.clone()
                },
                None => self.how.clone(),
            };
            let over = chart.as_ref().or(own.as_ref()).ok_or("it has no chart")?;
            let study = given::study(over, line, &how);
            let (_, study) = study.map_err(|failure| failure.in_short().to_owned())?;
            let numbered = |name: &str| match many {
                true => format!("{name} ({})", nth + 1),
                false => name.to_owned(),
            };
            Ok(Lesson {
                // Tunes of one file have charts of their own.
                group: match own {
                    Some(_) => numbered(group),
                    None => group.to_owned(),
                },
                name: numbered(stem),
                line: study.line,
            })
        };
        lines.iter().enumerate().map(lesson).collect()
    }

    /// The chart in a line's folder with whose name its own begins, the longest such name.
    fn chart_beside(&mut self, path: &Path, name: &str) -> Result<Option<Chart>, String> {
        let folder = path.parent().unwrap_or(Path::new("")).to_owned();
        let known = self.in_folder.entry(folder.clone());
        let known = known.or_insert_with(|| charts_in(&folder));
        let Some((_, chart)) = known.iter().find(|(stem, _)| begins(name, stem)) else {
            return Ok(None);
        };
        let chart = chart.clone();
        let part = self.arguments.chart_part.name();
        let read = self.charts.entry(chart.clone()).or_insert_with(|| {
            read::chart(&chart, part).map_err(|failure| failure.in_short().to_owned())
        });
        let why = |why: String| format!("its chart {} cannot be read: {why}", path_name(&chart));
        read.clone().map(Some).map_err(why)
    }
}

/// The chart that a line's own chord symbols make.
fn own_chart(line: &Given) -> Result<Chart, String> {
    let chart = Chart::from_score(&line.score).map(|(chart, _)| chart);
    chart.map_err(|_| {
        "no chart with whose name its own begins stands beside it, and it has no chord symbols"
            .to_owned()
    })
}

/// The charts in a folder with their stems, the longest stem first.
fn charts_in(folder: &Path) -> Vec<(String, PathBuf)> {
    let here = if folder == Path::new("") {
        Path::new(".")
    } else {
        folder
    };
    let entries = fs::read_dir(here).into_iter().flatten().flatten();
    let mut charts: Vec<(String, PathBuf)> = entries
        .map(|entry| entry.path())
        .filter(|path| {
            path.extension()
                .is_some_and(|e| e.eq_ignore_ascii_case(CHART))
        })
        .map(|path| {
            let stem = path.file_stem().unwrap_or_default();
            (stem.to_string_lossy().into_owned(), path)
        })
        .collect();
    charts.sort_by(|(one, _), (other, _)| (other.len(), one).cmp(&(one.len(), other)));
    charts
}

/// Whether a file's name begins with a stem, not within a number: `tune-10` does not begin with
/// `tune-1`.
fn begins(name: &str, stem: &str) -> bool {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    name.strip_prefix(stem)
        .is_some_and(|rest| !(digit(stem.chars().last()) && digit(rest.chars().next())))
}

fn file_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

/// A file's name up to its extension, and up to `.line` before that.
fn stem(name: &str) -> &str {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    stem.strip_suffix(".line").unwrap_or(stem)
}

/// What lines of one tune are called in common: the name up to its last digit, where one letter
/// follows that.
fn group(stem: &str) -> &str {
    let shorter = stem.strip_suffix(|c: char| c.is_ascii_alphabetic());
    shorter
        .filter(|shorter| shorter.ends_with(|c: char| c.is_ascii_digit()))
        .unwrap_or(stem)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn takes_of_a_tune_are_known_by_their_names() {
        let of = |name: &str| group(stem(name)).to_owned();
        assert_eq!(of("tune-01a.line.txt"), "tune-01");
        assert_eq!(of("tune-01.mid"), "tune-01");
        assert_eq!(of("slow blues.txt"), "slow blues");
        assert_eq!(of("take 2ab.abc"), "take 2ab");
    }

    #[test]
    fn a_line_begins_with_the_whole_name_of_its_chart() {
        assert!(begins("blues.line.txt", "blues") && begins("blues-2.mid", "blues"));
        assert!(begins("tune-1a.txt", "tune-1") && begins("blues2.mid", "blues"));
        assert!(!begins("tune-10.txt", "tune-1") && !begins("blue.txt", "blues"));
    }
}
