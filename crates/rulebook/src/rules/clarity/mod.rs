//! How clear and how tense a bar is.

mod ambiguous_bar;
mod clear_bar;
mod harmony_outlined;
mod stray_ambiguity;
mod tension_off_plan;

pub use ambiguous_bar::AMBIGUOUS_BAR;
pub use clear_bar::CLEAR_BAR;
pub use harmony_outlined::HARMONY_OUTLINED;
pub use stray_ambiguity::STRAY_AMBIGUITY;
pub use tension_off_plan::TENSION_OFF_PLAN;
