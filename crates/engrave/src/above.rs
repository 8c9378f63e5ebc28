//! What stands over the staff: bar numbers, chord symbols, endings, section names, signs, words.

use linewright_notation::{BarLine, Measure};

use crate::clean::one_line;
use crate::context::Context;
use crate::geometry::{Bounds, SPACE, Step};
use crate::glyph::Glyph;
use crate::layout::{Layout, Spot};
use crate::mark::{Kind, Mark, Place, Shape};
use crate::metrics::{CLEARANCE, FRAME, THIN};
use crate::skyline::Skyline;
use crate::typeset::Run;

/// The upper edge of the staff.
const EDGE: i64 = -2 * SPACE;
/// The lowest baseline of chord symbols.
const CHORDS: i64 = EDGE - 300;
/// From a head or stem to a chord symbol over it.
const OVER_NOTES: i64 = 150;
/// The height of an ending's hooks.
const HOOK: i64 = 420;
const ENDING: i64 = 390;
const NUMBER: i64 = 300;
const SECTION: i64 = 560;
const WORDS: i64 = 420;
/// The height of signs beside the words.
const SIGN: i64 = 690;
/// Between neighbours in the line of signs and words.
const BESIDE: i64 = 170;

/// Draws everything over the staff of a system.
pub(crate) fn draw(context: &Context, layout: &Layout, marks: &mut Vec<Mark>) {
    let mut skyline = Skyline::new(marks.iter().map(|mark| mark.bounds));
    let from = marks.len();
    bar_number(context, layout, &skyline, marks);
    chords(layout, &skyline, marks);
    add(&mut skyline, marks, from);
    let from = marks.len();
    endings(context, layout, &skyline, marks);
    add(&mut skyline, marks, from);
    signs(context, layout, &mut skyline, marks);
}

fn add(skyline: &mut Skyline, marks: &[Mark], from: usize) {
    for mark in &marks[from..] {
        skyline.add(mark.bounds);
    }
}

fn bar_number(context: &Context, layout: &Layout, skyline: &Skyline, marks: &mut Vec<Mark>) {
    let Some(first) = layout.measures.first() else {
        return;
    };
    let number = context.numbers[first.number];
    if first.number == 0 || number < 2 {
        return;
    }
    let run = Run::plain(&context.font, &number.to_string(), NUMBER);
    let y = skyline.top(0, run.width(), EDGE) - CLEARANCE;
    marks.push(run.mark(Kind::BarNumber, 0, y));
}

/// All symbols of a system stand on one line.
fn chords(layout: &Layout, skyline: &Skyline, marks: &mut Vec<Mark>) {
    let all = || {
        layout
            .measures
            .iter()
            .flat_map(|measure| measure.symbols.iter().map(move |s| (measure.number, s)))
    };
    let baseline = all()
        .map(|(_, &(_, x, run))| {
            let top = skyline.top(x - CLEARANCE, x + run.width() + CLEARANCE, EDGE);
            top - OVER_NOTES - run.bounds().bottom
        })
        .fold(CHORDS, i64::min);
    for (measure, &(tick, x, run)) in all() {
        let place = Place {
            measure,
            tick,
            event: None,
        };
        marks.push(run.mark(Kind::ChordSymbol, x, baseline).at(Some(place)));
    }
}

fn endings(context: &Context, layout: &Layout, skyline: &Skyline, marks: &mut Vec<Mark>) {
    let spot = |number: usize| layout.measures.iter().find(|spot| spot.number == number);
    let (Some(first), Some(last)) = (layout.measures.first(), layout.measures.last()) else {
        return;
    };
    let mut spans = Vec::new();
    for bracket in &context.endings {
        let over = &bracket.over;
        if over.last < first.number || over.first > last.number {
            continue;
        }
        let (start, end) = (spot(over.first), spot(over.last));
        let left = match start {
            Some(spot) if spot.number != first.number => spot.left + THIN + FRAME,
            _ => first.inner.min(first.right),
        };
        let right = end.map_or(layout.width, |spot| spot.right + THIN);
        spans.push((bracket, left, right, start.is_some(), end.is_some()));
    }
    let number = |text: &str| Run::plain(&context.font, text, ENDING);
    let y = spans
        .iter()
        .map(|&(_, left, right, ..)| skyline.top(left, right, EDGE - CLEARANCE))
        .fold(EDGE, i64::min)
        - CLEARANCE
        - HOOK;
    for (bracket, left, right, starts, ends) in spans {
        let block = |bounds| Mark::block(Kind::Ending, bounds);
        marks.push(block(Bounds::new(left, y, right, y + FRAME)));
        if starts {
            marks.push(block(Bounds::new(left, y + FRAME, left + FRAME, y + HOOK)));
            let run = number(&bracket.text);
            let room = right - left - 120;
            if run.width() <= room {
                marks.push(run.mark(Kind::EndingNumber, left + 90, y + 110 - run.bounds().top));
            }
        }
        if ends && bracket.over.closed {
            marks.push(block(Bounds::new(
                right - FRAME,
                y + FRAME,
                right,
                y + HOOK,
            )));
        }
    }
}

