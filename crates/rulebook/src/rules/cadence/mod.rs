//! Where the line cadences.

mod beat_one_cadence;
mod closing;
mod next_root_cadence;
mod own_root_cadence;
mod register_shift;
mod root_twice;
mod unplanned_cadence;

pub use beat_one_cadence::BEAT_ONE_CADENCE;
pub use next_root_cadence::NEXT_ROOT_CADENCE;
pub use own_root_cadence::OWN_ROOT_CADENCE;
pub use register_shift::REGISTER_SHIFT;
pub use root_twice::ROOT_TWICE;
pub use unplanned_cadence::UNPLANNED_CADENCE;
