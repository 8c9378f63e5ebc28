//! `linewright learn`.

mod lessons;

use std::path::Path;

use linewright::learned_text;
use linewright::study::learn::{Asked, Progress, Stage, learn};

use crate::args;
use crate::exit::Failure;
use crate::files::Goals;
use crate::line_files::{Found, files};
use crate::output::path_name;
use crate::reports::{self, Format, publish};
use crate::{output, progress, read, values};

/// The extension of style files, and what it holds.
const STYLE: Format = ("toml", "the style");

/// Fewer bars say little.
const FEW_BARS: usize = 50;

/// So many bars are enough.
const MANY_BARS: usize = 250;

/// Learns, prints and writes.
pub fn run(arguments: &args::Learn) -> Result<(), Failure> {
    let style = read::style(&arguments.style)?;
    let found = files(&arguments.lines, &arguments.output);
    let goals = check(arguments, &found)?;
    let lessons = lessons::read(arguments, &style, &found)?;
    let asked = Asked {
        name: name(arguments),
        seed: arguments.seed,
        samples: arguments.samples.into(),
        folds: arguments.folds.into(),
        whole: arguments.whole,
        deviation: f64::from(arguments.freedom) / 1000.0,
        keep_limits: arguments.keep_limits,
        composed: arguments.composed.into(),
    };
    let bar = progress::bar(1, "learning");
    let learned = learn(&style, &lessons, &asked, &mut |now: Progress| {
        bar.set_length(now.of as u64);
        bar.set_position(now.done as u64);
        bar.set_message(doing(now.stage));
        true
    });
    bar.finish_and_clear();
    let learned = learned.map_err(Failure::line)?;
    if learned.bars < FEW_BARS {
        output::note(&format!(
            "{} bars say little: {FEW_BARS} are useful, {MANY_BARS} are good",
            learned.bars
        ));
    }
    let style = || learned_text(&learned).into_bytes();
    publish(&learned, &arguments.look, &arguments.output, &goals, style)
}

/// Checks every file that is to be written.
fn check(arguments: &args::Learn, found: &[Found]) -> Result<Goals, Failure> {
    let lines = found
        .iter()
        .filter_map(|found| Some(("line", found.file()?)));
    let mut sources: Vec<(&'static str, &Path)> = lines.collect();
    sources.extend(read::sources(
        arguments.chart.as_deref(),
        Some(&arguments.style),
    ));
    reports::goals(&arguments.output, arguments.force, &sources, Some(STYLE))
}

/// What the style is called: as asked, or like its file.
fn name(arguments: &args::Learn) -> String {
    let of_file = |path: &&std::path::PathBuf| {
        let extension = path.extension().unwrap_or_default();
        extension.eq_ignore_ascii_case(STYLE.0)
    };
    let file = arguments.output.iter().find(of_file);
    let stem = file.and_then(|path| path.file_stem());
    let like = stem.map(|stem| values::tidy_name(&stem.to_string_lossy()));
    let named = arguments.name.clone().or(like);
    named
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| Asked::default().name)
}

/// What is being done, in a word or two.
fn doing(stage: Stage) -> &'static str {
    match stage {
        Stage::Fitting => "fitting weights",
        Stage::HoldingOut => "holding lines out",
        Stage::Listening => "listening to bars",
        Stage::Doubting => "looking for what is missed",
        Stage::Composing => "composing",
    }
}

/// What a file is called in remarks.
fn told(path: &Path, why: &str) -> String {
    format!("{}: {why}; it is left out", path_name(path))
}