/// Section names, signs and words stand on one line where they do not meet.
fn signs(context: &Context, layout: &Layout, skyline: &mut Skyline, marks: &mut Vec<Mark>) {
    // Each with the room it wants to its right.
    let mut placed: Vec<(Mark, i64)> = Vec::new();
    for (rank, spot) in layout.measures.iter().enumerate() {
        let measure = context.measure(spot.number);
        let mut x = if rank == 0 { 0 } else { spot.left };
        for sign in at_the_beginning(context, spot, measure, layout.width) {
            // Words stand over a chord symbol that follows closely, not in line with it.
            let room = match sign.mark.kind {
                Kind::Words => 3 * SPACE,
                _ => CLEARANCE,
            };
            placed.push((sign.starting(x, layout.width), room));
            x += sign.width + BESIDE;
        }
        let mut x = spot.end.min(layout.width);
        for sign in at_the_end(context, spot, measure, layout.width)
            .into_iter()
            .rev()
        {
            x -= sign.width;
            placed.push((sign.starting(x, layout.width), CLEARANCE));
            x -= BESIDE;
        }
    }
    let needed = |mark: &Mark, room: i64, skyline: &Skyline| {
        let Bounds { left, right, .. } = mark.bounds;
        let top = skyline.top(left - CLEARANCE, right + room, EDGE - CLEARANCE);
        top - CLEARANCE - mark.bounds.bottom
    };
    let line = placed
        .iter()
        .map(|(mark, room)| needed(mark, *room, skyline))
        .fold(i64::MAX, i64::min);
    for (mut mark, _) in placed {
        let y = line.min(needed(&mark, CLEARANCE, skyline));
        mark.shift(0, y);
        skyline.add(mark.bounds);
        marks.push(mark);
    }
}

/// A mark on a baseline at 0, from x 0, and how wide it is.
struct Sign {
    mark: Mark,
    width: i64,
}

impl Sign {
    fn run(kind: Kind, run: &Run) -> Sign {
        Sign {
            mark: run.mark(kind, 0, 0),
            width: run.width(),
        }
    }

    fn glyph(glyph: Glyph) -> Sign {
        let mut run = Run::new();
        run.glyph(glyph, glyph.size_of(SIGN), 0);
        // Signs stand on the line of the words.
        let bottom = run.bounds().bottom;
        let mut sign = Sign::run(Kind::Sign, &run);
        sign.mark.shift(0, -bottom);
        sign
    }

    /// A text in a frame.
    fn framed(run: &Run) -> Sign {
        let pad = 90;
        let mut mark = run.mark(Kind::Section, pad, 0);
        let text = run.bounds();
        let frame = Bounds::new(
            0,
            text.top.min(-SECTION * 66 / 100) - pad,
            run.width() + 2 * pad,
            text.bottom.max(0) + pad,
        );
        let half = FRAME / 2;
        let steps = vec![
            Step::Move(frame.left + half, frame.top + half),
            Step::Line(frame.right - half, frame.top + half),
            Step::Line(frame.right - half, frame.bottom - half),
            Step::Line(frame.left + half, frame.bottom - half),
            Step::Close,
        ];
        mark.shapes.push(Shape::Stroke(FRAME, steps));
        mark.bounds = frame;
        Sign {
            mark,
            width: frame.right,
        }
    }

    /// The mark at an x, moved to stay within a width.
    fn starting(&self, x: i64, width: i64) -> Mark {
        let mut mark = self.mark.clone();
        mark.shift(x.min(width - self.width).max(0), 0);
        mark
    }
}

fn at_the_beginning(context: &Context, spot: &Spot, measure: &Measure, width: i64) -> Vec<Sign> {
    let mut signs = Vec::new();
    let font = &context.font;
    if let Some(name) = &measure.section {
        let name = one_line(name);
        if !name.is_empty() {
            signs.push(Sign::framed(&Run::fitted(
                &context.font,
                &name,
                SECTION,
                width - 300,
            )));
        }
    }
    if measure.segno {
        signs.push(Sign::glyph(Glyph::Segno));
    }
    if measure.coda {
        signs.push(Sign::glyph(Glyph::Coda));
    }
    let feel = context.score.feel.as_deref().filter(|_| spot.number == 0);
    let feel = one_line(feel.unwrap_or(""));
    if !feel.is_empty() {
        let run = Run::fitted(&context.font, &feel, WORDS, width / 2);
        signs.push(Sign::run(Kind::Words, &run));
    }
    if let Some(tempo) = measure.tempo {
        let mut run = Run::new();
        run.glyph(Glyph::Beat, Glyph::Beat.size_of(540), 70);
        run.gap(150);
        run.text(font, &format!("= {tempo}"), WORDS, 0);
        signs.push(Sign::run(Kind::Words, &run));
    }
    signs
}

fn at_the_end(context: &Context, spot: &Spot, measure: &Measure, width: i64) -> Vec<Sign> {
    let mut signs = Vec::new();
    let mut words = |text: &str| {
        let run = Run::fitted(&context.font, text, WORDS, width);
        signs.push(Sign::run(Kind::Words, &run));
    };
    let in_ending = context
        .endings
        .iter()
        .any(|bracket| (bracket.over.first..=bracket.over.last).contains(&spot.number));
    if let BarLine::Repeat(times) = measure.right
        && times > 2
        && !in_ending
    {
        words(&format!("{times}×"));
    }
    if measure.fine {
        words("Fine");
    }
    if let Some(jump) = measure.jump {
        words(&jump.to_string());
    }
    if measure.to_coda {
        let mut run = Run::plain(&context.font, "To Coda", WORDS);
        run.gap(110);
        run.glyph(Glyph::Coda, Glyph::Coda.size_of(SIGN * 7 / 10), 40);
        signs.push(Sign::run(Kind::Words, &run));
    }
    signs
}
