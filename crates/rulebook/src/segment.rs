//! How a bar's notes are grouped for the rules that look at whole bars.

use std::ops::Range;

/// How many of a bar's `of` notes its first window holds: all of them up to
/// four; a longer bar is split as its beats are grouped (5 as 3 and 2, 6 as 3
/// and 3, 7 as 4 and 3), and the rest form a second window.
pub const fn head(of: usize) -> usize {
    match of {
        0..=4 => of,
        5 | 6 => 3,
        _ => 4,
    }
}

/// The slots of a bar that are looked at together: its [`head`] and the rest, as far as there is
/// any.
pub(crate) fn parts(row: Range<usize>) -> impl Iterator<Item = Range<usize>> {
    let middle = row.start + head(row.len());
    let parts = [row.start..middle, middle..row.end];
    parts.into_iter().filter(|part| !part.is_empty())
}

/// What makes a bar begin like the bar before it.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Likeness {
    /// The first so many notes have the same degrees.
    Degrees(usize),
    /// Both notes of a bar of two are the very same.
    Notes,
}

/// What makes two neighbouring bars of so many notes alike, if bars of these
/// lengths can be.
pub const fn likeness(before: usize, of: usize) -> Option<Likeness> {
    match of {
        _ if before != of => None,
        0 | 1 => None,
        2 => Some(Likeness::Notes),
        4 => Some(Likeness::Degrees(3)),
        _ => Some(Likeness::Degrees(2)),
    }
}
