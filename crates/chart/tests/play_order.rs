//! The road map: which bar follows which.

use linewright_chart::{Chart, MAX_BARS};

/// The written numbers of the bars in the order in which they are played.
fn played(text: &str) -> Vec<usize> {
    let chart = Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    let timeline = chart.unroll().unwrap();
    timeline.bars.iter().map(|bar| bar.written).collect()
}

#[test]
fn a_plain_chart_is_played_as_it_stands() {
    assert_eq!(played("C | F | G"), [1, 2, 3]);
}

#[test]
fn a_repeat_is_played_twice_or_as_often_as_it_says() {
    assert_eq!(played("C |: F | G :| C"), [1, 2, 3, 2, 3, 4]);
    assert_eq!(played("|: C :|x3 F"), [1, 1, 1, 2]);
    assert_eq!(played("|: C :| x3"), [1, 1, 1]);
    assert_eq!(played("|: C :|: F :| G"), [1, 1, 2, 2, 3]);
}

#[test]
fn a_repeat_sign_on_the_next_line_closes_the_bar_before() {
    assert_eq!(played("|: C | F |\n:|x3 G"), [1, 2, 1, 2, 1, 2, 3]);
}

#[test]
fn a_repeat_without_a_beginning_goes_back_to_bar_1() {
    assert_eq!(played("C | F :| G"), [1, 2, 1, 2, 3]);
    assert_eq!(played("pickup: 1\nG7 | C | F :| G"), [0, 1, 2, 1, 2, 3]);
}

#[test]
fn endings_are_played_on_their_passes() {
    assert_eq!(played("|: C |1. F :|2. G | C"), [1, 2, 1, 3, 4]);
    assert_eq!(played("C |1. F :|2. G"), [1, 2, 1, 3]);
    assert_eq!(
        played("|: C |1. F :|2. G :|3. A7 | C"),
        [1, 2, 1, 3, 1, 4, 5]
    );
    assert_eq!(played("|: C |1,2. F | Fm :|3. G"), [1, 2, 3, 1, 2, 3, 1, 4]);
    assert_eq!(
        played("|: C |1,3. F :|2. G :| Am"),
        [1, 2, 1, 3, 1, 2, 4],
        "the last pass leaves by the first ending and skips the second"
    );
    assert_eq!(
        played("|: C |1. F :|2. G |: Am |1. Dm :|2. Em"),
        [1, 2, 1, 3, 4, 5, 4, 6]
    );
}

#[test]
fn da_capo_plays_from_bar_1_to_the_fine() {
    assert_eq!(
        played("C | F (fine) | G | Am (D.C. al fine)"),
        [1, 2, 3, 4, 1, 2]
    );
    assert_eq!(played("C | F (fine) | G | Am (D.C.)"), [1, 2, 3, 4, 1, 2]);
    assert_eq!(played("C | F (D.C.)"), [1, 2, 1, 2]);
    assert_eq!(played("C | F (D.C.) | G"), [1, 2, 1, 2, 3]);
    assert_eq!(
        played("pickup: 2\nG7 | C | F (fine) | G (D.C. al fine)"),
        [0, 1, 2, 3, 1, 2],
        "the pick-up is played once"
    );
}

#[test]
fn dal_segno_plays_from_the_sign_and_leaves_for_the_coda() {
    assert_eq!(
        played("C | (segno) F | G | Am (D.S.)"),
        [1, 2, 3, 4, 2, 3, 4]
    );
    assert_eq!(
        played("C | (segno) F (to coda) | G (D.S. al coda) || (coda) Am | Dm"),
        [1, 2, 3, 2, 4, 5]
    );
    assert_eq!(
        played("C (to coda) | F (D.C. al coda) || (coda) Am | Dm"),
        [1, 2, 1, 3, 4]
    );
}

#[test]
fn on_the_way_back_repeats_are_not_taken_and_the_last_ending_is_played() {
    assert_eq!(
        played("|: C :| F (fine) | G (D.C. al fine)"),
        [1, 1, 2, 3, 1, 2]
    );
    assert_eq!(
        played("|: C |1. F :|2. G (fine) | Am (D.C. al fine)"),
        [1, 2, 1, 3, 4, 1, 3]
    );
}

#[test]
fn from_the_coda_on_repeats_are_taken_again() {
    assert_eq!(
        played("C (to coda) | F (D.C. al coda) |: (coda) Am :|x3 Dm"),
        [1, 2, 1, 3, 3, 3, 4]
    );
}

#[test]
fn a_jump_inside_a_repeat_waits_for_the_last_pass() {
    assert_eq!(played("|: C (fine) | F (D.C. al fine) :|"), [1, 2, 1, 2, 1]);
    assert_eq!(
        played("|: (segno) C (fine) |1. F :|2. G (D.S. al fine)"),
        [1, 2, 1, 3, 1]
    );
}

#[test]
fn signs_after_the_last_bar_line_belong_to_the_last_bar() {
    assert_eq!(
        played("| C | F | (fine)\n| G | Am |] (D.C. al fine)\n"),
        [1, 2, 3, 4, 1, 2]
    );
}

#[test]
fn a_fine_at_the_very_end_needs_no_jump() {
    assert_eq!(played("C | F (fine) |]"), [1, 2]);
}

#[test]
fn choruses_repeat_the_form_with_one_pick_up() {
    let chart = Chart::parse("test", b"pickup: 1\nG7 |: C :| F").unwrap();
    let form = chart.unroll().unwrap();
    let three = form.choruses(3).unwrap();
    let numbers: Vec<usize> = three.bars.iter().map(|bar| bar.written).collect();
    assert_eq!(numbers, [0, 1, 1, 2, 1, 1, 2, 1, 1, 2]);
    assert_eq!(three.beats(), 1 + 9 * 4);
    assert_eq!(form.choruses(1).unwrap(), form);
    assert_eq!((form.choruses, three.choruses), (1, 3));
    assert_eq!(three.choruses(2).unwrap().choruses, 6);
}

#[test]
fn bars_are_numbered_from_one_over_all_choruses_and_a_pick_up_is_none() {
    let numbers = |text: &str| -> Vec<usize> {
        let form = Chart::parse("test", text.as_bytes())
            .unwrap()
            .unroll()
            .unwrap();
        let twice = form.choruses(2).unwrap();
        (0..twice.bars.len())
            .map(|index| twice.bar_number(index))
            .collect()
    };
    assert_eq!(numbers("C | F"), [1, 2, 3, 4]);
    assert_eq!(numbers("pickup: 1\nG7 | C | F"), [0, 1, 2, 3, 4]);
}

#[test]
fn no_chorus_and_too_many_choruses_are_refused_with_a_number_to_use() {
    let form = Chart::parse("test", b"C | F").unwrap().unroll().unwrap();
    assert!(
        form.choruses(0)
            .unwrap_err()
            .to_string()
            .contains("at least one")
    );
    let most = MAX_BARS / 2;
    assert_eq!(form.choruses(most).unwrap().bars.len(), MAX_BARS);
    for count in [most + 1, usize::MAX] {
        let told = form.choruses(count).unwrap_err().to_string();
        assert!(told.contains(&format!("ask for at most {most}")), "{told}");
    }
}

#[test]
fn harmony_is_found_by_beat() {
    let timeline = Chart::parse("test", b"C / / F").unwrap().unroll().unwrap();
    let bar = &timeline.bars[0];
    let at = |beat| bar.harmony_at(beat).map(ToString::to_string);
    assert_eq!(at(2).as_deref(), Some("C"));
    assert_eq!(at(3).as_deref(), Some("F"));
    assert_eq!(at(4), None);
}
