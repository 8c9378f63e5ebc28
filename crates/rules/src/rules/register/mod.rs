//! Where on the instrument the line lies.

mod out_of_range;
mod outside_the_heart;
mod register_contour;

pub use out_of_range::OUT_OF_RANGE;
pub use outside_the_heart::OUTSIDE_THE_HEART;
pub use register_contour::REGISTER_CONTOUR;
