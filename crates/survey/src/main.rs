//! Surveys lines over every shipped chart and style, and prints what they are
//! like: `linewright-survey [SEEDS [STYLE…]]`.

mod tally;

use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

use linewright_chart::Chart;
use linewright_compose::{Batch, Composer};
use linewright_rules::{Choice, Line};
use linewright_style::Library;
use tally::Tally;

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<bool, String> {
    let mut args = std::env::args().skip(1);
    let seeds: u64 = args
        .next()
        .map_or(Ok(20), |text| text.parse())
        .map_err(|e| format!("SEEDS: {e}"))?;
    let mut styles: Vec<String> = args.collect();
    if styles.is_empty() {
        styles = Library::builtin_names().map(str::to_owned).collect();
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut paths: Vec<_> = std::fs::read_dir(&folder)
        .map_err(|e| format!("{}: {e}", folder.display()))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "chart"))
        .collect();
    paths.sort();
    let library = Library::builtin();
    println!("{}", Tally::HEADING);
    let mut good = true;
    for name in &styles {
        let composer = library
            .style(name)
            .and_then(Composer::new)
            .map_err(|e| e.to_string())?;
        let mut tally = Tally::default();
        for path in &paths {
            let bytes = std::fs::read(path).map_err(|e| format!("{}: {e}", path.display()))?;
            let chart =
                Chart::parse(&path.display().to_string(), &bytes).map_err(|e| e.to_string())?;
            let timeline = Arc::new(chart.unroll().map_err(|e| e.to_string())?);
            let choice = Choice::Sampled {
                temperature: composer.style().temperature,
            };
            let mut batch = Batch::new(&composer, &timeline);
            let mut before: Option<Line> = None;
            for seed in 0..seeds {
                let line = batch
                    .line(seed, 0, choice)
                    .map_err(|e| format!("{} in style {name}, seed {seed}: {e}", path.display()))?;
                tally.add(&line);
                if let Some(before) = &before {
                    tally.compare(before, &line);
                }
                before = Some(line);
            }
        }
        println!("{}", tally.row(name));
        good &= tally.is_sound();
    }
    Ok(good)
}
