//! Other ways through a passage, and the orders of a cell, as JSON.
//!
//! `format` is `"linewright variations"` or `"linewright orders"`. Bars are numbered as played.
//! `line` and each variation's `line` are objects as [`super`] describes them. `changed` are the
//! places of the notes that differ, `worth_millipoints` is beside the line's own passage.
//! `cut_short`: a search was ended before it was known that nothing better, or nothing else, is left.

use linewright_study::orders::Orders;
use linewright_study::vary::Varied;
use schemars::JsonSchema;
use serde::Serialize;

use super::line::LineText;
use super::pretty;

#[derive(Serialize, JsonSchema)]
pub(super) struct Variations<'a> {
    /// What this object is.
    #[schemars(extend("const" = "linewright variations"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// The first bar of the passage as played, from 1; a pick-up bar is 0.
    first_bar: usize,
    /// The last bar of the passage.
    last_bar: usize,
    /// In how many notes answers differ at least.
    least_distance_notes: usize,
    /// The line as it is.
    line: LineText,
    /// Other ways through the passage, the best first.
    variations: Vec<Variation<'a>>,
    /// Strategies that were asked for by name and find no way here.
    strategies_that_do_not_fit: Vec<&'static str>,
    /// Whether a search ended before it was known that nothing else is left.
    cut_short: bool,
}

#[derive(Serialize, JsonSchema)]
struct Variation<'a> {
    /// The name of the strategy.
    strategy: &'static str,
    /// What the strategy did here, where it has a choice (`by Gb7`); else `null`.
    by: Option<&'a str>,
    /// Beside the line's own passage, in thousandths of a point.
    worth_millipoints: i64,
    /// Notes that differ from the line.
    changed: Vec<Place>,
    /// The line with the passage so.
    line: LineText,
}

#[derive(Serialize, JsonSchema)]
struct Place {
    /// The bar as played, from 1; a pick-up bar is 0.
    bar: usize,
    /// The beat, from 1.
    beat: u8,
}

/// The JSON text of a passage's variations. Ends with a line break.
pub fn varied(varied: &Varied) -> String {
    let line = &varied.line;
    let place = |&slot: &usize| {
        let slot = &line.plan.slots[slot];
        Place {
            bar: line.timeline.bar_number(slot.bar),
            beat: slot.beat + 1,
        }
    };
    pretty(&Variations {
        format: "linewright variations",
        version: super::VERSION,
        first_bar: line.timeline.bar_number(varied.bars.start),
        last_bar: line.timeline.bar_number(varied.bars.end - 1),
        least_distance_notes: varied.distance,
        line: LineText::of(line),
        variations: varied
            .variations
            .iter()
            .map(|variation| Variation {
                strategy: variation.strategy.name,
                by: variation.by.as_deref(),
                worth_millipoints: variation.worth,
                changed: variation.changed.iter().map(place).collect(),
                line: LineText::of(&variation.line),
            })
            .collect(),
        strategies_that_do_not_fit: varied.unfit.iter().map(|strategy| strategy.name).collect(),
        cut_short: varied.cut_short,
    })
}

#[derive(Serialize, JsonSchema)]
#[schemars(rename = "Orders")]
pub(super) struct Ordered {
    /// What this object is.
    #[schemars(extend("const" = "linewright orders"))]
    format: &'static str,
    /// Counted up when the meaning of a key changes.
    #[schemars(extend("const" = super::VERSION))]
    version: u32,
    /// How many orders there are.
    orders: u64,
    /// How many ways there are to put each note of one order into the range.
    placements: u64,
    /// Whether a search ended before it was known that nothing else is left.
    cut_short: bool,
    /// The orders, the best first.
    ranked: Vec<Order>,
}

#[derive(Serialize, JsonSchema)]
struct Order {
    /// The notes, with their octaves as they sound: `Bb1`.
    notes: Vec<String>,
    /// Their MIDI key numbers as they sound, 60 for middle C.
    midi: Vec<u8>,
    /// Their degrees over the chord: `1`, `b7`, `#11`.
    degrees: Vec<String>,
    /// What the order is worth, in thousandths of a point.
    millipoints: i64,
}

/// The JSON text of a cell's orders. Ends with a line break.
pub fn ordered(orders: &Orders) -> String {
    let order = |order: &linewright_study::orders::Order| {
        let notes = &order.line.reading.notes[order.slots.clone()];
        Order {
            notes: notes.iter().map(|note| note.note.to_string()).collect(),
            midi: notes.iter().map(|note| note.pitch.midi()).collect(),
            degrees: notes.iter().map(|note| note.degree.to_string()).collect(),
            millipoints: order.score,
        }
    };
    pretty(&Ordered {
        format: "linewright orders",
        version: super::VERSION,
        orders: orders.orders,
        placements: orders.placements,
        cut_short: orders.cut_short,
        ranked: orders.ranked.iter().map(order).collect(),
    })
}
