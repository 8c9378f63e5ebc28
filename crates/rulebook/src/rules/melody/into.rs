//! Moves into one beat of the bar.

use crate::plan::BeatOfBar;
use crate::rule::{Strength, full_if};
use crate::window::IntervalWindow;

/// Full where a move by one of these `intervals`, in semitones, up positive, leads into a beat.
pub(super) fn into(w: &IntervalWindow, beat: BeatOfBar, intervals: &[i32]) -> Strength {
    full_if(w.place.into == beat && intervals.contains(&w.interval))
}
