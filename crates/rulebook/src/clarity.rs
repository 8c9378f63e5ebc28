//! How surely a bar's notes name their chord.
//!
//! Each chord of a fixed vocabulary gets the likelihood of the bar's notes,
//! weighed by their beats; clarity is the log-odds of the true chord over its
//! best rival on another root, in milli-nats. The true chord has a head start,
//! since the rest of the band plays it. All arithmetic is on whole numbers.
//!
//! The likelihoods (how often a bass note over a chord is its root, third,
//! fifth …) are common practice with no source, as are the beat weights.

use crate::plan::{Beat, Slot};
use linewright_theory::{Member, Pitch, PitchClass};

use crate::symbol::{CellSymbol, SYMBOLS, cell_symbol, offsets_by_symbol};

/// A bar at least this clear names its chord, in milli-nats.
pub const CLEAR: i32 = 1500;

/// A bar at most this clear could be another chord's, in milli-nats.
pub const AMBIGUOUS: i32 = 400;

/// Number of rival qualities.
pub(crate) const QUALITIES: usize = 6;

/// Rivals in all: the eleven other roots by the qualities.
pub(crate) const RIVALS: usize = 11 * QUALITIES;

/// What the true chord has ahead of its rivals before a note is heard, in
/// milli-nats.
pub(crate) const HEAD_START: i32 = 800;

/// The root (in semitones above the true chord's) and the quality of a rival.
const fn root_and_quality(rival: usize) -> (u8, &'static Quality) {
    (
        (rival / QUALITIES + 1) as u8,
        &VOCABULARY[rival % QUALITIES],
    )
}

/// A rival's tones above its root: third, fifth, seventh, and its scale.
struct Quality {
    suffix: &'static str,
    third: u8,
    fifth: u8,
    seventh: u8,
    scale: u16,
}

/// Bits for semitones above a root.
const fn mask(offsets: &[u8]) -> u16 {
    let mut bits = 0;
    let mut at = 0;
    while at < offsets.len() {
        bits |= 1 << offsets[at];
        at += 1;
    }
    bits
}

/// The vocabulary (common practice, no source): the seventh chords that a line
/// can spell, each with its plainest scale.
const VOCABULARY: [Quality; QUALITIES] = [
    Quality {
        suffix: "maj7",
        third: 4,
        fifth: 7,
        seventh: 11,
        scale: mask(&[0, 2, 4, 5, 7, 9, 11]),
    },
    Quality {
        suffix: "7",
        third: 4,
        fifth: 7,
        seventh: 10,
        scale: mask(&[0, 2, 4, 5, 7, 9, 10]),
    },
    Quality {
        suffix: "m7",
        third: 3,
        fifth: 7,
        seventh: 10,
        scale: mask(&[0, 2, 3, 5, 7, 9, 10]),
    },
    Quality {
        suffix: "m6",
        third: 3,
        fifth: 7,
        seventh: 9,
        scale: mask(&[0, 2, 3, 5, 7, 9, 11]),
    },
    Quality {
        suffix: "m7b5",
        third: 3,
        fifth: 6,
        seventh: 10,
        scale: mask(&[0, 1, 3, 5, 6, 8, 10]),
    },
    Quality {
        suffix: "dim7",
        third: 3,
        fifth: 6,
        seventh: 9,
        scale: mask(&[0, 2, 3, 5, 6, 8, 9, 11]),
    },
];

/// Log-likelihood of a note by what it is to the chord, in milli-nats.
const fn likelihood(member: Member) -> i32 {
    match member {
        Member::Root => -1100,
        Member::Third => -1600,
        Member::Fifth => -1650,
        Member::Seventh => -2000,
        Member::Colour => -3000,
        Member::Scale => -3400,
        Member::Outside => -4600,
    }
}

/// Weight of a note in the bar's evidence, in thousandths: beat one counts
/// most, the last note of a bar least, since it may lead elsewhere.
const fn evidence(slot: &Slot) -> i32 {
    match slot.strength {
        Beat::Down => 1500,
        Beat::Strong => 1100,
        Beat::Weak if slot.position + 1 == slot.of => 800,
        Beat::Weak => 900,
    }
}

/// What a note `offset` semitones above the root of a rival is to it.
const fn member_of(quality: &Quality, offset: u8) -> Member {
    if offset == 0 {
        Member::Root
    } else if offset == quality.third {
        Member::Third
    } else if offset == quality.fifth {
        Member::Fifth
    } else if offset == quality.seventh {
        Member::Seventh
    } else if quality.scale & (1 << offset) != 0 {
        Member::Scale
    } else {
        Member::Outside
    }
}

/// Evidence of one note for the true chord and for its rivals, by cell symbol.
/// Notes that share a symbol share the mean of their evidence.
pub(crate) struct NoteEvidence {
    /// For the true chord.
    pub truth: [i32; SYMBOLS],
    /// For each rival, indexed [symbol][rival].
    pub rivals: [[i16; RIVALS]; SYMBOLS],
}

