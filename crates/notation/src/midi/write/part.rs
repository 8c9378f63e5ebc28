//! What goes into a MIDI file, told in ticks and numbers.

/// Ticks in a quarter note. Divisible by 2, 3, 4, 5 and 8, so that straight and
/// triplet eighths both fall on whole ticks.
pub const TICKS_PER_QUARTER: u32 = 480;

/// The last tick that a file can reach: the largest delta time that four bytes of
/// seven bits hold, 0FFFFFFF (Standard MIDI Files 1.0, from memory).
pub const LONGEST: u32 = 0x0FFF_FFFF;

/// The most bytes that one text (title, marker, metadata line) may take.
pub const LONGEST_TEXT: usize = 1 << 20;

/// One instrument's part, ready to be written as a file.
///
/// All times are ticks from the start, [`TICKS_PER_QUARTER`] to a quarter note.
/// Every list is in order of time. [`write()`](super::write()) checks all that is said
/// here and names the first thing that does not hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The title of the tune.
    pub title: String,
    /// The name of the instrument's track. Some readers take the instrument from it,
    /// before the program, so let it be the name of the sound: plain `Bass` can be read
    /// as a voice.
    pub name: String,
    /// The sound: a General MIDI program counted from 0, at most 127;
    /// see [`program`](super::program).
    pub program: u8,
    /// The MIDI channel, counted from 0, at most 15. General MIDI keeps 9 for drums.
    pub channel: u8,
    /// Tempo changes; the first at tick 0, no two at one tick.
    pub tempos: Vec<TempoChange>,
    /// Metre changes; the first at tick 0, each of the others on a bar line.
    pub metres: Vec<MetreChange>,
    /// Key signatures; may be empty, no two at one tick.
    pub keys: Vec<KeyChange>,
    /// Markers, in the order they are to be read in: several may share a tick.
    pub markers: Vec<Marker>,
    /// The notes, by start, then by pitch. Notes of one pitch never overlap.
    pub notes: Vec<Sounded>,
    /// The end of the last bar; at most [`LONGEST`].
    pub end: u32,
    /// Lines of metadata (version, style, seed …), one text event each.
    pub texts: Vec<String>,
}

impl Part {
    /// An empty part of `end` ticks: acoustic bass on channel 0 in four-four at 120.
    #[must_use]
    pub fn new(title: impl Into<String>, end: u32) -> Self {
        Self {
            title: title.into(),
            name: "Acoustic Bass".to_owned(),
            program: super::program::ACOUSTIC_BASS,
            channel: 0,
            tempos: vec![TempoChange {
                at: 0,
                milli_bpm: 120_000,
            }],
            metres: vec![MetreChange {
                at: 0,
                beats: 4,
                unit: 4,
            }],
            keys: Vec::new(),
            markers: Vec::new(),
            notes: Vec::new(),
            end,
            texts: Vec::new(),
        }
    }
}

/// From here on, this tempo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TempoChange {
    /// When, in ticks.
    pub at: u32,
    /// Thousandths of a quarter note a minute: `120_000` is ♩ = 120. From 3.577 quarter
    /// notes a minute (the file keeps microseconds a quarter in 24 bits) to 60 000.
    pub milli_bpm: u32,
}

/// From here on, this metre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MetreChange {
    /// When, in ticks: on a bar line of the metre before.
    pub at: u32,
    /// The upper number: units in a bar, at least 1.
    pub beats: u8,
    /// The lower number: 1, 2, 4, 8, 16 or 32, for a whole note to a thirty-second.
    pub unit: u8,
}

/// From here on, this key signature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct KeyChange {
    /// When, in ticks.
    pub at: u32,
    /// Sharps (positive) or flats (negative) in the signature, −7 to 7.
    pub fifths: i8,
    /// Whether the key is minor.
    pub minor: bool,
}

/// A text at a time: the name of a section, a chord.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Marker {
    /// When, in ticks.
    pub at: u32,
    /// The text, written as UTF-8; one line.
    pub text: String,
}

/// One note as it sounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sounded {
    /// When it starts, in ticks.
    pub start: u32,
    /// How long it sounds, in ticks; at least 1.
    pub length: u32,
    /// The MIDI key number: 60 is middle C, 28 the double bass's low E; at most 127.
    pub pitch: u8,
    /// How hard it is plucked, 1 to 127.
    pub velocity: u8,
}
