//! What a measure is filled with: notes, rests and gaps as they stand in the text.

use linewright_theory::Note;

use crate::Ticks;

/// A length as an exact number of ticks: so many by so many.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Exact {
    pub over: u64,
    pub under: u64,
}

impl Exact {
    pub fn ticks(ticks: Ticks) -> Self {
        Exact {
            over: u64::from(ticks),
            under: 1,
        }
    }

    /// Times a fraction; both its numbers are small and not zero.
    pub fn times(self, over: u64, under: u64) -> Self {
        let product = Exact {
            over: self.over.saturating_mul(over),
            under: self.under.saturating_mul(under.max(1)),
        };
        let common = gcd(product.over, product.under).max(1);
        Exact {
            over: product.over / common,
            under: product.under / common,
        }
    }

    /// The nearest number of ticks.
    pub fn rounded(self) -> Ticks {
        let doubled = self.over.saturating_mul(2).saturating_add(self.under);
        let ticks = doubled / self.under.saturating_mul(2).max(1);
        Ticks::try_from(ticks).unwrap_or(Ticks::MAX)
    }

    pub fn is_whole(self) -> bool {
        self.under == 1
    }
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// What an item is.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Note(Note),
    Rest,
    Gap,
}

/// A note, a rest or a gap as it stands in the text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Item {
    pub at: Ticks,
    pub ticks: Ticks,
    pub exact: Exact,
    pub kind: Kind,
    /// A tie follows.
    pub tie: bool,
    pub ghost: bool,
    /// No blank stands between the item before and this one.
    pub joined: bool,
}
