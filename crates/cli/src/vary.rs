//! `linewright vary`.

use std::path::Path;

use linewright::study::vary::{Asked, VaryError, vary};
use linewright::text::Options;
use linewright::{Chart, Line, Reading, Tune};

use crate::args::Vary;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::keys::AskedKey;
use crate::memory::{self, Way};
use crate::{bars, given, pages, progress, read};

/// Reads or composes a line, varies it, prints and writes.
pub fn run(arguments: &Vary) -> Result<(), Failure> {
    let chart = read::chart(arguments.chart.path(), arguments.chart.part())?;
    let (tune, line) = match &arguments.line {
        Some(path) => given_line(arguments, &chart, path)?,
        None => composed_line(arguments, &chart)?,
    };
    let passage = bars::places(&arguments.bars, &line.timeline)?;
    let asked = Asked {
        count: arguments.count.into(),
        strategies: arguments.strategy.clone(),
        distance: arguments.distance.map(usize::from),
    };
    let options = Options {
        width: arguments.look.width.into(),
        ..Options::default()
    };
    let settings = pages::settings(options.clone(), &arguments.sheet);
    let style = arguments.style.name();
    let mut sources = read::sources(Some(arguments.chart.path()), style.as_deref());
    sources.extend(arguments.line.as_deref().map(|line| ("line", line)));
    let outputs = Outputs::check(
        &arguments.files.output,
        1..2,
        arguments.files.force,
        &settings,
        &sources,
    )?;
    let busy = progress::busy("looking for other ways");
    let varied = vary(tune.composer(), &line, passage, &asked).map_err(|error| match error {
        VaryError::NoNotes | VaryError::TooLong { .. } => Failure::usage(error),
        VaryError::TooWide => Failure::line(error),
    })?;
    drop(busy);
    let mut printer = pages::Printer::coloured(arguments.look.colours.colour, options);
    outputs.hand_over(1, &varied, &mut printer)
}

fn given_line(arguments: &Vary, chart: &Chart, path: &Path) -> Result<(Tune, Line), Failure> {
    let lines = given::lines(path, None)?;
    let line = lines
        .first()
        .ok_or_else(|| Failure::line("the file holds no line"))?;
    let playing = &arguments.playing;
    if playing.key.is_some() {
        return Err(Failure::usage(
            "--key moves a line that is composed, and --line gives one\n  hint: to say which key the line is written in, use --line-key",
        ));
    }
    let style = arguments.style.name();
    let how = Reading {
        style: style.as_deref().map(read::style).transpose()?,
        key: AskedKey::of_any(arguments.line_key, chart)?,
        tempo: playing.tempo,
        choruses: (playing.choruses > 1).then_some(usize::from(playing.choruses)),
        fit: arguments.playing.fit(),
        infer: false,
    };
    let (tune, study) = given::study(chart, line, &how)?;
    Ok((tune, study.line))
}

fn composed_line(arguments: &Vary, chart: &Chart) -> Result<(Tune, Line), Failure> {
    let tune = read::tune(chart, arguments.style.name().as_deref(), &arguments.playing)?;
    memory::check(tune.timeline(), Way::to(tune.drawn()))?;
    let line = tune.compose(arguments.seed, 0, tune.drawn());
    Ok((tune, line.map_err(Failure::no_line)?))
}
