//! Seeded draws that are the same on every platform and in every version.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// What a stream of draws is for; each purpose of each line has its own.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Drawing the plan.
    Plan,
    /// Drawing the notes.
    Notes,
}

/// A stream of draws for one line of one seed.
///
/// ChaCha8 keyed by the seed, with one stream for each line and purpose, so
/// that line *i* of a batch does not depend on threads or order. Ranges are
/// mapped here, by multiplication, and never by a library whose values may
/// change.
#[derive(Clone, Debug)]
pub struct Dice(ChaCha8Rng);

impl Dice {
    /// The stream of line `line` (from 0) of `seed` for one purpose.
    pub fn new(seed: u64, line: u64, purpose: Purpose) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        key[8..18].copy_from_slice(b"linewright");
        let mut rng = ChaCha8Rng::from_seed(key);
        rng.set_stream(line.wrapping_mul(2).wrapping_add(match purpose {
            Purpose::Plan => 0,
            Purpose::Notes => 1,
        }));
        Self(rng)
    }

    /// Sixty-four fresh bits.
    pub fn bits(&mut self) -> u64 {
        self.0.next_u64()
    }

    /// A whole number below `n`; 0 when `n` is 0.
    pub fn below(&mut self, n: u64) -> u64 {
        ((u128::from(self.bits()) * u128::from(n)) >> 64) as u64
    }

    /// True with a chance of so many thousandths.
    pub fn chance(&mut self, thousandths: u16) -> bool {
        self.below(1000) < u64::from(thousandths)
    }

    /// An index drawn by relative shares; `None` when all are 0.
    pub fn share(&mut self, shares: &[u64]) -> Option<usize> {
        let total: u64 = shares.iter().sum();
        if total == 0 {
            return None;
        }
        let mut left = self.below(total);
        shares.iter().position(|&share| {
            let hit = left < share;
            left = left.saturating_sub(share);
            hit
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_of_lines_and_purposes_are_apart_and_repeatable() {
        let draw = |line, purpose| Dice::new(7, line, purpose).bits();
        assert_eq!(draw(0, Purpose::Plan), draw(0, Purpose::Plan));
        assert_ne!(draw(0, Purpose::Plan), draw(0, Purpose::Notes));
        assert_ne!(draw(0, Purpose::Notes), draw(1, Purpose::Notes));
    }

    #[test]
    fn shares_of_nothing_are_never_drawn() {
        let mut dice = Dice::new(1, 0, Purpose::Plan);
        for _ in 0..500 {
            assert_ne!(dice.share(&[3, 0, 2]), Some(1));
        }
        assert_eq!(dice.share(&[0, 0]), None);
    }

    #[test]
    fn chances_come_out_near_their_thousandths() {
        let mut dice = Dice::new(2, 0, Purpose::Plan);
        let hits = (0..10_000).filter(|_| dice.chance(300)).count();
        assert!((2800..3200).contains(&hits), "{hits}");
    }
}
