//! The harmony under a note, looked up once: what each semitone above the
//! chord's root is called and what part it plays.

use linewright_theory::{Chord, Degree, Key, Member, Pitch, PitchClass, Quality, Scale};

/// A harmony without its root: two harmonies of one shape differ by
/// transposition only.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct GroundShape {
    quality: Quality,
    scale: Scale,
    line_root: u8,
}

/// A chord in its key, with its default scale and what each of the twelve
/// semitones above its root is to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// The chord.
    pub chord: Chord,
    /// The key in force.
    pub key: Key,
    /// The chord's scale by its function in the key.
    pub scale: Scale,
    /// The chord's own root.
    pub root: PitchClass,
    /// The root of the line: the bass note of a slash chord, else the root.
    pub line_root: PitchClass,
    degrees: [Degree; 12],
    members: [Member; 12],
}

impl Ground {
    /// Looks the chord up in its key.
    pub fn new(chord: Chord, key: Key) -> Self {
        let scale = chord.scale(key);
        let root = chord.root.class();
        let line_root = chord.line_root().class();
        let above = line_root.above(root);
        let degrees = std::array::from_fn(|offset| chord.degree(offset as u8));
        let members = std::array::from_fn(|offset| {
            if offset as u8 == above {
                Member::Root
            } else {
                match chord.member(offset as u8, &scale) {
                    // Over a slash chord the chord's own root is one more chord tone.
                    Member::Root => Member::Fifth,
                    member => member,
                }
            }
        });
        Self {
            chord,
            key,
            scale,
            root,
            line_root,
            degrees,
            members,
        }
    }

    /// The harmony without its root.
    pub fn shape(&self) -> GroundShape {
        GroundShape {
            quality: self.chord.quality_key(),
            scale: self.scale,
            line_root: self.line_root_offset(),
        }
    }

    /// Semitones of a pitch class above the chord's root, 0 to 11.
    pub fn offset(&self, class: PitchClass) -> u8 {
        class.above(self.root)
    }

    /// The name of a note over this chord.
    pub fn degree(&self, pitch: Pitch) -> Degree {
        self.degrees[usize::from(self.offset(pitch.class()))]
    }

    /// The name of the note so many semitones (0 to 11) above the chord's root.
    pub fn degree_at(&self, offset: u8) -> Degree {
        self.degrees[usize::from(offset % 12)]
    }

    /// What a note is to this chord.
    pub fn member(&self, class: PitchClass) -> Member {
        self.members[usize::from(self.offset(class))]
    }

    /// What the note so many semitones (0 to 11) above the chord's root is to it.
    pub fn member_at(&self, offset: u8) -> Member {
        self.members[usize::from(offset % 12)]
    }

    /// Semitones of the line's root above the chord's root, 0 to 11.
    pub fn line_root_offset(&self) -> u8 {
        self.line_root.above(self.root)
    }

    /// Whether a note is a chord tone: the root of the line, or the chord's
    /// third, fifth or seventh.
    pub fn is_chord_tone(&self, class: PitchClass) -> bool {
        self.member(class) <= Member::Seventh
    }
}
