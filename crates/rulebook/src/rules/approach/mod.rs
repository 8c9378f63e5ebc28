//! How the next arrival is approached.

mod anticipation;
mod chromatic_passing_tone;
mod dominant_approach;
mod double_chromatic_approach;
mod early_root;
mod enclosure;
mod half_step_approach;
mod leading_tone_start;
mod neighbour_tone;
mod passing_tone;
mod scale_step_approach;
mod target;
mod unresolved_chromatic;

pub use anticipation::ANTICIPATION;
pub use chromatic_passing_tone::CHROMATIC_PASSING_TONE;
pub use dominant_approach::DOMINANT_APPROACH;
pub use double_chromatic_approach::DOUBLE_CHROMATIC_APPROACH;
pub use early_root::EARLY_ROOT;
pub use enclosure::ENCLOSURE;
pub use half_step_approach::HALF_STEP_APPROACH;
pub use leading_tone_start::LEADING_TONE_START;
pub use neighbour_tone::NEIGHBOUR_TONE;
pub use passing_tone::PASSING_TONE;
pub use scale_step_approach::SCALE_STEP_APPROACH;
pub use unresolved_chromatic::UNRESOLVED_CHROMATIC;
