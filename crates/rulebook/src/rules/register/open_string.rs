//! An open string on a weak beat, where the hand gains time.

use crate::plan::Beat;
use linewright_theory::Bass;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// An open string on a weak beat, where the hand gains time.
pub static OPEN_STRING: Rule = Rule {
    name: "open-string",
    family: Family::Register,
    sentence: "An open string on a weak beat, where the hand gains time.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    let open = || {
        let bass = Bass::named(&w.style.instrument.name).unwrap_or(Bass::Double);
        bass.strings().any(|string| string == w.pitch.midi())
    };
    full_if(w.slot.strength == Beat::Weak && open())
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn open_strings_count_on_weak_beats_only() {
        let heard = over("| C7 | C7 |").line("A1 D2 G2 E1 | C2 A2 D2 D3");
        assert_eq!(heard.notes("open-string"), [(1, 2, FULL), (1, 4, FULL)]);
    }
}
