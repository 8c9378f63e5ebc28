//! What a line was made from: all that is needed to make it again, as every file of it tells it.

use std::fmt;
use std::str::FromStr;

use linewright_chart::{Timeline, TimelineBar};
use linewright_diagnostic::clean::one_line;
use linewright_notation::about::{self, BEST, GIVEN, RANKED, SAMPLED};
use linewright_theory::{Key, Note, Pitch, note_name};

use crate::{Line, thousandths};

/// The version of this program, which every file of a line tells.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// How a line was chosen among all lines. As text `best`, `ranked number 3`,
/// `sampled at 0.7 points`.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// The line with the highest score under its plan.
    Best,
    /// One of the lines with the highest scores under its plan.
    Ranked {
        /// Its place among them, from 1.
        place: usize,
    },
    /// A line drawn with a chance proportional to exp(score / temperature),
    /// the temperature in milli-points.
    Sampled {
        /// Temperature in milli-points.
        temperature: u32,
    },
}

impl fmt::Display for Choice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Choice::Best => f.write_str(BEST),
            Choice::Ranked { place } => write!(f, "{RANKED}{place}"),
            Choice::Sampled { temperature } => {
                let [at, points] = SAMPLED;
                write!(
                    f,
                    "{at}{}{points}",
                    thousandths::decimal(temperature.into())
                )
            }
        }
    }
}

impl Choice {
    fn read(text: &str) -> Option<Self> {
        let [at, points] = SAMPLED;
        if let Some(place) = text.strip_prefix(RANKED) {
            let place = place.parse().ok()?;
            return Some(Choice::Ranked { place });
        }
        if let Some(temperature) = text.strip_prefix(at) {
            let temperature = thousandths::read(temperature.strip_suffix(points)?)?;
            let temperature = temperature.try_into().ok()?;
            return Some(Choice::Sampled { temperature });
        }
        (text == BEST).then_some(Choice::Best)
    }
}

/// Which of all the lines over a chart a line is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// Hash of the complete style, fitted to its instrument and range.
    pub style_hash: u64,
    /// The seed; 0 for a given line.
    pub seed: u64,
    /// The line's number within the seed, from 0; 0 for a given line.
    pub line: u64,
    /// How it was chosen; `None` for a line that was given: written by somebody else, and
    /// only read here.
    pub choice: Option<Choice>,
}

impl Origin {
    /// The line's number within the seed as people count, from 1.
    pub fn number(&self) -> u64 {
        self.line.saturating_add(1)
    }

    /// The hash of the style as text: 16 digits, base 16.
    pub fn hash(&self) -> String {
        format!("{:016x}", self.style_hash)
    }

    /// How the line was chosen, as text; `given` for a line that was given.
    pub fn chosen(&self) -> String {
        self.choice
            .map_or_else(|| GIVEN.to_owned(), |choice| choice.to_string())
    }
}

/// How fast a piece is. As text `140`, and where it changes, that it does.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Tempo {
    /// The tempo at the beginning, in quarter notes a minute.
    pub first: u16,
    /// Whether it is that of the whole piece; else it changes as in the chart.
    pub steady: bool,
}

impl Tempo {
    /// The tempo of a timeline.
    pub fn of(timeline: &Timeline) -> Self {
        let first = timeline.beats_a_minute();
        let other = |bar: &TimelineBar| bar.tempo.is_some_and(|tempo| tempo != first);
        let steady = !timeline.bars.iter().any(other);
        Self { first, steady }
    }
}

impl fmt::Display for Tempo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let then = if self.steady { "" } else { about::AT_FIRST };
        write!(f, "{}{then}", self.first)
    }
}

impl Tempo {
    fn read(text: &str) -> Option<Self> {
        let first = text.strip_suffix(about::AT_FIRST);
        Some(Self {
            first: first.unwrap_or(text).parse().ok()?,
            steady: first.is_none(),
        })
    }
}

/// What a line was made from: with the chart and the style, all that is needed to make it
/// again. A line knows all of it; a file may leave out what is an `Option` here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Provenance {
    /// Version of the program.
    pub version: Option<String>,
    /// The style's name.
    pub style: String,
    /// Which of all lines it is.
    pub origin: Origin,
    /// The key that the chart was moved to.
    pub key: Key,
    /// The tempo.
    pub tempo: Option<Tempo>,
    /// How many times the form is played, at least 1.
    pub choruses: usize,
    /// The lowest note of the range.
    pub low: Option<Pitch>,
    /// The highest note of the range.
    pub high: Option<Pitch>,
    /// The name of the instrument.
    pub instrument: Option<String>,
    /// Its General MIDI program, 1 to 128.
    pub program: Option<u8>,
    /// The score in milli-points.
    pub score: Option<i64>,
}

impl Provenance {
    /// What a line was made from.
    pub fn of(line: &Line) -> Self {
        let Line {
            timeline, style, ..
        } = line;
        Self {
            version: Some(VERSION.to_owned()),
            style: style.name.clone(),
            origin: line.origin,
            key: timeline.key,
            tempo: Some(Tempo::of(timeline)),
            choruses: timeline.choruses,
            low: Some(style.range.low),
            high: Some(style.range.high),
            instrument: Some(style.instrument.name.clone()),
            program: Some(style.instrument.program),
            score: Some(line.reading.score),
        }
    }

