//! The rules, a folder for each part of the craft and a file for each rule.
//!
//! What is listed here is searched, explained, marked and documented.

use crate::rule::{Rule, RuleId};

/// Makes a module of each file, and of all rules the list, in the same order. A folder `shares`
/// what several of its rules need.
macro_rules! rules {
    ($(
        $(#[$about:meta])*
        $folder:ident $(shares $($shared:ident),+)? { $($file:ident: $rule:ident,)+ }
    )+) => {
        $(
            $(#[$about])*
            pub mod $folder {
                $($(pub(crate) mod $shared;)+)?
                $(
                    mod $file;
                    pub use $file::$rule;
                )+
            }
        )+

        /// Every rule, in the order in which they are listed.
        pub static RULES: &[&Rule] = &[$($(&$folder::$rule,)+)+];
    };
}

rules! {
    /// Which note arrives on beat one and on a new chord.
    arrival shares arrival_of {
        root_arrival: ROOT_ARRIVAL,
        third_arrival: THIRD_ARRIVAL,
        fifth_arrival: FIFTH_ARRIVAL,
        seventh_arrival: SEVENTH_ARRIVAL,
        colour_arrival: COLOUR_ARRIVAL,
        outside_arrival: OUTSIDE_ARRIVAL,
        slash_bass: SLASH_BASS,
        opening_root: OPENING_ROOT,
        lone_root: LONE_ROOT,
        held_root: HELD_ROOT,
        held_fifth: HELD_FIFTH,
    }
    /// What a note is to its chord.
    tone {
        chord_tone: CHORD_TONE,
        colour_tone: COLOUR_TONE,
        third: THIRD,
        seventh: SEVENTH,
        scale_tone: SCALE_TONE,
        chromatic_tone: CHROMATIC_TONE,
        chromatic_on_the_beat: CHROMATIC_ON_THE_BEAT,
        open_ending: OPEN_ENDING,
        third_on_three: THIRD_ON_THREE,
        root_on_the_last_beat: ROOT_ON_THE_LAST_BEAT,
        colour_on_two: COLOUR_ON_TWO,
    }
    /// How the next arrival is approached.
    approach shares target {
        half_step_approach: HALF_STEP_APPROACH,
        scale_step_approach: SCALE_STEP_APPROACH,
        step_into_a_change: STEP_INTO_A_CHANGE,
        dominant_approach: DOMINANT_APPROACH,
        double_chromatic_approach: DOUBLE_CHROMATIC_APPROACH,
        enclosure: ENCLOSURE,
        leading_tone_start: LEADING_TONE_START,
        early_root: EARLY_ROOT,
        anticipation: ANTICIPATION,
        passing_tone: PASSING_TONE,
        neighbour_tone: NEIGHBOUR_TONE,
        chromatic_passing_tone: CHROMATIC_PASSING_TONE,
        unresolved_chromatic: UNRESOLVED_CHROMATIC,
    }
    /// Where the line cadences.
    cadence shares closing {
        beat_one_cadence: BEAT_ONE_CADENCE,
        own_root_cadence: OWN_ROOT_CADENCE,
        next_root_cadence: NEXT_ROOT_CADENCE,
        unplanned_cadence: UNPLANNED_CADENCE,
        register_shift: REGISTER_SHIFT,
        root_twice: ROOT_TWICE,
    }
    /// How the line moves.
    melody shares into, recovery {
        step: STEP,
        half_step: HALF_STEP,
        falling_step: FALLING_STEP,
        half_step_into_two: HALF_STEP_INTO_TWO,
        half_step_into_three: HALF_STEP_INTO_THREE,
        half_step_into_four: HALF_STEP_INTO_FOUR,
        skip: SKIP,
        third_up_into_two: THIRD_UP_INTO_TWO,
        leap: LEAP,
        fourth_up: FOURTH_UP,
        fifth_up_into_two: FIFTH_UP_INTO_TWO,
        tritone: TRITONE,
        awkward_leap: AWKWARD_LEAP,
        octave: OCTAVE,
        repeated_note: REPEATED_NOTE,
        repeat_into_two: REPEAT_INTO_TWO,
        pedal: PEDAL,
        guide_tone: GUIDE_TONE,
        leap_into_the_end: LEAP_INTO_THE_END,
        leap_recovery: LEAP_RECOVERY,
        unrecovered_leap: UNRECOVERED_LEAP,
        leaps_one_way: LEAPS_ONE_WAY,
        direction: DIRECTION,
        onward: ONWARD,
        scale_run: SCALE_RUN,
        half_steps_on: HALF_STEPS_ON,
        wandering: WANDERING,
        oscillation: OSCILLATION,
        three_alike: THREE_ALIKE,
    }
    /// Where on the instrument the line lies, and whether the hand gets there.
    register {
        register_contour: REGISTER_CONTOUR,
        outside_the_heart: OUTSIDE_THE_HEART,
        open_string: OPEN_STRING,
        out_of_range: OUT_OF_RANGE,
        too_wide_leap: TOO_WIDE_LEAP,
        fast_leap: FAST_LEAP,
    }
    /// How clear and how tense a bar is.
    clarity {
        clear_bar: CLEAR_BAR,
        outside_bar: OUTSIDE_BAR,
        stray_ambiguity: STRAY_AMBIGUITY,
        ambiguous_bar: AMBIGUOUS_BAR,
        tension_off_plan: TENSION_OFF_PLAN,
        harmony_outlined: HARMONY_OUTLINED,
    }
    /// The order of notes, in the bar and against the bar before.
    order shares cells, different {
        stock_cell: STOCK_CELL,
        reordered_cell: REORDERED_CELL,
        chromatic_fill: CHROMATIC_FILL,
        thin_bar: THIN_BAR,
        three_note_bar: THREE_NOTE_BAR,
        returned_figure: RETURNED_FIGURE,
        cell_again: CELL_AGAIN,
        sequence: SEQUENCE,
    }
}

impl RuleId {
    /// The rule itself.
    pub fn rule(self) -> &'static Rule {
        RULES[usize::from(self.number())]
    }
}

/// The rule with the given name.
pub fn rule_named(name: &str) -> Option<&'static Rule> {
    RULES.iter().copied().find(|rule| rule.name == name)
}
