//! What a note value looks like.

use linewright_notation::written::Value;

use crate::glyph::Glyph;

/// The glyphs of a note value. There is none of a breve, which is drawn from other shapes.
pub(crate) trait Drawn {
    fn head(self, ghost: bool) -> Glyph;
    fn rest(self) -> Glyph;
    /// The flags of a note that stands alone.
    fn flag(self, up: bool) -> Option<Glyph>;
}

impl Drawn for Value {
    fn head(self, ghost: bool) -> Glyph {
        match self.halvings {
            ..=0 => Glyph::HeadWhole,
            1 => Glyph::HeadHalf,
            _ if ghost => Glyph::HeadCross,
            _ => Glyph::HeadBlack,
        }
    }

    fn rest(self) -> Glyph {
        match self.halvings {
            ..=0 => Glyph::RestWhole,
            1 => Glyph::RestHalf,
            2 => Glyph::RestQuarter,
            3 => Glyph::Rest8,
            4 => Glyph::Rest16,
            5 => Glyph::Rest32,
            _ => Glyph::Rest64,
        }
    }

    fn flag(self, up: bool) -> Option<Glyph> {
        let (above, below) = match self.beams() {
            0 => return None,
            1 => (Glyph::Flag8Up, Glyph::Flag8Down),
            2 => (Glyph::Flag16Up, Glyph::Flag16Down),
            3 => (Glyph::Flag32Up, Glyph::Flag32Down),
            _ => (Glyph::Flag64Up, Glyph::Flag64Down),
        };
        Some(if up { above } else { below })
    }
}
