//! Parts laid over charts: what becomes of every kind of note and of every kind of misfit.

mod support;

use linewright_chart::Timeline;
use linewright_compose::written::{Role, sounds};
use linewright_notation::{Event, Measure, QUARTER, Score, Ticks};
use linewright_study::{Aligned, Remark, What, align, choruses};
use support::{part, pitches, timeline};

const EIGHTH: Ticks = QUARTER / 2;

/// Bar by bar, the beats (from 1) on which notes begin and how many beats they last.
fn beats(aligned: &Aligned) -> Vec<Vec<(u8, u8)>> {
    let bar = |bar: &Vec<_>| {
        let onset = |at: &linewright_rulebook::plan::Onset| (at.beat + 1, at.beats);
        bar.iter().map(onset).collect()
    };
    aligned.onsets.iter().map(bar).collect()
}

/// Bar (from 0), place, length and ghostliness of each note between the beats.
fn between(aligned: &Aligned) -> Vec<(usize, Ticks, Ticks, bool)> {
    sounds(&aligned.written)
        .into_iter()
        .filter(|sound| matches!(sound.role, Role::Between(_)))
        .map(|sound| (sound.bar, sound.at, sound.ticks, sound.ghost))
        .collect()
}

fn whats(aligned: &Aligned) -> Vec<(Option<usize>, &What)> {
    let told = aligned.remarks.iter();
    told.map(|remark| (remark.bar, &remark.what)).collect()
}

/// A part over a chart in which it fits without a remark.
fn fits(text: &str, chart: &str) -> Aligned {
    let aligned = align(&part(text), &timeline(chart));
    assert_eq!(aligned.remarks, [], "{text} over {chart}");
    aligned
}

const FOUR: [(u8, u8); 4] = [(1, 1), (2, 1), (3, 1), (4, 1)];

#[test]
fn quarter_notes_lie_on_their_beats() {
    let aligned = fits("| C2 D2 E2 G2 | F2 A2 C3 A2 |", "| C7 | F7 |");
    assert_eq!(beats(&aligned), [FOUR, FOUR]);
    assert_eq!(aligned.pitches, pitches("C2 D2 E2 G2 F2 A2 C3 A2"));
    assert_eq!(between(&aligned), []);
}

#[test]
fn a_held_note_lasts_until_the_next_and_a_rest_ends_it() {
    let aligned = fits("| C2 . G2 . | F2 r C2 . | r A1 . r |", "| C7 | F7 | F7 |");
    let wanted = [vec![(1, 2), (3, 2)], vec![(1, 1), (3, 2)], vec![(2, 2)]];
    assert_eq!(beats(&aligned), wanted);
    assert_eq!(aligned.pitches, pitches("C2 G2 F2 C2 A1"));
}

#[test]
fn a_note_tied_over_the_bar_line_is_no_note_of_the_next_bar() {
    let aligned = fits("| C2 . . G2 | . A2 C3 . |", "| C7 | F7 |");
    assert_eq!(
        beats(&aligned),
        [vec![(1, 3), (4, 1)], vec![(2, 1), (3, 2)]]
    );
    assert_eq!(aligned.pitches, pitches("C2 G2 A2 C3"));
    // A whole bar may be held, and the bar after it.
    let aligned = fits("| C2 . . . | . . . . | . D2 . . |", "| C7 | C7 | C7 |");
    assert_eq!(beats(&aligned), [vec![(1, 4)], vec![], vec![(2, 3)]]);
}

#[test]
fn a_tie_binds_only_notes_of_one_pitch_that_touch() {
    let mut score = part("| C2 D2 E2 G2 | G2 A2 C3 A2 |");
    score.measures[0].events[3].tied = true;
    let over = timeline("| C7 | F7 |");
    let aligned = align(&score, &over);
    assert_eq!(beats(&aligned)[1], [(2, 1), (3, 1), (4, 1)]);
    // Into another pitch it is a slur, and no note is lost.
    score.measures[1].events[0].note = "Ab2".parse().ok();
    assert_eq!(beats(&align(&score, &over))[1], FOUR);
    // Over a silent bar it holds nothing.
    let mut score = part("| C2 D2 E2 G2 | r r r r | G2 A2 C3 A2 |");
    score.measures[0].events[3].tied = true;
    score.measures[1].events.clear();
    let aligned = align(&score, &timeline("| C7 | C7 | F7 |"));
    assert_eq!(beats(&aligned), [FOUR.to_vec(), vec![], FOUR.to_vec()]);
}

