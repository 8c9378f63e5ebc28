//! The stock cells in four (common practice, no source).

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
static TABLE: [u8; 1 << 12] = {
    let mut table = [0; 1 << 12];
    let mut n = 0;
    while n < STOCK.len() {
        // Every choice of four places; those of four different ones are the orders.
        let mut places = 0;
        while places < 256 {
            let [a, b, c, d] = [places >> 6, places >> 4 & 3, places >> 2 & 3, places & 3];
            if 1 << a | 1 << b | 1 << c | 1 << d == 0b1111 {
                let stock = STOCK[n];
                table[place([stock[a], stock[b], stock[c], stock[d]])] = REORDERED_BIT;
            }
            places += 1;
        }
        n += 1;
    }
    // A cell that is stock itself is no other's reordering.
    let mut n = 0;
    while n < STOCK.len() {
        table[place(STOCK[n])] = STOCK_BIT;
        n += 1;
    }
    table
};

/// Where a cell stands among all.
const fn place([a, b, c, d]: [CellSymbol; 4]) -> usize {
    (a as usize & 7) << 9 | (b as usize & 7) << 6 | (c as usize & 7) << 3 | d as usize & 7
}

fn look_up(cell: [CellSymbol; 4]) -> u8 {
    TABLE[place(cell)]
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
