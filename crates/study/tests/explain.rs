//! What is told of a given line: the order of its notes, where it lands, and its numbers.

mod support;

use linewright_compose::Choice;
use linewright_rulebook::plan::{Cadence, PhrasePlace};
use linewright_rulebook::rules::melody::UNRECOVERED_LEAP;
use linewright_rulebook::{FULL, Place};
use linewright_study::explain::{BarOrder, Landing, Share, landings, orders_of_bars};
use linewright_study::{Explanation, PlanSource, Study, What};
use linewright_theory::Degree;
use support::{Draws, composer, part, pitch, range, timeline};

/// A part over a chart, read in the style `plain`.
fn study(text: &str, chart: &str) -> Study {
    Study::of(&composer("plain"), &timeline(chart), &part(text), None)
}

fn orders(text: &str, chart: &str) -> Vec<BarOrder> {
    orders_of_bars(&study(text, chart).line)
}

fn names(bar: &BarOrder) -> Vec<&'static str> {
    bar.rules.iter().map(|rule| rule.name).collect()
}

#[test]
fn a_bar_is_told_by_the_stock_cell_that_it_is_or_reorders() {
    let told = orders(
        "| C2 E2 G2 A2 | A2 C3 E2 G2 | C2 D2 Eb2 E2 | C2 G2 C3 G2 | C2 F2 A2 D2 |",
        "key: F\n| C7 | C7 | C7 | C7 | C7 |",
    );
    let rules: Vec<Vec<&str>> = told.iter().map(names).collect();
    let wanted: [&[&str]; 5] = [
        &["stock-cell"],
        &["reordered-cell"],
        &["chromatic-fill"],
        &["thin-bar"],
        &[],
    ];
    assert_eq!(rules, wanted);
    let stock: Vec<_> = told.iter().map(|bar| bar.stock).collect();
    let six = Some([1, 3, 5, 6]);
    assert_eq!(stock, [six, six, None, None, None]);
}

#[test]
fn a_bar_reorders_the_bar_before_where_it_has_its_degrees_in_another_order() {
    let reorders = |text: &str, chart: &str| -> Vec<bool> {
        let told = orders(text, chart);
        told.iter().map(|bar| bar.reorders_the_bar_before).collect()
    };
    let chart = "key: F\n| C7 | C7 | C7 |";
    // In another octave too; the same order again is none.
    let text = "| C2 E2 G2 A2 | G2 C3 A2 E2 | G2 C2 A2 E2 |";
    assert_eq!(reorders(text, chart), [false, true, false]);
    // Over another chord its own degrees count.
    let text = "| C2 E2 G2 A2 | A2 F2 C3 D3 | F2 A2 C3 D3 |";
    let other = "key: F\n| C7 | F7 | F7 |";
    assert_eq!(reorders(text, other), [false, true, true]);
    // Two notes have no order to speak of, and bars apart do not meet.
    assert_eq!(
        reorders("| C2 . G2 . | G2 . C2 . |", "| C7 | C7 |"),
        [false; 2]
    );
    let apart = "| C2 E2 G2 A2 | r r r r | A2 C3 E2 G2 |";
    assert_eq!(reorders(apart, "key: F\n| C7 | N.C. | C7 |"), [false; 2]);
}

#[test]
fn the_cell_again_and_a_sequence_are_told_apart() {
    let text = "| C2 E2 G2 A2 | C3 E3 G2 F2 | F2 A2 C3 G2 |";
    let told = orders(text, "key: F\n| C7 | C7 | F7 |");
    // 1-3-5-4 is no stock cell of its own, but 1-3-4-5 in another order.
    assert_eq!(names(&told[1]), ["reordered-cell", "cell-again"]);
    assert_eq!(names(&told[2]), ["reordered-cell", "sequence"]);
}

const CHART: &str = "key: F\n| F7 | Bb7 | C7 | F7 |";
const LINE: &str = "| F2 A2 C3 A2 | Bb2 D3 F2 C3 | E2 G2 D2 C2 | F2 C3 A2 F2 |";

