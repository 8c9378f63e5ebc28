use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_compose::{Choice, Composer, Line, Tables};
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::rules::clarity;
use linewright_rulebook::style::{Library, Style, Weight, resolve};
use linewright_rulebook::{Look, RULES};
use linewright_theory::Pitch;

use super::model::{Counted, Model};
use super::prepared::Prepared;
use super::run::Run;
use super::*;

const BLUES: &str =
    "key: F\n| F7 | Bb7 | F7 | Cm7 F7 | Bb7 | Bdim7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7 |\n";

fn form(chart: &str) -> Arc<Timeline> {
    Arc::new(
        Chart::parse("tune", chart.as_bytes())
            .unwrap()
            .unroll()
            .unwrap(),
    )
}

fn plain() -> Style {
    Library::builtin().style("plain").unwrap()
}

fn lesson(style: &Style, form: &Arc<Timeline>, seed: u64) -> Lesson {
    let composer = Composer::new(style.clone()).unwrap();
    let choice = Choice::Sampled { temperature: 700 };
    Lesson {
        group: format!("tune {seed}"),
        name: format!("take {seed}"),
        line: composer.compose(form, seed, 0, choice).unwrap(),
    }
}

/// The same lesson with other notes, in some slots.
fn with(lesson: &Lesson, style: &Style, pitches: &[(usize, u8)]) -> Lesson {
    let composer = Composer::new(style.clone()).unwrap();
    let mut notes: Vec<Pitch> = lesson.line.reading.notes.iter().map(|n| n.pitch).collect();
    for (at, midi) in pitches {
        notes[*at] = Pitch::new(*midi).unwrap();
    }
    let line = &lesson.line;
    Lesson {
        line: Line::given(&composer, &line.timeline, line.plan.clone(), &notes),
        ..lesson.clone()
    }
}

fn quick() -> Asked {
    Asked {
        samples: 10,
        folds: 0,
        ..Asked::default()
    }
}

#[test]
fn the_gradient_of_samples_is_that_of_finite_differences() {
    let style = plain();
    let lessons = [lesson(&style, &form("key: F\n| F7 | Bb7 | F7 |\n"), 1)];
    let prepared = Prepared::new(&style, &lessons, &quick()).unwrap();
    let model = prepared.model(1);
    let runs: Vec<&Run> = prepared.runs.iter().collect();
    let weights = start(&prepared, &model);
    let samples = 4000;
    let told = model.likelihood(&runs, &weights, samples).unwrap();
    // Weights are whole thousandths of points, and so is the difference.
    let far = 0.05 / model.temperature;
    let mut differ = 0;
    for at in (0..weights.len()).step_by(3) {
        let total = |by: f64| {
            let mut moved = weights.clone();
            moved[at] += by;
            model.likelihood(&runs, &moved, 0).unwrap().total()
        };
        let exact = (total(far) - total(-far)) / (2.0 * far);
        let deviation = told.curvature[at * weights.len() + at].max(0.0) / samples as f64;
        let apart = (told.gradient[at] - exact).abs();
        let rule = model.free[at].rule().name;
        assert!(
            apart <= 5.0 * deviation.sqrt() + 0.02,
            "{rule}: {exact} {apart}"
        );
        differ += usize::from(exact.abs() > 0.1);
    }
    assert!(differ > 3, "{differ} gradients are not 0");
}

