//! Colours of the themes.

use crate::mark::Kind;
use crate::options::Theme;

/// A colour.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Colour(pub u8, pub u8, pub u8);

/// How much of an area under a curve is inked, in hundredths.
pub(crate) const WASH: u8 = 13;

/// Colours of a theme.
pub(crate) struct Palette {
    /// The colour of the paper, where there is one.
    pub ground: Option<Colour>,
    pub ink: Colour,
    /// For what is read beside the music.
    pub soft: Colour,
    pub accent: Colour,
}

impl Theme {
    pub(crate) fn palette(self) -> Palette {
        match self {
            Theme::Light | Theme::Inherit => Palette {
                ground: (self == Theme::Light).then_some(Colour(255, 255, 255)),
                ink: Colour(17, 17, 17),
                soft: Colour(68, 68, 68),
                accent: Colour(163, 67, 31),
            },
            Theme::Dark => Palette {
                ground: Some(Colour(22, 24, 28)),
                ink: Colour(236, 232, 223),
                soft: Colour(180, 176, 168),
                accent: Colour(240, 147, 95),
            },
        }
    }
}

impl Palette {
    /// The colour of text and glyphs of a kind of mark.
    pub(crate) fn of(&self, kind: Kind) -> Colour {
        match kind {
            Kind::Under(_) | Kind::BarNumber | Kind::Footer => self.soft,
            _ => self.ink,
        }
    }

    /// The colour of strokes and areas of a kind of mark.
    pub(crate) fn of_curve(&self, kind: Kind) -> Colour {
        match kind {
            Kind::Tension => self.accent,
            _ => self.of(kind),
        }
    }
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}
