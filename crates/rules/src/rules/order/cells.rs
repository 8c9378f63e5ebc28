//! The stock cells in four (common practice, no source).

use std::sync::LazyLock;

use crate::symbol::CellSymbol;

/// Stock cells by the chord's own degrees; an octave is written as 1.
const STOCK: &[[CellSymbol; 4]] = &[
    [1, 2, 3, 5],
    [1, 3, 5, 3],
    [1, 3, 5, 6],
    [1, 3, 6, 5],
    [1, 3, 5, 7],
    [1, 5, 6, 5],
    [1, 7, 6, 5],
    [1, 1, 7, 5],
    [5, 3, 2, 1],
    [1, 2, 3, 4],
    [1, 3, 2, 1],
    [1, 7, 5, 3],
    [1, 5, 3, 1],
    [1, 5, 3, 5],
    [1, 6, 5, 3],
    [1, 3, 4, 5],
    [1, 5, 7, 5],
    [3, 5, 7, 1],
];

/// Fill-ins by half steps, 1-2-b3-3, 1-3-4-#4 and 1-b7-6-b6, where 0 is the
/// chromatic note.
const FILLS: &[[CellSymbol; 4]] = &[[1, 2, 0, 3], [1, 3, 4, 0], [1, 7, 6, 0]];

const STOCK_BIT: u8 = 1;
const REORDERED_BIT: u8 = 2;

/// For each of the 8⁴ cells whether it is stock, and whether it is a stock
/// cell in another order.
static TABLE: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let sorted = |mut cell: [CellSymbol; 4]| {
        cell.sort_unstable();
        cell
    };
    (0..8_usize.pow(4))
        .map(|at| {
            let cell = [at >> 9 & 7, at >> 6 & 7, at >> 3 & 7, at & 7].map(|s| s as CellSymbol);
            if STOCK.contains(&cell) {
                STOCK_BIT
            } else if STOCK.iter().any(|stock| sorted(*stock) == sorted(cell)) {
                REORDERED_BIT
            } else {
                0
            }
        })
        .collect()
});

fn look_up(cell: [CellSymbol; 4]) -> u8 {
    TABLE[cell
        .iter()
        .fold(0, |at, symbol| at << 3 | usize::from(symbol & 7))]
}

/// Whether a cell is a stock cell.
pub(super) fn is_stock(cell: [CellSymbol; 4]) -> bool {
    look_up(cell) == STOCK_BIT
}

/// Whether a cell is a stock cell in another order.
pub(super) fn is_reordered(cell: [CellSymbol; 4]) -> bool {
    look_up(cell) == REORDERED_BIT
}

/// The stock cell that a cell is, or has the notes of in another order; the first in the list.
pub fn stock_cell_of(cell: [CellSymbol; 4]) -> Option<[CellSymbol; 4]> {
    let sorted = |mut cell: [CellSymbol; 4]| {
        cell.sort_unstable();
        cell
    };
    let same = |stock: &&[CellSymbol; 4]| sorted(**stock) == sorted(cell);
    let exact = STOCK.iter().find(|stock| **stock == cell);
    exact.or_else(|| STOCK.iter().find(same)).copied()
}

/// Whether a bar fills in by half steps.
pub(super) fn is_fill(cell: [CellSymbol; 4]) -> bool {
    FILLS.contains(&cell)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stock_cell_is_not_its_own_reordering() {
        assert!(is_stock([1, 3, 5, 6]) && !is_reordered([1, 3, 5, 6]));
        assert!(is_reordered([6, 1, 3, 5]) && !is_stock([6, 1, 3, 5]));
    }

    #[test]
    fn four_different_degrees_have_twenty_four_orders() {
        let orders = (0..8_usize.pow(4)).filter(|at| {
            let mut cell = [at >> 9 & 7, at >> 6 & 7, at >> 3 & 7, at & 7];
            cell.sort_unstable();
            cell == [1, 2, 3, 4] && TABLE[*at] != 0
        });
        assert_eq!(orders.count(), 24);
    }
}