#[test]
fn samples_tell_what_all_lines_of_a_small_lattice_tell() {
    let narrow = "name = \"narrow\"\ndescription = \"An octave.\"\nextends = \"plain\"\n\
        [range]\nlow = \"E1\"\nhigh = \"E2\"\nheart-low = \"G1\"\nheart-high = \"C2\"\n";
    let style = resolve(&Library::builtin(), "narrow.toml", narrow).unwrap();
    let lessons = [lesson(&style, &form("key: F\n| F7 |\n"), 1)];
    let prepared = Prepared::new(&style, &lessons, &quick()).unwrap();
    let model = prepared.model(1);
    let run = &prepared.runs[0];
    let weights = start(&prepared, &model);
    let size = weights.len();
    let book = model.book(&weights).unwrap();
    let passage = model
        .weigh(run, &book, &mut Tables::default())
        .unwrap()
        .passage;
    let (mut all, mut sums, mut products) = (0.0, vec![0.0; size], vec![0.0; size * size]);
    let mut found = Counted::new();
    for number in 0..13_usize.pow(4) {
        let path = [0, 1, 2, 3].map(|place| (number / 13_usize.pow(place) % 13) as u8);
        let Some(score) = passage.lattice().score(&path) else {
            continue;
        };
        let share = (score as f64 / (1000.0 * model.temperature)).exp();
        all += share;
        model.count(run, &path.map(|k| passage.pitch(k)), &mut found);
        for &(a, first) in &found {
            sums[a] += share * first;
            for &(b, second) in &found {
                products[a * size + b] += share * first * second;
            }
        }
    }
    let samples = 20_000;
    let told = model.likelihood(&[run], &weights, samples).unwrap();
    model.count(run, &run.pitches, &mut found);
    let variances: Vec<f64> = (0..size)
        .map(|a| products[a * size + a] / all - (sums[a] / all) * (sums[a] / all))
        .collect();
    for a in 0..size {
        let observed = found
            .iter()
            .find(|(at, _)| *at == a)
            .map_or(0.0, |(_, much)| *much);
        let exact = observed - sums[a] / all;
        let error = (variances[a].max(0.0) / f64::from(samples as u32)).sqrt();
        let rule = model.free[a].rule().name;
        let apart = (told.gradient[a] - exact).abs();
        assert!(apart <= 5.0 * error + 1e-9, "{rule}: {exact}, {apart}");
        for b in 0..size {
            let exact = products[a * size + b] / all - sums[a] * sums[b] / all / all;
            let apart = (told.curvature[a * size + b] - exact).abs();
            // How far products stray grows as what is multiplied varies.
            let spread = (variances[a] * variances[b]).max(0.0).sqrt();
            assert!(apart < 0.05 + 0.05 * spread, "{rule}: {exact}, {apart}");
        }
    }
}

/// Lines over the blues that are drawn from what the model itself says, with the weights of
/// `truth`.
fn drawn(truth: &Style, count: u64) -> Vec<Lesson> {
    let form = form(BLUES);
    let composer = Composer::new(truth.clone()).unwrap();
    let lessons: Vec<Lesson> = (1..=count).map(|seed| lesson(truth, &form, seed)).collect();
    let prepared = Prepared::new(truth, &lessons, &quick()).unwrap();
    let flat = |lesson: &Lesson| {
        let plan = lesson.line.plan.clone();
        plan.without_wishes(prepared.style.range.middle())
    };
    let model = Model::new(&prepared.style, 1, Vec::new(), |rule| {
        truth.weight(rule.name)
    });
    let book = model.book(&[]).unwrap();
    let mut tables = Tables::default();
    let mut drawn = Vec::new();
    for (nth, (run, lesson)) in prepared.runs.iter().zip(&lessons).enumerate() {
        let (passage, sampler) = model.lines(run, &book, &mut tables).unwrap();
        let mut dice = Dice::new(77, nth as u64, Purpose::Notes);
        let mut path = Vec::new();
        sampler.draw(&mut || dice.bits(), &mut path);
        let pitches: Vec<Pitch> = path.iter().map(|&k| passage.pitch(k)).collect();
        drawn.push(Lesson {
            line: Line::given(&composer, &form, flat(lesson), &pitches),
            ..lesson.clone()
        });
    }
    drawn
}

#[test]
fn the_weights_of_lines_that_were_composed_are_found_again() {
    let mut truth = plain();
    // Bars that come again, and what hangs on plans, are no part of the model.
    for rule in RULES {
        if matches!(rule.look, Look::Echo(_)) || **rule == clarity::TENSION_OFF_PLAN {
            truth.weights.insert(rule.name.to_owned(), Weight::ZERO);
        }
    }
    let lessons = drawn(&truth, 12);
    let mut base = truth.clone();
    for (nth, weight) in base.weights.values_mut().enumerate() {
        if let Weight::Milli(milli) = weight {
            *milli += if nth % 2 == 0 { 500 } else { -500 };
        }
    }
    let asked = Asked {
        samples: 50,
        folds: 2,
        deviation: 1.5,
        whole: true,
        ..Asked::default()
    };
    let learned = learn(&base, &lessons, &asked, &mut |_| true).unwrap();
    // Those that the lines tell something about: how far they may go is halved at least.
    let temperature = f64::from(truth.temperature) / 1000.0;
    let told = |weight: &&LearnedWeight| weight.error < 0.5 * asked.deviation * temperature;
    let told: Vec<&LearnedWeight> = learned.weights.iter().filter(told).collect();
    let found = told
        .iter()
        .filter(|weight| match truth.weight(weight.rule.name) {
            Weight::Milli(milli) => {
                (weight.weight - f64::from(milli) / 1000.0).abs() <= 3.0 * weight.error
            }
            Weight::Never => false,
        });
    let (found, told) = (found.count(), told.len());
    assert!(told >= 20 && found * 10 >= told * 9, "{found} of {told}");
    let held = learned.held_out.as_ref().unwrap();
    let base = learned.base_bits.bits.unwrap();
    assert!(
        held.bits < base && learned.fitted_bits < held.bits,
        "{held:?}"
    );
    let alike = held.simple.first().unwrap();
    assert!(held.bits < alike.bits, "{held:?}");
    assert_eq!((learned.bars, learned.groups), (144, 12));
    assert!(learned.softened.is_empty(), "{:?}", learned.softened);
}

