//! The page of a passage and other ways through it.

use linewright_compose::Line;
use linewright_study::vary::{Variation, Varied};

use super::paint::{Paint, Part};
use super::{Options, header, legend, system, wrapped};
use crate::numbers::points;
use crate::wording::study::{answer_name, count, listed};

/// What the worth of an answer is.
const WORTH: &str = "Answers stand by their worth: how many points more or less than the line's own \
                     passage they get by the same rules, with no wish for clarity or cadence.";

/// How they were chosen.
const IN_TURN: &str = "They were chosen one after the other: each is the best of its kind that keeps \
                       away from the line and from those chosen before it.";

/// The page of a passage and other ways through it. Ends with a line break.
pub fn varied(varied: &Varied, options: &Options) -> String {
    let line = &varied.line;
    let paint = Paint::new(options.colour);
    let number = |bar: usize| line.timeline.bar_number(bar);
    let (first, last) = (number(varied.bars.start), number(varied.bars.end - 1));
    let making = vec![
        header::style(line),
        format!(
            "bars {first} to {last} in {}",
            count(varied.variations.len(), "other way")
        ),
        format!("at least {} apart", count(varied.distance, "note")),
    ];
    let mut page = header::head(line, &making, options, paint);
    for sentence in [WORTH, IN_TURN] {
        page.push_str(&wrapped(sentence, options.width));
    }
    page.push('\n');
    let shown: Vec<usize> = around(varied);
    page.push_str(&paint.paint(Part::Section, "the line"));
    page.push('\n');
    page.push_str(&system::systems(line, &shown, options, paint));
    let mut used: Vec<&Line> = vec![line];
    for (rank, variation) in (1..).zip(&varied.variations) {
        page.push_str(&heading(varied, variation, rank, options, paint));
        page.push_str(&system::systems(&variation.line, &shown, options, paint));
        used.push(&variation.line);
    }
    for strategy in &varied.unfit {
        page.push_str(&format!(
            "{} does not fit these bars: {}\n",
            strategy.name, strategy.sentence
        ));
    }
    if varied.variations.is_empty() {
        page.push_str("There is no other way that keeps the distance.\n");
    }
    if varied.cut_short {
        let sentence =
            "Not every way could be looked at in time: there may be better answers, or more.";
        page.push_str(&wrapped(sentence, options.width));
    }
    page.push_str(&legend::legend_of(&used, &shown, options.width, paint));
    page.push_str(&header::last_line(line, options));
    page
}

/// The bars that are shown: the passage and one bar on each side.
fn around(varied: &Varied) -> Vec<usize> {
    let last = varied.line.timeline.bars.len();
    (varied.bars.start.saturating_sub(1)..(varied.bars.end + 1).min(last)).collect()
}

fn heading(
    varied: &Varied,
    variation: &Variation,
    rank: usize,
    options: &Options,
    paint: Paint,
) -> String {
    let notes: usize = {
        let bars = &varied.line.plan.bars[varied.bars.clone()];
        bars.iter().map(|bar| bar.slots.len()).sum()
    };
    let head = format!("{rank}. {}", answer_name(variation));
    let places: Vec<String> = variation
        .changed
        .iter()
        .map(|&slot| {
            let slot = &varied.line.plan.slots[slot];
            format!(
                "{}.{}",
                varied.line.timeline.bar_number(slot.bar),
                slot.beat + 1
            )
        })
        .collect();
    let differs = format!(
        "{} {} of {notes} notes differ, on {}; worth {}",
        variation.strategy.sentence,
        variation.changed.len(),
        listed(&places),
        points(variation.worth),
    );
    format!(
        "{}\n{}",
        paint.paint(Part::Section, &head),
        wrapped(&differs, options.width)
    )
}
