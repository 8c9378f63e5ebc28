//! The rulebook read backwards: from a line and a chart to reasons, alternatives and marks.

mod align;
mod remark;
mod study;

pub use align::{Aligned, Ornament, align, choruses};
pub use remark::{Remark, What};
pub use study::{PlanSource, Study};
