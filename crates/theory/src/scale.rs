//! Scales as sets of semitones above a root.

use std::fmt;

/// The scales a walking line is drawn from.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum ScaleKind {
    /// The major scale (Ionian mode).
    Major,
    /// Second mode of major: minor third, major sixth, minor seventh.
    Dorian,
    /// Third mode of major: natural minor with a flat second.
    Phrygian,
    /// Fourth mode of major: major with a sharp fourth.
    Lydian,
    /// Fifth mode of major: major with a flat seventh.
    Mixolydian,
    /// Sixth mode of major: natural minor.
    Aeolian,
    /// Seventh mode of major: natural minor with flat second and fifth.
    Locrian,
    /// Ascending melodic minor: major with a minor third.
    MelodicMinor,
    /// Second mode of melodic minor: Dorian with a flat second.
    DorianFlat2,
    /// Third mode of melodic minor: major with sharp fourth and fifth.
    LydianAugmented,
    /// Fourth mode of melodic minor: Mixolydian with a sharp fourth.
    LydianDominant,
    /// Fifth mode of melodic minor: Mixolydian with a flat sixth.
    MixolydianFlat6,
    /// Sixth mode of melodic minor: Locrian with a natural second.
    LocrianNatural2,
    /// Seventh mode of melodic minor: 1 b9 #9 3 b5 b13 b7.
    Altered,
    /// Natural minor with a major seventh.
    HarmonicMinor,
    /// Fifth mode of harmonic minor: 1 b9 3 4 5 b13 b7.
    PhrygianDominant,
    /// Six whole tones.
    WholeTone,
    /// Diminished scale beginning with a half step, for dominants.
    HalfWholeDiminished,
    /// Diminished scale beginning with a whole step, for diminished chords.
    WholeHalfDiminished,
}

impl ScaleKind {
    /// Every kind, modes of major first.
    pub const ALL: [ScaleKind; 19] = [
        ScaleKind::Major,
        ScaleKind::Dorian,
        ScaleKind::Phrygian,
        ScaleKind::Lydian,
        ScaleKind::Mixolydian,
        ScaleKind::Aeolian,
        ScaleKind::Locrian,
        ScaleKind::MelodicMinor,
        ScaleKind::DorianFlat2,
        ScaleKind::LydianAugmented,
        ScaleKind::LydianDominant,
        ScaleKind::MixolydianFlat6,
        ScaleKind::LocrianNatural2,
        ScaleKind::Altered,
        ScaleKind::HarmonicMinor,
        ScaleKind::PhrygianDominant,
        ScaleKind::WholeTone,
        ScaleKind::HalfWholeDiminished,
        ScaleKind::WholeHalfDiminished,
    ];

    /// Semitones above the root, ascending from 0.
    pub const fn semitones(self) -> &'static [u8] {
        match self {
            ScaleKind::Major => &[0, 2, 4, 5, 7, 9, 11],
            ScaleKind::Dorian => &[0, 2, 3, 5, 7, 9, 10],
            ScaleKind::Phrygian => &[0, 1, 3, 5, 7, 8, 10],
            ScaleKind::Lydian => &[0, 2, 4, 6, 7, 9, 11],
            ScaleKind::Mixolydian => &[0, 2, 4, 5, 7, 9, 10],
            ScaleKind::Aeolian => &[0, 2, 3, 5, 7, 8, 10],
            ScaleKind::Locrian => &[0, 1, 3, 5, 6, 8, 10],
            ScaleKind::MelodicMinor => &[0, 2, 3, 5, 7, 9, 11],
            ScaleKind::DorianFlat2 => &[0, 1, 3, 5, 7, 9, 10],
            ScaleKind::LydianAugmented => &[0, 2, 4, 6, 8, 9, 11],
            ScaleKind::LydianDominant => &[0, 2, 4, 6, 7, 9, 10],
            ScaleKind::MixolydianFlat6 => &[0, 2, 4, 5, 7, 8, 10],
            ScaleKind::LocrianNatural2 => &[0, 2, 3, 5, 6, 8, 10],
            ScaleKind::Altered => &[0, 1, 3, 4, 6, 8, 10],
            ScaleKind::HarmonicMinor => &[0, 2, 3, 5, 7, 8, 11],
            ScaleKind::PhrygianDominant => &[0, 1, 4, 5, 7, 8, 10],
            ScaleKind::WholeTone => &[0, 2, 4, 6, 8, 10],
            ScaleKind::HalfWholeDiminished => &[0, 1, 3, 4, 6, 7, 9, 10],
            ScaleKind::WholeHalfDiminished => &[0, 2, 3, 5, 6, 8, 9, 11],
        }
    }

    /// The trade's name, in lower case.
    pub const fn name(self) -> &'static str {
        match self {
            ScaleKind::Major => "major",
            ScaleKind::Dorian => "dorian",
            ScaleKind::Phrygian => "phrygian",
            ScaleKind::Lydian => "lydian",
            ScaleKind::Mixolydian => "mixolydian",
            ScaleKind::Aeolian => "aeolian",
            ScaleKind::Locrian => "locrian",
            ScaleKind::MelodicMinor => "melodic minor",
            ScaleKind::DorianFlat2 => "dorian b2",
            ScaleKind::LydianAugmented => "lydian augmented",
            ScaleKind::LydianDominant => "lydian dominant",
            ScaleKind::MixolydianFlat6 => "mixolydian b6",
            ScaleKind::LocrianNatural2 => "locrian natural 2",
            ScaleKind::Altered => "altered",
            ScaleKind::HarmonicMinor => "harmonic minor",
            ScaleKind::PhrygianDominant => "phrygian dominant",
            ScaleKind::WholeTone => "whole tone",
            ScaleKind::HalfWholeDiminished => "half-whole diminished",
            ScaleKind::WholeHalfDiminished => "whole-half diminished",
        }
    }

    const fn mask(self) -> u16 {
        let notes = self.semitones();
        let mut mask = 0;
        let mut i = 0;
        while i < notes.len() {
            mask |= 1 << notes[i];
            i += 1;
        }
        mask
    }
}

/// A set of semitones above a root: a [`ScaleKind`], perhaps with notes of the chord added that the
/// kind lacks. The root itself is kept elsewhere.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Scale {
    kind: ScaleKind,
    mask: u16,
}

impl Scale {
    /// The plain scale of a kind.
    pub const fn new(kind: ScaleKind) -> Scale {
        Scale {
            kind,
            mask: kind.mask(),
        }
    }

    /// The same scale with more notes, given as a mask of semitones above the root.
    pub(crate) const fn with(self, mask: u16) -> Scale {
        Scale {
            kind: self.kind,
            mask: self.mask | (mask & 0xfff),
        }
    }

    /// The kind it was built from.
    pub const fn kind(self) -> ScaleKind {
        self.kind
    }

    /// The notes as bits: bit n is set when the note n semitones above the root belongs.
    pub const fn mask(self) -> u16 {
        self.mask
    }

    /// Whether the note so many semitones above the root belongs (taken modulo 12).
    pub const fn contains(self, semitones_above_root: u8) -> bool {
        self.mask >> (semitones_above_root % 12) & 1 == 1
    }

    /// The notes in semitones above the root, ascending from 0.
    pub fn semitones(self) -> impl Iterator<Item = u8> {
        (0..12).filter(move |&s| self.contains(s))
    }
}

impl From<ScaleKind> for Scale {
    fn from(kind: ScaleKind) -> Scale {
        Scale::new(kind)
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.kind.name())
    }
}