#[test]
fn notes_between_the_beats_are_ornaments() {
    let aligned = fits("| C2 (D2 E2) (G2 . A2) (Bb2 A2 G2) |", "| C7 |");
    assert_eq!(beats(&aligned), [FOUR]);
    assert_eq!(aligned.pitches, pitches("C2 D2 G2 Bb2"));
    let third = QUARTER / 3;
    let wanted = [
        (0, QUARTER + EIGHTH, EIGHTH, false),
        (0, 2 * QUARTER + 2 * third, third, false),
        (0, 3 * QUARTER + third, third, false),
        (0, 3 * QUARTER + 2 * third, third, false),
    ];
    assert_eq!(between(&aligned), wanted);
}

#[test]
fn ghost_notes_are_ornaments_wherever_they_stand() {
    let aligned = fits("| C2 xC2 (E2 xE2) xG2 | xF2 A2 C3 A2 |", "| C7 | F7 |");
    assert_eq!(
        beats(&aligned),
        [vec![(1, 1), (3, 1)], vec![(2, 1), (3, 1), (4, 1)]]
    );
    let wanted = [
        (0, QUARTER, QUARTER, true),
        (0, 2 * QUARTER + EIGHTH, EIGHTH, true),
        (0, 3 * QUARTER, QUARTER, true),
        (1, 0, QUARTER, true),
    ];
    assert_eq!(between(&aligned), wanted);
}

#[test]
fn a_note_that_anticipates_an_empty_beat_stands_for_it() {
    // The third note comes half a beat early and is held through beat three.
    let aligned = fits("| C2 (D2 E2) . G2 |", "| C7 |");
    assert_eq!(beats(&aligned), [FOUR]);
    assert_eq!(aligned.pitches, pitches("C2 D2 E2 G2"));
    assert_eq!(between(&aligned), []);
    // Where the beat has a note of its own, what comes before it is an ornament.
    let aligned = fits("| C2 (D2 E2) F2 G2 |", "| C7 |");
    assert_eq!(between(&aligned), [(0, QUARTER + EIGHTH, EIGHTH, false)]);
}

#[test]
fn beat_one_pushed_over_the_bar_line_is_the_note_of_beat_one() {
    let aligned = fits("| C2 D2 E2 (G2 F2) | . A2 C3 A2 |", "| C7 | F7 |");
    assert_eq!(beats(&aligned), [FOUR, FOUR]);
    assert_eq!(aligned.pitches, pitches("C2 D2 E2 G2 F2 A2 C3 A2"));
    assert_eq!(between(&aligned), []);
    // Not tied, it stays an ornament, and beat one is empty.
    let aligned = fits("| C2 D2 E2 (G2 F2) | r A2 C3 A2 |", "| C7 | F7 |");
    assert_eq!(beats(&aligned)[1], [(2, 1), (3, 1), (4, 1)]);
    assert_eq!(
        between(&aligned),
        [(0, 3 * QUARTER + EIGHTH, EIGHTH, false)]
    );
    // A pushed beat one that is held through the bar is still one note.
    let aligned = fits(
        "| C2 D2 E2 (G2 F2) | . . . . | . A2 C3 F2 |",
        "| C7 | F7 | F7 |",
    );
    assert_eq!(
        beats(&aligned)[1..],
        [vec![(1, 4)], vec![(2, 1), (3, 1), (4, 1)]]
    );
}

