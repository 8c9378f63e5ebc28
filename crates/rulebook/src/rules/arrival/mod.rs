//! Which note arrives on beat one and on a new chord.

mod arrival_of;
mod colour_arrival;
mod fifth_arrival;
mod lone_root;
mod opening_root;
mod outside_arrival;
mod root_arrival;
mod seventh_arrival;
mod slash_bass;
mod third_arrival;

pub use colour_arrival::COLOUR_ARRIVAL;
pub use fifth_arrival::FIFTH_ARRIVAL;
pub use lone_root::LONE_ROOT;
pub use opening_root::OPENING_ROOT;
pub use outside_arrival::OUTSIDE_ARRIVAL;
pub use root_arrival::ROOT_ARRIVAL;
pub use seventh_arrival::SEVENTH_ARRIVAL;
pub use slash_bass::SLASH_BASS;
pub use third_arrival::THIRD_ARRIVAL;
