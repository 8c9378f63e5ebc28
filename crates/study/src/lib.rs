//! The rulebook read backwards: from a line and a chart to reasons, alternatives and marks.

mod align;
mod excerpt;
pub mod explain;
pub mod learn;
pub mod mark;
pub mod orders;
pub mod profile;
mod remark;
mod study;
pub mod vary;

pub use align::{Aligned, align, choruses};
pub use explain::Explanation;
pub use remark::{Remark, What};
pub use study::{PlanSource, Study};
