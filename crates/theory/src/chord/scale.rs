//! The default scale of a chord by its function in the key.

use super::{Chord, Family};
use crate::ScaleKind::{
    Aeolian, Altered, Dorian, DorianFlat2, HalfWholeDiminished, HarmonicMinor, Locrian,
    LocrianNatural2, Lydian, LydianAugmented, LydianDominant, Major, MelodicMinor, Mixolydian,
    MixolydianFlat6, Phrygian, PhrygianDominant, WholeHalfDiminished, WholeTone,
};
use crate::{Key, Mode, Scale, ScaleKind};

/// Scales of major chords on each semitone above the tonic of a major key.
const MAJOR_IN_MAJOR: [ScaleKind; 12] = [
    Major, Lydian, Major, Lydian, Major, Lydian, Lydian, Major, Lydian, Major, Lydian, Major,
];
/// The same in a minor key.
const MAJOR_IN_MINOR: [ScaleKind; 12] = [
    Major, Lydian, Major, Major, Lydian, Lydian, Lydian, Major, Lydian, Lydian, Major, Lydian,
];
/// Dominant sevenths in a major key: I7, V7 and V of V (2) are plain, V of ii (9) has the flat
/// sixth, V of iii (11) and V of vi (4) the flat ninth too; all others do not resolve down a fifth
/// inside the key and take the sharp eleventh.
const DOMINANT_IN_MAJOR: [ScaleKind; 12] = [
    Mixolydian,
    LydianDominant,
    Mixolydian,
    LydianDominant,
    PhrygianDominant,
    LydianDominant,
    LydianDominant,
    Mixolydian,
    LydianDominant,
    MixolydianFlat6,
    LydianDominant,
    PhrygianDominant,
];
/// Dominant sevenths in a minor key: V7 and the dominants of iv (0), V (2) and ii (9) have the flat
/// ninth and thirteenth; those of III (10), VI (3) and VII (5) are plain.
const DOMINANT_IN_MINOR: [ScaleKind; 12] = [
    PhrygianDominant,
    LydianDominant,
    PhrygianDominant,
    Mixolydian,
    LydianDominant,
    Mixolydian,
    LydianDominant,
    PhrygianDominant,
    LydianDominant,
    PhrygianDominant,
    Mixolydian,
    LydianDominant,
];
/// Minor chords in a major key: ii Dorian, iii Phrygian, vi Aeolian, borrowed ones Dorian.
const MINOR_IN_MAJOR: [ScaleKind; 12] = [
    Dorian, Dorian, Dorian, Dorian, Phrygian, Dorian, Dorian, Dorian, Dorian, Aeolian, Dorian,
    Dorian,
];
/// Minor chords in a minor key: i Aeolian, iv Dorian, v Phrygian, others Dorian.
const MINOR_IN_MINOR: [ScaleKind; 12] = [
    Aeolian, Dorian, Dorian, Dorian, Dorian, Dorian, Dorian, Phrygian, Dorian, Dorian, Dorian,
    Dorian,
];

impl Chord {
    /// The default scale on the chord's root, by the chord's function in the key (common practice,
    /// no source). The scale always contains the written tones.
    ///
    /// | chord | in a major key | in a minor key |
    /// | --- | --- | --- |
    /// | major (triad, 6, maj7) | I major, IV and borrowed ones lydian, V triad mixolydian, III triad phrygian dominant | III major, VI lydian, VII triad mixolydian, V triad phrygian dominant |
    /// | dominant | V, V of V, I: mixolydian; V of ii: mixolydian b6; V of iii, V of vi: phrygian dominant; others lydian dominant | V, V of iv, V of V, V of ii: phrygian dominant; V of III, VI, VII: mixolydian; others lydian dominant |
    /// | minor | ii dorian, iii phrygian, vi aeolian, others dorian | i aeolian, v phrygian, others dorian; i with 6 or 13 melodic minor |
    /// | minor-major | melodic minor; with b6 or b13 harmonic minor | the same |
    /// | half-diminished | locrian; with 9 locrian natural 2 | the same |
    /// | diminished | whole-half diminished; vii and ii triads of the key locrian | the same |
    /// | augmented | whole tone; with a major seventh lydian augmented | the same |
    /// | suspended | of mixolydian, dorian, phrygian, aeolian, major, lydian the one that leaves the key least | the same |
    /// | power | as the key's own triad on that root | the same |
    ///
    /// Alterations then choose: `7#11` lydian dominant, `7alt` and sharp or flat fifth with altered
    /// ninth altered, `7b5` and `7#5` whole tone (`7#5` on V of a minor key altered), `7b9` and
    /// `13b9` half-whole diminished where the plain chord is bright, phrygian dominant where it is
    /// dark, `7b13` mixolydian b6.
    pub fn scale(&self, key: Key) -> Scale {
        let place = usize::from(self.root.class().above(key.tonic.class()));
        let minor_key = key.mode == Mode::Minor;
        let q = self.quality;
        let order: Vec<ScaleKind> = match self.family() {
            Family::Major => self.major_scales(place, minor_key),
            Family::Dominant => self.dominant_scales(place, minor_key),
            Family::Minor => self.minor_scales(place, minor_key),
            Family::MinorMajor if q.has(6, -1) || q.has(13, -1) => vec![HarmonicMinor],
            Family::MinorMajor => vec![MelodicMinor, HarmonicMinor],
            Family::HalfDiminished if q.has(9, 0) => vec![LocrianNatural2],
            Family::HalfDiminished => vec![Locrian, LocrianNatural2],
            Family::Diminished => {
                let own = if minor_key { 2 } else { 11 };
                let triad = q.degrees().count() == 3;
                if triad && place == own {
                    vec![Locrian]
                } else {
                    vec![WholeHalfDiminished]
                }
            }
            Family::Augmented if q.has(7, 0) => vec![LydianAugmented],
            Family::Augmented => vec![WholeTone, LydianAugmented],
            Family::Suspended => self.suspended_scales(key),
            Family::Power => {
                let has = |third| key.contains(self.root.class().up(third));
                if has(3) && !has(4) {
                    self.minor_scales(place, minor_key)
                } else {
                    self.major_scales(place, minor_key)
                }
            }
        };
        self.first_that_fits(&order)
    }

