//! Draws a page on anything that can fill shapes and set text.

use crate::colour::{Colour, WASH};
use crate::font::{Font, MISSING};
use crate::geometry::{Bounds, Step};
use crate::glyph::Glyph;
use crate::mark::{Mark, Shape};
use crate::page::Page;

/// What a page is drawn on, in the page's units.
pub(crate) trait Canvas {
    fn fill(&mut self, steps: &[Step], colour: Colour);
    /// Fills so many hundredths of the ground.
    fn wash(&mut self, steps: &[Step], colour: Colour, hundredths: u8);
    fn stroke(&mut self, width: i64, steps: &[Step], colour: Colour);
    /// A glyph at a size in thousandths.
    fn glyph(&mut self, glyph: Glyph, at: (i64, i64), size: i64, colour: Colour);
    /// A text of letters that the bundled font has.
    fn text(&mut self, text: &str, at: (i64, i64), size: i64, colour: Colour);
    /// The shapes that follow, up to `end`, belong to this mark.
    fn begin(&mut self, mark: &Mark);
    fn end(&mut self);
}

/// Draws all of a page. Characters that the font lacks are shown as `?`.
pub(crate) fn draw(page: &Page, font: &Font, canvas: &mut impl Canvas) {
    let palette = page.theme.palette();
    if let Some(ground) = palette.ground {
        canvas.fill(&block(page.bounds()), ground);
    }
    for mark in &page.marks {
        canvas.begin(mark);
        let (plain, curve) = (palette.of(mark.kind), palette.of_curve(mark.kind));
        for shape in &mark.shapes {
            match shape {
                Shape::Glyph { glyph, x, y, size } => canvas.glyph(*glyph, (*x, *y), *size, plain),
                Shape::Block(bounds) => canvas.fill(&block(*bounds), plain),
                Shape::Text {
                    x, y, size, text, ..
                } => {
                    let known: String = text
                        .chars()
                        .map(|c| if font.has(c) { c } else { MISSING })
                        .collect();
                    canvas.text(&known, (*x, *y), *size, plain);
                }
                Shape::Fill(steps) => canvas.fill(steps, plain),
                Shape::Wash(steps) => canvas.wash(steps, curve, WASH),
                Shape::Stroke(width, steps) => canvas.stroke(*width, steps, curve),
            }
        }
        canvas.end();
    }
}

fn block(bounds: Bounds) -> [Step; 5] {
    [
        Step::Move(bounds.left, bounds.top),
        Step::Line(bounds.right, bounds.top),
        Step::Line(bounds.right, bounds.bottom),
        Step::Line(bounds.left, bounds.bottom),
        Step::Close,
    ]
}
