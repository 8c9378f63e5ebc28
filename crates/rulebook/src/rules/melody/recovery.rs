//! How a leap is recovered.

use crate::window::ShapeWindow;

/// Whether the second move turns back by a step or a third.
pub(super) fn recovers(w: &ShapeWindow) -> bool {
    w.turns() && w.second.abs() <= 4
}
