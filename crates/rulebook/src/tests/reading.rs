//! Readings: the sums of points, transposition, labels, cadences kept.

use crate::plan::Cadence;
use linewright_theory::Pitch;
use proptest::collection::vec;
use proptest::prelude::*;

use super::random::{passage, weighed, weights};
use crate::finding::Place;
use crate::testing::{over, pitches};

fn any_pitch() -> impl Strategy<Value = Pitch> {
    (0_u8..=127).prop_map(|midi| Pitch::new(midi).unwrap())
}

proptest! {
    #[test]
    fn the_points_of_findings_notes_and_bars_each_sum_to_the_score(
        (passage, line) in passage(), weights in weights(),
    ) {
        let heard = weighed(passage, weights).read(&line);
        let reading = &heard.reading;
        let findings: i64 = reading.findings.iter().filter_map(|f| f.points).map(i64::from).sum();
        let notes: i64 = reading.notes.iter().map(|note| note.points).sum();
        let bars: i64 = reading.bars.iter().map(|bar| bar.points).sum();
        prop_assert_eq!(findings, reading.score);
        prop_assert_eq!(notes + bars, reading.score);
    }

    #[test]
    fn a_finding_is_worth_its_strength_times_the_rules_weight(
        (passage, line) in passage(), weights in weights(),
    ) {
        let heard = weighed(passage, weights.clone()).read(&line);
        for finding in &heard.reading.findings {
            let weight = weights[usize::from(finding.rule.0)];
            prop_assert_eq!(finding.points, weight.times(finding.strength));
        }
    }

    /// Anywhere on the keyboard, whatever the tempo, the register and the heart of the range.
    #[test]
    fn no_rule_finds_less_than_nothing_or_more_than_its_most(
        (mut passage, _) in passage(),
        line in vec(any_pitch(), 42),
        tempo in 20_u16..=400,
        centre in any_pitch(),
        heart in (any_pitch(), any_pitch()),
    ) {
        let range = &mut passage.style.range;
        (range.heart_low, range.heart_high) = (heart.0.min(heart.1), heart.0.max(heart.1));
        for slot in &mut passage.plan.slots {
            (slot.tempo, slot.centre) = (tempo, centre);
        }
        let heard = passage.read(&line[..passage.plan.slots.len()]);
        for finding in &heard.reading.findings {
            let rule = heard.book.entry(finding.rule).rule;
            prop_assert!((1..=rule.most).contains(&finding.strength), "{rule:?} {finding:?}");
        }
    }

    #[test]
    fn a_transposed_line_gives_the_same_findings_but_for_the_register((passage, line) in passage()) {
        // Hears the line in all twelve keys, and fails where they differ.
        passage.pitches(&line);
    }

    #[test]
    fn findings_stand_in_order_each_rule_once_at_a_place((passage, line) in passage()) {
        let heard = passage.read(&line);
        let plan = &passage.plan;
        let order: Vec<_> = heard.reading.findings.iter().map(|finding| match finding.place {
            Place::Bar(bar) => (bar, 0, finding.rule),
            Place::Note(at) => (plan.slots[at].bar, at + 1, finding.rule),
        }).collect();
        // A bar of five notes or more is looked at in two parts.
        let long = |bar: usize| plan.bars[bar].slots.len() > 4;
        let sorted = order.windows(2).all(|pair| {
            pair[0] < pair[1] || (pair[0] == pair[1] && pair[0].1 == 0 && long(pair[0].0))
        });
        prop_assert!(sorted);
    }
}

#[test]
fn a_note_is_named_by_its_approach_first_and_what_it_is_to_its_chord_last() {
    let heard = over("key: F\n| C7 | F7 |").line("C2 D2 Bb2 Gb2 | F2 A2 C3 Eb3");
    let named = [
        "half-step approach",
        "chromatic passing tone",
        "chromatic tone",
    ];
    assert_eq!(heard.functions(1, 4), named);
}

#[test]
fn an_approach_tells_from_which_side_it_comes() {
    let side = |last: &str| {
        let heard = over("| C7 | F7 |").line(&format!("C2 E2 G2 {last} | F2 A2 C3 A2"));
        let functions = &heard.reading.notes[3].functions;
        (functions[0].name.long, functions[0].from_below)
    };
    assert_eq!(side("E2"), ("half-step approach", Some(true)));
    assert_eq!(side("Gb2"), ("half-step approach", Some(false)));
    assert_eq!(side("C3"), ("dominant approach", Some(false)));
}

#[test]
fn a_bar_tells_the_planned_cadence_only_where_the_line_keeps_it() {
    let passage = over("| C7 | F7 | Bb7 | F7 |")
        .cadence(2, Cadence::BeatOne)
        .cadence(3, Cadence::NextRoot)
        .cadence(4, Cadence::OwnRoot);
    let kept = |line| {
        let heard = passage.line(line);
        [1, 2, 3, 4].map(|bar| heard.bar(bar).cadence)
    };
    assert_eq!(
        kept("C2 E2 G2 E2 | F2 A2 C3 A2 | Bb2 D3 Bb2 F2 | A2 C3 G2 F2"),
        [
            None,
            Some(Cadence::BeatOne),
            Some(Cadence::NextRoot),
            Some(Cadence::OwnRoot)
        ]
    );
    assert_eq!(
        kept("C2 E2 G2 A2 | F2 A2 C3 A2 | Bb2 D3 Bb2 D3 | F2 A2 C3 F2"),
        [None; 4]
    );
}

#[test]
fn a_bars_cell_is_its_degrees_and_bars_without_notes_are_left_out() {
    let heard = over("| C7 | N.C. | Fm7 |").line("C2 E2 G2 A2 | | F2 Ab2 C3 Eb3");
    let cells: Vec<(usize, Vec<String>)> = heard
        .reading
        .bars
        .iter()
        .map(|bar| (bar.bar, bar.cell.iter().map(ToString::to_string).collect()))
        .collect();
    let cell = |degrees: &str| degrees.split('-').map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(cells, [(0, cell("1-3-5-13")), (2, cell("1-b3-5-b7"))]);
}

#[test]
fn notes_are_spelled_by_where_they_go() {
    let heard = over("key: F\n| C7 | F7 |").line("C2 F#2 G2 Gb2 | F2 A2 C3 Eb3");
    let names: Vec<String> = heard
        .reading
        .notes
        .iter()
        .map(|note| note.note.to_string())
        .collect();
    assert_eq!(names, ["C2", "F#2", "G2", "Gb2", "F2", "A2", "C3", "Eb3"]);
}

#[test]
#[should_panic(expected = "one pitch for each slot")]
fn a_line_that_does_not_fit_its_plan_is_refused() {
    let short: Vec<Pitch> = pitches("C2 E2 G2");
    over("| C7 |").read(&short);
}
