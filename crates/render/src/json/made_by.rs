//! What a line was made from, between its keys and [`Provenance`].

use linewright_compose::{Choice, Origin, Provenance, Tempo};
use linewright_theory::Pitch;

use super::line::{LineText, MadeBy};

impl MadeBy {
    /// The keys of what a line was made from.
    pub(super) fn of(made: &Provenance) -> Self {
        let origin = &made.origin;
        let (choice, temperature_millipoints, place) = match origin.choice {
            Some(Choice::Best) => ("best", None, None),
            Some(Choice::Ranked { place }) => ("ranked", None, Some(place)),
            Some(Choice::Sampled { temperature }) => ("sampled", Some(temperature), None),
            None => ("given", None, None),
        };
        Self {
            program: made.version.clone(),
            style: made.style.clone(),
            style_hash: origin.hash(),
            seed: origin.seed,
            line: origin.number(),
            choice: choice.into(),
            temperature_millipoints,
            place,
        }
    }
}

impl LineText {
    /// What the line was made from; `None` where the keys say what cannot be.
    pub(super) fn provenance(&self) -> Option<Provenance> {
        let made = &self.made_by;
        let pitch =
            |name: &str| -> Option<Pitch> { name.parse::<linewright_theory::Note>().ok()?.pitch() };
        Some(Provenance {
            version: made.program.clone(),
            style: made.style.clone(),
            origin: Origin {
                style_hash: u64::from_str_radix(&made.style_hash, 16).ok()?,
                seed: made.seed,
                line: made.line.checked_sub(1)?,
                choice: match &*made.choice {
                    "best" => Some(Choice::Best),
                    "ranked" => Some(Choice::Ranked { place: made.place? }),
                    "sampled" => Some(Choice::Sampled {
                        temperature: made.temperature_millipoints?,
                    }),
                    "given" => None,
                    _ => return None,
                },
            },
            key: self.key.parse().ok()?,
            tempo: Some(Tempo {
                first: self.tempo_bpm,
                steady: self.bars.iter().all(|bar| bar.tempo_bpm == self.tempo_bpm),
            }),
            choruses: self.choruses,
            low: pitch(&self.range.low),
            high: pitch(&self.range.high),
            instrument: Some(self.instrument.name.clone()),
            program: Some(self.instrument.program),
            score: self.score_millipoints,
        })
    }
}
