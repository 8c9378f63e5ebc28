//! The head of a page: title, composer and student, and what the line is; and its last line, which
//! tells what it takes to make the line again.

use linewright_compose::{Line, VERSION};
use linewright_diagnostic::clean::one_line;
use linewright_notation::about::{self, page};

use super::Options;
use super::paint::{Paint, Part};
use crate::numbers::points;
use crate::wording;

/// Title and particulars, with a blank line after them.
pub(super) fn header(line: &Line, options: &Options, paint: Paint) -> String {
    let mut making = vec![style(line)];
    making.extend(line.origin.choice.map(wording::chosen));
    making.push(format!("score {}", points(line.reading.score)));
    head(line, &making, options, paint)
}

/// The style.
pub(super) fn style(line: &Line) -> String {
    format!("{}{}", page::STYLE, one_line(&line.style.name))
}

/// The last line of a page, after a blank one: the program, the style's hash, seed and number.
pub(super) fn last_line(line: &Line, options: &Options) -> String {
    let made = if line.origin.choice.is_some() {
        page::MADE
    } else {
        page::READ
    };
    let mut parts = vec![
        format!("{made}{} {VERSION}", about::PROGRAM),
        format!("{} {}", about::STYLE_HASH, line.origin.hash()),
    ];
    if line.origin.choice.is_some() {
        parts.push(format!("seed {}", line.origin.seed));
        parts.push(format!("line {}", line.origin.number()));
    }
    parts.push(format!("{}{}", page::SOUND, line.style.instrument.program));
    format!("\n{}", wrapped(&parts, options.width))
}

/// Title, composer and student where they are told, the tune's particulars, and these.
pub(super) fn head(line: &Line, making: &[String], options: &Options, paint: Paint) -> String {
    let timeline = &line.timeline;
    let bars = timeline.bars.len() - timeline.pickups();
    let mut tune = vec![timeline.key.to_string(), wording::speed(timeline)];
    tune.extend(timeline.feel.as_deref().map(one_line));
    let instrument = &line.style.instrument;
    let [low, high] = wording::range(line.style.range);
    tune.push(format!("{}, {low} to {high}", one_line(&instrument.name)));
    let choruses = match timeline.choruses {
        1 => "1 chorus".to_owned(),
        many => format!("{many} choruses"),
    };
    tune.push(format!("{choruses}, {bars} bars"));
    let title = paint.paint(Part::Title, &one_line(&timeline.title));
    let (tune, making) = (
        wrapped(&tune, options.width),
        wrapped(making, options.width),
    );
    let credits: String = line
        .credits
        .told()
        .map(|(name, who)| format!("{name}: {}\n", one_line(who)))
        .collect();
    format!("{title}\n{credits}{tune}{making}\n")
}

/// Particulars with dots between them, in as many lines as the width needs.
fn wrapped(parts: &[String], width: usize) -> String {
    const BETWEEN: &str = " · ";
    let mut text = String::new();
    let mut column = 0;
    for part in parts {
        let size = part.chars().count();
        if column > 0 && column + BETWEEN.chars().count() + size > width {
            text.push('\n');
            column = 0;
        } else if column > 0 {
            text.push_str(BETWEEN);
            column += BETWEEN.chars().count();
        }
        text.push_str(part);
        column += size;
    }
    text.push('\n');
    text
}
