//! Other ways through a passage against the enumeration of every way through short ones.
//!
//! What each strategy asks is written here once more, from its sentence.

mod strategies;
#[path = "../support/mod.rs"]
mod support;

use std::ops::Range;
use std::sync::Arc;

use linewright_chart::{Harmony, Span, Timeline};
use linewright_compose::Composer;
use linewright_compose::{Choice, Line};
use linewright_rulebook::plan::{Clarity, Plan};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Finding, Place, Rule, read};
use linewright_study::vary::{Asked, STRATEGIES, Strategy, Varied, vary};
use linewright_theory::Pitch;
use strategies::{KNOWN, Known, Passage, passing_chords};
use support::{Draws, narrow, range, rows, timeline};

/// Every answer of one strategy under one plan, best first: score and notes.
type Ways = Vec<(i64, Vec<Pitch>)>;

/// Which notes are found, and by which strategies, when these take turns.
fn found_by_listing(
    composer: &Composer,
    line: &Line,
    bars: &Range<usize>,
    known: &[&Known],
    count: usize,
    distance: usize,
) -> Vec<(&'static str, Vec<Pitch>)> {
    let plan = &line.plan;
    let slots = plan.bars[bars.start].slots.start..plan.bars[bars.end - 1].slots.end;
    let passage = Passage {
        line,
        bars: bars.clone(),
        slots: slots.clone(),
    };
    let whole: Vec<Pitch> = line.reading.notes.iter().map(|note| note.pitch).collect();
    let all: Vec<Vec<Pitch>> = rows(&range(composer), slots.len()).collect();
    let lenient = line.reading.breaks_limits();
    let ways = |known: &Known, plan: &Plan| -> Ways {
        let book = composer.book().with(known.weights, lenient);
        let mut ways: Ways = Vec::new();
        for notes in all.iter().filter(|notes| (known.is_one)(&passage, notes)) {
            let mut given = whole.clone();
            given[slots.clone()].copy_from_slice(notes);
            let reading = read(&book, composer.style(), plan, &given);
            if !reading.breaks_limits() {
                ways.push((reading.score, notes.clone()));
            }
        }
        // Equals stay in the order of their notes.
        ways.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
        ways
    };
    let mut open: Vec<(&'static str, Vec<Ways>)> = known
        .iter()
        .map(|known| {
            let plans = (known.plans)(&passage);
            let ways = plans.iter().map(|plan| ways(known, plan)).collect();
            (known.name, ways)
        })
        .collect();
    let mut taken = vec![whole[slots.clone()].to_vec()];
    let mut found = Vec::new();
    while found.len() < count && !open.is_empty() {
        open.retain(|(name, settings)| {
            if found.len() == count {
                return false;
            }
            let far = |notes: &[Pitch]| {
                let changes = |other: &Vec<Pitch>| {
                    let pairs = notes.iter().zip(other);
                    pairs.filter(|(one, other)| one != other).count()
                };
                taken.iter().all(|other| changes(other) >= distance)
            };
            let mut best: Option<&(i64, Vec<Pitch>)> = None;
            for ways in settings {
                let first = ways.iter().find(|(_, notes)| far(notes));
                if let Some(first) = first
                    && best.is_none_or(|best| first.0 > best.0)
                {
                    best = Some(first);
                }
            }
            let Some((_, notes)) = best else { return false };
            taken.push(notes.clone());
            found.push((*name, notes.clone()));
            true
        });
    }
    found
}

fn strategy(name: &str) -> &'static Strategy {
    linewright_study::vary::strategy_named(name).unwrap()
}

/// The answers, in the order of strategy and notes.
fn answers(varied: &Varied, slots: &Range<usize>) -> Vec<(&'static str, Vec<Pitch>)> {
    let answers = varied.variations.iter().map(|answer| {
        let notes = answer.line.reading.notes[slots.clone()].iter();
        (answer.strategy.name, notes.map(|note| note.pitch).collect())
    });
    answers.collect()
}

/// Compares answers with the listing, and checks all that each of them says of itself.
fn assert_as_listed(
    composer: &Composer,
    line: &Line,
    bars: Range<usize>,
    names: &[&str],
    count: usize,
    distance: Option<usize>,
) -> usize {
    let slots = line.plan.bars[bars.start].slots.start..line.plan.bars[bars.end - 1].slots.end;
    let asked = Asked {
        count,
        strategies: names.iter().map(|name| strategy(name)).collect(),
        distance,
    };
    let varied = vary(composer, line, bars.clone(), &asked).unwrap_or_else(|e| panic!("{e}"));
    assert!(!varied.cut_short);
    let told = distance.unwrap_or_else(|| (slots.len() * 3).div_ceil(8).max(2));
    assert_eq!(varied.distance, told);
    let known: Vec<&Known> = names
        .iter()
        .map(|name| KNOWN.iter().find(|known| known.name == *name).unwrap())
        .collect();
    let mut wanted = found_by_listing(composer, line, &bars, &known, count, told);
    let mut found = answers(&varied, &slots);
    wanted.sort();
    found.sort();
    assert_eq!(found, wanted, "{names:?} over {}", line.timeline.title);
    // What does not fit is told, and only that.
    let passage = Passage {
        line,
        bars: bars.clone(),
        slots: slots.clone(),
    };
    let unfit: Vec<&str> = known
        .iter()
        .filter(|known| (known.plans)(&passage).is_empty())
        .map(|known| known.name)
        .collect();
    let said: Vec<&str> = varied.unfit.iter().map(|unfit| unfit.name).collect();
    assert_eq!(said, unfit);
    assert_worths(composer, line, &bars, &varied);
    found.len()
}

