//! Lists that are read to a length: what comes after it is passed over and never held. One element
//! more than a line may have is kept, so that the reader can tell.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, IgnoredAny, SeqAccess, Visitor};

/// Most bars of a line that is read.
pub(super) const MOST_BARS: usize = 4096;

/// Most notes, or notes and rests, of a line.
pub(super) const MOST_EVENTS: usize = 200_000;

/// Most beats of a bar that is read, and so most chords in it.
pub(super) const MOST_BEATS: u8 = 32;

/// The bars of a line.
pub(super) fn some_bars<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    bars: D,
) -> Result<Vec<T>, D::Error> {
    some(bars, MOST_BARS + 1)
}

/// The notes of a line.
pub(super) fn some_events<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    events: D,
) -> Result<Vec<T>, D::Error> {
    some(events, MOST_EVENTS + 1)
}

/// The chords of a bar.
pub(super) fn some_chords<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    chords: D,
) -> Result<Vec<T>, D::Error> {
    some(chords, usize::from(MOST_BEATS))
}

fn some<'de, D: Deserializer<'de>, T: Deserialize<'de>>(
    list: D,
    most: usize,
) -> Result<Vec<T>, D::Error> {
    list.deserialize_seq(Reader(most, PhantomData))
}

/// A reader of so many elements.
struct Reader<T>(usize, PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Reader<T> {
    type Value = Vec<T>;

    fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Vec<T>, A::Error> {
        let mut kept = Vec::new();
        while kept.len() < self.0
            && let Some(element) = list.next_element()?
        {
            kept.push(element);
        }
        while list.next_element::<IgnoredAny>()?.is_some() {}
        Ok(kept)
    }
}
