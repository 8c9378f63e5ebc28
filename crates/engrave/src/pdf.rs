//! Pages as one PDF file: outlines as shared forms, text in a subset of the bundled font with
//! its letters told, so that it can be searched and copied.

use std::collections::{BTreeMap, BTreeSet};

use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};
use subsetter::GlyphRemapper;

use crate::canvas::{self, Canvas};
use crate::colour::Colour;
use crate::error::EngraveError;
use crate::font::{Font, TEXT_FONT};
use crate::geometry::Step;
use crate::glyph::Glyph;
use crate::mark::{Mark, Shape};
use crate::page::Page;

const FONT: Name = Name(b"F");
const WASH: Name = Name(b"W");
const IDENTITY: SystemInfo = SystemInfo {
    registry: Str(b"Adobe"),
    ordering: Str(b"Identity"),
    supplement: 0,
};

/// All pages as one PDF file. The bytes depend on the pages only.
///
/// # Errors
/// When there is no page, or the bundled font cannot be read.
pub fn pdf(pages: &[Page]) -> Result<Vec<u8>, EngraveError> {
    if pages.is_empty() {
        return Err(EngraveError::new("there is no page to write"));
    }
    let font = Font::new();
    let mut writer = Writer {
        font: &font,
        content: Content::new(),
        glyphs: BTreeSet::new(),
        kept: GlyphRemapper::new(),
        letters: BTreeMap::new(),
        wash: 100,
        spans: false,
    };
    let mut streams = Vec::new();
    for page in pages {
        let (width, height) = (points(page.paper.0), points(page.paper.1));
        let scale = width / page.size.0 as f32;
        // Units of the page, y downwards.
        writer
            .content
            .transform([scale, 0.0, 0.0, -scale, 0.0, height]);
        canvas::draw(page, &font, &mut writer);
        let content = std::mem::replace(&mut writer.content, Content::new());
        streams.push((packed(&content.finish()), width, height));
    }
    write(&writer, &streams, &pages[0].label)
}

fn write(
    writer: &Writer,
    streams: &[(Vec<u8>, f32, f32)],
    title: &str,
) -> Result<Vec<u8>, EngraveError> {
    let mut pdf = Pdf::new();
    let mut next = Ref::new(1);
    let [catalog, tree, info, wash] = [(); 4].map(|()| next.bump());
    let fonts: [Ref; 5] = [(); 5].map(|()| next.bump());
    let forms: Vec<(Glyph, Ref)> = writer
        .glyphs
        .iter()
        .map(|&glyph| (glyph, next.bump()))
        .collect();
    let kids: Vec<(Ref, Ref)> = streams.iter().map(|_| (next.bump(), next.bump())).collect();
    pdf.catalog(catalog).pages(tree);
    pdf.document_info(info).title(TextStr(title));
    pdf.pages(tree)
        .kids(kids.iter().map(|kid| kid.0))
        .count(i32::try_from(kids.len()).unwrap_or(i32::MAX));
    for ((page, content), (bytes, width, height)) in kids.into_iter().zip(streams) {
        let mut written = pdf.page(page);
        written
            .parent(tree)
            .media_box(Rect::new(0.0, 0.0, *width, *height))
            .contents(content);
        let mut resources = written.resources();
        resources.fonts().pair(FONT, fonts[0]);
        resources.ext_g_states().pair(WASH, wash);
        let mut objects = resources.x_objects();
        for (glyph, form) in &forms {
            objects.pair(Name(form_name(*glyph).as_bytes()), form);
        }
        objects.finish();
        resources.finish();
        written.finish();
        pdf.stream(content, bytes).filter(Filter::FlateDecode);
    }
    for (glyph, form) in forms {
        let mut content = Content::new();
        trace(&mut content, &glyph.outline().steps());
        content.fill_nonzero();
        let bytes = packed(&content.finish());
        let own = glyph.bounds(1000);
        let mut object = pdf.form_xobject(form, &bytes);
        object.bbox(Rect::new(
            own.left as f32 - 1.0,
            own.top as f32 - 1.0,
            own.right as f32 + 1.0,
            own.bottom as f32 + 1.0,
        ));
        object.filter(Filter::FlateDecode);
    }
    let mut state = pdf.ext_graphics(wash);
    state.non_stroking_alpha(f32::from(writer.wash) / 100.0);
    state.finish();
    write_font(&mut pdf, writer, fonts)?;
    Ok(pdf.finish())
}

