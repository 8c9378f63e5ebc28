//! How cells are written, and how the notes of a bar are grouped into them.

use crate::plan::Ground;
use linewright_theory::{Chord, Key, Member};
use proptest::prelude::*;

use crate::facts::tension;
use crate::segment::{Likeness, head, likeness};
use crate::symbol::{cell_symbol, members_by_symbol, offsets_by_symbol};

fn ground(chord: &str, key: &str) -> Ground {
    Ground::new(chord.parse::<Chord>().unwrap(), key.parse::<Key>().unwrap())
}

/// The symbols of the twelve semitones above the root.
fn symbols(chord: &str, key: &str) -> [u8; 12] {
    let ground = ground(chord, key);
    std::array::from_fn(|offset| cell_symbol(&ground, offset as u8))
}

#[test]
fn a_cell_is_written_in_the_chords_own_degrees_with_chromatic_notes_as_0() {
    //                                    1     9     3  11    5     13 b7
    assert_eq!(symbols("C7", "F"), [1, 0, 2, 0, 3, 4, 0, 5, 0, 6, 7, 0]);
    assert_eq!(symbols("Cmaj7", "C"), [1, 0, 2, 0, 3, 4, 0, 5, 0, 6, 0, 7]);
    assert_eq!(symbols("Cm7", "Bb"), [1, 0, 2, 3, 0, 4, 0, 5, 0, 6, 7, 0]);
    assert_eq!(symbols("C6", "C"), [1, 0, 2, 0, 3, 4, 0, 5, 0, 6, 0, 7]);
}

#[test]
fn the_fourth_of_a_suspended_chord_is_written_as_its_third() {
    assert_eq!(symbols("C7sus4", "F")[5], 3);
    assert_eq!(symbols("C7", "F")[5], 4);
}

#[test]
fn the_bass_note_of_a_slash_chord_is_written_as_the_root() {
    let symbols = symbols("C7/E", "F");
    assert_eq!((symbols[4], symbols[0]), (1, 5));
}

#[test]
fn altered_ninths_share_a_symbol_and_the_strongest_of_them_stands_for_it() {
    let altered = ground("C7alt", "F");
    assert_eq!(offsets_by_symbol(&altered)[2], 1 << 1 | 1 << 3);
    assert_eq!(members_by_symbol(&altered)[2], Member::Colour);
}

#[test]
fn bars_of_five_six_and_seven_are_split_as_their_beats_are_grouped() {
    assert_eq!([1, 2, 3, 4, 5, 6, 7].map(head), [1, 2, 3, 4, 3, 3, 4]);
}

#[test]
fn bars_are_alike_by_three_degrees_of_four_two_of_others_and_the_very_notes_of_two() {
    assert_eq!(likeness(4, 4), Some(Likeness::Degrees(3)));
    assert_eq!(likeness(3, 3), Some(Likeness::Degrees(2)));
    assert_eq!(likeness(5, 5), Some(Likeness::Degrees(2)));
    assert_eq!(likeness(2, 2), Some(Likeness::Notes));
    assert_eq!(likeness(1, 1), None);
    assert_eq!(likeness(4, 3), None);
}

#[test]
fn a_bar_is_tenser_the_less_clear_the_more_chromatic_and_the_longer_away_from_the_root() {
    use Member::{Colour, Fifth, Outside, Root, Third};
    let calm = tension(&[Root, Third, Fifth, Third], 3000);
    assert_eq!(calm, 0);
    assert!(tension(&[Root, Third, Fifth, Third], 1000) > calm);
    assert!(
        tension(&[Root, Third, Fifth, Outside], 3000)
            > tension(&[Root, Third, Fifth, Colour], 3000)
    );
    let late = tension(&[Third, Fifth, Third, Root], 3000);
    assert!(late > calm && tension(&[Third, Fifth, Third, Fifth], 3000) > late);
}

proptest! {
    #[test]
    fn tension_lies_between_nothing_and_a_thousand(
        members in proptest::collection::vec(0..7_usize, 1..=4), clarity in -30_000..=30_000_i32,
    ) {
        const ALL: [Member; 7] = [
            Member::Root, Member::Third, Member::Fifth, Member::Seventh, Member::Colour,
            Member::Scale, Member::Outside,
        ];
        let members: Vec<Member> = members.into_iter().map(|at| ALL[at]).collect();
        prop_assert!((0..=1000).contains(&tension(&members, clarity)));
    }
}
