//! Every way to fill a passage, with the notes around it given.

use linewright_lattice::Lattice;
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Style;
use linewright_theory::Pitch;

use crate::books::Books;
use crate::build::{candidates, lattice};
use crate::tables::Tables;

/// The lattice of every line over a plan in which some notes are given.
pub struct Passage {
    pitches: Vec<Pitch>,
    lattice: Lattice,
}

impl Passage {
    /// The lattice over a plan. `given` has one entry for each slot: the note that stands
    /// there, or `None` where any note of the style's range may, or one of the range of `also`.
    /// Given notes may lie outside the style's range. `tables` must have served no other style
    /// or range. `None` if the plan has no notes, or the given ones lie too far apart.
    ///
    /// # Panics
    /// If `given` has not one entry for each slot.
    pub fn new(
        books: &Books,
        style: &Style,
        plan: &Plan,
        given: &[Option<Pitch>],
        also: &[Pitch],
        tables: &mut Tables,
    ) -> Option<Self> {
        assert_eq!(given.len(), plan.slots.len(), "one entry for each slot");
        let own = candidates(style);
        let notes = || {
            own.iter()
                .chain(given.iter().flatten())
                .chain(also)
                .map(|pitch| pitch.midi())
        };
        let (low, high) = (notes().min()?, notes().max()?);
        if usize::from(high - low) >= linewright_lattice::MAX_CANDIDATES {
            return None;
        }
        let pitches: Vec<Pitch> = (low..=high).filter_map(Pitch::new).collect();
        let lattice = lattice(books, style, plan, &pitches, |at| given[at], tables)?;
        Some(Self { pitches, lattice })
    }

    /// The lattice; candidate k is the kth pitch.
    pub fn lattice(&self) -> &Lattice {
        &self.lattice
    }

    /// The pitch of a candidate.
    pub fn pitch(&self, candidate: u8) -> Pitch {
        self.pitches[usize::from(candidate)]
    }

    /// The candidate of a pitch, if it is one.
    pub fn candidate(&self, pitch: Pitch) -> Option<u8> {
        let at = self.pitches.binary_search(&pitch).ok()?;
        u8::try_from(at).ok()
    }
}
