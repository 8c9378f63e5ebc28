//! What sounds over a stretch of a bar.

use std::fmt;

use linewright_theory::Chord;

/// A chord, or the silence of the band.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub enum Harmony {
    /// A chord sounds.
    Chord(Chord),
    /// No chord sounds (`N.C.`).
    NoChord,
}

impl Harmony {
    /// The chord, unless none sounds.
    pub fn chord(&self) -> Option<&Chord> {
        match self {
            Harmony::Chord(chord) => Some(chord),
            Harmony::NoChord => None,
        }
    }
}

impl fmt::Display for Harmony {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Harmony::Chord(chord) => chord.fmt(f),
            Harmony::NoChord => f.write_str("N.C."),
        }
    }
}

/// One harmony and the beats of a bar that it covers.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub struct Span {
    /// First beat, counted from 0 in its bar.
    pub start: u8,
    /// Length in beats, at least 1.
    pub beats: u8,
    /// What sounds.
    pub harmony: Harmony,
}

impl Span {
    /// The beat after the last, counted from 0 in its bar.
    pub fn end(&self) -> u8 {
        self.start + self.beats
    }
}
