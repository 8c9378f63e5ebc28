//! Which notes share a beam.

use super::metre::Metre;
use super::piece::Piece;
use crate::Ticks;

/// What a note head does to a beam.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Beam {
    /// It begins here.
    Begin,
    /// It goes on.
    Continue,
    /// It ends here.
    End,
    /// A short one that points forward.
    Forward,
    /// A short one that points backward.
    Backward,
}

impl Beam {
    /// Its name in a file.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Beam::Begin => "begin",
            Beam::Continue => "continue",
            Beam::End => "end",
            Beam::Forward => "forward hook",
            Beam::Backward => "backward hook",
        }
    }
}

/// The beams of each piece of a measure, the first (of the eighth note) first. Of the measure's
/// beginning, `missing` is cut off.
pub(crate) fn beams(pieces: &[Piece], metre: &Metre, missing: Ticks) -> Vec<Vec<Beam>> {
    let mut beams = vec![Vec::new(); pieces.len()];
    let group = |place: usize| -> Option<(usize, Ticks)> {
        let piece: &Piece = pieces.get(place)?;
        (flags(piece) > 0).then(|| metre.beam(piece.at + missing))
    };
    let mut from = 0;
    while from < pieces.len() {
        let mut to = from + 1;
        while group(from).is_some() && group(to) == group(from) {
            to += 1;
        }
        if to - from > 1 {
            for level in 1..=8 {
                level_of(&pieces[from..to], level, &mut beams[from..to]);
            }
        }
        from = to;
    }
    beams
}

/// How many beams a piece can have.
fn flags(piece: &Piece) -> usize {
    match (piece.note, piece.value) {
        (Some(_), Some(value)) => value.flags(),
        _ => 0,
    }
}

/// Adds the beams of one level to a group.
fn level_of(group: &[Piece], level: usize, beams: &mut [Vec<Beam>]) {
    let has = |place: usize| group.get(place).is_some_and(|piece| flags(piece) >= level);
    for (place, list) in beams.iter_mut().enumerate() {
        if !has(place) {
            continue;
        }
        let before = place.checked_sub(1).is_some_and(has);
        list.push(match (before, has(place + 1)) {
            (false, true) => Beam::Begin,
            (true, true) => Beam::Continue,
            (true, false) => Beam::End,
            (false, false) if place == 0 => Beam::Forward,
            (false, false) => Beam::Backward,
        });
    }
}
