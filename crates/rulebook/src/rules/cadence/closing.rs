//! A bar that closes on its own root.

use linewright_theory::Member;

use crate::rule::{Strength, full_if};
use crate::window::CellWindow;

/// Full where the last beat is the root, and the notes before it under the
/// same chord are not but outline it: a third or seventh among them,
/// and two different chord tones (one in the short half of a long bar).
pub(super) fn closes_on_root(w: &CellWindow) -> Strength {
    let Some((&Member::Root, before)) = w.members.split_last() else {
        return 0;
    };
    let before = &before[usize::from(w.place.new_chord)..];
    if !w.place.ends_bar || before.contains(&Member::Root) {
        return 0;
    }
    let outline = before.iter().fold(0_u8, |outline, member| {
        outline
            | match member {
                Member::Third => 1,
                Member::Fifth => 2,
                Member::Seventh => 4,
                _ => 0,
            }
    });
    let enough = if w.place.begins_bar { 2 } else { 1 };
    full_if(outline & 5 != 0 && outline.count_ones() >= enough)
}
