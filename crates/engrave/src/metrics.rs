//! Measures of the engraving, in units of a 250th of a staff space. Those marked "(font)" are what
//! the font of the glyphs states to go with them (SMuFL, "engravingDefaults"); the rest is common
//! practice, adjusted by eye, no source.

/// Thickness of a staff line (font).
pub(crate) const STAFF_LINE: i64 = 32;
/// Thickness of a ledger line (font).
pub(crate) const LEDGER_LINE: i64 = 40;
/// How far a ledger line reaches beyond a head (font).
pub(crate) const LEDGER_REACH: i64 = 100;
/// Thickness of a stem (font).
pub(crate) const STEM: i64 = 30;
/// Length of a stem that stands free.
pub(crate) const STEM_LENGTH: i64 = 875;
/// The least length of a stem under a beam.
pub(crate) const STEM_UNDER_BEAM: i64 = 750;
/// Thickness of a beam (font).
pub(crate) const BEAM: i64 = 125;
/// From one beam to the next (font).
pub(crate) const BEAM_STEP: i64 = 188;
/// Length of a beam that belongs to one note only.
pub(crate) const BEAM_STUB: i64 = 275;
/// Thickness of a thin bar line (font).
pub(crate) const THIN: i64 = 40;
/// Thickness of a thick bar line (font).
pub(crate) const THICK: i64 = 125;
/// Between the lines of a bar line (font).
pub(crate) const BAR_GAP: i64 = 100;
/// Between a bar line and the dots of a repeat (font).
pub(crate) const DOTS_GAP: i64 = 40;
/// Thickness of brackets and frames (font).
pub(crate) const FRAME: i64 = 40;
/// Between an accidental and its head.
pub(crate) const ACCIDENTAL_GAP: i64 = 50;
/// Between an accidental and the parentheses around it.
pub(crate) const PAREN_GAP: i64 = 18;
/// Between a head and its dot.
pub(crate) const DOT_GAP: i64 = 70;
/// The least space between the marks of neighbouring notes.
pub(crate) const NOTE_GAP: i64 = 100;
/// The least space between neighbouring texts.
pub(crate) const TEXT_GAP: i64 = 150;
/// Half a text's distance to what stands above or below it.
pub(crate) const CLEARANCE: i64 = 90;
/// Thickness of a tie in its middle (font).
pub(crate) const TIE: i64 = 55;
