//! `linewright profile`.

use std::path::{Path, PathBuf};

use linewright::study::profile::{Comparison, Profile};
use linewright::{
    Chart, Compared, Counted, Diagnostic, Fit, Given, NoLine, Profiled, Reading, Report, Setting,
    Tune,
};

use crate::args;
use crate::compose::threads;
use crate::exit::Failure;
use crate::files::Goals;
use crate::keys::AskedKey;
use crate::line_files::{Found, files};
use crate::memory::Way;
use crate::output::path_name;
use crate::parallel::{in_order, processors};
use crate::reports::{self, publish};
use crate::{given, output, progress, read};

/// Counts, compares, prints and writes.
pub fn run(arguments: &args::Profile) -> Result<(), Failure> {
    let chart = {
        let part = arguments.chart_part.name();
        let chart = arguments.chart.as_deref();
        chart.map(|path| read::chart(path, part)).transpose()?
    };
    let style = arguments.style.name();
    let run = Run {
        arguments,
        chart,
        style: style.as_deref(),
    };
    let here = if arguments.lines.is_empty() {
        Lines::Composed(style.as_deref().unwrap_or_default())
    } else {
        Lines::Files(files(&arguments.lines, &arguments.output))
    };
    let there = match &arguments.against_style {
        Some(style) => Some(Lines::Composed(style)),
        None if arguments.against.is_empty() => None,
        None => Some(Lines::Files(files(&arguments.against, &arguments.output))),
    };
    let goals = run.check(here.paths().chain(there.iter().flat_map(Lines::paths)))?;
    let (of, profile, mut left_out) = run.count(&here)?;
    let over = run.chart.as_ref().map(|chart| chart.title().to_owned());
    let counted: Box<dyn Report> = match there {
        None => Box::new(Profiled { of, over, profile }),
        Some(there) => {
            let (other, against, more) = run.count(&there)?;
            left_out += more;
            Box::new(Compared {
                here: of,
                there: other,
                over,
                comparison: Comparison::of(profile, against),
            })
        }
    };
    // The check lets none but reports through.
    publish(
        counted.as_ref(),
        &arguments.look,
        &arguments.output,
        &goals,
        Vec::new,
    )?;
    if left_out > 0 {
        return Err(Failure::line(format!(
            "{left_out} of the lines or files could not be counted\n  hint: what is wrong with each is told above"
        )));
    }
    Ok(())
}

/// The lines that are counted.
enum Lines<'a> {
    /// Those of files.
    Files(Vec<Found>),
    /// Those composed in a style.
    Composed(&'a str),
}

impl Lines<'_> {
    /// The files that are read.
    fn paths(&self) -> impl Iterator<Item = (&'static str, &Path)> {
        let (files, style) = match self {
            Lines::Files(files) => (files.as_slice(), None),
            Lines::Composed(style) => ([].as_slice(), Some(*style)),
        };
        let files = files
            .iter()
            .filter_map(|found| Some(("line", found.file()?)));
        let style = style.filter(|style| read::is_style_file(style));
        files.chain(style.map(|style| ("style", Path::new(style))))
    }
}

struct Run<'a> {
    arguments: &'a args::Profile,
    chart: Option<Chart>,
    style: Option<&'a str>,
}

