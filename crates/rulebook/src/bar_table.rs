//! The points of every cell that a bar could have.

use crate::plan::{BarPlan, Slot};
use linewright_theory::Member;

use crate::book::RuleBook;
use crate::clarity::{HEAD_START, NoteEvidence, RIVALS};
use crate::facts::{BarFacts, tension};
use crate::symbol::{CellSymbol, SYMBOLS};
use crate::window::{BarWindow, CellShape, CellWindow, OrderPlace, OrderWindow};

/// Milli-points of every cell over one to four slots, but for those of its order: entry
/// `((a · 8 + b) · 8 + c) · 8 + d` for symbols a, b, c, d; `None` where a rule
/// forbids it.
///
/// `live[n]` has a bit for each symbol that the nth note can have; cells with
/// other symbols are left `None`.
///
/// # Panics
/// If there are no slots or more than four, or not one `live` for each.
pub fn bar_table(book: &RuleBook, bar: &BarPlan, slots: &[Slot], live: &[u8]) -> Vec<Option<i32>> {
    assert!((1..=4).contains(&slots.len()) && live.len() == slots.len());
    let mut table = vec![None; SYMBOLS.pow(slots.len() as u32)];
    let closes: Vec<bool> = (0..slots.len())
        .map(|n| n + 1 == slots.len() || slots[n + 1].ground.chord != slots[n].ground.chord)
        .collect();
    let hears_clarity = book.hears_clarity();
    let evidence = slots.iter().filter(|_| hears_clarity);
    let mut walk = Walk {
        book,
        bar,
        slots,
        live,
        evidence: evidence.map(NoteEvidence::new).collect(),
        shape: CellShape::over(bar, slots),
        parts: closes.iter().filter(|closes| **closes).count() as i32,
        hears_clarity,
        closes,
        table: &mut table,
        members: [Member::Outside; 4],
    };
    walk.note(0, 0, 0, 0, &[0; RIVALS]);
    table
}

/// Milli-points of the order of every cell over some slots, of which there are one to four, as
/// [`bar_table`] has those of the cell itself.
///
/// # Panics
/// If there is not one `live` for each slot.
pub fn order_table(book: &RuleBook, place: OrderPlace, live: &[u8]) -> Vec<Option<i32>> {
    let notes = live.len();
    assert!((1..=4).contains(&notes));
    let weigh = |at: usize| {
        let cell: [CellSymbol; 4] = std::array::from_fn(|nth| {
            let behind = 3 * (notes - 1).saturating_sub(nth);
            (at >> behind) as CellSymbol % SYMBOLS as CellSymbol
        });
        let cell = &cell[..notes];
        let is_live = cell
            .iter()
            .zip(live)
            .all(|(symbol, live)| live >> symbol & 1 == 1);
        let window = OrderWindow { place, cell };
        book.order(&window).filter(|_| is_live)
    };
    (0..SYMBOLS.pow(notes as u32)).map(weigh).collect()
}

struct Walk<'a> {
    book: &'a RuleBook,
    bar: &'a BarPlan,
    slots: &'a [Slot],
    live: &'a [u8],
    /// Only where it matters how clear a bar is.
    evidence: Vec<NoteEvidence>,
    shape: CellShape,
    /// Whether it matters how clear a bar is: if not, that is not worked out.
    hears_clarity: bool,
    closes: Vec<bool>,
    parts: i32,
    table: &'a mut [Option<i32>],
    members: [Member; 4],
}

impl Walk<'_> {
    /// Goes through the symbols of note `n`, given the evidence of the notes
    /// before it under the same chord and the sum of the chords before.
    fn note(&mut self, n: usize, at: usize, settled: i32, truth: i32, rivals: &[i16; RIVALS]) {
        for symbol in (0..SYMBOLS).filter(|symbol| self.live[n] & (1 << symbol) != 0) {
            self.members[n] = self.shape.members[n][symbol];
            let at = at * SYMBOLS + symbol;
            if !self.hears_clarity {
                match n + 1 == self.slots.len() {
                    true => self.table[at] = self.book.cell(&self.cell()),
                    false => self.note(n + 1, at, 0, 0, rivals),
                }
                continue;
            }
            let truth = truth + self.evidence[n].truth[symbol];
            let added = &self.evidence[n].rivals[symbol];
            let sums: [i16; RIVALS] = std::array::from_fn(|rival| rivals[rival] + added[rival]);
            let (settled, truth, sums) = if self.closes[n] {
                let best = sums.iter().fold(i16::MIN, |best, sum| best.max(*sum));
                (
                    settled + HEAD_START + truth - i32::from(best),
                    0,
                    [0; RIVALS],
                )
            } else {
                (settled, truth, sums)
            };
            if n + 1 == self.slots.len() {
                self.table[at] = self.points(settled / self.parts);
            } else {
                self.note(n + 1, at, settled, truth, &sums);
            }
        }
    }

    fn points(&self, clarity: i32) -> Option<i32> {
        let cell = self.cell();
        let of_cell = self.book.cell(&cell)?;
        let facts = BarFacts {
            clarity,
            tension: tension(cell.members, clarity),
        };
        let bar = self.bar;
        let of_bar = self.book.bar(&BarWindow { bar, cell, facts })?;
        Some(of_cell.saturating_add(of_bar))
    }

    fn cell(&self) -> CellWindow<'_> {
        CellWindow {
            place: self.shape.place,
            members: &self.members[..self.slots.len()],
        }
    }
}
