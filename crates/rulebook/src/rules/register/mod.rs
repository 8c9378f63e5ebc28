//! Where on the instrument the line lies, and whether the hand gets there.

mod fast_leap;
mod out_of_range;
mod outside_the_heart;
mod register_contour;
mod too_wide_leap;

pub use fast_leap::FAST_LEAP;
pub use out_of_range::OUT_OF_RANGE;
pub use outside_the_heart::OUTSIDE_THE_HEART;
pub use register_contour::REGISTER_CONTOUR;
pub use too_wide_leap::TOO_WIDE_LEAP;