#[test]
fn every_way_to_land_is_heard_with_its_place() {
    let found = landings(&study(LINE, CHART).line);
    let told: Vec<_> = found
        .iter()
        .map(|landing| {
            (
                landing.bar + 1,
                landing.kind,
                landing.planned,
                landing.place,
            )
        })
        .collect();
    let wanted = [
        // A half step into the root; and the next root closes the bar, which is worth more.
        (2, Cadence::BeatOne, false, Some(PhrasePlace::Middle)),
        (2, Cadence::NextRoot, true, Some(PhrasePlace::Middle)),
        // 3-5-9-1, where no plan would cadence.
        (3, Cadence::OwnRoot, false, None),
        (4, Cadence::BeatOne, true, Some(PhrasePlace::End)),
    ];
    assert_eq!(told, wanted);
    assert!(
        found
            .iter()
            .all(|landing| landing.strength == FULL && landing.points > 0)
    );
}

#[test]
fn a_landing_is_stronger_after_an_unclear_bar() {
    // Bar 3 spells a chord a whole step away.
    let text = "| C2 E2 G2 E2 | C2 E2 G2 A2 | Bb1 D2 F2 E2 | F2 A2 C3 F2 |";
    let found = landings(&study(text, "key: F\n| C7 | C7 | C7 | F7 |").line);
    let last: Vec<&Landing> = found.iter().filter(|landing| landing.bar == 3).collect();
    assert_eq!(last.len(), 1, "{found:?}");
    assert_eq!(
        (last[0].kind, last[0].strength),
        (Cadence::BeatOne, FULL * 5 / 4)
    );
}

#[test]
fn a_line_is_counted() {
    let counts = Explanation::of(&study(LINE, CHART).line).counts;
    let share = |of, all| Share { of, all };
    assert_eq!(counts.roots_on_one, share(3, 4));
    assert_eq!(counts.other_degrees_on_one, [(Degree::new(3, 0), 1)]);
    assert_eq!(counts.half_steps_into_one, share(1, 3));
    assert_eq!(counts.steps_into_one, share(1, 3));
    assert_eq!(counts.steps_and_thirds, share(9, 15));
    assert_eq!(counts.repeats, share(0, 15));
    assert_eq!(counts.widest, Some((9, 6)));
    assert_eq!(counts.range, Some((pitch("C2"), pitch("D3"))));
    let count = |name: &str| {
        let found = counts
            .devices
            .iter()
            .find(|(device, _)| device.name == name);
        found.map_or(0, |(_, count)| *count)
    };
    assert_eq!(count("half-step-approach"), 1);
    assert_eq!(count("dominant-approach"), 1);
    assert_eq!(count("early-root"), 1);
    assert_eq!(count("next-root-cadence"), 1);
    assert_eq!(count("beat-one-cadence"), 1);
    assert_eq!(count("double-chromatic-approach"), 0);
    // After D3-F2 the line leaps back by a fifth.
    assert_eq!(counts.faults, []);
    // There it goes on down.
    let down = LINE.replace("F2 C3 | E2", "F2 Eb2 | E2");
    let down = Study::of(&composer("handbook"), &timeline(CHART), &part(&down), None);
    let counts = Explanation::of(&down.line).counts;
    assert_eq!(counts.faults, [(&UNRECOVERED_LEAP, Place::Note(7))]);
}

#[test]
fn degrees_on_one_come_by_how_often_they_come() {
    let text = "| E2 G2 C2 D2 | G2 E2 C2 D2 | E2 C2 G2 Bb2 | C3 Bb2 G2 E2 |";
    let counts = Explanation::of(&study(text, "key: F\n| C7 | C7 | C7 | C7 |").line).counts;
    let wanted = [(Degree::new(3, 0), 2), (Degree::new(5, 0), 1)];
    assert_eq!(counts.other_degrees_on_one, wanted);
    assert_eq!(counts.roots_on_one, Share { of: 1, all: 4 });
}

#[test]
fn a_silent_line_has_nothing_to_count() {
    let found = Explanation::of(&study("| r r r r |", "| C7 |").line);
    assert_eq!(found.counts, Default::default());
    assert!(found.orders.is_empty() && found.landings.is_empty());
}