fn write_font(
    pdf: &mut Pdf,
    writer: &Writer,
    [font, cid, descriptor, file, map]: [Ref; 5],
) -> Result<(), EngraveError> {
    let bytes = subsetter::subset(TEXT_FONT, 0, &writer.kept)
        .map_err(|_| EngraveError::new("the bundled text font cannot be read"))?;
    let name = Name(b"LWTEXT+LinewrightText-Regular");
    pdf.type0_font(font)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(map);
    let mut written = pdf.cid_font(cid);
    written
        .subtype(CidFontType::Type2)
        .base_font(name)
        .system_info(IDENTITY)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = written.widths();
    for (&glyph, &(_, advance)) in &writer.letters {
        widths.consecutive(glyph, [advance as f32]);
    }
    widths.finish();
    written.finish();
    let metrics = writer.font.metrics();
    pdf.font_descriptor(descriptor)
        .name(name)
        .flags(FontFlags::SYMBOLIC)
        .bbox(Rect::new(
            metrics.bounds.left as f32,
            metrics.bounds.top as f32,
            metrics.bounds.right as f32,
            metrics.bounds.bottom as f32,
        ))
        .italic_angle(0.0)
        .ascent(metrics.ascent as f32)
        .descent(metrics.descent as f32)
        .cap_height(metrics.cap_height as f32)
        // Thickness of upright strokes, as measured in the font's letters.
        .stem_v(100.0)
        .font_file2(file);
    let mut stream = packed(&bytes);
    pdf.stream(file, &stream).filter(Filter::FlateDecode).pair(
        Name(b"Length1"),
        i32::try_from(bytes.len()).unwrap_or(i32::MAX),
    );
    let mut letters = UnicodeCmap::new(Name(b"Letters"), IDENTITY);
    for (&glyph, &(letter, _)) in &writer.letters {
        letters.pair(glyph, letter);
    }
    stream = packed(&letters.finish());
    pdf.cmap(map, &stream).filter(Filter::FlateDecode);
    Ok(())
}

/// Writes the content of pages and gathers what they use.
struct Writer<'a> {
    font: &'a Font,
    content: Content,
    glyphs: BTreeSet<Glyph>,
    /// The letters' numbers in the bundled font and in the one of this file.
    kept: GlyphRemapper,
    /// By number in the file's font: the letter and its advance.
    letters: BTreeMap<u16, (char, i64)>,
    /// How much of an area a wash covers, in hundredths.
    wash: u8,
    /// Whether the mark is read as another text than its letters.
    spans: bool,
}

impl Writer<'_> {
    fn colour(&mut self, colour: Colour) {
        let Colour(r, g, b) = colour;
        let part = |part: u8| f32::from(part) / 255.0;
        self.content.set_fill_rgb(part(r), part(g), part(b));
        self.content.set_stroke_rgb(part(r), part(g), part(b));
    }
}

impl Canvas for Writer<'_> {
    fn fill(&mut self, steps: &[Step], colour: Colour) {
        self.colour(colour);
        trace(&mut self.content, steps);
        self.content.fill_nonzero();
    }

    fn wash(&mut self, steps: &[Step], colour: Colour, hundredths: u8) {
        self.wash = hundredths;
        self.content.save_state();
        self.content.set_parameters(WASH);
        self.fill(steps, colour);
        self.content.restore_state();
    }

    fn stroke(&mut self, width: i64, steps: &[Step], colour: Colour) {
        self.colour(colour);
        self.content.set_line_width(width as f32);
        trace(&mut self.content, steps);
        self.content.stroke();
    }

    fn glyph(&mut self, glyph: Glyph, (x, y): (i64, i64), size: i64, colour: Colour) {
        self.glyphs.insert(glyph);
        self.colour(colour);
        let size = size as f32 / 1000.0;
        self.content
            .save_state()
            .transform([size, 0.0, 0.0, size, x as f32, y as f32])
            .x_object(Name(form_name(glyph).as_bytes()))
            .restore_state();
    }

    fn text(&mut self, text: &str, (x, y): (i64, i64), size: i64, colour: Colour) {
        self.colour(colour);
        let mut bytes = Vec::new();
        for c in text.chars() {
            if let Some((glyph, advance)) = self.font.glyph(c) {
                let glyph = self.kept.remap(glyph);
                self.letters.entry(glyph).or_insert((c, advance));
                bytes.extend(glyph.to_be_bytes());
            }
        }
        self.content
            .begin_text()
            .set_font(FONT, size as f32)
            .set_text_matrix([1.0, 0.0, 0.0, -1.0, x as f32, y as f32])
            .show(Str(&bytes))
            .end_text();
    }

    fn begin(&mut self, mark: &Mark) {
        let has = |glyphs: bool| {
            mark.shapes.iter().any(|shape| match shape {
                Shape::Glyph { .. } => glyphs,
                Shape::Text { .. } => !glyphs,
                _ => false,
            })
        };
        self.spans = has(true) && has(false);
        if self.spans {
            self.content
                .begin_marked_content_with_properties(Name(b"Span"))
                .properties()
                .actual_text(TextStr(&mark.text()));
        }
    }

    fn end(&mut self) {
        if self.spans {
            self.content.end_marked_content();
        }
    }
}

fn form_name(glyph: Glyph) -> String {
    format!("G{}", glyph as usize)
}

fn trace(content: &mut Content, steps: &[Step]) {
    for step in steps {
        match *step {
            Step::Move(x, y) => content.move_to(x as f32, y as f32),
            Step::Line(x, y) => content.line_to(x as f32, y as f32),
            Step::Curve(a, b, c, d, x, y) => {
                content.cubic_to(a as f32, b as f32, c as f32, d as f32, x as f32, y as f32)
            }
            Step::Close => content.close_path(),
        };
    }
}

fn points(thousandths: i64) -> f32 {
    thousandths as f32 * 72.0 / 25_400.0
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}
