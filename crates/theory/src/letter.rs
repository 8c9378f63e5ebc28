//! The seven letters.

use std::fmt;

/// A note letter, C first, as the staff's lines and spaces go up.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[allow(missing_docs)]
pub enum Letter {
    C,
    D,
    E,
    F,
    G,
    A,
    B,
}

impl Letter {
    /// All seven, from C up to B.
    pub const ALL: [Letter; 7] = [
        Letter::C,
        Letter::D,
        Letter::E,
        Letter::F,
        Letter::G,
        Letter::A,
        Letter::B,
    ];

    /// Steps above C, 0 to 6.
    pub const fn index(self) -> u8 {
        self as u8
    }

    /// The letter so many steps above C; any number, counted round.
    pub const fn from_index(steps: i32) -> Letter {
        Letter::ALL[steps.rem_euclid(7) as usize]
    }

    /// Semitones above C of the natural note, 0 to 11.
    pub const fn semitones(self) -> u8 {
        [0, 2, 4, 5, 7, 9, 11][self as usize]
    }

    /// The letter so many steps up (down if negative), counted round.
    pub const fn up(self, steps: i32) -> Letter {
        Letter::from_index(self as i32 + steps.rem_euclid(7))
    }

    /// Steps from `root` up to this letter, 0 to 6.
    pub const fn above(self, root: Letter) -> u8 {
        (self as i32 - root as i32).rem_euclid(7) as u8
    }

    /// The letter a capital character stands for.
    pub const fn from_char(c: char) -> Option<Letter> {
        Some(match c {
            'C' => Letter::C,
            'D' => Letter::D,
            'E' => Letter::E,
            'F' => Letter::F,
            'G' => Letter::G,
            'A' => Letter::A,
            'B' => Letter::B,
            _ => return None,
        })
    }

    /// The capital character.
    pub const fn to_char(self) -> char {
        ['C', 'D', 'E', 'F', 'G', 'A', 'B'][self as usize]
    }
}

impl fmt::Display for Letter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.to_char())
    }
}
