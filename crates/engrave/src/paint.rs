//! Writes a page as SVG.
//!
//! One user unit is a 250th of a staff space. Every note, rest and chord symbol is a group with
//! an id and data attributes; groups without a place have classes only.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use crate::clean::escaped;
use crate::colour::{Colour, Palette, WASH};
use crate::font::{Font, TEXT_FAMILY};
use crate::font_web::font_face;
use crate::geometry::Step;
use crate::glyph::Glyph;
use crate::mark::{Kind, Mark, Place, Shape};
use crate::options::{SvgFont, Theme};
use crate::page::Page;

impl Page {
    /// The page as an SVG file of its own, or to be put into an HTML page as it is.
    pub fn svg(&self) -> String {
        let id: String = self
            .id_prefix
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'))
            .collect();
        let mut painter = Painter {
            out: String::with_capacity(64 * 1024),
            id,
            theme: self.theme,
            font: self.svg_font,
            palette: self.theme.palette(),
        };
        painter.page(self);
        painter.out
    }

    /// The characters of the page that the bundled font lacks; PDF and PNG show `?` for them.
    pub fn missing_letters(&self) -> Vec<char> {
        let font = Font::new();
        let texts = self.marks.iter().flat_map(|mark| &mark.shapes);
        let missing: BTreeSet<char> = texts
            .filter_map(|shape| match shape {
                Shape::Text { text, .. } => Some(text.chars()),
                _ => None,
            })
            .flatten()
            .filter(|&c| !font.has(c))
            .collect();
        missing.into_iter().collect()
    }
}

struct Painter {
    out: String,
    id: String,
    theme: Theme,
    font: SvgFont,
    palette: Palette,
}

impl Painter {
    fn put(&mut self, text: std::fmt::Arguments) {
        // Writing to a string cannot fail.
        let _ = self.out.write_fmt(text);
    }

