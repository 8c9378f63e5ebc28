//! A font file with the outlines of some glyphs only, for a PDF: glyphs keep their numbers.

use std::collections::BTreeSet;

/// Tables that a PDF reader needs. Source: ISO 32000-1, 9.9 (from memory).
const TABLES: [&[u8; 4]; 6] = [b"glyf", b"head", b"hhea", b"hmtx", b"loca", b"maxp"];

/// The font with the outlines of these glyphs and of those that they are made of; `None` if
/// it is no TrueType font.
pub(crate) fn subset(font: &[u8], glyphs: &BTreeSet<u16>) -> Option<Vec<u8>> {
    let head = table(font, b"head")?;
    let long = short_at(head, 50)? != 0;
    let (glyf, loca) = (table(font, b"glyf")?, table(font, b"loca")?);
    let count = short_at(table(font, b"maxp")?, 4)?;
    let place = |glyph: u16| -> Option<usize> {
        let at = usize::from(glyph);
        match long {
            true => Some(long_at(loca, 4 * at)? as usize),
            false => Some(2 * usize::from(short_at(loca, 2 * at)?)),
        }
    };
    let outline = |glyph: u16| glyf.get(place(glyph)?..place(glyph + 1)?);
    let mut keep = BTreeSet::from([0]);
    let mut waiting: Vec<u16> = glyphs.iter().copied().collect();
    while let Some(glyph) = waiting.pop() {
        if glyph < count && keep.insert(glyph) {
            waiting.extend(parts(outline(glyph)?));
        }
    }
    let (mut new_glyf, mut new_loca) = (Vec::new(), Vec::new());
    for glyph in 0..count {
        new_loca.extend((new_glyf.len() as u32).to_be_bytes());
        if keep.contains(&glyph) {
            new_glyf.extend(outline(glyph)?);
            new_glyf.resize(new_glyf.len().next_multiple_of(4), 0);
        }
    }
    new_loca.extend((new_glyf.len() as u32).to_be_bytes());
    let mut new_head = head.to_vec();
    new_head.get_mut(8..12)?.fill(0);
    new_head.get_mut(50..52)?.copy_from_slice(&[0, 1]);
    let tables: Option<Vec<Vec<u8>>> = TABLES
        .into_iter()
        .map(|tag| match tag {
            b"glyf" => Some(new_glyf.clone()),
            b"loca" => Some(new_loca.clone()),
            b"head" => Some(new_head.clone()),
            tag => table(font, tag).map(<[u8]>::to_vec),
        })
        .collect();
    Some(file(&tables?))
}

fn file(tables: &[Vec<u8>]) -> Vec<u8> {
    let count = tables.len() as u16;
    let power = count.ilog2();
    let mut out = vec![0, 1, 0, 0];
    for number in [count, 16 << power, power as u16, 16 * count - (16 << power)] {
        out.extend(number.to_be_bytes());
    }
    let mut at = out.len() + 16 * tables.len();
    for (tag, table) in TABLES.iter().zip(tables) {
        out.extend(*tag);
        for number in [sum(table), at as u32, table.len() as u32] {
            out.extend(number.to_be_bytes());
        }
        at += table.len().next_multiple_of(4);
    }
    let mut head = 0;
    for (tag, table) in TABLES.iter().zip(tables) {
        if *tag == b"head" {
            head = out.len();
        }
        out.extend(table);
        out.resize(out.len().next_multiple_of(4), 0);
    }
    let adjustment = 0xb1b0_afba_u32.wrapping_sub(sum(&out));
    out[head + 8..head + 12].copy_from_slice(&adjustment.to_be_bytes());
    out
}

fn sum(bytes: &[u8]) -> u32 {
    bytes.chunks(4).fold(0, |sum: u32, chunk| {
        let mut word = [0; 4];
        word[..chunk.len()].copy_from_slice(chunk);
        sum.wrapping_add(u32::from_be_bytes(word))
    })
}

/// The glyphs that a glyph is made of.
fn parts(outline: &[u8]) -> Vec<u16> {
    let mut parts = Vec::new();
    // Composite glyphs count -1 contours.
    if short_at(outline, 0).is_none_or(|contours| contours < 0x8000) {
        return parts;
    }
    let mut at = 10;
    while let (Some(flags), Some(glyph)) = (short_at(outline, at), short_at(outline, at + 2)) {
        parts.push(glyph);
        at += if flags & 1 != 0 { 8 } else { 6 };
        at += match flags {
            f if f & 0x08 != 0 => 2,
            f if f & 0x40 != 0 => 4,
            f if f & 0x80 != 0 => 8,
            _ => 0,
        };
        if flags & 0x20 == 0 {
            break;
        }
    }
    parts
}

fn table<'a>(font: &'a [u8], tag: &[u8; 4]) -> Option<&'a [u8]> {
    let count = usize::from(short_at(font, 4)?);
    (0..count).find_map(|rank| {
        let entry = font.get(12 + 16 * rank..28 + 16 * rank)?;
        if &entry[..4] != tag {
            return None;
        }
        let start = long_at(entry, 8)? as usize;
        font.get(start..start + long_at(entry, 12)? as usize)
    })
}

fn short_at(bytes: &[u8], at: usize) -> Option<u16> {
    let bytes = bytes.get(at..at + 2)?;
    Some(u16::from_be_bytes([bytes[0], bytes[1]]))
}

fn long_at(bytes: &[u8], at: usize) -> Option<u32> {
    let bytes = bytes.get(at..at + 4)?;
    Some(u32::from_be_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::font::TEXT_FONT;
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
