//! A page as a PNG picture.

use tiny_skia::{FillRule, Paint, Path, PathBuilder, Pixmap, Stroke, Transform};
use ttf_parser::OutlineBuilder;

use crate::canvas::{self, Canvas};
use crate::colour::Colour;
use crate::error::EngraveError;
use crate::font::Font;
use crate::geometry::Step;
use crate::glyph::Glyph;
use crate::mark::Mark;
use crate::page::Page;

/// Most dots of a picture.
const MOST: i64 = 100_000_000;

impl Page {
    /// The page as a PNG picture of a resolution in dots per inch.
    ///
    /// # Errors
    /// When the resolution is 0 or the picture would have more than 100 million dots.
    pub fn png(&self, dots_per_inch: u16) -> Result<Vec<u8>, EngraveError> {
        let dots = |thousandths: i64| {
            let dots = thousandths * i64::from(dots_per_inch);
            dots / 25_400 + i64::from(dots % 25_400 > 0)
        };
        let (width, height) = (dots(self.paper.0), dots(self.paper.1));
        if width.saturating_mul(height) > MOST {
            return Err(EngraveError::new(format!(
                "a picture of {width} by {height} dots is too large; ask for fewer than \
                 {dots_per_inch} dots per inch"
            )));
        }
        let mut pixmap = Pixmap::new(width as u32, height as u32)
            .ok_or_else(|| EngraveError::new("a picture needs at least 1 dot per inch"))?;
        if let Some(Colour(r, g, b)) = self.theme.palette().ground {
            // The last row and column may lie half beyond the page.
            pixmap.fill(tiny_skia::Color::from_rgba8(r, g, b, 255));
        }
        let font = Font::new();
        let dots_per_unit =
            self.paper.0 as f32 / 25_400.0 * f32::from(dots_per_inch) / self.size.0 as f32;
        let mut picture = Picture {
            pixmap: &mut pixmap,
            scale: Transform::from_scale(dots_per_unit, dots_per_unit),
            font: &font,
        };
        canvas::draw(self, &font, &mut picture);
        pixmap
            .encode_png()
            .map_err(|error| EngraveError::new(format!("the picture cannot be written: {error}")))
    }
}

struct Picture<'a> {
    pixmap: &'a mut Pixmap,
    scale: Transform,
    font: &'a Font,
}

impl Picture<'_> {
    fn put(&mut self, path: Option<Path>, place: Transform, colour: Colour, alpha: u8) {
        if let Some(path) = path {
            let paint = paint(colour, alpha);
            self.pixmap
                .fill_path(&path, &paint, FillRule::Winding, place, None);
        }
    }
}

impl Canvas for Picture<'_> {
    fn fill(&mut self, steps: &[Step], colour: Colour) {
        self.put(path(steps), self.scale, colour, 255);
    }

    fn wash(&mut self, steps: &[Step], colour: Colour, hundredths: u8) {
        let alpha = u16::from(hundredths) * 255 / 100;
        self.put(path(steps), self.scale, colour, alpha as u8);
    }

    fn stroke(&mut self, width: i64, steps: &[Step], colour: Colour) {
        let stroke = Stroke {
            width: width as f32,
            ..Stroke::default()
        };
        if let Some(path) = path(steps) {
            self.pixmap
                .stroke_path(&path, &paint(colour, 255), &stroke, self.scale, None);
        }
    }

    fn glyph(&mut self, glyph: Glyph, (x, y): (i64, i64), size: i64, colour: Colour) {
        let size = size as f32 / 1000.0;
        let place = self
            .scale
            .pre_translate(x as f32, y as f32)
            .pre_scale(size, size);
        let steps = glyph.outline().steps();
        self.put(path(&steps), place, colour, 255);
    }

    fn text(&mut self, text: &str, (x, y): (i64, i64), size: i64, colour: Colour) {
        let mut letters = Letters {
            path: PathBuilder::new(),
            x: 0.0,
        };
        for c in text.chars() {
            let advance = self.font.outline(c, &mut letters);
            letters.x += advance as f32;
        }
        // Letters grow upwards.
        let size = size as f32 / 1000.0;
        let place = self
            .scale
            .pre_translate(x as f32, y as f32)
            .pre_scale(size, -size);
        self.put(letters.path.finish(), place, colour, 255);
    }

    fn begin(&mut self, _: &Mark) {}

    fn end(&mut self) {}
}

fn paint(colour: Colour, alpha: u8) -> Paint<'static> {
    let mut paint = Paint {
        anti_alias: true,
        ..Paint::default()
    };
    paint.set_color_rgba8(colour.0, colour.1, colour.2, alpha);
    paint
}

fn path(steps: &[Step]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match *step {
            Step::Move(x, y) => path.move_to(x as f32, y as f32),
            Step::Line(x, y) => path.line_to(x as f32, y as f32),
            Step::Curve(a, b, c, d, x, y) => {
                path.cubic_to(a as f32, b as f32, c as f32, d as f32, x as f32, y as f32)
            }
            Step::Close => path.close(),
        }
    }
    path.finish()
}

/// The outlines of letters in a row.
struct Letters {
    path: PathBuilder,
    x: f32,
}

impl OutlineBuilder for Letters {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.x + x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.x + x, y);
    }

    fn quad_to(&mut self, a: f32, b: f32, x: f32, y: f32) {
        self.path.quad_to(self.x + a, b, self.x + x, y);
    }

    fn curve_to(&mut self, a: f32, b: f32, c: f32, d: f32, x: f32, y: f32) {
        let left = self.x;
        self.path.cubic_to(left + a, b, left + c, d, left + x, y);
    }

    fn close(&mut self) {
        self.path.close();
    }
}
