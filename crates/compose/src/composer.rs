//! From a form, a style and a seed to lines.

use std::ops::Deref;
use std::sync::Arc;

use crate::line::Line;
use crate::provenance::Choice;
use linewright_chart::Timeline;
use linewright_diagnostic::Diagnostic;
use linewright_lattice::{DeadEnd, Lattice, SampleError, Sampler, Scored};
use linewright_rulebook::StyleBook;
use linewright_rulebook::plan::{Dice, Plan, Purpose};
use linewright_rulebook::style::Style;
use linewright_theory::Pitch;

use crate::build::{candidates, lattice};
use crate::no_line::NoLine;
use crate::tables::Tables;

/// Composes in one style. It is used wherever its [`StyleBook`] is asked for.
#[derive(Clone, Debug)]
pub struct Composer {
    style_book: StyleBook,
}

impl Deref for Composer {
    type Target = StyleBook;

    fn deref(&self) -> &StyleBook {
        &self.style_book
    }
}

impl From<StyleBook> for Composer {
    fn from(style_book: StyleBook) -> Self {
        Self { style_book }
    }
}

/// A plan with the lattice of every line over it.
pub struct Workbench {
    plan: Plan,
    pitches: Vec<Pitch>,
    lattice: Lattice,
    line: u64,
    seed: u64,
}

impl Composer {
    /// A composer for a style.
    ///
    /// # Errors
    /// A style that weighs a rule which does not exist.
    pub fn new(style: Style) -> Result<Self, Diagnostic> {
        StyleBook::new(style).map(Self::from)
    }

    /// Draws the plan of line `line` (from 0) of a seed, and builds the
    /// lattice of every line over it.
    ///
    /// # Errors
    /// A chart without a chord.
    pub fn workbench(
        &self,
        timeline: &Timeline,
        seed: u64,
        line: u64,
    ) -> Result<Workbench, NoLine> {
        self.workbench_with(timeline, seed, line, &mut Tables::default())
    }

    fn workbench_with(
        &self,
        timeline: &Timeline,
        seed: u64,
        line: u64,
        tables: &mut Tables,
    ) -> Result<Workbench, NoLine> {
        let plan = Plan::draw(
            timeline,
            self.style(),
            &mut Dice::new(seed, line, Purpose::Plan),
        );
        let pitches = candidates(self.style());
        let lattice = lattice(
            &(&**self.book()).into(),
            self.style(),
            &plan,
            &pitches,
            |_| None,
            tables,
        )
        .ok_or_else(NoLine::silent)?;
        Ok(Workbench {
            plan,
            pitches,
            lattice,
            line,
            seed,
        })
    }

    /// Line `line` (from 0) of a seed: its own plan, and its own draws. For
    /// many lines over one form, a [`Batch`] is quicker.
    ///
    /// # Errors
    /// When no line obeys the style's limits, or the chart has no chord.
    pub fn compose(
        &self,
        timeline: &Arc<Timeline>,
        seed: u64,
        line: u64,
        choice: Choice,
    ) -> Result<Line, NoLine> {
        Batch::new(self, timeline).line(seed, line, choice)
    }

    /// The `count` best lines under the plan of a seed, best first; fewer if
    /// there are not so many.
    ///
    /// # Errors
    /// When no line obeys the style's limits, or the chart has no chord.
    pub fn ranked(
        &self,
        timeline: &Arc<Timeline>,
        seed: u64,
        count: usize,
    ) -> Result<Vec<Line>, NoLine> {
        let bench = self.workbench(timeline, seed, 0)?;
        let paths = bench
            .lattice
            .k_best(count)
            .map_err(|dead_end| self.explain(timeline, &bench, &dead_end))?;
        let line = |(place, scored): (usize, &Scored)| {
            self.finish(timeline, &bench, &scored.path, Choice::Ranked { place })
        };
        Ok((1..).zip(&paths).map(line).collect())
    }

    fn explain(&self, timeline: &Timeline, bench: &Workbench, dead_end: &DeadEnd) -> NoLine {
        NoLine::explain(
            dead_end,
            timeline,
            self.book(),
            self.style(),
            &bench.plan,
            &bench.pitches,
        )
    }

    fn finish(
        &self,
        timeline: &Arc<Timeline>,
        bench: &Workbench,
        path: &[u8],
        choice: Choice,
    ) -> Line {
        let pitches: Vec<Pitch> = path
            .iter()
            .map(|&k| bench.pitches[usize::from(k)])
            .collect();
        let made = (bench.seed, bench.line);
        let line = Line::made(
            self,
            timeline,
            bench.plan.clone(),
            &pitches,
            made,
            Some(choice),
        );
        debug_assert_eq!(
            bench.lattice.score(path),
            Some(line.reading.score),
            "reasons add up to the score"
        );
        line
    }
}

