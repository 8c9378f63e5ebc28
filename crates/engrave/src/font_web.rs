//! A font file with some letters only, for an SVG or HTML page: as small as they allow.

use std::collections::{BTreeMap, BTreeSet};

use crate::base64;
use crate::font::{Font, TEXT_FAMILY, TEXT_FONT};
use crate::font_tables::{Outlines, Tag, file, joined, new_head, parts, table};
use crate::geometry::Shape;
use crate::page::Page;

/// The style rule that gives pages the bundled text font, with the letters of these pages only:
/// for an HTML page that holds them, where they are made with
/// [`SvgFont::Given`](crate::SvgFont::Given).
pub fn font_face(pages: &[Page]) -> String {
    let texts = pages
        .iter()
        .flat_map(|page| &page.marks)
        .flat_map(|mark| &mark.shapes);
    let letters = texts
        .filter_map(|shape| match shape {
            Shape::Text { text, .. } => Some(text.chars()),
            _ => None,
        })
        .flatten()
        .collect();
    let font = with_letters(&letters);
    let font = base64::encode(font.as_deref().unwrap_or(TEXT_FONT));
    format!("@font-face{{font-family:'{TEXT_FAMILY}';src:url(data:font/ttf;base64,{font})}}")
}

/// The bundled font with these letters, as far as it has them, and its licence.
fn with_letters(letters: &BTreeSet<char>) -> Option<Vec<u8>> {
    let font = Font::new();
    let known: BTreeMap<char, u16> = letters
        .iter()
        .filter_map(|&letter| Some((letter, font.number(letter)?)))
        .collect();
    let outlines = Outlines::of(TEXT_FONT)?;
    let keep = outlines.with_parts(&known.values().copied().collect())?;
    let numbers: BTreeMap<u16, u16> = keep.iter().copied().zip(0..).collect();
    let renumbered = |&glyph: &u16| {
        let mut outline = outlines.get(glyph)?.to_vec();
        for (at, part) in parts(&outline) {
            let number = numbers.get(&part)?.to_be_bytes();
            outline.get_mut(at..at + 2)?.copy_from_slice(&number);
        }
        Some(outline)
    };
    let kept: Option<Vec<Vec<u8>>> = keep.iter().map(renumbered).collect();
    let (glyf, loca) = joined(kept?.into_iter());
    let mut hmtx = Vec::new();
    for &glyph in &keep {
        let (advance, side) = font.horizontal(glyph)?;
        hmtx.extend(advance.to_be_bytes());
        hmtx.extend(side.to_be_bytes());
    }
    let count = (keep.len() as u16).to_be_bytes();
    let counted = |tag: Tag, at: usize| {
        let mut table = table(TEXT_FONT, tag)?.to_vec();
        table.get_mut(at..at + 2)?.copy_from_slice(&count);
        Some(table)
    };
    let whole = |tag: Tag| table(TEXT_FONT, tag).map(<[u8]>::to_vec);
    let letters = known
        .iter()
        .map(|(&letter, glyph)| (letter, numbers[glyph]));
    Some(file(&[
        (b"OS/2", whole(b"OS/2")?),
        (b"cmap", cmap(letters)),
        (b"glyf", glyf),
        (b"head", new_head(TEXT_FONT)?),
        (b"hhea", counted(b"hhea", 34)?),
        (b"hmtx", hmtx),
        (b"loca", loca),
        (b"maxp", counted(b"maxp", 4)?),
        (b"name", whole(b"name")?),
        (b"post", whole(b"post")?),
    ]))
}

/// The table that gives letters their glyphs, in its format 4.
fn cmap(letters: impl Iterator<Item = (char, u16)>) -> Vec<u8> {
    // First and last letter of runs whose glyphs have the same distance, and that.
    let mut runs: Vec<(u16, u16, u16)> = Vec::new();
    for (letter, glyph) in letters {
        let Ok(code) = u16::try_from(u32::from(letter)) else {
            continue;
        };
        let distance = glyph.wrapping_sub(code);
        match runs.last_mut() {
            Some((_, last, same)) if *last + 1 == code && *same == distance => *last = code,
            _ => runs.push((code, code, distance)),
        }
    }
    runs.push((u16::MAX, u16::MAX, 1));
    let count = runs.len() as u16;
    let power = count.ilog2() as u16;
    let mut words: Vec<u16> = vec![0, 1, 3, 1, 0, 12];
    words.extend([4, 16 + 8 * count, 0, 2 * count]);
    words.extend([2 << power, power, 2 * count - (2 << power)]);
    words.extend(runs.iter().map(|run| run.1));
    words.push(0);
    words.extend(runs.iter().map(|run| run.0));
    words.extend(runs.iter().map(|run| run.2));
    words.extend(runs.iter().map(|_| 0));
    words.into_iter().flat_map(u16::to_be_bytes).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use ttf_parser::Face;

    #[test]
    fn a_small_font_has_its_letters_as_the_whole_has_them_and_no_others() {
        let whole = Face::parse(TEXT_FONT, 0).unwrap();
        let letters: BTreeSet<char> = "ABCab019éžЖ½↑漢".chars().collect();
        let bytes = with_letters(&letters).unwrap();
        assert!(bytes.len() < 5000, "{}", bytes.len());
        let small = Face::parse(&bytes, 0).unwrap();
        for &letter in &letters {
            let (one, other) = (small.glyph_index(letter), whole.glyph_index(letter));
            assert_eq!(one.is_some(), other.is_some(), "{letter}");
            let (Some(one), Some(other)) = (one, other) else {
                assert_eq!(letter, '漢');
                continue;
            };
            let look = |face: &Face, glyph| {
                let bounds = face.glyph_bounding_box(glyph);
                (bounds, face.glyph_hor_advance(glyph))
            };
            assert_eq!(look(&small, one), look(&whole, other), "{letter}");
        }
        assert_eq!(small.glyph_index('D'), None);
        assert_eq!(small.names().len(), whole.names().len());
    }

    #[test]
    fn no_letters_make_a_font_too() {
        let bytes = with_letters(&BTreeSet::new()).unwrap();
        assert_eq!(Face::parse(&bytes, 0).unwrap().number_of_glyphs(), 1);
    }
}