#[test]
fn a_pick_up_lies_before_bar_one_where_the_chart_has_one() {
    let chart = "pickup: 1\n| C7 | F7 | C7 |";
    let aligned = fits("pickup: 1\n| E2 | F2 A2 C3 A2 | G2 E2 D2 C2 |", chart);
    assert_eq!(
        beats(&aligned),
        [vec![(1, 1)], FOUR.to_vec(), FOUR.to_vec()]
    );
    // A part without one leaves the chart's pick-up bar silent.
    let aligned = fits("| F2 A2 C3 A2 | G2 E2 D2 C2 |", chart);
    assert_eq!(beats(&aligned), [vec![], FOUR.to_vec(), FOUR.to_vec()]);
}

#[test]
fn a_pick_up_that_the_chart_has_not_is_left_out_and_told() {
    let aligned = align(
        &part("pickup: 1\n| E2 | F2 A2 C3 A2 |"),
        &timeline("| F7 |"),
    );
    assert_eq!(whats(&aligned), [(None, &What::PickupLeftOut)]);
    assert_eq!(aligned.pitches, pitches("F2 A2 C3 A2"));
}

#[test]
fn a_short_first_measure_is_no_pick_up_where_the_charts_first_bar_is_as_short() {
    let chart = "time: 2/4\n| C7 | (time: 4/4) F7 | C7 |";
    for text in [
        "time: 2/4\n| C2 E2 | (time: 4/4) F2 A2 C3 A2 | G2 E2 D2 C2 |",
        // As a reader of MIDI takes it.
        "time: 4/4\npickup: 2\n| C2 E2 | F2 A2 C3 A2 | G2 E2 D2 C2 |",
    ] {
        let aligned = fits(text, chart);
        let wanted = [vec![(1, 1), (2, 1)], FOUR.to_vec(), FOUR.to_vec()];
        assert_eq!(beats(&aligned), wanted, "{text}");
        assert_eq!(choruses(&part(text), &timeline(chart)), 1);
    }
}

const REPEATS: &str = "|: C7 | F7 |1. G7 :|2. C7 | F7 |";

#[test]
fn a_part_of_as_many_measures_as_the_page_is_repeated_as_the_chart_is() {
    let over = timeline(REPEATS);
    let written: Vec<usize> = over.bars.iter().map(|bar| bar.written).collect();
    assert_eq!(written, [1, 2, 3, 1, 2, 4, 5]);
    let text = "| C2 . . . | D2 . . . | E2 . . . | F2 . . . | G2 . . . |";
    let aligned = align(&part(text), &over);
    assert_eq!(aligned.pitches, pitches("C2 D2 E2 C2 D2 F2 G2"));
    assert_eq!(aligned.remarks, []);
    // In every chorus.
    let twice = over.choruses(2).unwrap();
    let aligned = align(&part(text), &twice);
    assert_eq!(
        aligned.pitches,
        pitches("C2 D2 E2 C2 D2 F2 G2 C2 D2 E2 C2 D2 F2 G2")
    );
}

#[test]
fn a_part_with_its_repeats_written_out_is_played_through() {
    let text = "| C2 . . . | D2 . . . | E2 . . . | F2 . . . | G2 . . . | A2 . . . | B2 . . . |";
    let aligned = align(&part(text), &timeline(REPEATS));
    assert_eq!(aligned.pitches, pitches("C2 D2 E2 F2 G2 A2 B2"));
    assert_eq!(aligned.remarks, []);
}

#[test]
fn a_part_that_ends_early_leaves_the_rest_silent_and_one_that_goes_on_is_cut() {
    let short = align(&part("| C2 D2 E2 G2 |"), &timeline("| C7 | F7 | C7 |"));
    assert_eq!(whats(&short), [(None, &What::LineEnds { before_bar: 2 })]);
    assert_eq!(beats(&short), [FOUR.to_vec(), vec![], vec![]]);
    assert_eq!(short.silent, [1, 2]);
    let long = align(
        &part("| C2 D2 E2 G2 | F2 A2 C3 A2 | G2 E2 D2 C2 |"),
        &timeline("| C7 |"),
    );
    assert_eq!(whats(&long), [(None, &What::MeasuresLeftOver { count: 2 })]);
    assert_eq!(long.pitches, pitches("C2 D2 E2 G2"));
    let empty = align(&Score::default(), &timeline("| C7 | F7 |"));
    assert_eq!(whats(&empty), [(None, &What::LineEnds { before_bar: 1 })]);
    assert_eq!(empty.pitches, []);
}