    fn page(&mut self, page: &Page) {
        let (width, height) = page.size;
        let (paper_width, paper_height) = page.paper;
        let label = escaped(&page.label);
        let ink = self.colour(self.palette.ink);
        self.put(format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" \
             viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"{label}\" fill=\"{ink}\" \
             font-family=\"'{TEXT_FAMILY}','Source Sans 3','Helvetica Neue',Arial,sans-serif\">\n",
            thousandths(paper_width),
            thousandths(paper_height),
        ));
        if page.svg_font == SvgFont::Embedded {
            let face = font_face(std::slice::from_ref(page));
            self.put(format_args!("<style>{face}</style>\n"));
        }
        self.outlines(page);
        if let Some(ground) = self.palette.ground {
            self.put(format_args!(
                "<rect class=\"ground\" width=\"{width}\" height=\"{height}\" fill=\"{ground}\"/>\n"
            ));
        }
        self.free_and_placed(page);
        self.out.push_str("</svg>\n");
    }

    fn free_and_placed(&mut self, page: &Page) {
        let mut free: BTreeMap<&str, Vec<&Mark>> = BTreeMap::new();
        let mut placed: BTreeMap<Place, Vec<&Mark>> = BTreeMap::new();
        for mark in &page.marks {
            match mark.place {
                Some(place) => placed.entry(place).or_default().push(mark),
                None => free.entry(class(mark.kind)).or_default().push(mark),
            }
        }
        for (class, marks) in free {
            let soft = matches!(class, "bar-number" | "footer");
            let fill = if soft { self.fill() } else { String::new() };
            self.put(format_args!("<g class=\"{class}\"{fill}>"));
            self.marks(&marks);
            self.out.push_str("</g>\n");
        }
        for (place, marks) in placed {
            self.placed(place, &marks);
        }
    }

    /// A colour as an attribute has it.
    fn colour(&self, colour: Colour) -> String {
        match self.theme {
            Theme::Inherit => "currentColor".to_owned(),
            _ => colour.to_string(),
        }
    }

    /// The attribute of marks in the softer ink.
    fn fill(&self) -> String {
        format!(" fill=\"{}\"", self.colour(self.palette.soft))
    }

    fn outlines(&mut self, page: &Page) {
        let used: BTreeSet<Glyph> = page
            .marks
            .iter()
            .flat_map(|mark| &mark.shapes)
            .filter_map(|shape| match shape {
                Shape::Glyph { glyph, .. } => Some(*glyph),
                _ => None,
            })
            .collect();
        let id = self.id.clone();
        self.out.push_str("<defs>");
        for glyph in used {
            let path = glyph.outline().path;
            self.put(format_args!("<path id=\"{id}{glyph:?}\" d=\"{path}\"/>"));
        }
        self.out.push_str("</defs>\n");
    }

    /// A note with all that belongs to it, a rest, or a chord symbol.
    fn placed(&mut self, place: Place, marks: &[&Mark]) {
        let (chords, others): (Vec<&Mark>, Vec<&Mark>) = marks
            .iter()
            .partition(|mark| mark.kind == Kind::ChordSymbol);
        let Place {
            measure,
            tick,
            event,
        } = place;
        let id = self.id.clone();
        if !chords.is_empty() {
            self.put(format_args!(
                "<g class=\"chord\" id=\"{id}c{measure}-{tick}\" data-measure=\"{measure}\" \
                 data-tick=\"{tick}\">"
            ));
            self.marks(&chords);
            self.out.push_str("</g>\n");
        }
        if others.is_empty() {
            return;
        }
        let sounds = others.iter().any(|mark| mark.kind == Kind::Head);
        let class = if sounds { "note" } else { "rest" };
        self.put(format_args!("<g class=\"{class}\""));
        if let Some(event) = event {
            self.put(format_args!(
                " id=\"{id}e{measure}-{event}\" data-event=\"{event}\""
            ));
        }
        self.put(format_args!(
            " data-measure=\"{measure}\" data-tick=\"{tick}\">"
        ));
        let (rows, own): (Vec<&Mark>, Vec<&Mark>) = others
            .into_iter()
            .partition(|mark| matches!(mark.kind, Kind::Under(_)));
        self.marks(&own);
        for mark in rows {
            if let Kind::Under(row) = mark.kind {
                let fill = self.fill();
                self.put(format_args!("<g class=\"under under-{}\"{fill}>", row + 1));
                self.marks(&[mark]);
                self.out.push_str("</g>");
            }
        }
        self.out.push_str("</g>\n");
    }

    fn marks(&mut self, marks: &[&Mark]) {
        // Boxes side by side share one path.
        let mut blocks = String::new();
        for mark in marks {
            for shape in &mark.shapes {
                if let Shape::Block(bounds) = shape {
                    let width = bounds.right - bounds.left;
                    let height = bounds.bottom - bounds.top;
                    let _ = write!(
                        blocks,
                        "M{} {}h{width}v{height}h-{width}z",
                        bounds.left, bounds.top
                    );
                }
            }
        }
        if !blocks.is_empty() {
            self.put(format_args!("<path d=\"{blocks}\"/>"));
        }
        for mark in marks {
            for shape in &mark.shapes {
                self.shape(mark.kind, shape);
            }
        }
    }

    fn shape(&mut self, kind: Kind, shape: &Shape) {
        let stroke = self.colour(self.palette.of_curve(kind));
        match shape {
            Shape::Block(_) => {}
            Shape::Glyph { glyph, x, y, size } => {
                let id = self.id.clone();
                if *size == 1000 {
                    self.put(format_args!(
                        "<use href=\"#{id}{glyph:?}\" x=\"{x}\" y=\"{y}\"/>"
                    ));
                } else {
                    self.put(format_args!(
                        "<use href=\"#{id}{glyph:?}\" transform=\"translate({x} {y}) scale({})\"/>",
                        thousandths(*size)
                    ));
                }
            }
            Shape::Text {
                x,
                y,
                size,
                width,
                text,
            } => self.text(*x, *y, *size, *width, text),
            Shape::Fill(steps) => {
                let path = path(steps);
                self.put(format_args!("<path d=\"{path}\"/>"));
            }
            Shape::Wash(steps) => {
                let path = path(steps);
                self.put(format_args!(
                    "<path class=\"wash\" d=\"{path}\" fill=\"{stroke}\" fill-opacity=\".{WASH}\"/>"
                ));
            }
            Shape::Stroke(width, steps) => {
                let path = path(steps);
                self.put(format_args!(
                    "<path d=\"{path}\" fill=\"none\" stroke=\"{stroke}\" stroke-width=\"{width}\"/>"
                ));
            }
        }
    }

    fn text(&mut self, x: i64, y: i64, size: i64, width: i64, text: &str) {
        let text = escaped(text);
        if self.font == SvgFont::Given {
            self.put(format_args!(
                "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\">{text}</text>"
            ));
            return;
        }
        self.put(format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" textLength=\"{width}\" \
             lengthAdjust=\"spacingAndGlyphs\">{text}</text>"
        ));
    }
}

/// The class of marks that belong to no event.
fn class(kind: Kind) -> &'static str {
    match kind {
        Kind::StaffLine => "staff",
        Kind::Barline | Kind::RepeatDots => "barline",
        Kind::Clef | Kind::KeySign | Kind::TimeFigure => "signature",
        Kind::Ending | Kind::EndingNumber => "ending",
        Kind::Section => "section",
        Kind::Sign | Kind::Words => "words",
        Kind::BarNumber => "bar-number",
        Kind::Tension | Kind::TensionLabel => "tension",
        Kind::Title => "title",
        Kind::Credit => "credit",
        Kind::Footer => "footer",
        _ => "music",
    }
}

fn path(steps: &[Step]) -> String {
    let mut out = String::new();
    for step in steps {
        let _ = match step {
            Step::Move(x, y) => write!(out, "M{x} {y}"),
            Step::Line(x, y) => write!(out, "L{x} {y}"),
            Step::Curve(a, b, c, d, x, y) => write!(out, "C{a} {b} {c} {d} {x} {y}"),
            Step::Close => write!(out, "Z"),
        };
    }
    out
}

/// A number of thousandths as a decimal.
fn thousandths(number: i64) -> String {
    let mut text = format!("{}.{:03}", number / 1000, number % 1000);
    while text.ends_with('0') {
        text.pop();
    }
    if text.ends_with('.') {
        text.pop();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_have_no_needless_places() {
        assert_eq!(thousandths(210_000), "210");
        assert_eq!(thousandths(215_900), "215.9");
        assert_eq!(thousandths(5), "0.005");
    }
}
