//! `linewright compose`.

use linewright::{Choice, Line, NoLine, Timeline, Tune};

use crate::args::Compose;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::memory::{self, Way};
use crate::pages::{self, Printer};
use crate::parallel::{in_order, processors};
use crate::{output, read};

/// Most bars of all ranked lines together: they are made all at once, at about 2 kB a bar.
const MOST_RANKED_BARS: usize = 50_000;

/// Most bars that all threads together work at, however many there are.
const MOST_BARS_AT_ONCE: usize = 1024;

/// Composes, prints and writes.
pub fn run(arguments: &Compose) -> Result<(), Failure> {
    let chart = read::chart(arguments.chart.path(), arguments.chart.part())?;
    let style = arguments.style.name();
    let tune = read::tune(&chart, style.as_deref(), &arguments.playing)?;
    let options = pages::options(&arguments.page, Some(tune.timeline()))?;
    let mut printer = Printer::new(&arguments.page, options.clone());
    let first = arguments.choice.nth;
    let numbers = first..first + u64::from(arguments.choice.lines);
    let settings = pages::settings(options, &arguments.sheet);
    let outputs = Outputs::check(
        &arguments.files.output,
        numbers.clone(),
        arguments.files.force,
        &settings,
        &read::sources(Some(arguments.chart.path()), style.as_deref()),
    )?;
    let mut number = first;
    compose(arguments, &tune, &mut |line| {
        outputs.hand_over(number, &line, &mut printer)?;
        number += 1;
        Ok(())
    })?;
    if number < numbers.end {
        output::note(&format!(
            "there are only {} lines under this plan",
            number - first
        ));
    }
    Ok(())
}

/// On how many threads lines over this form are made, if they can be.
pub fn threads(timeline: &Timeline, way: Way, asked: Option<u16>) -> Result<usize, Failure> {
    memory::check(timeline, way)?;
    let most = (MOST_BARS_AT_ONCE / timeline.bars.len().max(1)).max(1);
    let most = most.min(memory::at_once(timeline, way));
    Ok(asked.map_or_else(processors, usize::from).min(most))
}

/// Hands over all lines that were asked for, in order.
fn compose(
    arguments: &Compose,
    tune: &Tune,
    take: &mut dyn FnMut(Line) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let (asked, timeline) = (&arguments.choice, tune.timeline());
    if asked.ranked {
        let most = MOST_RANKED_BARS / timeline.bars.len().max(1);
        if usize::from(asked.lines) > most.max(1) {
            return Err(Failure::usage(format!(
                "{} ranked lines of {} bars are too many to hold at once\n  hint: ask for at most {}",
                asked.lines,
                timeline.bars.len(),
                most.max(1)
            )));
        }
        memory::check(timeline, Way::Ranked)?;
        let lines = tune.ranked(asked.seed, asked.lines.into());
        return lines
            .map_err(Failure::no_line)?
            .into_iter()
            .try_for_each(take);
    }
    let choice = match asked.bold {
        _ if asked.best => Choice::Best,
        Some(temperature) => Choice::Sampled { temperature },
        None => tune.drawn(),
    };
    let count = usize::from(asked.lines);
    let threads = threads(timeline, Way::to(choice), arguments.threads)?;
    // Lines count from 1 for people and from 0 in the seed.
    in_order(
        count,
        threads,
        || tune.batch(),
        |batch, nth| batch.line(asked.seed, asked.nth - 1 + nth as u64, choice),
        &mut |line: Result<Line, NoLine>| take(line.map_err(Failure::no_line)?),
    )
}