/// Many lines over one form: what was worked out for one serves the next.
pub struct Batch<'a> {
    composer: &'a Composer,
    timeline: &'a Arc<Timeline>,
    tables: Tables,
}

impl<'a> Batch<'a> {
    /// A batch of lines in the composer's style over a form.
    pub fn new(composer: &'a Composer, timeline: &'a Arc<Timeline>) -> Self {
        Self {
            composer,
            timeline,
            tables: Tables::default(),
        }
    }

    /// Line `line` (from 0) of a seed. The same seed and number give the same
    /// line, whatever else the batch has made.
    ///
    /// # Errors
    /// When no line obeys the style's limits, when there are fewer lines than the place
    /// that is asked for, when the temperature is too low, or the chart has no chord.
    pub fn line(&mut self, seed: u64, line: u64, choice: Choice) -> Result<Line, NoLine> {
        let Self {
            composer,
            timeline,
            tables,
        } = self;
        let bench = composer.workbench_with(timeline, seed, line, tables)?;
        let explain = |dead_end: &DeadEnd| composer.explain(timeline, &bench, dead_end);
        let path = match choice {
            Choice::Best => bench
                .lattice
                .best()
                .map(|best| best.path)
                .map_err(|end| explain(&end))?,
            Choice::Ranked { place } => {
                let mut paths = bench.lattice.k_best(place).map_err(|end| explain(&end))?;
                if paths.len() < place {
                    return Err(NoLine::too_few(paths.len()));
                }
                paths.swap_remove(place.max(1) - 1).path
            }
            Choice::Sampled { temperature } => {
                match bench.lattice.sampler(f64::from(temperature)) {
                    Ok(sampler) => draw(&sampler, seed, line),
                    Err(SampleError::DeadEnd(dead_end)) => return Err(explain(&dead_end)),
                    Err(SampleError::Temperature(_)) => return Err(NoLine::too_cold(1.0)),
                    Err(SampleError::TooCold { enough, .. }) => {
                        return Err(NoLine::too_cold(enough));
                    }
                }
            }
        };
        Ok(composer.finish(timeline, &bench, &path, choice))
    }
}

impl Workbench {
    /// The plan.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The lattice of every line over the plan; candidate k is the kth note of
    /// the style's range.
    pub fn lattice(&self) -> &Lattice {
        &self.lattice
    }
}

fn draw(sampler: &Sampler, seed: u64, line: u64) -> Vec<u8> {
    let mut dice = Dice::new(seed, line, Purpose::Notes);
    let mut path = Vec::new();
    sampler.draw(&mut || dice.bits(), &mut path);
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_chart::Chart;
    use linewright_rulebook::style::{Library, resolve};

    /// A form so short, in a range so narrow, that its lines can be counted.
    fn short() -> (Composer, Arc<Timeline>) {
        let style = "name = \"narrow\"\ndescription = \"An octave.\"\nextends = \"two-feel\"\n\
            [range]\nlow = \"E1\"\nhigh = \"E2\"\n";
        let style = resolve(&Library::builtin(), "narrow.toml", style).unwrap();
        let chart = Chart::parse("test", b"time: 2/4\n| C |\n").unwrap();
        (
            Composer::new(style).unwrap(),
            Arc::new(chart.unroll().unwrap()),
        )
    }

    #[test]
    fn a_ranked_line_is_made_again_by_its_place() {
        let (composer, timeline) = short();
        let ranked = composer.ranked(&timeline, 7, 3).unwrap();
        assert_eq!(ranked.len(), 3);
        for (place, line) in (1..).zip(&ranked) {
            let choice = Choice::Ranked { place };
            assert_eq!(line.origin.choice, Some(choice));
            let again = composer.compose(&timeline, 7, 0, choice).unwrap();
            assert_eq!(
                (&again.reading, &again.origin),
                (&line.reading, &line.origin)
            );
        }
    }

    #[test]
    fn a_place_beyond_the_last_line_is_answered_with_how_many_there_are() {
        let (composer, timeline) = short();
        let all = composer.ranked(&timeline, 7, 10_000).unwrap().len();
        assert!((2..10_000).contains(&all), "{all} lines");
        let place = |place| composer.compose(&timeline, 7, 0, Choice::Ranked { place });
        assert!(place(all).is_ok());
        let told = place(all + 1).unwrap_err().to_string();
        assert!(
            told.contains(&format!("only {all} lines")) && told.contains("hint"),
            "{told}"
        );
    }
}
