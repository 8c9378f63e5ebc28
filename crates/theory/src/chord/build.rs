//! From the parts of a symbol to its degrees: the one place that says what a symbol means.
//!
//! | part | degrees |
//! | --- | --- |
//! | nothing, `m`, `dim`, `aug` | the triad |
//! | `5` | 1 5 |
//! | `6`, `6/9` | the sixth, and the ninth |
//! | `7` | minor seventh; major after `maj`; diminished after `dim` |
//! | `9` | the seventh and the ninth |
//! | `11` | the seventh, ninth and eleventh; in major chords it takes the third's place, as `9sus4` |
//! | `13` | the seventh, ninth and thirteenth; the eleventh in minor chords only |
//! | `sus` | the fourth or second in place of the third |
//! | `b5 #5 b9 #9 #11 b13` | that degree in place of the natural one of the same number |
//! | `add…`, `no…` | that degree more or less |
//! | `alt` | 1 3 b5 #5 b7 b9 #9 |
//!
//! Two written degrees that sound the same note are one: the lower number stays (the #9 of a minor
//! chord is its b3). A sixth in a chord with a seventh is a thirteenth, and a thirteenth in a chord
//! without one is a sixth.

use super::quality::Quality;

/// The triad a symbol starts from.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub(crate) enum Base {
    Major,
    Minor,
    Diminished,
    HalfDiminished,
    Augmented,
}

/// The number after the triad.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub(crate) enum Number {
    None,
    Five,
    Six,
    SixNine,
    Seven,
    Nine,
    Eleven,
    Thirteen,
}

/// One modifier after the number.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub(crate) enum Modifier {
    /// An altered degree in place of the natural one.
    Alter(u8, i8),
    /// A degree more.
    Add(u8, i8),
    /// A degree less.
    No(u8),
    /// The major seventh in place of the minor one; beside a diminished one.
    MajorSeventh,
}

/// A symbol's parts, root and bass aside.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Parts {
    pub base: Base,
    pub major_seventh: bool,
    pub number: Number,
    pub sus2: bool,
    pub sus4: bool,
    pub alt: bool,
    pub modifiers: Vec<Modifier>,
}

impl Parts {
    pub(crate) fn new() -> Parts {
        Parts {
            base: Base::Major,
            major_seventh: false,
            number: Number::None,
            sus2: false,
            sus4: false,
            alt: false,
            modifiers: Vec::new(),
        }
    }

    /// The degrees. Modifiers count whatever their order: first what is left out, then what is
    /// altered, then what is added.
    pub(crate) fn quality(&self) -> Quality {
        let mut q = Quality::ROOT;
        if self.alt {
            for (number, alter) in [(3, 0), (5, -1), (5, 1), (7, -1), (9, -1), (9, 1)] {
                q.set(number, alter);
            }
        } else {
            self.triad(&mut q);
            self.stack(&mut q);
        }
        if self.sus2 || self.sus4 {
            q.unset_number(3);
            if self.sus2 {
                q.set(2, 0);
            }
            if self.sus4 {
                q.set(4, 0);
            }
        }
        for modifier in &self.modifiers {
            if let Modifier::No(number) = *modifier {
                q.unset_number(number);
            }
        }
        for modifier in &self.modifiers {
            match *modifier {
                Modifier::Alter(number, alter) => {
                    q.unset(number, 0);
                    q.set(number, alter);
                }
                Modifier::MajorSeventh => {
                    q.unset(7, -1);
                    q.set(7, 0);
                }
                Modifier::Add(..) | Modifier::No(_) => {}
            }
        }
        for modifier in &self.modifiers {
            if let Modifier::Add(number, alter) = *modifier {
                q.set(number, alter);
            }
        }
        tidy(q)
    }

    fn triad(&self, q: &mut Quality) {
        let (third, fifth) = match self.base {
            Base::Major => (0, 0),
            Base::Minor => (-1, 0),
            Base::Diminished | Base::HalfDiminished => (-1, -1),
            Base::Augmented => (0, 1),
        };
        if self.number != Number::Five {
            q.set(3, third);
        }
        q.set(5, fifth);
    }

    fn stack(&self, q: &mut Quality) {
        let seventh = match self.base {
            _ if self.major_seventh => 0,
            Base::Diminished => -2,
            _ => -1,
        };
        match self.number {
            Number::None if self.base == Base::HalfDiminished => q.set(7, seventh),
            Number::None | Number::Five => {}
            Number::Six => q.set(6, 0),
            Number::SixNine => {
                q.set(6, 0);
                q.set(9, 0);
            }
            Number::Seven | Number::Nine | Number::Eleven | Number::Thirteen => {
                q.set(7, seventh);
                if self.number != Number::Seven {
                    q.set(9, 0);
                }
                let minor = q.has(3, -1);
                match self.number {
                    Number::Eleven if !minor => {
                        q.unset(3, 0);
                        q.set(4, 0);
                    }
                    Number::Eleven | Number::Thirteen if minor => q.set(11, 0),
                    _ => {}
                }
                if self.number == Number::Thirteen {
                    q.set(13, 0);
                }
            }
        }
    }
}

/// Sixths and thirteenths by whether there is a seventh, and one degree for each sounding note.
pub(super) fn tidy(mut q: Quality) -> Quality {
    let seventh = q.has_number(7);
    let (from, to) = if seventh { (6, 13) } else { (13, 6) };
    for alter in [-1, 0] {
        if q.has(from, alter) {
            q.unset(from, alter);
            q.set(to, alter);
        }
    }
    let mut seen: u16 = 0;
    for degree in q.degrees() {
        let bit = 1 << degree.semitones();
        if seen & bit != 0 {
            q.unset(degree.number, degree.alter);
        }
        seen |= bit;
    }
    q
}
