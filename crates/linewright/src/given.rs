//! Lines that are given as files: reading them, and how they say that they were made.

use linewright_chart::Chart;
use linewright_compose::Provenance;
use linewright_diagnostic::{Diagnostic, Diagnostics, Place};
use linewright_notation::{Score, line_text};
use linewright_rulebook::style::{Library, Style};
use linewright_study::{Study, choruses};
use linewright_theory::{Bass, Key};

use crate::{Fit, Setting, Tune, TuneError, suited_style};

/// A line that was read from a file.
#[derive(Clone, Debug)]
pub struct Given {
    /// The part as written.
    pub score: Score,
    /// How it was made, where it says so.
    pub made: Option<Made>,
}

/// The extensions that files of lines have, in lower case: text, MIDI, MusicXML plain and
/// compressed, ABC, JSON. [`read_lines`] takes a file with any other one as text.
pub const LINE_EXTENSIONS: [&str; 8] = [
    "txt", "mid", "midi", "musicxml", "mxl", "xml", "abc", "json",
];

/// Reads the lines of a file; its name tells the format. `which` names the track of a MIDI
/// file, the part of a MusicXML file, or the number of an ABC tune, where there are several.
///
/// The problems are what was read otherwise than written.
///
/// # Errors
/// What is wrong with the file, and where.
pub fn read_lines(
    name: &str,
    bytes: &[u8],
    which: Option<&str>,
) -> Result<(Vec<Given>, Diagnostics), Diagnostics> {
    let (scores, problems) = scores(&extension(name), bytes, which)?;
    let given = |score: Score| Given {
        made: Made::of(&score),
        score,
    };
    Ok((scores.into_iter().map(given).collect(), problems))
}

/// The extension of a file's name, in lower case.
pub(crate) fn extension(name: &str) -> String {
    let extension = name.rsplit_once('.').map_or("", |(_, extension)| extension);
    extension.to_lowercase()
}

/// The parts in a file with this extension.
pub(crate) fn scores(
    extension: &str,
    bytes: &[u8],
    which: Option<&str>,
) -> Result<(Vec<Score>, Diagnostics), Diagnostics> {
    let one = |read: (Score, Diagnostics)| (vec![read.0], read.1);
    Ok(match extension {
        "mid" | "midi" => linewright_notation::midi::read(bytes, which).map(one)?,
        "musicxml" | "mxl" | "xml" => linewright_notation::musicxml::read(bytes, which).map(one)?,
        "abc" => {
            let tune = which.map(|which| which.parse().map_err(|_| no_such_tune(which)));
            linewright_notation::abc::read(bytes, tune.transpose()?).map(one)?
        }
        "json" => linewright_render::json::read(bytes)?,
        _ => line_text::read(bytes)?,
    })
}

fn no_such_tune(which: &str) -> Diagnostics {
    Diagnostics::one(
        Place::Whole,
        format!("\"{which}\" is not the number of a tune"),
        "give the number that stands after X: in the file",
    )
}

/// How a line was made, as its file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The style's name.
    pub style: String,
    /// Hash of the style, fitted to its instrument and range.
    pub style_hash: u64,
    /// The seed.
    pub seed: u64,
    /// The line's number within the seed, from 0.
    pub line: u64,
    /// How the chart was played.
    pub setting: Setting,
    /// What the style was fitted to.
    pub fit: Fit,
}

impl Made {
    /// How a part says that it was made; `None` unless it says all that is needed.
    pub fn of(score: &Score) -> Option<Self> {
        let told = Provenance::from_facts(&score.about)?;
        // A line that was given itself has no plan of its own.
        told.origin.choice?;
        let bass = told.instrument.as_deref().and_then(Bass::named);
        let steady = told.tempo.filter(|tempo| tempo.steady);
        Some(Self {
            style: told.style,
            style_hash: told.origin.style_hash,
            seed: told.origin.seed,
            line: told.origin.line,
            setting: Setting {
                key: Some(told.key),
                tempo: steady.map(|tempo| tempo.first),
                choruses: told.choruses,
            },
            fit: Fit {
                bass,
                low: told.low,
                high: told.high,
            },
        })
    }

    /// Whether a style, fitted, is the one that the line was made in.
    pub fn is_in(&self, style: &Style) -> bool {
        style.hash() == self.style_hash
    }
}

/// How a given line is to be read. The default leaves everything to the line and the chart.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// The style to read it in; else that in which the line says it was made, where that is a
    /// shipped one, else the one that suits the chart.
    pub style: Option<Style>,
    /// The key to move the chart to; else that in which the line says it was made.
    pub key: Option<Key>,
    /// The tempo of the whole piece; else that in which the line says it was made.
    pub tempo: Option<u16>,
    /// How many times the form is played; else as the line says, else as its length tells.
    pub choruses: Option<usize>,
    /// What to change of the style; what is not changed here is as the line says.
    pub fit: Fit,
    /// Whether to infer the plan from the notes also where the line says how its own was drawn.
    pub infer: bool,
}

impl Given {
    /// Who wrote it, where the file tells a `student`.
    pub fn student(&self) -> Option<&str> {
        self.score.student.as_deref()
    }

    /// Lays the line over a chart and reads it: under its own plan where it says how that was
    /// drawn and is read in the style that it was made in, else under the plan that it seems to
    /// follow. Gives the tune that it was read in, too.
    ///
    /// # Errors
    /// When the chart cannot be played so, or the style not be fitted.
    pub fn study(&self, chart: &Chart, how: &Reading) -> Result<(Tune, Study), TuneError> {
        let made = self.made.as_ref();
        let (style, fitted) = self.style(chart, how)?;
        let told = made.map(|made| made.setting.clone()).unwrap_or_default();
        let once = Setting {
            key: how.key.or(told.key),
            tempo: how.tempo.or(told.tempo),
            choruses: 1,
        };
        let form = once.timeline(chart)?;
        let times = match (how.choruses, made) {
            (Some(times), _) => times,
            (None, Some(made)) => made.setting.choruses,
            (None, None) => choruses(&self.score, &form),
        };
        let timeline = form.choruses(times)?;
        let drawn = made
            .filter(|made| fitted && !how.infer && made.is_in(&style))
            .map(|made| (made.seed, made.line));
        let tune = Tune::over(timeline, style)?;
        let study = Study::of(tune.composer(), tune.timeline(), &self.score, drawn);
        Ok((tune, study))
    }

    /// The style to read in, and whether it was fitted as the line says.
    fn style(&self, chart: &Chart, how: &Reading) -> Result<(Style, bool), Diagnostic> {
        let library = Library::builtin();
        let own = self.made.as_ref();
        let style = match (&how.style, own) {
            (Some(style), _) => style.clone(),
            (None, Some(made)) if library.text(&made.style).is_some() => {
                library.style(&made.style)?
            }
            (None, _) => library.style(suited_style(chart))?,
        };
        let own_fit = own
            .filter(|made| made.style == style.name)
            .map(|made| made.fit.clone());
        let fitted = own_fit.is_some() && how.fit == Fit::default();
        let fit = Fit {
            bass: how.fit.bass.or(own_fit.as_ref().and_then(|fit| fit.bass)),
            low: how.fit.low.or(own_fit.as_ref().and_then(|fit| fit.low)),
            high: how.fit.high.or(own_fit.as_ref().and_then(|fit| fit.high)),
        };
        // An instrument that the style has anyway changes nothing, also not its reach.
        let same = fit
            .bass
            .is_some_and(|bass| bass.name() == style.instrument.name);
        let bass = fit.bass.filter(|_| !same);
        Ok((Fit { bass, ..fit }.style(style)?, fitted))
    }
}
