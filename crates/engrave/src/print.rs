//! PDF and PNG, from the same SVG.

use std::collections::HashMap;
use std::sync::Arc;

use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, TextStr};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{self, Tree, fontdb};
use svg2pdf::ConversionOptions;

use crate::error::EngraveError;
use crate::font::{TEXT_FAMILY, TEXT_FONT};
use crate::geometry::Shape;
use crate::page::Page;

/// Most pixels of a picture.
const MOST_PIXELS: f32 = 100_000_000.0;

/// All pages as one PDF file, its text searchable, its fonts subsets.
///
/// # Errors
/// When there is no page, or the pages cannot be written.
pub fn pdf(pages: &[Page]) -> Result<Vec<u8>, EngraveError> {
    if pages.is_empty() {
        return Err(EngraveError::new("there is no page to write"));
    }
    let options = reader()?;
    let mut next = Ref::new(1);
    let mut pdf = Pdf::new();
    let (catalog, tree) = (next.bump(), next.bump());
    let mut page_refs = Vec::new();
    for page in pages {
        let svg = read(page, &options)?;
        let (chunk, picture) = svg2pdf::to_chunk(&svg, ConversionOptions::default())
            .map_err(|error| EngraveError::new(format!("the page cannot be written: {error}")))?;
        // Only looked up, never walked: the order of the file does not depend on it.
        let mut moved: HashMap<Ref, Ref> = HashMap::new();
        let chunk = chunk.renumber(|old| *moved.entry(old).or_insert_with(|| next.bump()));
        let picture = moved.get(&picture).copied().unwrap_or(picture);
        pdf.extend(&chunk);
        let (page_ref, content_ref) = (next.bump(), next.bump());
        let (width, height) = (points(page.paper.0), points(page.paper.1));
        let mut content = Content::new();
        content
            .transform([width, 0.0, 0.0, height, 0.0, 0.0])
            .x_object(Name(b"Page"));
        pdf.stream(content_ref, &content.finish());
        let mut written = pdf.page(page_ref);
        written.media_box(Rect::new(0.0, 0.0, width, height));
        written.parent(tree);
        written.contents(content_ref);
        let mut resources = written.resources();
        resources.x_objects().pair(Name(b"Page"), picture);
        resources.finish();
        written.finish();
        page_refs.push(page_ref);
    }
    pdf.catalog(catalog).pages(tree);
    let count = i32::try_from(page_refs.len()).unwrap_or(i32::MAX);
    pdf.pages(tree).kids(page_refs).count(count);
    let info = next.bump();
    pdf.document_info(info).title(TextStr(&pages[0].label));
    Ok(pdf.finish())
}

impl Page {
    /// The page as a PNG picture of a resolution in dots per inch.
    ///
    /// # Errors
    /// When the resolution is 0 or the picture would have more than 100 million dots.
    pub fn png(&self, dots_per_inch: u16) -> Result<Vec<u8>, EngraveError> {
        let tree = read(self, &reader()?)?;
        let scale = f32::from(dots_per_inch) / 96.0;
        let size = tree.size();
        let (width, height) = (
            (size.width() * scale).ceil(),
            (size.height() * scale).ceil(),
        );
        if width * height > MOST_PIXELS {
            return Err(EngraveError::new(format!(
                "a picture of {width} by {height} dots is too large; ask for fewer than \
                 {dots_per_inch} dots per inch"
            )));
        }
        let mut picture = Pixmap::new(width as u32, height as u32)
            .ok_or_else(|| EngraveError::new("a picture needs at least 1 dot per inch"))?;
        resvg::render(
            &tree,
            Transform::from_scale(scale, scale),
            &mut picture.as_mut(),
        );
        picture
            .encode_png()
            .map_err(|error| EngraveError::new(format!("the picture cannot be written: {error}")))
    }
}

fn points(thousandths: i64) -> f32 {
    thousandths as f32 * 72.0 / 25_400.0
}

/// A reader of SVG that knows the bundled font and no other.
fn reader() -> Result<usvg::Options<'static>, EngraveError> {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(TEXT_FONT.to_vec());
    let known = fonts
        .faces()
        .any(|face| face.families.iter().any(|(name, _)| name == TEXT_FAMILY));
    if !known {
        // Text would silently be left out.
        return Err(EngraveError::new("the bundled text font cannot be read"));
    }
    Ok(usvg::Options {
        dpi: 96.0,
        font_family: TEXT_FAMILY.to_owned(),
        fontdb: Arc::new(fonts),
        ..usvg::Options::default()
    })
}

fn read(page: &Page, options: &usvg::Options) -> Result<Tree, EngraveError> {
    let tree = Tree::from_str(&page.svg_for_print(), options)
        .map_err(|error| EngraveError::new(format!("the page cannot be read back: {error}")))?;
    // A text whose font is missing is left out without a word.
    let (drawn, wanted) = (texts(tree.root()), page.texts());
    if drawn != wanted {
        return Err(EngraveError::new(format!(
            "{drawn} of {wanted} texts of the page can be drawn"
        )));
    }
    Ok(tree)
}

/// How many texts with at least one letter there are.
fn texts(group: &usvg::Group) -> usize {
    group
        .children()
        .iter()
        .map(|node| match node {
            usvg::Node::Group(group) => texts(group),
            usvg::Node::Text(text) => usize::from(
                text.layouted()
                    .iter()
                    .any(|span| !span.positioned_glyphs.is_empty()),
            ),
            _ => 0,
        })
        .sum()
}

impl Page {
    /// How many texts the page has that are more than blanks.
    fn texts(&self) -> usize {
        self.marks
            .iter()
            .flat_map(|mark| &mark.shapes)
            .filter(|shape| matches!(shape, Shape::Text { text, .. } if !text.trim().is_empty()))
            .count()
    }
}
