//! A font file with the outlines of some glyphs only, for a PDF: glyphs keep their numbers.

use std::collections::BTreeSet;

use crate::font_tables::{Outlines, Tag, file, joined, new_head, table};

/// Tables that a PDF reader needs. Source: ISO 32000-1, 9.9 (from memory).
const TABLES: [Tag; 6] = [b"glyf", b"head", b"hhea", b"hmtx", b"loca", b"maxp"];

/// The font with the outlines of these glyphs and of those that they are made of; `None` if
/// it is no TrueType font.
pub(crate) fn subset(font: &[u8], glyphs: &BTreeSet<u16>) -> Option<Vec<u8>> {
    let outlines = Outlines::of(font)?;
    let keep = outlines.with_parts(glyphs)?;
    let kept = |glyph| match keep.contains(&glyph) {
        true => outlines.get(glyph).map(<[u8]>::to_vec),
        false => Some(Vec::new()),
    };
    let kept: Option<Vec<Vec<u8>>> = (0..outlines.count).map(kept).collect();
    let (glyf, loca) = joined(kept?.into_iter());
    let tables: Option<Vec<(Tag, Vec<u8>)>> = TABLES
        .into_iter()
        .map(|tag| {
            let table = match tag {
                b"glyf" => glyf.clone(),
                b"loca" => loca.clone(),
                b"head" => new_head(font)?,
                tag => table(font, tag)?.to_vec(),
            };
            Some((tag, table))
        })
        .collect();
    Some(file(&tables?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::TEXT_FONT;
    use crate::font_tables::sum;
    use ttf_parser::{Face, GlyphId};

    #[test]
    fn a_subset_has_the_outlines_of_its_glyphs_and_no_others() {
        let whole = Face::parse(TEXT_FONT, 0).unwrap();
        let glyphs: BTreeSet<u16> = "Aéž"
            .chars()
            .map(|c| whole.glyph_index(c).unwrap().0)
            .collect();
        let bytes = subset(TEXT_FONT, &glyphs).unwrap();
        assert!(bytes.len() < TEXT_FONT.len() / 4, "{}", bytes.len());
        assert_eq!(sum(&bytes), 0xb1b0_afba);
        let small = Face::parse(&bytes, 0).unwrap();
        for &glyph in &glyphs {
            let id = GlyphId(glyph);
            assert_eq!(small.glyph_bounding_box(id), whole.glyph_bounding_box(id));
            assert_eq!(small.glyph_hor_advance(id), whole.glyph_hor_advance(id));
        }
        let other = whole.glyph_index('B').unwrap();
        assert_eq!(small.glyph_bounding_box(other), None);
    }

    #[test]
    fn what_is_no_font_has_no_subset() {
        assert_eq!(subset(b"", &BTreeSet::new()), None);
        assert_eq!(subset(&TEXT_FONT[..600], &BTreeSet::new()), None);
    }
}
