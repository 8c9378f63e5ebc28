//! Part of linewright.