/// Worth is the score with no wish for the clarity and the cadence of the bars, less the line's
/// own; answers come by worth; what is changed is what differs.
fn assert_worths(composer: &Composer, line: &Line, bars: &Range<usize>, varied: &Varied) {
    let score = |plan: &Plan, notes: &[Pitch], weights: &[(&Rule, Weight)]| {
        let mut plan = plan.clone();
        for bar in &mut plan.bars[bars.clone()] {
            (bar.cadence, bar.clarity) = (None, Clarity::Free);
        }
        // The other weights are for the passage alone.
        let own = composer.book().with(&[], true);
        let inside = composer.book().with(weights, true);
        let reading = read(&own, composer.style(), &plan, notes);
        let points = |finding: &Finding| {
            let bar = match finding.place {
                Place::Note(at) => plan.slots[at].bar,
                Place::Bar(bar) => bar,
            };
            let book = if bars.contains(&bar) { &inside } else { &own };
            let weight = book.entry(finding.rule).weight;
            i64::from(weight.times(finding.strength).expect("a price"))
        };
        reading.findings.iter().map(points).sum::<i64>()
    };
    let notes = |line: &Line| -> Vec<Pitch> {
        let notes = line.reading.notes.iter();
        notes.map(|note| note.pitch).collect()
    };
    let own = score(&line.plan, &notes(line), &[]);
    for answer in &varied.variations {
        let known = KNOWN
            .iter()
            .find(|known| known.name == answer.strategy.name);
        let now = score(
            &answer.line.plan,
            &notes(&answer.line),
            known.unwrap().weights,
        );
        assert_eq!(answer.worth, now - own, "{}", answer.strategy.name);
        let differs = |slot: &usize| notes(&answer.line)[*slot] != notes(line)[*slot];
        let changed: Vec<usize> = (0..line.plan.slots.len()).filter(differs).collect();
        assert_eq!(answer.changed, changed);
        assert!(answer.line.origin.choice.is_none());
    }
    assert!(varied.variations.is_sorted_by_key(|answer| -answer.worth));
}

/// The best line over a chart, or one with a few notes changed at random.
fn line(composer: &Composer, chart: &str, changes: usize, seed: u64) -> Line {
    let timeline: Arc<Timeline> = timeline(chart);
    let best = composer.compose(&timeline, seed, 0, Choice::Best);
    let best = best.unwrap_or_else(|why| panic!("{chart}: {why}"));
    let mut notes: Vec<Pitch> = best.reading.notes.iter().map(|note| note.pitch).collect();
    let mut draws = Draws::new(seed);
    for _ in 0..changes {
        let at = draws.below(notes.len());
        notes[at] = *draws.of(&range(composer));
    }
    Line::given(composer, &timeline, best.plan, &notes)
}

fn all_but_passing_chord() -> Vec<&'static str> {
    let names = KNOWN.iter().map(|known| known.name);
    names.filter(|name| *name != "passing-chord").collect()
}

#[test]
fn every_strategy_is_known_here() {
    let names: Vec<&str> = STRATEGIES.iter().map(|strategy| strategy.name).collect();
    let known: Vec<&str> = KNOWN.iter().map(|known| known.name).collect();
    assert_eq!(names, known);
}

#[test]
fn each_answer_is_the_best_of_its_strategy_that_keeps_the_distance_in_three() {
    let chart = "key: F\ntime: 3/4\n| C7 | F7 | F7 | Bb7 |";
    for (style, seed) in [("plain", 1), ("reordered", 2)] {
        let composer = narrow(style, "E2", "A2");
        for changes in [0, 2] {
            let line = line(&composer, chart, changes, seed);
            for name in all_but_passing_chord() {
                assert_as_listed(&composer, &line, 1..3, &[name], 3, None);
            }
        }
    }
}

#[test]
fn strategies_take_turns() {
    let chart = "key: F\ntime: 3/4\n| C7 | F7 | F7 | Bb7 |";
    let composer = narrow("plain", "E2", "A2");
    let line = line(&composer, chart, 0, 3);
    let found = assert_as_listed(
        &composer,
        &line,
        1..3,
        &all_but_passing_chord(),
        12,
        Some(3),
    );
    assert!(found >= 8, "only {found} answers");
}