#[test]
fn only_bars_with_a_chord_that_nothing_sounds_in_are_silent() {
    let chart = "| C7 | F7 | N.C. | C7 | F7 |";
    let aligned = align(
        &part("| C2 . . . | . . . . | r r r r | r r r r | r (r F2) r r |"),
        &timeline(chart),
    );
    assert_eq!(aligned.silent, [3]);
    let pick_up = align(
        &part("| E2 D2 C2 G2 |"),
        &timeline("pickup: 1\n| C7 | F7 |"),
    );
    assert!(pick_up.silent.is_empty());
}

#[test]
fn a_first_measure_that_is_too_short_is_no_pick_up_where_every_bar_has_a_measure_with_it() {
    let chart = "| C7 | F7 | C7 |";
    let aligned = align(
        &part("| C2 E2 G2 | F2 A2 C3 A2 | G2 E2 D2 C2 |"),
        &timeline(chart),
    );
    let what = What::OtherLength {
        beats: 3.0,
        wanted: 4,
    };
    assert_eq!(whats(&aligned), [(Some(1), &what)]);
    assert_eq!(aligned.pitches, pitches("C2 E2 G2 F2 A2 C3 A2 G2 E2 D2 C2"));
    let before_bar_one = align(
        &part("| E2 | F2 A2 C3 A2 | G2 E2 D2 C2 | F2 A2 C3 A2 |"),
        &timeline(chart),
    );
    assert_eq!(whats(&before_bar_one), [(None, &What::PickupLeftOut)]);
}

#[test]
fn a_measure_of_another_length_is_told_and_what_lies_beyond_the_bar_left_out() {
    let text = "| C2 D2 E2 G2 | F2 A2 C3 A2 G2 | C2 E2 G2 | G2 E2 D2 C2 |";
    let aligned = align(&part(text), &timeline("| C7 | F7 | C7 | C7 |"));
    let note = "G2".parse().unwrap();
    let wanted = [
        Remark::at(
            2,
            What::OtherLength {
                beats: 5.0,
                wanted: 4,
            },
        ),
        Remark::at(2, What::BeyondTheBar { note }),
        Remark::at(
            3,
            What::OtherLength {
                beats: 3.0,
                wanted: 4,
            },
        ),
    ];
    assert_eq!(aligned.remarks, wanted);
    assert_eq!(beats(&aligned), [&FOUR[..], &FOUR, &FOUR[..3], &FOUR]);
}

#[test]
fn a_part_in_another_metre_is_cut_into_the_charts_bars_by_time() {
    let text = "time: 3/4\n| C2 D2 E2 | G2 F2 A2 | C3 A2 G2 | E2 D2 C2 |";
    let aligned = align(&part(text), &timeline("| C7 | F7 | C7 |"));
    assert_eq!(whats(&aligned), [(None, &What::CutAnew)]);
    assert_eq!(beats(&aligned), [FOUR; 3]);
    assert_eq!(
        aligned.pitches,
        pitches("C2 D2 E2 G2 F2 A2 C3 A2 G2 E2 D2 C2")
    );
    // What is held over a new bar line is tied there.
    let held = "time: 3/4\n| C2 D2 E2 | G2 . A2 | C3 A2 G2 | E2 D2 C2 |";
    let aligned = align(&part(held), &timeline("| C7 | F7 | C7 |"));
    assert_eq!(beats(&aligned), [&FOUR[..], &FOUR[1..], &FOUR]);
}