    /// The first scale with all written tones, and without the perfect fifth where the chord
    /// alters it; failing that, the first with the written tones; failing that, the first with the
    /// written tones added.
    fn first_that_fits(&self, order: &[ScaleKind]) -> Scale {
        let tones = self.quality.mask();
        let altered_fifth = self.fifth().is_some_and(|fifth| fifth != 7);
        let holds = |scale: &Scale| scale.mask() & tones == tones;
        let scales = || order.iter().map(|&kind| Scale::new(kind));
        scales()
            .find(|s| holds(s) && !(altered_fifth && s.contains(7)))
            .or_else(|| scales().find(holds))
            .unwrap_or_else(|| Scale::new(order[0]).with(tones))
    }

    fn major_scales(&self, place: usize, minor_key: bool) -> Vec<ScaleKind> {
        let q = self.quality;
        let plain = !q.has_number(7) && !q.has_number(6);
        let table = if minor_key {
            &MAJOR_IN_MINOR
        } else {
            &MAJOR_IN_MAJOR
        };
        let leads_on = if minor_key {
            matches!(place, 2 | 5 | 7 | 10)
        } else {
            matches!(place, 2 | 4 | 7 | 9 | 11)
        };
        let mut order = if plain && leads_on {
            let dominants = if minor_key {
                &DOMINANT_IN_MINOR
            } else {
                &DOMINANT_IN_MAJOR
            };
            vec![dominants[place]]
        } else {
            vec![table[place]]
        };
        order.extend([Major, Lydian]);
        if plain {
            order.extend([
                Mixolydian,
                LydianDominant,
                MixolydianFlat6,
                PhrygianDominant,
            ]);
        }
        order
    }

    fn dominant_scales(&self, place: usize, minor_key: bool) -> Vec<ScaleKind> {
        let q = self.quality;
        let default = if minor_key {
            DOMINANT_IN_MINOR[place]
        } else {
            DOMINANT_IN_MAJOR[place]
        };
        let dark = matches!(default, PhrygianDominant | MixolydianFlat6);
        let altered_fifth = self.fifth().is_some_and(|fifth| fifth != 7);
        let altered_ninth = q.has(9, -1) || q.has(9, 1);
        if dark && q.has(9, 1) && !q.has(13, 0) {
            return vec![Altered];
        }
        if altered_fifth && (altered_ninth || (q.has(5, 1) && dark && !q.has(9, 0))) {
            return vec![Altered, HalfWholeDiminished, WholeTone];
        }
        let mut order = vec![default, Mixolydian, LydianDominant, MixolydianFlat6];
        order.extend(if dark {
            [PhrygianDominant, HalfWholeDiminished]
        } else {
            [HalfWholeDiminished, PhrygianDominant]
        });
        order.extend([WholeTone, Altered]);
        order
    }

    fn minor_scales(&self, place: usize, minor_key: bool) -> Vec<ScaleKind> {
        let q = self.quality;
        let table = if minor_key {
            &MINOR_IN_MINOR
        } else {
            &MINOR_IN_MAJOR
        };
        let tonic = minor_key && place == 0;
        if tonic && q.has(6, 0) {
            return vec![MelodicMinor];
        }
        vec![table[place], Dorian, Aeolian, Phrygian, MelodicMinor]
    }

    fn suspended_scales(&self, key: Key) -> Vec<ScaleKind> {
        let root = self.root.class();
        let mut order = vec![
            Mixolydian,
            Dorian,
            Phrygian,
            DorianFlat2,
            Aeolian,
            Major,
            Lydian,
        ];
        let strays = |kind: &ScaleKind| {
            kind.semitones()
                .iter()
                .filter(|&&s| !key.contains(root.up(i32::from(s))))
                .count()
        };
        order.sort_by_key(strays);
        order
    }
}
