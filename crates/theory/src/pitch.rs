//! What sounds: pitches and pitch classes, without spelling.

/// A sounding pitch as a MIDI note number, 0 to 127; middle C (C4) is 60.
///
/// A bass part is written an octave higher than it sounds; this is always the sound.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Pitch(u8);

impl Pitch {
    /// A pitch from its MIDI number; `None` above 127.
    pub const fn new(midi: u8) -> Option<Pitch> {
        if midi < 128 { Some(Pitch(midi)) } else { None }
    }

    /// The MIDI number, 0 to 127.
    pub const fn midi(self) -> u8 {
        self.0
    }

    /// The pitch class.
    pub const fn class(self) -> PitchClass {
        PitchClass(self.0 % 12)
    }

    /// The pitch so many semitones away; `None` when it leaves 0 to 127.
    pub const fn shifted(self, semitones: i32) -> Option<Pitch> {
        match (self.0 as i32).checked_add(semitones) {
            Some(midi) if midi >= 0 && midi < 128 => Some(Pitch(midi as u8)),
            _ => None,
        }
    }
}

/// One of the twelve pitch classes, 0 to 11, C = 0.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct PitchClass(u8);

impl PitchClass {
    /// The class of a number, taken modulo 12.
    pub const fn new(number: u8) -> PitchClass {
        PitchClass(number % 12)
    }

    /// The class of any number of semitones above C.
    pub(crate) const fn of(semitones: i32) -> PitchClass {
        PitchClass(semitones.rem_euclid(12) as u8)
    }

    /// Semitones above C, 0 to 11.
    pub const fn get(self) -> u8 {
        self.0
    }

    /// The class so many semitones up (down if negative).
    pub const fn up(self, semitones: i32) -> PitchClass {
        PitchClass::of(self.0 as i32 + semitones.rem_euclid(12))
    }

    /// Semitones from `root` up to this class, 0 to 11.
    pub const fn above(self, root: PitchClass) -> u8 {
        (self.0 + 12 - root.0) % 12
    }
}