impl NoteEvidence {
    /// The evidence that a note in this slot gives.
    pub fn new(slot: &Slot) -> Self {
        let mut all = Self {
            truth: [0; SYMBOLS],
            rivals: [[0; RIVALS]; SYMBOLS],
        };
        for (symbol, offsets) in offsets_by_symbol(&slot.ground).into_iter().enumerate() {
            (all.truth[symbol], all.rivals[symbol]) = evidence_of(slot, offsets);
        }
        all
    }
}

/// All that a note can be to a chord.
const MEMBERS: [Member; 7] = [
    Member::Root,
    Member::Third,
    Member::Fifth,
    Member::Seventh,
    Member::Colour,
    Member::Scale,
    Member::Outside,
];

/// What a note is to each rival, by its semitones above the true chord's root: the number of the
/// [`Member`].
static MEMBERS_OF_RIVALS: [[u8; RIVALS]; 12] = {
    let mut all = [[0; RIVALS]; 12];
    let mut offset = 0;
    while offset < 12 {
        let mut rival = 0;
        while rival < RIVALS {
            let (root, quality) = root_and_quality(rival);
            let above = (offset as u8 + 12 - root) % 12;
            all[offset][rival] = member_of(quality, above) as u8;
            rival += 1;
        }
        offset += 1;
    }
    all
};

/// Evidence of a note that is one of some offsets above its chord's root, as
/// bits: for the true chord, and for each rival.
fn evidence_of(slot: &Slot, offsets: u16) -> (i32, [i16; RIVALS]) {
    let weight = evidence(slot);
    let share = offsets.count_ones().max(1) as i32;
    // By member: one place more than there are, so that no look-up can miss.
    let mut each = [0; 8];
    for member in MEMBERS {
        each[member as usize] = (likelihood(member) * weight / 1000 / share) as i16;
    }
    let (mut truth, mut rivals) = (0, [0; RIVALS]);
    for offset in (0..12).filter(|offset| offsets & (1 << offset) != 0) {
        truth += i32::from(each[slot.ground.member_at(offset) as usize]);
        let members = &MEMBERS_OF_RIVALS[usize::from(offset)];
        for (sum, &member) in rivals.iter_mut().zip(members) {
            *sum += each[usize::from(member & 7)];
        }
    }
    (truth, rivals)
}

/// The best rival to a bar's chord.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rival {
    /// The rival's root.
    pub root: PitchClass,
    /// The rival's quality, as a chord symbol writes it after the root.
    pub suffix: &'static str,
}

/// Clarity in milli-nats of notes over the chords of their slots (for a bar
/// with several chords, the mean over its chords), and the best rival to the
/// first chord. `cell` has one symbol for each of the slots, of which there is
/// at least one.
pub(crate) fn clarity(slots: &[Slot], cell: &[CellSymbol]) -> (i32, Rival) {
    let parts: Vec<(i32, usize)> = parts(slots)
        .map(|part| {
            let (truth, best, rival) = weigh(&slots[part.clone()], &cell[part]);
            (HEAD_START + truth - best, rival)
        })
        .collect();
    let sum: i32 = parts.iter().map(|(clarity, _)| clarity).sum();
    let (root, quality) = root_and_quality(parts[0].1);
    let rival = Rival {
        root: slots[0].ground.root.up(i32::from(root)),
        suffix: quality.suffix,
    };
    (sum / parts.len() as i32, rival)
}

/// How surely some notes of a bar name their chord, in milli-nats: one pitch for each slot, of
/// which there is one at least.
pub fn clarity_of(slots: &[Slot], pitches: &[Pitch]) -> i32 {
    let symbol = |(slot, pitch): (&Slot, &Pitch)| {
        cell_symbol(&slot.ground, slot.ground.offset(pitch.class()))
    };
    let cell: Vec<CellSymbol> = slots.iter().zip(pitches).map(symbol).collect();
    clarity(slots, &cell).0
}

/// Stretches of a bar under one chord.
fn parts(slots: &[Slot]) -> impl Iterator<Item = std::ops::Range<usize>> {
    let mut start = 0;
    std::iter::from_fn(move || {
        if start >= slots.len() {
            return None;
        }
        let first = start;
        start += 1;
        while start < slots.len() && slots[start].ground.chord == slots[first].ground.chord {
            start += 1;
        }
        Some(first..start)
    })
}

/// Likelihood of the true chord, of its best rival, and which rival it is.
fn weigh(slots: &[Slot], cell: &[CellSymbol]) -> (i32, i32, usize) {
    let mut truth = 0;
    let mut rivals = [0_i16; RIVALS];
    for (slot, &symbol) in slots.iter().zip(cell) {
        let offsets = offsets_by_symbol(&slot.ground)[usize::from(symbol)];
        let (true_note, rival_notes) = evidence_of(slot, offsets);
        truth += true_note;
        for (sum, milli) in rivals.iter_mut().zip(rival_notes) {
            *sum += milli;
        }
    }
    // The first of equals, so that the answer never wavers.
    let mut best = 0;
    for rival in 1..RIVALS {
        if rivals[rival] > rivals[best] {
            best = rival;
        }
    }
    (truth, i32::from(rivals[best]), best)
}
