//! `linewright vary`.

use std::path::Path;
use std::sync::Arc;

use linewright::study::vary::{Asked, VaryError, vary};
use linewright::text::Options;
use linewright::{Chart, Choice, Composer, Line, Reading, suited_style};

use crate::args::Vary;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::{given, output, pages, read};

/// Reads or composes a line, varies it, prints and writes.
pub fn run(arguments: &Vary) -> Result<(), Failure> {
    let chart = read::chart(&arguments.chart, arguments.chart_part.name())?;
    let (composer, line) = match &arguments.line {
        Some(path) => given_line(arguments, &chart, path)?,
        None => composed_line(arguments, &chart)?,
    };
    let timeline = &line.timeline;
    let last = timeline.bar_number(timeline.bars.len() - 1);
    let (from, until) = (*arguments.bars.start(), *arguments.bars.end());
    if until > last || (from == 0 && timeline.pickups() == 0) {
        return Err(Failure::usage(format!(
            "there are no bars {from} to {until}: the piece has bars 1 to {last}\n  hint: bars are counted as played, over all choruses; see `linewright chart --unroll`"
        )));
    }
    // A pick-up is bar 0.
    let first = from + timeline.pickups() - 1;
    let bars = first..first + (until - from) + 1;
    let asked = Asked {
        count: arguments.count.into(),
        strategies: arguments.strategy.clone(),
        distance: arguments.distance.map(usize::from),
    };
    let options = Options {
        width: arguments.width.into(),
        ..Options::default()
    };
    let settings = pages::settings(options.clone(), &arguments.sheet);
    let mut sources = vec![("chart", arguments.chart.as_path())];
    sources.extend(arguments.line.as_deref().map(|line| ("line", line)));
    let mut outputs = Outputs::check(
        &arguments.output,
        1..2,
        arguments.force,
        &settings,
        &sources,
    )?;
    let varied = vary(&composer, &line, bars, &asked).map_err(|error| match error {
        VaryError::NoNotes | VaryError::TooLong { .. } => Failure::usage(error),
        VaryError::TooWide => Failure::line(error),
    })?;
    outputs.stage(1, &varied)?;
    pages::Printer::coloured(arguments.colour, options).print(&varied)?;
    output::tell(&outputs.finish()?);
    Ok(())
}

fn given_line(arguments: &Vary, chart: &Chart, path: &Path) -> Result<(Composer, Line), Failure> {
    let lines = given::lines(path, None)?;
    let line = lines
        .first()
        .ok_or_else(|| Failure::line("the file holds no line"))?;
    let playing = &arguments.playing;
    let how = Reading {
        style: arguments.style.as_deref().map(read::style).transpose()?,
        key: playing.key,
        tempo: playing.tempo,
        choruses: (playing.choruses > 1).then_some(usize::from(playing.choruses)),
        fit: arguments.playing.fit(),
        infer: false,
    };
    let (composer, study) = given::study(chart, line, &how)?;
    Ok((composer, study.line))
}

fn composed_line(arguments: &Vary, chart: &Chart) -> Result<(Composer, Line), Failure> {
    let named = arguments
        .style
        .as_deref()
        .unwrap_or_else(|| suited_style(chart));
    let style = arguments
        .playing
        .fit()
        .style(read::style(named)?)
        .map_err(Failure::style)?;
    let composer = Composer::new(style).map_err(Failure::style)?;
    let setting = arguments.playing.setting();
    let timeline = Arc::new(setting.timeline(chart).map_err(Failure::usage)?);
    let choice = Choice::Sampled {
        temperature: composer.style().temperature,
    };
    let line = composer.compose(&timeline, arguments.seed, 0, choice);
    let line = line.map_err(Failure::no_line)?;
    Ok((composer, line))
}
