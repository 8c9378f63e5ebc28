//! A chart that is played: in a style, in a setting.

use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_compose::{Batch, Choice, Composer, Line, NoLine};
use linewright_diagnostic::{Diagnostic, Diagnostics};
use linewright_rulebook::style::{Library, Style};

use crate::{Fit, Setting, suited_style};

/// A chart with all that lines over it are composed, read, varied and marked by: the form as it
/// is played, and the style book.
///
/// ```
/// use linewright::{Chart, Tune, text};
///
/// let chart = Chart::parse("tune", b"title: Two fives\nkey: C\n| Dm7 | G7 | Cmaj7 | % |\n")?;
/// let tune = Tune::new(&chart, None, &Default::default(), &Default::default())?;
/// let line = tune.compose(1, 0, tune.drawn())?;
/// println!("{}", text::page(&line, &Default::default()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Tune {
    composer: Composer,
    timeline: Arc<Timeline>,
}

/// Why a chart cannot be played so.
#[derive(Debug, thiserror::Error)]
pub enum TuneError {
    /// The chart cannot be played in this setting.
    #[error(transparent)]
    Chart(#[from] Diagnostics),
    /// The style cannot be fitted.
    #[error(transparent)]
    Style(#[from] Diagnostic),
}

impl Tune {
    /// A chart in a style, fitted to a player, in a setting. Without a style, the one that
    /// suits the chart.
    ///
    /// # Errors
    /// When the chart cannot be played so, or the style not be fitted.
    pub fn new(
        chart: &Chart,
        style: Option<Style>,
        fit: &Fit,
        setting: &Setting,
    ) -> Result<Self, TuneError> {
        let style = match style {
            Some(style) => style,
            None => Library::builtin().style(suited_style(chart))?,
        };
        Self::over(setting.timeline(chart)?, fit.style(style)?)
    }

    /// A form as it is played, in a style as it is.
    ///
    /// # Errors
    /// A style that weighs a rule which does not exist.
    pub fn over(timeline: Timeline, style: Style) -> Result<Self, TuneError> {
        Ok(Self {
            composer: Composer::new(style)?,
            timeline: Arc::new(timeline),
        })
    }

    /// The composer in its style, which is its style book, too.
    pub fn composer(&self) -> &Composer {
        &self.composer
    }

    /// The bars as they are played.
    pub fn timeline(&self) -> &Arc<Timeline> {
        &self.timeline
    }

    /// How lines are chosen where nothing else is asked: drawn at the style's own temperature.
    pub fn drawn(&self) -> Choice {
        Choice::Sampled {
            temperature: self.composer.style().temperature,
        }
    }

    /// Line `line` (from 0) of a seed.
    ///
    /// # Errors
    /// When no line obeys the style's limits, or the chart has no chord.
    pub fn compose(&self, seed: u64, line: u64, choice: Choice) -> Result<Line, NoLine> {
        self.composer.compose(&self.timeline, seed, line, choice)
    }

    /// The `count` best lines under the plan of a seed, best first; fewer if there are not so
    /// many.
    ///
    /// # Errors
    /// When no line obeys the style's limits, or the chart has no chord.
    pub fn ranked(&self, seed: u64, count: usize) -> Result<Vec<Line>, NoLine> {
        self.composer.ranked(&self.timeline, seed, count)
    }

    /// Many lines, one after the other: what is worked out for one serves the next.
    pub fn batch(&self) -> Batch<'_> {
        Batch::new(&self.composer, &self.timeline)
    }
}
