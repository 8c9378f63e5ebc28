//! What an approach is worth by where it lands.

use linewright_theory::Member;

use crate::rule::{FULL, Strength};
use crate::window::StepWindow;

/// Full into the root on an arrival, less into another chord tone; nothing
/// where the move lands on anything else.
pub(super) fn target(w: &StepWindow) -> Strength {
    if !w.place.arrival {
        return 0;
    }
    match w.member() {
        Member::Root => FULL,
        Member::Third => 800,
        Member::Fifth | Member::Seventh => 700,
        _ => 0,
    }
}
