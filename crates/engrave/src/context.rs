//! What the whole score tells every system: contents, keys and metres in force, bar numbers.

use linewright_notation::{BarLine, Measure, Score, TimeSignature};
use linewright_theory::Key;

use crate::content::{self, Content};
use crate::ending::{self, Bracket};
use crate::font::Font;
use crate::glyph::Glyph;
use crate::options::Options;
use crate::staff;

/// A score made ready to be broken into systems.
pub(crate) struct Context<'a> {
    pub font: Font,
    pub score: &'a Score,
    pub options: &'a Options,
    pub contents: Vec<Content>,
    /// The key in force in each measure.
    pub keys: Vec<Option<Key>>,
    /// The number of each measure, where a pick-up is 0.
    pub numbers: Vec<usize>,
    pub endings: Vec<Bracket>,
    /// The tension of each measure in thousandths.
    pub tension: Vec<Option<i64>>,
}

impl<'a> Context<'a> {
    pub(crate) fn new(score: &'a Score, options: &'a Options) -> Context<'a> {
        let font = Font::new();
        let contents = content::of_score(&font, score);
        let mut key = None;
        let keys = score
            .measures
            .iter()
            .map(|measure| {
                key = measure.key.or(key);
                key
            })
            .collect();
        let mut number = 0;
        let numbers = score
            .measures
            .iter()
            .map(|measure| {
                number += usize::from(!measure.pickup);
                number
            })
            .collect();
        let tension = (0..score.measures.len())
            .map(|at| {
                let value = options.tension.get(at).filter(|value| value.is_finite())?;
                Some((value.clamp(0.0, 1.0) * 1000.0) as i64)
            })
            .collect();
        Context {
            font,
            score,
            options,
            contents,
            keys,
            numbers,
            endings: ending::brackets(&score.measures),
            tension,
        }
    }

    pub(crate) fn measure(&self, at: usize) -> &'a Measure {
        &self.score.measures[at]
    }

    /// The signs of a key change before a measure; none in the first, nor between keys of one
    /// signature.
    pub(crate) fn key_change(&self, at: usize) -> Vec<(Glyph, i64)> {
        let new = self.score.measures.get(at).and_then(|measure| measure.key);
        let (1.., Some(new)) = (at, new) else {
            return Vec::new();
        };
        let before = self.keys[at - 1];
        if before.map_or(0, |key| key.fifths()) == new.fifths() {
            return Vec::new();
        }
        staff::change(before, new)
    }

    /// The time signature that is new in a measure.
    pub(crate) fn time_change(&self, at: usize) -> Option<TimeSignature> {
        self.score.measures.get(at).and_then(|measure| measure.time)
    }

    /// What divides a measure from the next; a change of key has a double bar line at least.
    pub(crate) fn division(&self, at: usize) -> BarLine {
        match self.score.measures[at].right {
            BarLine::Single if !self.key_change(at + 1).is_empty() => BarLine::Double,
            division => division,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_to_the_relative_key_shows_no_signature_and_no_double_bar() {
        let keys = ["Eb", "C minor", "C", "A minor"];
        let measures = keys.map(|key| {
            let mut measure = Measure::new(4);
            measure.key = Some(key.parse().unwrap());
            measure
        });
        let score = Score {
            measures: measures.into(),
            ..Score::default()
        };
        let options = Options::default();
        let context = Context::new(&score, &options);
        let signs: Vec<usize> = (0..4).map(|at| context.key_change(at).len()).collect();
        assert_eq!(signs, [0, 0, 3, 0]);
        assert_eq!(context.division(0), BarLine::Single);
        assert_eq!(context.division(1), BarLine::Double);
    }
}
