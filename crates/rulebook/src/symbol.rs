//! The symbols in which cells are written: 1 to 7 by the chord's own degrees.

use crate::plan::Ground;
use linewright_theory::Member;

/// A note of a cell: 1 to 7 for the chord's own degrees (9 as 2, 11 as 4, 13
/// as 6; the sixth of a sixth chord as 6), 0 for a note outside its scale.
pub type CellSymbol = u8;

/// Number of cell symbols.
pub const SYMBOLS: usize = 8;

/// The cell symbol of the note `offset` semitones above the root of a chord.
pub fn cell_symbol(ground: &Ground, offset: u8) -> CellSymbol {
    match ground.member_at(offset) {
        Member::Root => 1,
        Member::Third => 3,
        Member::Fifth => 5,
        Member::Outside => 0,
        _ => match ground.degree_at(offset).number {
            number @ 1..=7 => number,
            number => number - 7,
        },
    }
}

/// Which semitones above the root carry each symbol, as bits; none for a
/// symbol that the chord does not use.
pub(crate) fn offsets_by_symbol(ground: &Ground) -> [u16; SYMBOLS] {
    let mut offsets = [0; SYMBOLS];
    for offset in 0..12 {
        offsets[usize::from(cell_symbol(ground, offset))] |= 1 << offset;
    }
    offsets
}

/// What a symbol stands for over its chord: the strongest of the notes that
/// carry it.
pub(crate) fn members_by_symbol(ground: &Ground) -> [Member; SYMBOLS] {
    let mut members = [Member::Outside; SYMBOLS];
    for offset in 0..12 {
        let member = &mut members[usize::from(cell_symbol(ground, offset))];
        *member = (*member).min(ground.member_at(offset));
    }
    members
}
