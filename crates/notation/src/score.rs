//! A part as written.

use std::fmt;

use linewright_theory::{Chord, Key, Note};

/// Length or place in time; [`QUARTER`] ticks are a quarter note.
pub type Ticks = u32;

/// Ticks of a quarter note: enough for every note value down to a 64th, dotted, and for
/// triplets, quintuplets and septuplets of sixteenths.
pub const QUARTER: Ticks = 6720;

/// A part for one staff, as written: repeats are not carried out, pitches are those that sound.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Score {
    /// The title.
    pub title: Option<String>,
    /// Who wrote the tune.
    pub composer: Option<String>,
    /// Who wrote the line, where it is a student's.
    pub student: Option<String>,
    /// The feel, in words: `swing`.
    pub feel: Option<String>,
    /// Whether it was played rather than written: its notes have pitches, but no spelling of
    /// their own.
    pub played: bool,
    /// Facts about the making of the part that a file carries along unseen, as name and value:
    /// names are lower-case words (`style hash`), values are single lines.
    pub about: Vec<(String, String)>,
    /// The measures, in the order of the page.
    pub measures: Vec<Measure>,
}

impl Score {
    /// Makes the facts `composer` and `student` the fields of their own, where those are empty:
    /// for formats that have no place for them.
    pub(crate) fn take_credits(&mut self) {
        for (name, field) in [
            ("composer", &mut self.composer),
            ("student", &mut self.student),
        ] {
            let told = |fact: &(String, String)| fact.0 == name && !fact.1.is_empty();
            if field.is_none()
                && let Some(at) = self.about.iter().position(told)
            {
                *field = Some(self.about.remove(at).1);
            }
        }
    }
}

/// One measure as written.
#[derive(Clone, Debug, PartialEq)]
pub struct Measure {
    /// Its length: that of the time signature, less in a pick-up.
    pub ticks: Ticks,
    /// Whether it is the short first one, which is not counted.
    pub pickup: bool,
    /// The time signature, where it is new; always in the first measure.
    pub time: Option<TimeSignature>,
    /// The key, where it is new.
    pub key: Option<Key>,
    /// The tempo in quarter notes a minute, where it is new.
    pub tempo: Option<u16>,
    /// A section of this name begins here.
    pub section: Option<String>,
    /// A repeat begins before this measure.
    pub opens_repeat: bool,
    /// An ending begins with this measure, for these passes; empty when none does.
    pub ending: Vec<u8>,
    /// The goal of a dal segno stands before this measure.
    pub segno: bool,
    /// The coda begins with this measure.
    pub coda: bool,
    /// After this measure, the jump to the coda.
    pub to_coda: bool,
    /// After this measure, the end on the way back.
    pub fine: bool,
    /// After this measure, a jump back.
    pub jump: Option<Jump>,
    /// What divides this measure from the next.
    pub right: BarLine,
    /// The chord symbols, by place.
    pub symbols: Vec<SymbolAt>,
    /// Notes and rests in order of time; they do not overlap, and the measure may have gaps,
    /// which are silent.
    pub events: Vec<Event>,
}

impl Measure {
    /// An empty measure of this length.
    pub fn new(ticks: Ticks) -> Self {
        Self {
            ticks,
            pickup: false,
            time: None,
            key: None,
            tempo: None,
            section: None,
            opens_repeat: false,
            ending: Vec::new(),
            segno: false,
            coda: false,
            to_coda: false,
            fine: false,
            jump: None,
            right: BarLine::Single,
            symbols: Vec::new(),
            events: Vec::new(),
        }
    }
}

/// A time signature.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct TimeSignature {
    /// The upper number.
    pub beats: u8,
    /// The lower number: 1, 2, 4, 8, 16, 32 or 64.
    pub unit: u8,
}

impl TimeSignature {
    /// The length of a full measure. An absurd lower number counts as 4.
    pub fn ticks(self) -> Ticks {
        let unit = if self.unit.is_power_of_two() && self.unit <= 64 {
            self.unit
        } else {
            4
        };
        4 * QUARTER / Ticks::from(unit) * Ticks::from(self.beats)
    }
}

/// What divides a measure from the next.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BarLine {
    /// A plain bar line.
    Single,
    /// A double bar line.
    Double,
    /// The final bar line.
    Final,
    /// The end of a repeat that is played so many times in all, where it has no endings.
    Repeat(u8),
}

/// A da capo or dal segno.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Jump {
    /// Back to the segno instead of to the beginning.
    pub to_segno: bool,
    /// How far to play after the jump.
    pub until: Until,
}

/// In the words of a page: `D.C. al Fine`.
impl fmt::Display for Jump {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.to_segno { "D.S." } else { "D.C." })?;
        f.write_str(match self.until {
            Until::End => "",
            Until::Fine => " al Fine",
            Until::Coda => " al Coda",
        })
    }
}

/// How far to play after a jump back.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Until {
    /// To the end of the page, or to a fine.
    End,
    /// To the fine.
    Fine,
    /// To the sign, then on from the coda.
    Coda,
}

/// A chord symbol.
#[derive(Clone, Debug, PartialEq)]
pub enum Symbol {
    /// A chord.
    Chord(Chord),
    /// The band is silent (`N.C.`).
    NoChord,
    /// A symbol that could not be read, as it stands in the file.
    Unread(String),
}

impl fmt::Display for Symbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Symbol::Chord(chord) => chord.fmt(f),
            Symbol::NoChord => f.write_str("N.C."),
            Symbol::Unread(text) => f.write_str(text),
        }
    }
}

/// A chord symbol in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct SymbolAt {
    /// Where it stands in its measure.
    pub at: Ticks,
    /// The symbol.
    pub symbol: Symbol,
}

/// A note or a rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Where it begins in its measure.
    pub at: Ticks,
    /// How long it is written; it ends within the measure.
    pub ticks: Ticks,
    /// The note as it sounds (a bass part is written an octave higher); `None` for a rest.
    pub note: Option<Note>,
    /// Whether it is held on into the next note, of the same pitch.
    pub tied: bool,
    /// Whether it is a ghost (dead) note.
    pub ghost: bool,
    /// What stands under it, row by row: degree, function, finger. Empty rows are empty texts.
    pub under: Vec<String>,
}

impl Event {
    /// A plain note.
    pub fn note(at: Ticks, ticks: Ticks, note: Note) -> Self {
        Self {
            at,
            ticks,
            note: Some(note),
            tied: false,
            ghost: false,
            under: Vec::new(),
        }
    }

    /// A rest.
    pub fn rest(at: Ticks, ticks: Ticks) -> Self {
        Self {
            at,
            ticks,
            note: None,
            tied: false,
            ghost: false,
            under: Vec::new(),
        }
    }
}
