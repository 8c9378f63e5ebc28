//! The note lies in the chord's scale and is neither a chord tone nor a colour tone.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note lies in the chord's scale and is neither a chord tone nor a colour tone.
pub static SCALE_TONE: Rule = Rule {
    name: "scale-tone",
    family: Family::Tone,
    sentence: "The note lies in the chord's scale and is neither a chord tone nor a colour tone.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("scale tone", "sc")),
    remarks: Remarks::found("a scale tone that is no chord tone, which comes at a later grade"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Scale)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_fourth_of_a_dominant_is_only_a_scale_tone() {
        let heard = over("key: F\n| C7 |").line("C2 D2 F2 F#2");
        assert_eq!(heard.notes("scale-tone"), [(1, 3, FULL)]);
    }
}
