//! How a leap is recovered.

use crate::window::ShapeWindow;

/// Whether the second move turns back, by a fifth at most: 1-8-5 is as usual as
/// a step (the excerpts of practice: README).
pub(super) fn recovers(w: &ShapeWindow) -> bool {
    w.turns() && w.second.abs() <= 7
}
