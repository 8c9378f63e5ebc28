//! TrueType files: their tables, the outlines of their glyphs, and putting some together again.
//! Source: the OpenType specification, from memory.

use std::collections::BTreeSet;

pub(crate) type Tag = &'static [u8; 4];

/// The outlines of a font.
pub(crate) struct Outlines<'a> {
    glyf: &'a [u8],
    loca: &'a [u8],
    long: bool,
    /// How many glyphs the font has.
    pub count: u16,
}

impl<'a> Outlines<'a> {
    /// `None` if it is no TrueType font.
    pub(crate) fn of(font: &'a [u8]) -> Option<Outlines<'a>> {
        Some(Outlines {
            glyf: table(font, b"glyf")?,
            loca: table(font, b"loca")?,
            long: short_at(table(font, b"head")?, 50)? != 0,
            count: short_at(table(font, b"maxp")?, 4)?,
        })
    }

    /// The outline of a glyph; empty for a blank.
    pub(crate) fn get(&self, glyph: u16) -> Option<&'a [u8]> {
        let place = |at: usize| match self.long {
            true => Some(long_at(self.loca, 4 * at)? as usize),
            false => Some(2 * usize::from(short_at(self.loca, 2 * at)?)),
        };
        let at = usize::from(glyph);
        self.glyf.get(place(at)?..place(at + 1)?)
    }

    /// These glyphs, those that they are made of, and the one for what is missing.
    pub(crate) fn with_parts(&self, glyphs: &BTreeSet<u16>) -> Option<BTreeSet<u16>> {
        let mut keep = BTreeSet::new();
        let mut waiting: Vec<u16> = glyphs.iter().copied().chain([0]).collect();
        while let Some(glyph) = waiting.pop() {
            if glyph < self.count && keep.insert(glyph) {
                let parts = parts(self.get(glyph)?);
                waiting.extend(parts.into_iter().map(|(_, part)| part));
            }
        }
        Some(keep)
    }
}

/// The tables `glyf` and `loca` of outlines, the latter in its long form.
pub(crate) fn joined(outlines: impl Iterator<Item = Vec<u8>>) -> (Vec<u8>, Vec<u8>) {
    let (mut glyf, mut loca) = (Vec::new(), Vec::new());
    loca.extend(0_u32.to_be_bytes());
    for outline in outlines {
        glyf.extend(outline);
        glyf.resize(glyf.len().next_multiple_of(4), 0);
        loca.extend((glyf.len() as u32).to_be_bytes());
    }
    (glyf, loca)
}

/// The table `head` of a font that is being put together: without its sum, and with the long form
/// of `loca`.
pub(crate) fn new_head(font: &[u8]) -> Option<Vec<u8>> {
    let mut head = table(font, b"head")?.to_vec();
    head.get_mut(8..12)?.fill(0);
    head.get_mut(50..52)?.copy_from_slice(&[0, 1]);
    Some(head)
}

/// A font file of these tables, in order of their tags.
pub(crate) fn file(tables: &[(Tag, Vec<u8>)]) -> Vec<u8> {
    let count = tables.len() as u16;
    let power = count.ilog2();
    let mut out = vec![0, 1, 0, 0];
    for number in [count, 16 << power, power as u16, 16 * count - (16 << power)] {
        out.extend(number.to_be_bytes());
    }
    let mut at = out.len() + 16 * tables.len();
    for (tag, table) in tables {
        out.extend(**tag);
        for number in [sum(table), at as u32, table.len() as u32] {
            out.extend(number.to_be_bytes());
        }
        at += table.len().next_multiple_of(4);
    }
    let mut head = 0;
    for (tag, table) in tables {
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

pub(crate) fn sum(bytes: &[u8]) -> u32 {
    bytes.chunks(4).fold(0, |sum: u32, chunk| {
        let mut word = [0; 4];
        word[..chunk.len()].copy_from_slice(chunk);
        sum.wrapping_add(u32::from_be_bytes(word))
    })
}

/// The glyphs that a glyph is made of, and where in its outline their numbers stand.
pub(crate) fn parts(outline: &[u8]) -> Vec<(usize, u16)> {
    let mut parts = Vec::new();
    // Composite glyphs count -1 contours.
    if short_at(outline, 0).is_none_or(|contours| contours < 0x8000) {
        return parts;
    }
    let mut at = 10;
    while let (Some(flags), Some(glyph)) = (short_at(outline, at), short_at(outline, at + 2)) {
        parts.push((at + 2, glyph));
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

pub(crate) fn table<'a>(font: &'a [u8], tag: &[u8; 4]) -> Option<&'a [u8]> {
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

pub(crate) fn short_at(bytes: &[u8], at: usize) -> Option<u16> {
    let bytes = bytes.get(at..at + 2)?;
    Some(u16::from_be_bytes([bytes[0], bytes[1]]))
}

pub(crate) fn long_at(bytes: &[u8], at: usize) -> Option<u32> {
    let bytes = bytes.get(at..at + 4)?;
    Some(u32::from_be_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]))
}
