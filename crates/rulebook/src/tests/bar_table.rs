//! The table of every cell of a bar against the reading of a line.

use std::ops::Range;

use linewright_theory::Pitch;
use proptest::prelude::*;

use super::random::{passage, weighed, weights};
use crate::bar_table::{bar_table, order_table};
use crate::finding::Place;
use crate::rule::Look;
use crate::segment::head;
use crate::symbol::{SYMBOLS, cell_symbol};
use crate::testing::{Heard, Passage};
use crate::window::OrderPlace;

/// The windows of a bar, as ranges of slots.
fn windows(row: Range<usize>) -> Vec<Range<usize>> {
    let middle = row.start + head(row.len());
    let mut windows = vec![row.start..middle, middle..row.end];
    windows.retain(|window| !window.is_empty());
    windows
}

/// The cell symbols of the notes in some slots.
fn cell(passage: &Passage, line: &[Pitch], slots: Range<usize>) -> Vec<usize> {
    slots
        .map(|at| {
            let ground = &passage.plan.slots[at].ground;
            usize::from(cell_symbol(ground, ground.offset(line[at].class())))
        })
        .collect()
}

/// What the rules that look at cells give a bar in a reading; `None` where one
/// forbids it.
fn points_of_cells(heard: &Heard, bar: usize) -> Option<i32> {
    let findings = heard.reading.findings.iter();
    findings
        .filter(|finding| finding.place == Place::Bar(bar))
        .filter(|finding| {
            matches!(
                heard.book.entry(finding.rule).rule.look,
                Look::Order(_) | Look::Cell(_) | Look::Bar(_)
            )
        })
        .map(|finding| finding.points)
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_table_gives_each_bar_what_the_reading_gives_it(
        (passage, line) in passage(), weights in weights(), others in any::<[u8; 4]>(),
    ) {
        let passage = weighed(passage, weights);
        let heard = passage.read(&line);
        for (index, bar) in passage.plan.bars.iter().enumerate() {
            let mut sum = Some(0);
            for window in windows(bar.slots.clone()) {
                let cell = cell(&passage, &line, window.clone());
                let live: Vec<u8> = cell.iter().zip(others).map(|(s, more)| 1 << s | more).collect();
                let slots = &passage.plan.slots[window];
                let at = cell.iter().fold(0, |at, symbol| at * SYMBOLS + symbol);
                for table in [
                    bar_table(&heard.book, bar, slots, &live),
                    order_table(&heard.book, OrderPlace::over(bar, slots), &live),
                ] {
                    sum = sum.zip(table[at]).map(|(sum, points)| sum + points);
                }
            }
            prop_assert_eq!(sum, points_of_cells(&heard, index), "bar {}", index + 1);
        }
    }

    #[test]
    fn cells_with_a_symbol_that_no_note_has_are_left_out(
        (passage, _) in passage(), others in any::<[u8; 4]>(),
    ) {
        let book = crate::RuleBook::new(&passage.style).unwrap();
        for bar in &passage.plan.bars {
            for window in windows(bar.slots.clone()) {
                let live = &others[..window.len()];
                let slots = &passage.plan.slots[window.clone()];
                for table in [
                    bar_table(&book, bar, slots, live),
                    order_table(&book, OrderPlace::over(bar, slots), live),
                ] {
                    prop_assert_eq!(table.len(), SYMBOLS.pow(window.len() as u32));
                    for (at, points) in table.iter().enumerate() {
                        let symbols = (0..window.len()).rev().map(|n| at >> (3 * n) & 7);
                        let alive = symbols.zip(live).all(|(symbol, live)| live >> symbol & 1 == 1);
                        prop_assert_eq!(points.is_some(), alive);
                    }
                }
            }
        }
    }
}
