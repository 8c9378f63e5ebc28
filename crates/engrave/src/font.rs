//! The bundled text font: how wide its letters are.

use ttf_parser::Face;

use crate::geometry::Bounds;

/// The bundled text font, a TrueType file. Its licence is the SIL Open Font License 1.1.
pub const TEXT_FONT: &[u8] = include_bytes!("../font/text.ttf");

/// The family name of [`TEXT_FONT`].
pub const TEXT_FAMILY: &str = "Linewright Text";

/// What stands for a character that the font lacks, where no other font can be used.
#[cfg(feature = "print")]
pub(crate) const MISSING: char = '?';

/// Heights of the font in thousandths, y upwards: `top` of the bounds is the least y.
#[cfg(feature = "print")]
pub(crate) struct Metrics {
    pub ascent: i64,
    pub descent: i64,
    pub cap_height: i64,
    pub bounds: Bounds,
}

/// Measures text.
pub(crate) struct Font {
    face: Option<Face<'static>>,
}

impl Font {
    pub(crate) fn new() -> Font {
        Font {
            face: Face::parse(TEXT_FONT, 0).ok(),
        }
    }

    pub(crate) fn has(&self, c: char) -> bool {
        self.face
            .as_ref()
            .is_some_and(|face| face.glyph_index(c).is_some())
    }

    /// The number of a letter's glyph.
    pub(crate) fn number(&self, c: char) -> Option<u16> {
        Some(self.face.as_ref()?.glyph_index(c)?.0)
    }

    /// The number of a letter's glyph, and its advance in thousandths.
    #[cfg(feature = "print")]
    pub(crate) fn glyph(&self, c: char) -> Option<(u16, i64)> {
        let face = self.face.as_ref()?;
        let glyph = face.glyph_index(c)?;
        Some((glyph.0, i64::from(face.glyph_hor_advance(glyph)?)))
    }

    /// Draws a letter, y upwards, a thousand units to the size; its advance.
    #[cfg(feature = "print")]
    pub(crate) fn outline(&self, c: char, pen: &mut dyn ttf_parser::OutlineBuilder) -> i64 {
        if let (Some(face), Some((glyph, advance))) = (&self.face, self.glyph(c)) {
            face.outline_glyph(ttf_parser::GlyphId(glyph), pen);
            return advance;
        }
        0
    }

    #[cfg(feature = "print")]
    pub(crate) fn metrics(&self) -> Metrics {
        let face = self.face.as_ref();
        let number = |number: Option<i16>| i64::from(number.unwrap_or(0));
        let bounds = face.map(|face| face.global_bounding_box());
        Metrics {
            ascent: number(face.map(Face::ascender)),
            descent: number(face.map(Face::descender)),
            cap_height: number(face.and_then(Face::capital_height)),
            bounds: bounds.map_or(Bounds::new(0, 0, 0, 0), |b| {
                let side = i64::from;
                Bounds::new(side(b.x_min), side(b.y_min), side(b.x_max), side(b.y_max))
            }),
        }
    }

    /// The box of a line of text on a baseline at 0, from its origin to its last advance. A
    /// character that the font lacks counts as a square.
    pub(crate) fn measure(&self, text: &str, size: i64) -> Bounds {
        let (mut width, mut top, mut bottom) = (0, 0, 0);
        for c in text.chars() {
            let glyph = self.face.as_ref().and_then(|face| {
                let glyph = face.glyph_index(c)?;
                let advance = i64::from(face.glyph_hor_advance(glyph)?);
                let bounds = face.glyph_bounding_box(glyph);
                let (low, high) = bounds.map_or((0, 0), |b| (b.y_min, b.y_max));
                Some((advance, i64::from(low), i64::from(high)))
            });
            let (advance, low, high) = glyph.unwrap_or((1000, -200, 800));
            width += advance;
            top = top.min(-high);
            bottom = bottom.max(-low);
        }
        Bounds::new(
            0,
            top * size / 1000,
            width * size / 1000,
            bottom * size / 1000,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_is_there_and_is_called_by_its_name() {
        let face = Face::parse(TEXT_FONT, 0).unwrap();
        assert_eq!(face.units_per_em(), 1000);
        let families: Vec<String> = face
            .names()
            .into_iter()
            .filter(|name| name.name_id == ttf_parser::name_id::FAMILY)
            .filter_map(|name| name.to_string())
            .collect();
        assert_eq!(families, [TEXT_FAMILY]);
    }

    #[test]
    fn wider_text_measures_wider_and_scales() {
        let font = Font::new();
        let one = font.measure("m", 1000);
        assert_eq!(font.measure("mm", 1000).right, 2 * one.right);
        assert_eq!(font.measure("mm", 500).right, one.right);
        assert!(font.measure("H", 1000).bottom <= 0);
        assert!(font.measure("g", 1000).bottom > 0);
        assert!(font.has('é') && font.has('ž') && font.has('Ж') && !font.has('漢'));
        assert_eq!(font.measure("漢", 1000).right, 1000);
    }
}
