//! Sums against the true marks of lines.

use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_compose::{Choice, Line};
use linewright_compose::{Composer, Tables};
use linewright_rulebook::style::{Criterion, Library};
use linewright_theory::Pitch;

use super::sum::Search;
use crate::mark::{Mark, Scheme, mark};
use crate::study::pitches;

/// A line that the style composes, with one in three of its notes moved anywhere in its range.
fn spoilt(composer: &Composer, timeline: &Arc<Timeline>, seed: u64) -> Line {
    let line = composer.compose(timeline, seed, 0, Choice::Best).unwrap();
    let mut draws = seed;
    let mut below = |bound: u8| {
        draws = draws
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (draws >> 33) as u8 % bound
    };
    let range = composer.style().range;
    let (low, high) = (range.low.midi(), range.high.midi());
    let mut notes = pitches(&line);
    for note in &mut notes {
        if below(3) == 0 {
            *note = Pitch::new(low + below(high - low + 1)).unwrap();
        }
    }
    Line::given(composer, timeline, line.plan, &notes)
}

fn used_up(mark: &Mark) -> Vec<Criterion> {
    let used_up = mark.criteria.iter().filter(|here| here.got == 0);
    used_up.map(|here| here.criterion).collect()
}

/// What a sum says of any line, less what it says too much of devices, is what the line truly gets
/// where just those criteria are used up that the sum leaves out; and never more.
#[test]
fn a_sum_less_what_it_overstates_is_the_truth() {
    let chart =
        "key: F\n| F7 | Bb7 | F7 | Cm7 F7 |\n| Bb7 | Bb7 | F7 | F7 |\n| Gm7 | C7 | F7 | C7 |";
    let chart = Chart::parse("test", chart.as_bytes()).unwrap();
    let timeline = Arc::new(chart.unroll().unwrap());
    let (mut exact, mut overstated, mut others) = (0, 0, 0);
    for name in [
        "plain", "grade-2", "grade-3", "grade-4", "grade-5", "grade-6", "grade-7", "grade-8",
    ] {
        let composer = Composer::new(Library::builtin().style(name).unwrap()).unwrap();
        for seed in 0..4 {
            let line = spoilt(&composer, &timeline, seed);
            let scheme = Scheme::of(&line.book, &line.style, &timeline, &line.plan, 0);
            let its_mark = mark(&line, &scheme);
            let played = pitches(&line);
            let search = Search::new(&line, &scheme, &its_mark, &played);
            let left_out = used_up(&its_mark);
            let sum = search.sum(&left_out, 1, 1, &mut Tables::default());
            let sum = sum.unwrap();
            for other in 0..20 {
                let notes = match other {
                    0 => played.clone(),
                    _ => pitches(&spoilt(&composer, &timeline, 100 + other)),
                };
                if notes.len() != played.len() {
                    continue;
                }
                let other = Line::given(&composer, &timeline, line.plan.clone(), &notes);
                let got = mark(&other, &scheme);
                let said = sum.says(&its_mark, &notes).unwrap();
                let slots = 0..notes.len();
                let too_much: i64 = slots
                    .map(|slot| search.devices.overstated(&notes, slot))
                    .sum();
                if used_up(&got) == left_out {
                    assert_eq!(said - too_much, got.got(), "{name} {seed}");
                    exact += 1;
                    overstated += usize::from(too_much > 0);
                } else {
                    assert!(said - too_much <= got.got(), "{name} {seed}");
                    others += 1;
                }
            }
        }
    }
    assert!(
        exact > 100 && overstated > 50 && others > 0,
        "{exact} {overstated} {others}"
    );
}
