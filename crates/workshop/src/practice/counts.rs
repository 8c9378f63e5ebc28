//! Counting: sums that add up over runs, so that lines can be counted apart and tunes resampled.

use super::Run;
use super::aspects::ASPECTS;
use super::figures::{FIGURES, Measure, Row};

/// What was counted in runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Counts {
    /// For each figure a sum, and over how many things it goes.
    sums: Vec<(f64, f64)>,
    /// The MIDI numbers of all notes.
    midi: Vec<u8>,
    /// For each aspect how often each class of it is there.
    pub(super) aspects: Vec<Vec<u64>>,
}

/// A figure of lines beside that of players.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is called.
    pub name: &'static str,
    /// That of the lines: shares in hundredths, all else in semitones; not a number where there
    /// was nothing to count.
    pub value: f64,
    /// That of players' lines.
    pub practice: f64,
    /// Where 95 % of resamplings of the tunes put it.
    pub interval: (f64, f64),
    /// How many decimals are told.
    pub decimals: usize,
}

impl Figure {
    /// Whether the lines' figure lies in the interval of players, as exactly as that is told.
    pub fn is_inside(&self) -> bool {
        let half = 0.5 / 10f64.powi(self.decimals as i32);
        (self.interval.0 - half..=self.interval.1 + half).contains(&self.value)
    }
}

impl Default for Counts {
    fn default() -> Self {
        Self {
            sums: vec![(0.0, 0.0); FIGURES.len()],
            midi: Vec::new(),
            aspects: ASPECTS.iter().map(|a| vec![0; a.practice.len()]).collect(),
        }
    }
}

impl Counts {
    /// Counts runs.
    pub fn of(runs: &[Run]) -> Self {
        let mut counts = Self::default();
        for run in runs {
            for ((.., measure), sum) in FIGURES.iter().zip(&mut counts.sums) {
                for value in measure.values(run) {
                    *sum = (sum.0 + value, sum.1 + 1.0);
                }
            }
            counts.midi.extend(run.notes().iter().map(|n| n.midi));
            for (aspect, counted) in ASPECTS.iter().zip(&mut counts.aspects) {
                for class in (aspect.classes)(run) {
                    counted[class] += 1;
                }
            }
        }
        counts
    }

    /// Adds what was counted in other runs.
    pub fn join(&mut self, other: &Counts) {
        for (sum, more) in self.sums.iter_mut().zip(&other.sums) {
            *sum = (sum.0 + more.0, sum.1 + more.1);
        }
        self.midi.extend(&other.midi);
        for (counted, more) in self.aspects.iter_mut().zip(&other.aspects) {
            for (count, more) in counted.iter_mut().zip(more) {
                *count += more;
            }
        }
    }

    /// How many notes were counted.
    pub fn notes(&self) -> usize {
        self.midi.len()
    }

    /// All figures, in the order of their table.
    pub fn figures(&self) -> Vec<Figure> {
        let mut midi = self.midi.clone();
        midi.sort_unstable();
        let figure = |(row, sum): (&Row, &(f64, f64))| {
            let (name, practice, interval, measure) = row;
            Figure {
                name,
                value: match measure {
                    Measure::Percentile(of) => percentile(&midi, *of),
                    Measure::Spread => (sum.0 / sum.1).sqrt(),
                    _ => sum.0 / sum.1,
                },
                practice: *practice,
                interval: *interval,
                decimals: measure.decimals(),
            }
        };
        FIGURES.iter().zip(&self.sums).map(figure).collect()
    }
}

/// Under which so many hundredths lie: linear between the two on both sides.
fn percentile(sorted: &[u8], of: f64) -> f64 {
    let place = of / 100.0 * sorted.len().saturating_sub(1) as f64;
    let at = |place: f64| sorted.get(place as usize).map_or(f64::NAN, |&m| m.into());
    let below = at(place.floor());
    below + (at(place.ceil()) - below) * place.fract()
}
