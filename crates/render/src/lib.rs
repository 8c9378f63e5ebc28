//! Part of linewright.

pub mod midi;
