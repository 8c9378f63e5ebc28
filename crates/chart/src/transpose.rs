//! Transposition of whole charts.

use linewright_theory::{Interval, Key};

use crate::harmony::Harmony;
use crate::written::{Chart, Content};

impl Chart {
    /// The chart moved so that its tonic becomes the tonic of `target`.
    ///
    /// The mode stays that of the chart, so that moving a minor tune to
    /// `F major` gives F minor, spelled with a signature that exists. All
    /// chords move by the same spelled interval; roots beyond double
    /// accidentals are respelled. The result tells its key, also when this
    /// chart left it to be inferred.
    ///
    /// Moving there and back gives the chords of this chart again, spelled
    /// perhaps by an enharmonic neighbour (`Cb7` for `B7`).
    pub fn transposed(&self, target: &Key) -> Chart {
        let key = Key::new(target.tonic, self.key.mode).unwrap_or_else(|| {
            Key {
                tonic: target.tonic,
                mode: self.key.mode,
            }
            .transposed(Interval::UNISON)
        });
        let by = Interval::between_names(self.key.tonic, key.tonic).unwrap_or(Interval::UNISON);
        self.moved(key, by)
    }

    /// The chart moved by so many semitones, up when positive, into the key
    /// with the fewer accidentals. See [`Chart::transposed`].
    ///
    /// Only the names move, so that whole octaves change nothing.
    pub fn transposed_by(&self, semitones: i32) -> Chart {
        let up = semitones.rem_euclid(12);
        if up == 0 {
            return self.transposed(&self.key);
        }
        let by = Interval::new(STEPS[up as usize], up).unwrap_or(Interval::UNISON);
        self.transposed(&self.key.transposed(by))
    }

    fn moved(&self, key: Key, by: Interval) -> Chart {
        let mut chart = self.clone();
        chart.key = key;
        chart.told_key = Some(key);
        for bar in &mut chart.bars {
            bar.new_key = bar.new_key.map(|key| key.transposed(by));
            if let Content::Chords(spans) = &mut bar.content {
                for span in spans {
                    if let Some(Harmony::Chord(chord)) = &mut span.harmony {
                        *chord = chord.transposed(by);
                    }
                }
            }
        }
        chart
    }
}

/// Letters moved for 0 to 11 semitones, by the usual names of the intervals
/// (the tritone is an augmented fourth).
const STEPS: [i32; 12] = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];
