//! How surely a bar's notes name their chord.
//!
//! Each chord of a fixed vocabulary gets the likelihood of the bar's notes,
//! weighed by their beats; clarity is the log-odds of the true chord over its
//! best rival, in milli-nats. All arithmetic is on whole numbers.
//!
//! The likelihoods (how often a bass note over a chord is its root, third,
//! fifth …) are common practice with no source, as are the beat weights.

use linewright_plan::{Beat, Ground, Slot};
use linewright_theory::{Member, PitchClass};

use crate::symbol::{CellSymbol, SYMBOLS, offsets_by_symbol};

/// A bar at least this clear names its chord, in milli-nats.
pub const CLEAR: i32 = 1500;

/// A bar at most this clear could be another chord's, in milli-nats.
pub const AMBIGUOUS: i32 = 400;

/// Number of rival qualities.
pub(crate) const QUALITIES: usize = 6;

/// Rivals in all: twelve roots by the qualities.
pub(crate) const RIVALS: usize = 12 * QUALITIES;

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
        Beat::Weak if slot.position + 1 == slot.of => 600,
        Beat::Weak => 900,
    }
}

/// Log-likelihood of a note `offset` semitones above the root of rival quality `quality`.
fn rival_likelihood(quality: &Quality, offset: u8) -> i32 {
    likelihood(if offset == 0 {
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
    })
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
        let weight = evidence(slot);
        let mut truth = [0; SYMBOLS];
        let mut rivals = [[0_i16; RIVALS]; SYMBOLS];
        for (symbol, offsets) in offsets_by_symbol(&slot.ground).into_iter().enumerate() {
            let share = offsets.count_ones().max(1) as i32;
            for offset in (0..12).filter(|offset| offsets & (1 << offset) != 0) {
                truth[symbol] += likelihood(slot.ground.member_at(offset)) * weight / 1000 / share;
                for (rival, sum) in rivals[symbol].iter_mut().enumerate() {
                    let (root, quality) =
                        ((rival / QUALITIES) as u8, &VOCABULARY[rival % QUALITIES]);
                    let above = (offset + 12 - root) % 12;
                    *sum += (rival_likelihood(quality, above) * weight / 1000 / share) as i16;
                }
            }
        }
        for (rival, stands) in stands(&slot.ground).into_iter().enumerate() {
            if !stands {
                rivals
                    .iter_mut()
                    .for_each(|symbol| symbol[rival] = NOT_A_RIVAL);
            }
        }
        Self { truth, rivals }
    }
}

/// Which chords of the vocabulary are rivals: all but the true chord and
/// plainer names of it.
fn stands(ground: &Ground) -> [bool; RIVALS] {
    std::array::from_fn(|rival| {
        !is_same_chord(
            ground,
            (rival / QUALITIES) as u8,
            &VOCABULARY[rival % QUALITIES],
        )
    })
}

/// Stands in for a likelihood where the vocabulary's chord is no rival: lower
/// than four notes can sum to, and sums saturate there.
const NOT_A_RIVAL: i16 = i16::MIN;

/// Whether a chord of the vocabulary is the true chord or one that a bass
/// line does not tell from it: same root, same third.
fn is_same_chord(ground: &Ground, root: u8, quality: &Quality) -> bool {
    let third = ground.chord.third();
    root == 0 && third.is_none_or(|third| third == quality.third || third == 2 || third == 5)
}

/// The best rival to a bar's chord.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rival {
    /// The rival's root.
    pub root: PitchClass,
    /// The rival's quality, as a chord symbol writes it after the root.
    pub suffix: &'static str,
}

/// Clarity in milli-nats of notes over the chords of their slots: for a bar
/// with several chords, the mean over its chords. `cell` has one symbol for
/// each slot.
pub fn clarity(slots: &[Slot], cell: &[CellSymbol]) -> i32 {
    let parts: Vec<i32> = parts(slots)
        .map(|part| {
            let (truth, best, _) = weigh(&slots[part.clone()], &cell[part]);
            truth - best
        })
        .collect();
    parts.iter().sum::<i32>() / parts.len().max(1) as i32
}

/// The best rival to the first chord of a bar.
pub fn rival(slots: &[Slot], cell: &[CellSymbol]) -> Option<Rival> {
    let part = parts(slots).next()?;
    let ground = &slots[part.start].ground;
    let (_, _, rival) = weigh(&slots[part.clone()], &cell[part.clone()]);
    Some(Rival {
        root: ground.root.up((rival / QUALITIES) as i32),
        suffix: VOCABULARY[rival % QUALITIES].suffix,
    })
}

/// Stretches of a bar under one chord.
pub(crate) fn parts(slots: &[Slot]) -> impl Iterator<Item = std::ops::Range<usize>> {
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
        let evidence = NoteEvidence::new(slot);
        truth += evidence.truth[usize::from(symbol)];
        for (sum, milli) in rivals.iter_mut().zip(&evidence.rivals[usize::from(symbol)]) {
            *sum = sum.saturating_add(*milli);
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
