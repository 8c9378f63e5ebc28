//! Holds lines of styles against what professional players play.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_compose::{Batch, Choice, Composer};
use linewright_rulebook::style::{Feel, Library, Style, resolve};
use linewright_workshop::practice::{ASPECTS, Counts, FOLDER, Run, excerpts};
use linewright_workshop::shipped::{self, in_threads};

use super::{Command, threads, usage_of};

pub(super) const COMMAND: Command = Command {
    name: "practice",
    arguments: "[--brief] [--seeds N] [--style NAME|FILE]… [FOLDER]",
    about: "composes the charts of players' excerpts, 20 seeds of each, and counts what players' lines were counted for",
    run,
};

fn run(arguments: Vec<String>) -> Result<bool, String> {
    let (mut styles, mut seeds, mut brief) = (Vec::new(), 20, false);
    let mut folder = None;
    let mut arguments = arguments.into_iter();
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--brief" => brief = true,
            "--style" => {
                let wanted = arguments.next();
                let missing = || wrong("--style: give the name of a style, or its file");
                styles.push(style(&wanted.ok_or_else(missing)?)?);
            }
            "--seeds" => {
                let number = arguments.next().and_then(|text| text.parse().ok());
                let missing = || wrong("--seeds: give a number from 1");
                seeds = number.filter(|n| *n > 0).ok_or_else(missing)?;
            }
            path if folder.is_none() && !path.starts_with('-') => folder = Some(path.into()),
            other => {
                return Err(wrong(&format!(
                    "{other}: give one folder at most, and no other options"
                )));
            }
        }
    }
    if styles.is_empty() {
        styles = Library::builtin_names()
            .map(style)
            .collect::<Result<_, _>>()?;
    }
    let mut rows = vec![heading()];
    let set = || std::env::var_os(FOLDER).map(PathBuf::from);
    let charts = charts(folder.or_else(set), &mut rows)?;
    for style in styles {
        let name = style.name.clone();
        if style.feel == Feel::InTwo || name == "waltz" {
            rows.push(format!("{name:<15} left out: it does not walk in four"));
            continue;
        }
        let counts = count(style, &charts, seeds)?;
        if !brief {
            print_figures(&name, &counts);
        }
        rows.push(row(&name, &counts));
    }
    println!("{}", rows.join("\n"));
    Ok(true)
}

fn wrong(what: &str) -> String {
    format!("{what}\n{}", usage_of(&COMMAND))
}

/// The charts of the excerpts in a folder, whose own lines make a row, or those that are shipped.
fn charts(folder: Option<PathBuf>, rows: &mut Vec<String>) -> Result<Vec<Arc<Timeline>>, String> {
    let Some(folder) = folder else {
        println!(
            "no folder is named, here or by {FOLDER}: these lines go over the shipped charts\n"
        );
        let charts = shipped::charts().into_iter();
        return Ok(charts.map(|(_, chart)| chart).collect());
    };
    let excerpts = excerpts(&folder)?;
    let runs: Vec<Run> = excerpts.iter().flat_map(|e| e.runs.clone()).collect();
    rows.push(row("(players)", &Counts::of(&runs)));
    Ok(excerpts.into_iter().map(|excerpt| excerpt.chart).collect())
}

/// A shipped style, or that of a file.
fn style(wanted: &str) -> Result<Style, String> {
    let library = Library::builtin();
    let style = if Path::new(wanted).extension().is_some_and(|e| e == "toml") {
        let text = std::fs::read_to_string(wanted).map_err(|e| format!("{wanted}: {e}"))?;
        resolve(&library, wanted, &text)
    } else {
        library.style(wanted)
    };
    style.map_err(|e| e.to_string())
}

/// What is counted in lines of a style over the charts, so many seeds of each.
fn count(style: Style, charts: &[Arc<Timeline>], seeds: u64) -> Result<Counts, String> {
    let composer = Composer::new(style).map_err(|e| e.to_string())?;
    let temperature = composer.style().temperature;
    let counted = in_threads(charts.len(), threads(), |at| {
        let mut batch = Batch::new(&composer, &charts[at]);
        let mut counts = Counts::default();
        for seed in 0..seeds {
            let line = batch.line(seed, 0, Choice::Sampled { temperature });
            let told = |why| format!("{}, seed {seed}: {why}", charts[at].title);
            counts.join(&Counts::of(&Run::of_line(&line.map_err(told)?)));
        }
        Ok(counts)
    });
    let mut all = Counts::default();
    for counts in counted {
        all.join(&counts.map_err(|e: String| format!("{}: {e}", composer.style().name))?);
    }
    Ok(all)
}

/// Every figure of the lines beside that of players.
fn print_figures(style: &str, counts: &Counts) {
    println!(
        "{style:<28} {:>8} {:>9} {:>15}",
        "lines", "practice", "95 %"
    );
    for figure in counts.figures() {
        let number = |value: f64| format!("{value:.*}", figure.decimals);
        let (low, high) = figure.interval;
        println!(
            "{:<28} {:>8} {:>9} {:>15} {}",
            figure.name,
            number(figure.value),
            number(figure.practice),
            format!("{}–{}", number(low), number(high)),
            if figure.is_inside() { "inside" } else { "" }
        );
    }
    println!();
}

fn heading() -> String {
    let aspects = ASPECTS.iter().map(|aspect| format!(" {:>9}", aspect.name));
    let aspects: String = aspects.collect();
    format!(
        "{:<15} {:>7} {:>7} {:>8}{aspects}",
        "style", "notes", "inside", "distance"
    )
}

fn row(name: &str, counts: &Counts) -> String {
    let figures = counts.figures();
    let inside = figures.iter().filter(|figure| figure.is_inside()).count();
    let divergences = counts.divergences();
    let aspects: String = divergences
        .iter()
        .map(|bits| format!(" {bits:>9.3}"))
        .collect();
    format!(
        "{name:<15} {:>7} {:>7} {:>8.3}{aspects}",
        counts.notes(),
        format!("{inside}/{}", figures.len()),
        divergences.iter().sum::<f64>(),
    )
}