#[test]
fn notes_where_no_chord_sounds_are_told_and_not_judged() {
    let aligned = align(
        &part("| C2 E2 G2 A2 | F2 . . . | C2 E2 G2 C3 |"),
        &timeline("| C7 N.C. / / | N.C. | C7 |"),
    );
    assert_eq!(beats(&aligned), [vec![(1, 1)], vec![], FOUR.to_vec()]);
    let told: Vec<(Option<usize>, u8)> = aligned
        .remarks
        .iter()
        .map(|remark| match remark.what {
            What::OverNoChord { beat, .. } => (remark.bar, beat),
            _ => panic!("{remark}"),
        })
        .collect();
    assert_eq!(
        told,
        [(Some(1), 2), (Some(1), 3), (Some(1), 4), (Some(2), 1)]
    );
    assert_eq!(aligned.pitches, pitches("C2 C2 E2 G2 C3"));
}

#[test]
fn the_form_is_played_as_often_as_the_measures_fill_it() {
    let form = timeline("| C7 | F7 |");
    let count = |measures: usize, form: &Timeline| {
        let text = "| C2 . . . ".repeat(measures) + "|";
        choruses(&part(&text), form)
    };
    let told: Vec<usize> = (1..=7).map(|measures| count(measures, &form)).collect();
    assert_eq!(told, [1, 1, 1, 2, 1, 3, 1]);
    let text = "pickup: 1\n| E2 | F2 . . . | C2 . . . | F2 . . . | C2 . . . |";
    assert_eq!(
        choruses(&part(text), &timeline("pickup: 1\n| C7 | F7 | C7 |")),
        2
    );
    assert_eq!(choruses(&part(text), &form), 2);
    assert_eq!(choruses(&Score::default(), &form), 1);
}

/// Whatever is laid over whatever, every onset is a beat over a chord with one pitch, in order.
#[test]
fn nothing_is_laid_where_it_cannot_be() {
    let charts = [
        "| C7 N.C. / / | N.C. | F7 G7 |",
        "time: 3/4\n|: C7 | F7 :| (time: 5/4) G7 |",
        "pickup: 2\n| C7 | F7 | C7 F7 Bb7 C7 |",
        "time: 2/4\n| C7 | (time: 7/4) F7 G7 |",
    ];
    let mut draws = support::Draws::new(11);
    for round in 0..2000 {
        let mut score = Score::default();
        for _ in 0..draws.below(6) {
            let mut measure =
                Measure::new(QUARTER * draws.below(8) as Ticks + EIGHTH * draws.below(2) as Ticks);
            let mut at = 0;
            while at < measure.ticks && draws.below(8) > 0 {
                let ticks = (*draws.of(&[EIGHTH, QUARTER, QUARTER / 3, 3 * EIGHTH, 2 * QUARTER]))
                    .min(measure.ticks - at);
                let names = ["C2", "B#1", "D2", "Cb2", "G2"];
                let mut event = Event::rest(at, ticks);
                if draws.below(5) > 0 {
                    event.note = draws.of(&names).parse().ok();
                    (event.tied, event.ghost) = (draws.below(3) == 0, draws.below(6) == 0);
                }
                if draws.below(10) > 0 {
                    measure.events.push(event);
                }
                at += ticks;
            }
            measure.pickup = score.measures.is_empty() && draws.below(4) == 0;
            score.measures.push(measure);
        }
        let over = timeline(charts[round % charts.len()]);
        let aligned = align(&score, &over);
        assert_eq!(aligned.onsets.len(), over.bars.len());
        let count: usize = aligned.onsets.iter().map(Vec::len).sum();
        assert_eq!(count, aligned.pitches.len());
        for (bar, onsets) in over.bars.iter().zip(&aligned.onsets) {
            let mut free = 0;
            for at in onsets {
                assert!(at.beat >= free && at.beats > 0 && at.beat + at.beats <= bar.beats);
                assert!(bar.harmony_at(at.beat).is_some_and(|h| h.chord().is_some()));
                free = at.beat + at.beats;
            }
        }
        // No note comes twice.
        let sounding = score.measures.iter().flat_map(|m| &m.events);
        let sounding = sounding.filter(|event| event.note.is_some()).count();
        let times = over.bars.len();
        assert!(count + between(&aligned).len() <= sounding * times);
    }
}