    /// The same as names and values, each value a single line, in the [order](about::ORDER) of
    /// all files. What is not known is left out.
    pub fn facts(&self) -> Vec<(String, String)> {
        let values = [
            self.version.as_deref().map(one_line),
            Some(one_line(&self.style)),
            Some(self.origin.hash()),
            Some(self.origin.seed.to_string()),
            Some(self.origin.number().to_string()),
            Some(self.origin.chosen()),
            Some(self.key.to_string()),
            self.tempo.map(|tempo| tempo.to_string()),
            Some(self.choruses.to_string()),
            self.low.map(note_name),
            self.high.map(note_name),
            self.instrument.as_deref().map(one_line),
            self.program.map(|program| program.to_string()),
            self.score.map(thousandths::decimal),
        ];
        let facts = about::ORDER.into_iter().zip(values);
        facts
            .filter_map(|(name, value)| Some((name.to_owned(), value?)))
            .collect()
    }

    /// What the facts of a part say of its making, whatever else they say; `None` unless they
    /// say all that must be known.
    pub fn from_facts(facts: &[(String, String)]) -> Option<Self> {
        let fact = |wanted: &str| {
            let found = facts.iter().find(|(name, _)| name == wanted);
            found.map(|(_, value)| value.as_str())
        };
        let pitch = |name| fact(name)?.parse::<Note>().ok()?.pitch();
        Some(Self {
            version: fact(about::PROGRAM).map(str::to_owned),
            style: fact(about::STYLE)?.to_owned(),
            origin: Origin {
                style_hash: u64::from_str_radix(fact(about::STYLE_HASH)?, 16).ok()?,
                seed: number(fact(about::SEED))?,
                line: number::<u64>(fact(about::LINE))?.checked_sub(1)?,
                choice: match fact(about::CHOICE)? {
                    GIVEN => None,
                    chosen => Some(Choice::read(chosen)?),
                },
            },
            key: number(fact(about::KEY))?,
            tempo: fact(about::TEMPO).and_then(Tempo::read),
            choruses: number(fact(about::CHORUSES)).filter(|choruses| *choruses > 0)?,
            low: pitch(about::LOW),
            high: pitch(about::HIGH),
            instrument: fact(about::INSTRUMENT).map(str::to_owned),
            program: number(fact(about::MIDI_PROGRAM)),
            score: fact(about::SCORE).and_then(thousandths::read),
        })
    }
}

fn number<T: FromStr>(text: Option<&str>) -> Option<T> {
    text?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn provenance() -> Provenance {
        Provenance {
            version: Some("0.0.0".to_owned()),
            style: "two-feel".to_owned(),
            origin: Origin {
                style_hash: 0xff_0102,
                seed: u64::MAX,
                line: 6,
                choice: Some(Choice::Sampled { temperature: 650 }),
            },
            key: "F# minor".parse().unwrap(),
            tempo: Some(Tempo {
                first: 64,
                steady: false,
            }),
            choruses: 3,
            low: Pitch::new(28),
            high: Pitch::new(54),
            instrument: Some("bass, fretless".to_owned()),
            program: Some(36),
            score: Some(-3_250),
        }
    }

    #[test]
    fn the_facts_tell_everything_in_the_order_of_all_files() {
        let facts = provenance().facts();
        let told: Vec<&str> = facts.iter().map(|(_, value)| value.as_str()).collect();
        assert_eq!(
            told,
            [
                "0.0.0",
                "two-feel",
                "0000000000ff0102",
                "18446744073709551615",
                "7",
                "sampled at 0.65 points",
                "F# minor",
                "64 at first, then as in the chart",
                "3",
                "E1",
                "F#3",
                "bass, fretless",
                "36",
                "-3.25",
            ]
        );
        let names: Vec<&str> = facts.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, about::ORDER);
    }

    #[test]
    fn facts_are_read_back_whatever_stands_around_them() {
        let choices = [
            None,
            Some(Choice::Best),
            Some(Choice::Ranked { place: 12 }),
            Some(Choice::Sampled { temperature: 1_250 }),
        ];
        for choice in choices {
            let mut made = provenance();
            made.origin.choice = choice;
            made.tempo = Some(Tempo {
                first: 200,
                steady: choice.is_none(),
            });
            let mut facts = made.facts();
            facts.insert(0, ("student".to_owned(), "one".to_owned()));
            facts.reverse();
            assert_eq!(Provenance::from_facts(&facts), Some(made));
        }
    }

    #[test]
    fn what_can_be_done_without_may_be_left_out_and_the_rest_may_not() {
        let optional = [
            about::PROGRAM,
            about::TEMPO,
            about::LOW,
            about::HIGH,
            about::INSTRUMENT,
            about::MIDI_PROGRAM,
            about::SCORE,
        ];
        for left_out in about::ORDER {
            let mut facts = provenance().facts();
            facts.retain(|(name, _)| name != left_out);
            let read = Provenance::from_facts(&facts);
            assert_eq!(read.is_some(), optional.contains(&left_out), "{left_out}");
            if let Some(read) = read {
                assert_eq!(read.facts(), facts);
            }
        }
    }

    #[test]
    fn facts_that_say_something_else_are_none() {
        let wrong = [
            (about::STYLE_HASH, "xyz"),
            (about::SEED, "-1"),
            (about::LINE, "0"),
            (about::CHOICE, "sampled at 1 point"),
            (about::CHOICE, "ranked number"),
            (about::KEY, "H major"),
            (about::CHORUSES, "0"),
        ];
        for (name, value) in wrong {
            let mut facts = provenance().facts();
            for fact in &mut facts {
                if fact.0 == name {
                    value.clone_into(&mut fact.1);
                }
            }
            assert_eq!(Provenance::from_facts(&facts), None, "{name}: {value}");
        }
    }
}
