//! A chart as it is written: bars in the order of the page.

pub use linewright_notation::{BarLine, Jump, Until};
use linewright_theory::Key;

use crate::feel;
use crate::harmony::Harmony;
use crate::metre::{Metre, shares};

/// The title of a chart that tells none.
pub(crate) const UNTITLED: &str = "Untitled";

/// A chord chart as written, with its repeats and signs.
///
/// Every chart that exists can be [unrolled](Chart::unroll): what cannot be
/// played is refused when it is read. `Display` prints the chart text in its
/// tidy form; reading that gives an equal chart. Comments and line breaks of
/// the text that was read are not kept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Chart {
    pub(crate) title: Option<String>,
    pub(crate) composer: Option<String>,
    pub(crate) told_key: Option<Key>,
    pub(crate) key: Key,
    pub(crate) metre: Metre,
    pub(crate) tempo: Option<u16>,
    pub(crate) feel: Option<String>,
    pub(crate) bars: Vec<WrittenBar>,
}

impl Chart {
    /// The title, or `Untitled`.
    pub fn title(&self) -> &str {
        self.title.as_deref().unwrap_or(UNTITLED)
    }

    /// Who wrote the tune, if told.
    pub fn composer(&self) -> Option<&str> {
        self.composer.as_deref()
    }

    /// The key at the start: the one that was told, or else the one inferred
    /// from the chords (the crate documentation says how).
    pub fn key(&self) -> Key {
        self.key
    }

    /// Whether the chart tells its key itself.
    pub fn tells_key(&self) -> bool {
        self.told_key.is_some()
    }

    /// The metre at the start.
    pub fn metre(&self) -> Metre {
        self.metre
    }

    /// The tempo at the start in beats (quarter notes) a minute, if told.
    pub fn tempo(&self) -> Option<u16> {
        self.tempo
    }

    /// The feel as it was told, for example `swing`.
    pub fn feel(&self) -> Option<&str> {
        self.feel.as_deref()
    }

    /// Whether the feel says that the bass plays in two.
    pub fn is_in_two(&self) -> bool {
        self.feel.as_deref().is_some_and(feel::is_in_two)
    }

    /// Beats of the pick-up bar, or `None` when the chart begins with a full
    /// bar.
    pub fn pickup(&self) -> Option<u8> {
        self.bars
            .first()
            .filter(|bar| bar.pickup)
            .map(|bar| bar.beats)
    }

    /// The bars as written, in the order of the page; never empty.
    pub fn bars(&self) -> &[WrittenBar] {
        &self.bars
    }
}

/// One bar of the page.
#[derive(Clone, PartialEq, Eq, Debug)]
#[non_exhaustive]
pub struct WrittenBar {
    /// Counted from 1; a pick-up bar is 0.
    pub number: usize,
    /// The bar is the short first one.
    pub pickup: bool,
    /// The metre in force.
    pub metre: Metre,
    /// The beats of the bar: those of the metre, fewer in a pick-up bar.
    pub beats: u8,
    /// A section of this name begins here.
    pub section: Option<String>,
    /// The metre changes here.
    pub new_metre: Option<Metre>,
    /// The key changes here.
    pub new_key: Option<Key>,
    /// The tempo changes here, in beats a minute.
    pub new_tempo: Option<u16>,
    /// A repeat begins before this bar (`|:`).
    pub opens_repeat: bool,
    /// An ending begins with this bar, for these passes; empty when none does.
    pub ending: Vec<u8>,
    /// The goal of a D.S. stands before this bar.
    pub segno: bool,
    /// The coda begins with this bar.
    pub coda: bool,
    /// What is written in the bar.
    pub content: Content,
    /// After this bar, the jump to the coda.
    pub to_coda: bool,
    /// After this bar, the end on the way back.
    pub fine: bool,
    /// After this bar, a jump back.
    pub jump: Option<Jump>,
    /// The bar line after this bar.
    pub right: BarLine,
}

/// What is written in a bar.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Content {
    /// `%`: the bar before, once more.
    Same,
    /// Chords that fill the bar, in order.
    Chords(Vec<WrittenSpan>),
}

/// A written chord and the beats it is given.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub struct WrittenSpan {
    /// Length in beats, at least 1.
    pub beats: u8,
    /// What sounds; `None`, in the first place only, holds the last harmony of
    /// the bar before.
    pub harmony: Option<Harmony>,
}

/// Whether the lengths are what plain chords without `/` would get in a bar of
/// this many beats.
pub(crate) fn is_even(spans: &[WrittenSpan], beats: u8) -> bool {
    spans.iter().all(|span| span.harmony.is_some())
        && shares(spans.len(), beats)
            .is_some_and(|parts| parts.iter().eq(spans.iter().map(|span| &span.beats)))
}