impl Run<'_> {
    /// Checks every file that is to be written.
    fn check<'b>(
        &'b self,
        read: impl Iterator<Item = (&'static str, &'b Path)>,
    ) -> Result<Goals, Failure> {
        let mut sources: Vec<(&'static str, &Path)> = read.collect();
        sources.extend(read::sources(self.arguments.chart.as_deref(), self.style));
        reports::goals(&self.arguments.output, self.arguments.force, &sources, None)
    }

    /// Counts lines; says which, and how many could not be counted.
    fn count(&self, lines: &Lines) -> Result<(Counted, Profile, usize), Failure> {
        match lines {
            Lines::Files(found) => self.read(found),
            Lines::Composed(style) => {
                let profile = self.compose(style)?;
                let composed = Counted::Composed {
                    style: read::style(style)?.name,
                    first: *self.arguments.seeds.start(),
                    last: *self.arguments.seeds.end(),
                };
                Ok((composed, profile, 0))
            }
        }
    }

    /// The profile of composed lines.
    fn compose(&self, style: &str) -> Result<Profile, Failure> {
        let chart = self.chart.as_ref().ok_or_else(|| {
            Failure::usage("lines are composed over a chart\n  hint: give one with --chart FILE, or give files of lines")
        })?;
        let setting = Setting {
            key: AskedKey::of_any(self.arguments.key, chart)?,
            tempo: None,
            choruses: self.arguments.choruses.map_or(1, usize::from),
        };
        let tune = Tune::new(chart, Some(read::style(style)?), &Fit::default(), &setting);
        let tune = tune.map_err(Failure::tune)?;
        let (first, last) = (*self.arguments.seeds.start(), *self.arguments.seeds.end());
        let count = (last - first + 1) as usize;
        let bar = progress::bar(count, "composing");
        let mut profile = Profile::default();
        in_order(
            count,
            threads(tune.timeline(), Way::to(tune.drawn()), None)?,
            || tune.batch(),
            |batch, nth| {
                let line = batch.line(first + nth as u64, 0, tune.drawn());
                line.map(|line| Profile::of(&line))
            },
            &mut |counted: Result<Profile, NoLine>| {
                profile.join(&counted.map_err(Failure::no_line)?);
                bar.inc(1);
                Ok(())
            },
        )?;
        bar.finish_and_clear();
        Ok(profile)
    }

    /// The profile of the lines of files; what cannot be counted is told and left out.
    fn read(&self, found: &[Found]) -> Result<(Counted, Profile, usize), Failure> {
        let style = self.style.map(read::style).transpose()?;
        let how = Reading {
            style,
            key: match &self.chart {
                Some(chart) => AskedKey::of_any(self.arguments.line_key, chart)?,
                // Each line has a chart of its own.
                None => None,
            },
            choruses: self.arguments.choruses.map(usize::from),
            ..Reading::default()
        };
        let bar = progress::bar(found.len(), "counting");
        let (mut profile, mut names, mut left_out) = (Profile::default(), Vec::new(), Vec::new());
        in_order(
            found.len(),
            processors(),
            || (),
            |(), nth| self.file(&found[nth], &how),
            &mut |(path, counted): (PathBuf, Vec<Result<Profile, String>>)| {
                let before = profile.lines();
                for line in counted {
                    match line {
                        Ok(line) => profile.join(&line),
                        Err(why) => left_out.push(format!("{}: {why}", path_name(&path))),
                    }
                }
                if profile.lines() > before {
                    names.push(path_name(&path));
                }
                bar.inc(1);
                Ok(())
            },
        )?;
        bar.finish_and_clear();
        if names.is_empty() {
            return Err(Failure::line(format!(
                "{}\n  hint: give files of lines, or folders that hold some",
                left_out.join("\n")
            )));
        }
        left_out.iter().for_each(|why| output::note(why));
        Ok((Counted::Files(names), profile, left_out.len()))
    }

    /// The profile of each line of a file, or why there is none.
    fn file(&self, found: &Found, how: &Reading) -> (PathBuf, Vec<Result<Profile, String>>) {
        let (path, read) = match found {
            Found::Trouble(folder, why) => (folder, Err(why.clone())),
            Found::File(path) => {
                let part = self.arguments.part.as_deref();
                (path, given::lines_in_short(path, part))
            }
        };
        let counted = match read {
            Err(why) => vec![Err(why)],
            Ok((lines, _)) => lines.iter().map(|line| self.line(line, how)).collect(),
        };
        (path.clone(), counted)
    }

    /// The profile of a line over the chart, or over its own chords.
    fn line(&self, line: &Given, how: &Reading) -> Result<Profile, String> {
        let in_short = |failure: Failure| failure.in_short().to_owned();
        let study = match &self.chart {
            Some(chart) => given::study(chart, line, how).map_err(in_short)?.1,
            None => {
                let (chart, _) = Chart::from_score(&line.score).map_err(|problems| {
                    let first = problems.list().first();
                    let why = first.map_or(String::new(), Diagnostic::in_short);
                    format!("its own chords cannot be read, and no --chart was given: {why}")
                })?;
                // All choruses stand in the file.
                let how = Reading {
                    key: AskedKey::of_any(self.arguments.line_key, &chart).map_err(in_short)?,
                    choruses: Some(1),
                    infer: true,
                    ..how.clone()
                };
                given::study(&chart, line, &how).map_err(in_short)?.1
            }
        };
        if study.line.reading.notes.is_empty() {
            return Err("no note of it sounds over a chord".to_owned());
        }
        Ok(Profile::of(&study.line))
    }
}