#[test]
fn each_answer_is_the_best_in_bars_of_two_over_more_than_an_octave() {
    let chart = "key: C\ntime: 2/4\n| G7 | C6 | C6 | G7 | C6 |";
    let composer = narrow("plain", "B1", "D3");
    let mut octaves = 0;
    for seed in 1..=4 {
        let line = line(&composer, chart, (seed % 2) as usize, seed);
        for name in [
            "any-way",
            "octave-away",
            "sequence",
            "clear-then-leading-on",
        ] {
            let found = assert_as_listed(&composer, &line, 1..3, &[name], 4, None);
            octaves += usize::from(name == "octave-away") * found;
        }
    }
    assert!(octaves >= 4, "only {octaves} bars an octave away");
}

#[test]
fn a_passage_of_another_shape_has_only_the_strategies_that_fit() {
    let composer = narrow("plain", "D2", "B2");
    for (chart, bars) in [
        ("key: C\n| Dm7 | G7 | Cmaj7 |", 1..2),
        ("key: C\ntime: 2/4\n| Dm7 | G7 | Cmaj7 |", 0..2),
        ("key: C\ntime: 2/4\n| Dm7 | N.C. | G7 | Cmaj7 |", 1..4),
        ("key: C\ntime: 3/4\n| Dm7 | G7 |", 1..2),
    ] {
        for seed in 1..=2 {
            let line = line(&composer, chart, 1, seed);
            for name in all_but_passing_chord() {
                assert_as_listed(&composer, &line, bars.clone(), &[name], 3, Some(1));
            }
        }
    }
}

#[test]
fn the_passing_chord_is_the_best_of_the_three() {
    let composer = narrow("plain", "C2", "F2");
    let chart = "key: C\n| G7 | Cmaj7 | Cmaj7 | F6 |";
    for seed in 1..=2 {
        let line = line(&composer, chart, 4 * (seed as usize - 1), seed);
        let lenient = line.reading.breaks_limits();
        let passage = Passage {
            line: &line,
            bars: 1..3,
            slots: 4..12,
        };
        // So few notes in so long a passage: listed by halves would be no listing.
        let book = composer.book().with(&[], lenient);
        let whole: Vec<Pitch> = line.reading.notes.iter().map(|note| note.pitch).collect();
        let plans = (KNOWN[7].plans)(&passage);
        assert_eq!((KNOWN[7].name, plans.len()), ("passing-chord", 3));
        let mut best: Option<(i64, usize, Vec<Pitch>)> = None;
        let candidates = support::pitches("C2 D2 E2 F2");
        for (nth, plan) in plans.iter().enumerate() {
            for notes in rows(&candidates, 8) {
                let changes = notes
                    .iter()
                    .zip(&whole[4..12])
                    .filter(|(a, b)| a != b)
                    .count();
                if changes < 3 {
                    continue;
                }
                let mut given = whole.clone();
                given[4..12].copy_from_slice(&notes);
                let reading = read(&book, composer.style(), plan, &given);
                let better = best
                    .as_ref()
                    .is_none_or(|(score, ..)| reading.score > *score);
                if !reading.breaks_limits() && better {
                    best = Some((reading.score, nth, notes));
                }
            }
        }
        let asked = Asked {
            count: 1,
            strategies: vec![strategy("passing-chord")],
            distance: None,
        };
        let varied = vary(&composer, &line, 1..3, &asked).unwrap();
        let answer = &varied.variations[0];
        let score = read(
            &book,
            composer.style(),
            &answer.line.plan,
            &answer
                .line
                .reading
                .notes
                .iter()
                .map(|note| note.pitch)
                .collect::<Vec<_>>(),
        )
        .score;
        // The search has all the notes of the range, the listing only some.
        let (listed, ..) = best.expect("a way through");
        assert!(score >= listed, "{score} and {listed}");
        assert_passing_chord(&passage, answer);
    }
}

/// The chart that goes with the answer has the passing chord that its plan has.
fn assert_passing_chord(passage: &Passage, answer: &linewright_study::vary::Variation) {
    let bar = &answer.line.timeline.bars[passage.bars.start];
    let Harmony::Chord(away) = bar.spans[1].harmony else {
        panic!("no chord");
    };
    assert!(passing_chords(passage).contains(&away), "{away}");
    assert_eq!(answer.by.as_deref(), Some(format!("by {away}").as_str()));
    let home = Harmony::Chord(passage.ground().chord);
    let wanted = [
        Span {
            start: 0,
            beats: 2,
            harmony: home,
        },
        Span {
            start: 2,
            beats: 2,
            harmony: Harmony::Chord(away),
        },
    ];
    assert_eq!(bar.spans, wanted);
    for slot in &answer.line.plan.slots {
        let sounds = answer.line.timeline.bars[slot.bar].harmony_at(slot.beat);
        assert_eq!(sounds, Some(&Harmony::Chord(slot.ground.chord)));
    }
}
