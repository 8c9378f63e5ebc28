//! General MIDI programs that a bass line is played with, counted from 0.
//!
//! Source: *General MIDI System Level 1*, MIDI Manufacturers Association, the GM sound
//! set as published on midi.org, which counts from 1: 33 Acoustic Bass, 34 Electric Bass
//! (finger), 35 Electric Bass (pick), 36 Fretless Bass. A file holds one less than the
//! listed number.

/// Acoustic bass, 33 in the published list.
pub const ACOUSTIC_BASS: u8 = 32;

/// Electric bass played with the fingers, 34 in the published list.
pub const FINGERED_BASS: u8 = 33;

/// Electric bass played with a pick, 35 in the published list.
pub const PICKED_BASS: u8 = 34;

/// Fretless electric bass, 36 in the published list.
pub const FRETLESS_BASS: u8 = 35;
