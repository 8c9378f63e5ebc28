//! Which notes share a beam.

use super::WrittenNote;
use super::metre::Metre;
use crate::Ticks;

/// What a note head does to a beam.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Beam {
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

/// Gives the notes of a measure their beams, and tuplets that no beam shows a bracket. Of the
/// measure's beginning, `missing` is cut off.
pub(super) fn join(notes: &mut [WrittenNote], metre: &Metre, missing: Ticks) {
    let mut tuplet = 0;
    let groups: Vec<Option<(usize, Ticks)>> = notes
        .iter()
        .map(|note| {
            // A tuplet over several beats is under one beam.
            let at = match note.tuplet {
                Some(part) => {
                    tuplet = if part.first { note.at } else { tuplet };
                    tuplet
                }
                None => note.at,
            };
            (flags(note) > 0).then(|| metre.beam(at + missing))
        })
        .collect();
    let mut from = 0;
    for group in groups.chunk_by(|one, other| one.is_some() && one == other) {
        let to = from + group.len();
        if group.len() > 1 {
            beam(&mut notes[from..to]);
        }
        from = to;
    }
    let is_inner = |note: &WrittenNote| note.tuplet.is_some_and(|tuplet| !tuplet.first);
    for group in notes.chunk_by_mut(|_, next| is_inner(next)) {
        let beams: Vec<Option<&Beam>> = group.iter().map(|note| note.beams.first()).collect();
        // A tuplet needs a bracket unless one beam holds just its notes.
        let joined = matches!(&beams[..], [Some(Beam::Begin), inner @ .., Some(Beam::End)]
            if inner.iter().all(|beam| *beam == Some(&Beam::Continue)));
        for tuplet in group.iter_mut().filter_map(|note| note.tuplet.as_mut()) {
            tuplet.bracket = !joined;
        }
    }
}

/// How many beams a note can have.
fn flags(note: &WrittenNote) -> usize {
    match (note.note, note.value) {
        (Some(_), Some(value)) => value.beams(),
        _ => 0,
    }
}

/// Puts a group under its beams.
fn beam(group: &mut [WrittenNote]) {
    let flags: Vec<usize> = group.iter().map(flags).collect();
    for (place, note) in group.iter_mut().enumerate() {
        let before = place.checked_sub(1).map_or(0, |before| flags[before]);
        let after = flags.get(place + 1).copied().unwrap_or(0);
        note.beams = (1..=flags[place])
            .map(|level| match (before >= level, after >= level) {
                (false, true) => Beam::Begin,
                (true, true) => Beam::Continue,
                (true, false) => Beam::End,
                (false, false) if place == 0 => Beam::Forward,
                (false, false) => Beam::Backward,
            })
            .collect();
    }
}
