//! The page of a cell's orders.

use linewright_compose::Line;
use linewright_rulebook::Family;
use linewright_rulebook::plan::Beat;
use linewright_study::orders::{Listed, Order, Orders};

use super::Options;
use super::paint::{Paint, Part};
use super::table::table;
use crate::numbers::points;
use crate::wording::long_function;
use crate::wording::study::{count, degrees_of};

const HEADS: [&str; 5] = ["rank", "notes", "degrees", "points", "what it does"];

/// The page of a cell's orders, best first. Ends with a line break.
pub fn ordered(orders: &Orders, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let all = orders.orders.saturating_mul(orders.placements);
    let title = orders.ranked.first().map_or(String::new(), |first| {
        let style = &first.line.style;
        format!(
            "over {}, {} to {}, in style {}",
            first.line.timeline.title,
            linewright_theory::note_name(style.range.low),
            linewright_theory::note_name(style.range.high),
            style.name
        )
    });
    let shown = match orders.listed {
        Listed::Orders => "each in its best octaves",
        Listed::Placements => "in every octave",
    };
    let head = format!(
        "{}, {} of each: {} in all",
        count(orders.orders as usize, "order"),
        count(orders.placements as usize, "placement"),
        all
    );
    let rows: Vec<Vec<String>> = (1..)
        .zip(&orders.ranked)
        .map(|(rank, order)| row(rank, order))
        .collect();
    let more = if orders.cut_short {
        "\nThe search ended here; there may be more. Fewer notes or a narrower range help.\n"
    } else {
        ""
    };
    format!(
        "{}\n{title}; {} shown, best first, {shown}\n\n{}{more}",
        paint.paint(Part::Title, &head),
        orders.ranked.len(),
        table(&HEADS, &rows, paint)
    )
}

fn row(rank: usize, order: &Order) -> Vec<String> {
    let notes = &order.line.reading.notes[order.slots.clone()];
    let names: Vec<String> = notes.iter().map(|note| note.note.to_string()).collect();
    vec![
        rank.to_string(),
        names.join(" "),
        degrees_of(order),
        points(order.score),
        labels(&order.line, order).join(", "),
    ]
}

/// What an order does: where it begins and ends, and the functions that lead through it.
fn labels(line: &Line, order: &Order) -> Vec<String> {
    let (slots, notes) = (&line.plan.slots, &line.reading.notes);
    let is_root = |at: usize| slots[at].ground.line_root == notes[at].pitch.class();
    let (first, last) = (order.slots.start, order.slots.end - 1);
    let mut labels = Vec::new();
    if is_root(first) && slots[first].strength == Beat::Down {
        labels.push("begins on the root".to_owned());
    }
    if is_root(last) && !is_root(first) {
        labels.push("ends on the root".to_owned());
    }
    for at in order.slots.clone() {
        for function in &notes[at].functions {
            let family = line.book.entry(function.rule).rule.family;
            let label = long_function(function);
            if family != Family::Tone && !labels.contains(&label) {
                labels.push(label);
            }
        }
    }
    labels
}
