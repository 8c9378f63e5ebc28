//! A font file with some letters only, for an SVG or HTML page: as small as they allow.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use subsetter::GlyphRemapper;
use ttf_parser::{RawFace, Tag};

use crate::base64;
use crate::font::{Font, TEXT_FAMILY, TEXT_FONT};
use crate::mark::Shape;
use crate::page::Page;

const CMAP: Tag = Tag::from_bytes(b"cmap");
const HEAD: Tag = Tag::from_bytes(b"head");
const OS2: Tag = Tag::from_bytes(b"OS/2");

/// Where `head` has the number that brings the sum of a whole file to [`WHOLE`]. Source: the
/// OpenType specification, `head`, "checksumAdjustment" (from memory).
const SUM: Range<usize> = 8..12;
const WHOLE: u32 = 0xb1b0_afba;

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

/// The bundled font with these letters, as far as it has them, and its licence. A subset for a PDF
/// has all that a web page needs but the tables `cmap` and `OS/2`.
fn with_letters(letters: &BTreeSet<char>) -> Option<Vec<u8>> {
    let font = Font::new();
    let mut kept = GlyphRemapper::new();
    let known: Vec<(char, u16)> = letters
        .iter()
        .filter_map(|&letter| Some((letter, kept.remap(font.number(letter)?))))
        .collect();
    let subset = subsetter::subset(TEXT_FONT, 0, &kept).ok()?;
    let subset = RawFace::parse(&subset, 0).ok()?;
    let cmap = cmap(&known);
    let mut tables: BTreeMap<Tag, &[u8]> = subset
        .table_records
        .into_iter()
        .filter_map(|record| Some((record.tag, subset.table(record.tag)?)))
        .collect();
    // The sum in it is that of the file it comes from.
    let mut head = tables.get(&HEAD)?.to_vec();
    head.get_mut(SUM)?.fill(0);
    tables.insert(HEAD, &head);
    tables.insert(CMAP, &cmap);
    tables.insert(OS2, RawFace::parse(TEXT_FONT, 0).ok()?.table(OS2)?);
    file(&tables)
}

/// A font file of these tables; the sum in `head` is 0 before.
fn file(tables: &BTreeMap<Tag, &[u8]>) -> Option<Vec<u8>> {
    let count = tables.len() as u16;
    let power = count.checked_ilog2()? as u16;
    let mut out = vec![0, 1, 0, 0];
    for number in [count, 16 << power, power, 16 * count - (16 << power)] {
        out.extend(number.to_be_bytes());
    }
    let mut at = out.len() + 16 * tables.len();
    let mut adjustment = None;
    for (tag, table) in tables {
        if *tag == HEAD {
            adjustment = Some(at + SUM.start..at + SUM.end);
        }
        for number in [tag.0, sum(table), at as u32, table.len() as u32] {
            out.extend(number.to_be_bytes());
        }
        at += table.len().next_multiple_of(4);
    }
    for table in tables.values() {
        out.extend(*table);
        out.resize(out.len().next_multiple_of(4), 0);
    }
    let rest = WHOLE.wrapping_sub(sum(&out));
    out.get_mut(adjustment?)?
        .copy_from_slice(&rest.to_be_bytes());
    Some(out)
}

fn sum(bytes: &[u8]) -> u32 {
    bytes.chunks(4).fold(0, |sum: u32, chunk| {
        let mut word = [0; 4];
        word[..chunk.len()].copy_from_slice(chunk);
        sum.wrapping_add(u32::from_be_bytes(word))
    })
}

/// The table that gives letters their glyphs, in its format 4.
fn cmap(letters: &[(char, u16)]) -> Vec<u8> {
    // First and last letter of runs whose glyphs have the same distance, and that.
    let mut runs: Vec<(u16, u16, u16)> = Vec::new();
    for &(letter, glyph) in letters {
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
        assert_eq!(sum(&bytes), WHOLE);
        for record in RawFace::parse(&bytes, 0).unwrap().table_records {
            let at = record.offset as usize;
            let mut table = bytes[at..at + record.length as usize].to_vec();
            if record.tag == HEAD {
                table[SUM].fill(0);
            }
            assert_eq!(sum(&table), record.check_sum, "{}", record.tag);
        }
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
