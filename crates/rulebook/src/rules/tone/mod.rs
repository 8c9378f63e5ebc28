//! What a note is to its chord.

mod chord_tone;
mod chromatic_on_the_beat;
mod chromatic_tone;
mod colour_tone;
mod open_ending;
mod scale_tone;
mod seventh;
mod third;

pub use chord_tone::CHORD_TONE;
pub use chromatic_on_the_beat::CHROMATIC_ON_THE_BEAT;
pub use chromatic_tone::CHROMATIC_TONE;
pub use colour_tone::COLOUR_TONE;
pub use open_ending::OPEN_ENDING;
pub use scale_tone::SCALE_TONE;
pub use seventh::SEVENTH;
pub use third::THIRD;
