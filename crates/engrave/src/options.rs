//! What the caller can choose.

/// How a score is engraved.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// The paper.
    pub paper: Paper,
    /// The colours.
    pub theme: Theme,
    /// How many bars a system has where they fit.
    pub bars_per_system: usize,
    /// The height of the staff in thousandths of a millimetre. It is made smaller where a measure
    /// would not fit the page.
    pub staff_height: u32,
    /// The tension of each measure, 0 to 1, to be drawn under the systems. Measures that have no
    /// value here have no curve.
    pub tension: Vec<f64>,
    /// What stands in the footer after the title: style, seed.
    pub footer: Vec<String>,
    /// What the ids of the SVG begin with, so that several scores can stand in one HTML page:
    /// letters, digits, `-` and `_`; anything else is left out.
    pub id_prefix: String,
    /// How the SVG has its text font.
    pub svg_font: SvgFont,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            paper: Paper::A4,
            theme: Theme::Light,
            bars_per_system: 4,
            staff_height: 7000,
            tension: Vec::new(),
            footer: Vec::new(),
            id_prefix: String::new(),
            svg_font: SvgFont::Named,
        }
    }
}

/// The paper.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 inches.
    Letter,
    /// One page as wide as A4 and as high as the music, for the screen.
    Endless,
}

impl Paper {
    /// Width in thousandths of a millimetre.
    pub(crate) fn width(self) -> i64 {
        match self {
            Paper::A4 | Paper::Endless => 210_000,
            Paper::Letter => 215_900,
        }
    }

    /// Height in thousandths of a millimetre; `None` when it follows the music.
    pub(crate) fn height(self) -> Option<i64> {
        match self {
            Paper::A4 => Some(297_000),
            Paper::Letter => Some(279_400),
            Paper::Endless => None,
        }
    }

    /// The margin on every side in thousandths of a millimetre.
    pub(crate) fn margin(self) -> i64 {
        match self {
            Paper::A4 | Paper::Letter => 15_000,
            Paper::Endless => 8_000,
        }
    }
}

/// The colours. Every group of the SVG has a class, so that a page's own style sheet can set
/// others.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum Theme {
    /// Dark on white.
    #[default]
    Light,
    /// Light on a dark ground.
    Dark,
    /// In the text colour of the HTML page that holds the SVG, on its ground.
    Inherit,
}

/// How an SVG has its text font.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub enum SvgFont {
    /// By name, with other families to fall back to; the space that a text takes is fixed in the
    /// file.
    #[default]
    Named,
    /// Within the file, which then stands alone: the letters that it uses, some 8 KB. The space
    /// that a text takes is fixed in the file too, for programs that look for no fonts in it.
    Embedded,
    /// By name, where an HTML page holds the SVG and gives it the font by
    /// [`font_face`](crate::font_face).
    Given,
}
