//! How the line moves.

mod awkward_leap;
mod direction;
mod guide_tone;
mod leap;
mod leap_into_the_end;
mod leap_recovery;
mod leaps_one_way;
mod octave;
mod oscillation;
mod pedal;
mod recovery;
mod repeated_note;
mod scale_run;
mod skip;
mod step;
mod three_alike;
mod unrecovered_leap;

pub use awkward_leap::AWKWARD_LEAP;
pub use direction::DIRECTION;
pub use guide_tone::GUIDE_TONE;
pub use leap::LEAP;
pub use leap_into_the_end::LEAP_INTO_THE_END;
pub use leap_recovery::LEAP_RECOVERY;
pub use leaps_one_way::LEAPS_ONE_WAY;
pub use octave::OCTAVE;
pub use oscillation::OSCILLATION;
pub use pedal::PEDAL;
pub use repeated_note::REPEATED_NOTE;
pub use scale_run::SCALE_RUN;
pub use skip::SKIP;
pub use step::STEP;
pub use three_alike::THREE_ALIKE;
pub use unrecovered_leap::UNRECOVERED_LEAP;
