//! Sets of candidates as the bits of a word, so that loops visit only those that count.

use crate::weight::CLASSES;

/// The candidates whose bits are set, ascending.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bits(pub(crate) u64);

impl Iterator for Bits {
    type Item = usize;

    #[inline(always)]
    fn next(&mut self) -> Option<usize> {
        if self.0 == 0 {
            return None;
        }
        let lowest = self.0.trailing_zeros() as usize;
        self.0 &= self.0 - 1;
        Some(lowest)
    }
}

/// The candidates that leave `residue` (below 12) modulo 12.
#[inline(always)]
pub(crate) fn with_residue(residue: usize) -> u64 {
    const EVERY_TWELFTH: u64 = {
        let (mut bits, mut at) = (0, 0);
        while at < u64::BITS as usize {
            bits |= 1 << at;
            at += CLASSES;
        }
        bits
    };
    EVERY_TWELFTH << residue
}

#[cfg(test)]
mod tests {
    use super::{Bits, with_residue};

    #[test]
    fn bits_are_visited_from_the_lowest() {
        assert_eq!(Bits(1 << 63 | 0b1011).collect::<Vec<_>>(), [0, 1, 3, 63]);
        assert_eq!(Bits(0).next(), None);
    }

    #[test]
    fn the_twelve_residues_share_out_all_candidates() {
        let mut seen = 0u64;
        for residue in 0..12 {
            assert!(Bits(with_residue(residue)).all(|k| k % 12 == residue));
            assert_eq!(seen & with_residue(residue), 0);
            seen |= with_residue(residue);
        }
        assert_eq!(seen, u64::MAX);
    }
}
