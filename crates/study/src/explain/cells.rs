//! How the cell of a bar stands to the bar before it and to the stock cells.

use linewright_compose::Line;
use linewright_rulebook::rules::order::{REORDERED_CELL, STOCK_CELL};
use linewright_rulebook::{CellSymbol, Family, Place, Rule, cell_symbol, stock_cell_of};

/// How the notes of a bar are ordered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BarOrder {
    /// The rules on order that find something at the bar.
    pub rules: Vec<&'static Rule>,
    /// The stock cell that the bar is, or reorders, in degrees 1 to 7.
    pub stock: Option<[CellSymbol; 4]>,
    /// Whether the bar has the degrees of the bar before in another order.
    pub reorders_the_bar_before: bool,
}

/// One for each bar of the reading.
pub fn orders_of_bars(line: &Line) -> Vec<BarOrder> {
    let mut orders: Vec<BarOrder> = Vec::with_capacity(line.reading.bars.len());
    let mut before: Option<(usize, Vec<CellSymbol>)> = None;
    for bar in &line.reading.bars {
        let cell = cell(line, bar.bar);
        let neighbour = before.as_ref().filter(|(index, _)| index + 1 == bar.bar);
        let reorders = neighbour.is_some_and(|(_, other)| {
            let sorted = |cell: &[CellSymbol]| {
                let mut cell = cell.to_vec();
                cell.sort_unstable();
                cell
            };
            *other != cell && sorted(other) == sorted(&cell)
        });
        let rules = rules_at(line, bar.bar);
        let whole = rules
            .iter()
            .any(|rule| [&STOCK_CELL, &REORDERED_CELL].contains(rule));
        let stock = <[CellSymbol; 4]>::try_from(cell.as_slice())
            .ok()
            .filter(|_| whole);
        orders.push(BarOrder {
            rules,
            stock: stock.and_then(stock_cell_of),
            reorders_the_bar_before: reorders && cell.len() > 2,
        });
        before = Some((bar.bar, cell));
    }
    orders
}

/// The cell of a bar, in degrees 1 to 7 (0 for a chromatic note).
fn cell(line: &Line, bar: usize) -> Vec<CellSymbol> {
    let slots = line.plan.bars[bar].slots.clone();
    let symbol = |at: usize| {
        let ground = &line.plan.slots[at].ground;
        cell_symbol(ground, ground.offset(line.reading.notes[at].pitch.class()))
    };
    slots.map(symbol).collect()
}

/// The rules on order that find something at a bar.
fn rules_at(line: &Line, bar: usize) -> Vec<&'static Rule> {
    let here = line
        .reading
        .findings
        .iter()
        .filter(|finding| finding.place == Place::Bar(bar));
    let rules = here.map(|finding| line.book.entry(finding.rule).rule);
    let mut on_order: Vec<&'static Rule> =
        rules.filter(|rule| rule.family == Family::Order).collect();
    on_order.dedup();
    on_order
}