#[test]
fn the_same_lines_and_seed_give_the_same_style_and_another_seed_nearly_the_same() {
    let style = plain();
    let form = form("key: F\n| F7 | Bb7 | F7 | C7 |\n");
    let lessons = [1, 2].map(|seed| lesson(&style, &form, seed));
    let style_of = |seed| {
        let asked = Asked { seed, ..quick() };
        learn(&style, &lessons, &asked, &mut |_| true)
            .unwrap()
            .style
    };
    assert_eq!(style_of(1), style_of(1));
    assert_ne!(style_of(1).weights, style_of(2).weights);
    assert_eq!(style_of(1).description, "Learned from 8 bars of 2 groups.");
}

#[test]
fn limits_that_lines_break_become_weights_or_the_lines_are_left_out() {
    let style = Library::builtin().style("handbook").unwrap();
    let [good, other] = &drawn(&style, 2)[..] else {
        panic!("two lines")
    };
    // A tritone beyond the octave up, and down again.
    let poor = with(other, &style, &[(4, 31), (5, 49), (6, 31)]);
    let lessons = [good.clone(), poor.clone()];
    let learned = learn(&style, &lessons, &quick(), &mut |_| true).unwrap();
    assert!(!learned.softened.is_empty());
    for softened in &learned.softened {
        assert_eq!(style.weight(softened.rule.name), Weight::Never);
        assert_ne!(learned.style.weight(softened.rule.name), Weight::Never);
    }
    assert_eq!(
        (learned.base_bits.runs, learned.base_bits.forbidden),
        (2, 1)
    );
    let kept = Asked {
        keep_limits: true,
        ..quick()
    };
    let learned = learn(&style, &lessons, &kept, &mut |_| true).unwrap();
    assert_eq!(
        (learned.bars, learned.left_out.bars_beyond_limits),
        (12, 12)
    );
    assert!(learned.softened.is_empty());
    let error = learn(&style, &[poor], &kept, &mut |_| true).unwrap_err();
    assert_eq!(error, LearnError::LimitsBroken);
    assert!(error.to_string().contains("hint: "));
}

#[test]
fn a_bar_with_a_note_in_a_wrong_octave_is_one_to_listen_to() {
    let style = plain();
    let lessons: Vec<Lesson> = {
        let all = drawn(&style, 6);
        let midi = all[2].line.reading.notes[21].pitch.midi();
        let wrong = if midi < 40 { midi + 12 } else { midi - 12 };
        let wrong = with(&all[2], &style, &[(21, wrong)]);
        all.iter()
            .enumerate()
            .map(|(nth, good)| if nth == 2 { &wrong } else { good })
            .cloned()
            .collect()
    };
    let asked = Asked {
        deviation: 0.1,
        ..quick()
    };
    let learned = learn(&style, &lessons, &asked, &mut |_| true).unwrap();
    let told = learned.outliers.iter().find(|outlier| outlier.bar == 6);
    let told = told.unwrap_or_else(|| panic!("{:?}", learned.outliers));
    assert_eq!(told.line, lessons[2].name);
}

#[test]
fn it_can_be_stopped_at_every_step_and_tells_how_far_it_is() {
    let style = plain();
    let lessons = [1, 2].map(|seed| lesson(&style, &form("key: F\n| F7 | C7 |\n"), seed));
    let asked = Asked {
        folds: 2,
        composed: 1,
        ..quick()
    };
    let mut told = Vec::new();
    let learned = learn(&style, &lessons, &asked, &mut |now| {
        told.push(now);
        true
    });
    assert!(learned.is_ok_and(|learned| !learned.figures.is_empty()));
    assert!(told.is_sorted_by_key(|now| now.done));
    assert_eq!(told.last().map(|now| now.done == now.of), Some(true));
    for last in [0, told.len() / 2, told.len() - 1] {
        let mut asked_so_far = 0;
        let stopped = learn(&style, &lessons, &asked, &mut |_| {
            asked_so_far += 1;
            asked_so_far <= last
        });
        assert_eq!(stopped.err(), Some(LearnError::Stopped), "{last}");
    }
}

#[test]
fn nothing_is_learned_from_nothing() {
    let error = learn(&plain(), &[], &quick(), &mut |_| true).unwrap_err();
    assert_eq!(error, LearnError::NothingToLearn);
}
