//! Lines that are given as files: reading them, and how they say that they were made.

use linewright_notation::{Place, Problems, Score, line_text};
use linewright_style::Style;
use linewright_theory::{Key, Note, Pitch};

use crate::{Bass, Fit, Setting};

/// A line that was read from a file.
#[derive(Clone, Debug)]
pub struct Given {
    /// The part as written.
    pub score: Score,
    /// How it was made, where it says so.
    pub made: Option<Made>,
}

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
) -> Result<(Vec<Given>, Problems), Problems> {
    let extension = name.rsplit_once('.').map_or("", |(_, extension)| extension);
    let one = |read: (Score, Problems)| (vec![read.0], read.1);
    let (scores, problems) = match extension.to_lowercase().as_str() {
        "mid" | "midi" => linewright_notation::midi::read(bytes, which).map(one)?,
        "musicxml" | "mxl" | "xml" => linewright_notation::musicxml::read(bytes, which).map(one)?,
        "abc" => {
            let tune = which.map(|which| which.parse().map_err(|_| no_such_tune(which)));
            linewright_notation::abc::read(bytes, tune.transpose()?).map(one)?
        }
        _ => line_text::read(bytes)?,
    };
    let given = |score: Score| Given {
        made: Made::of(&score),
        score,
    };
    Ok((scores.into_iter().map(given).collect(), problems))
}

fn no_such_tune(which: &str) -> Problems {
    Problems::one(
        Place::default(),
        format!("\"{which}\" is not the number of a tune"),
        "give the number that stands after X: in the file",
    )
}

/// How a line was made, as its file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The style's name.
    pub style: String,
    /// Hash of the style, fitted to its instrument and range: 16 digits, base 16.
    pub style_hash: String,
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
        let fact = |wanted: &str| {
            let found = score.about.iter().find(|(name, _)| name == wanted);
            found.map(|(_, value)| value.as_str())
        };
        let pitch = |name| fact(name)?.parse::<Note>().ok()?.pitch();
        let instrument = fact("instrument");
        let bass = [Bass::Double, Bass::Guitar]
            .into_iter()
            .find(|bass| Some(bass.name()) == instrument);
        // A line that was given itself has no plan of its own.
        if fact("choice")? == "given" {
            return None;
        }
        Some(Self {
            style: fact("style")?.to_owned(),
            style_hash: fact("style hash")?.to_owned(),
            seed: fact("seed")?.parse().ok()?,
            line: fact("line")?.parse::<u64>().ok()?.checked_sub(1)?,
            setting: Setting {
                key: Some(fact("key")?.parse::<Key>().ok()?),
                tempo: fact("tempo").and_then(|tempo| tempo.parse().ok()),
                choruses: fact("choruses")?
                    .parse()
                    .ok()
                    .filter(|choruses| *choruses > 0)?,
            },
            fit: Fit {
                bass,
                low: pitch("low") as Option<Pitch>,
                high: pitch("high"),
            },
        })
    }

    /// Whether a style, fitted, is the one that the line was made in.
    pub fn is_in(&self, style: &Style) -> bool {
        format!("{:016x}", style.hash()) == self.style_hash
    }
}