/// Of lines of all kinds: one order for each bar of the reading; landings by bar and kind, each
/// where it has room; the peak is the tensest bar, and the release lies after it.
#[test]
fn what_is_told_of_any_line_holds() {
    let composer = composer("plain");
    let chart =
        "key: F\npickup: 1\n| C7 | F7 | Bb7 | F7 | C7 N.C. / / | Gm7 C7 | N.C. | F7 | C7/E |";
    let over = timeline(chart);
    let mut draws = Draws::new(3);
    let (mut peaks, mut releases) = (0, 0);
    for seed in 0..60 {
        let best = composer.compose(&over, seed, 0, Choice::Best).unwrap();
        let mut notes: Vec<_> = best.reading.notes.iter().map(|note| note.pitch).collect();
        for _ in 0..draws.below(2 * notes.len()) {
            let at = draws.below(notes.len());
            notes[at] = *draws.of(&range(&composer));
        }
        let line = linewright_compose::Line::given(&composer, &over, best.plan, &notes);
        let told = Explanation::of(&line);
        assert_eq!(told.orders.len(), line.reading.bars.len());
        let keys: Vec<_> = told
            .landings
            .iter()
            .map(|one| (one.bar, one.kind))
            .collect();
        assert!(
            keys.is_sorted() && keys.windows(2).all(|two| two[0] != two[1]),
            "{keys:?}"
        );
        for landing in &told.landings {
            assert!(line.plan.has_room(landing.bar, landing.kind));
            assert!([FULL, FULL * 5 / 4].contains(&landing.strength));
            assert_eq!(
                landing.planned,
                line.plan.bars[landing.bar].cadence == Some(landing.kind)
            );
        }
        let tension = |bar: usize| {
            let found = line.reading.bars.iter().find(|read| read.bar == bar);
            found.expect("a bar with notes").tension
        };
        let highest = line
            .reading
            .bars
            .iter()
            .map(|bar| bar.tension)
            .max()
            .unwrap();
        match told.counts.peak {
            None => assert!(highest < 500),
            Some(peak) => {
                assert_eq!(tension(peak), highest);
                peaks += 1;
            }
        }
        if let Some(release) = told.counts.release {
            let peak = told.counts.peak.expect("a peak before the release");
            assert!(release > peak && tension(release) + 300 <= tension(peak));
            releases += 1;
        }
    }
    assert!(
        peaks >= 20 && releases >= 10,
        "{peaks} peaks, {releases} releases"
    );
}

#[test]
fn a_line_is_read_under_the_plan_that_it_was_composed_by() {
    let composer = composer("plain");
    let over = timeline(CHART);
    let line = composer.compose(&over, 7, 3, Choice::Best).unwrap();
    let names = line.reading.notes.iter().map(|note| note.note.to_string());
    let names: Vec<String> = names.collect();
    let bars: Vec<String> = names.chunks(4).map(|bar| bar.join(" ")).collect();
    let text = format!("| {} |", bars.join(" | "));
    let study = Study::of(&composer, &over, &part(&text), Some((7, 3)));
    assert_eq!(study.plan, PlanSource::Drawn { seed: 7, line: 3 });
    assert_eq!(
        (&study.line.plan, &study.line.reading),
        (&line.plan, &line.reading)
    );
    assert_eq!(study.remarks, []);
    // Changed notes are read under it too; changed rhythm is not, and is told.
    let changed = text.replacen(&names[1], "Gb3", 1);
    let study = Study::of(&composer, &over, &part(&changed), Some((7, 3)));
    assert_eq!(study.line.plan, line.plan);
    let held = format!("| {} . . . | {} |", names[0], bars[1..].join(" | "));
    let study = Study::of(&composer, &over, &part(&held), Some((7, 3)));
    assert_eq!(study.plan, PlanSource::Inferred);
    assert_eq!(study.remarks.len(), 1);
    assert_eq!(study.remarks[0].what, What::OtherRhythm);
}
