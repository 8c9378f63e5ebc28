//! Lines that were written to files, read back and explained: they say what the composer said of
//! them, whatever the format; and what is said of anybody's line is true, as music21 hears it.
//!
//! Every shipped chart in every shipped style.

#[path = "support/labelled.rs"]
mod labelled;

use std::collections::{BTreeMap, BTreeSet};
use std::num::NonZero;
use std::path::Path;
use std::sync::{Arc, LazyLock};
use std::thread::available_parallelism;

use linewright::plan::{Dice, Purpose};
use linewright::rulebook::{Function, cadence_rule};
use linewright::study::{Explanation, PlanSource, Study};
use linewright::theory::Pitch;
use linewright::{Chart, Given, Line, Reading, Settings, Timeline, exporter, read_lines};
use linewright_checkers::python;
use linewright_workshop::shipped::{Wanted, charts, compose, composers};
use serde_json::Value;

use labelled::labelled;

/// Every format that can be read again.
const FORMATS: [&str; 6] = ["txt", "mid", "musicxml", "mxl", "abc", "json"];

/// The functions that depend on the plan: whether the line meant to cadence or to move there.
const BY_PLAN: [&str; 3] = [
    "cadence on beat one",
    "cadence on the next root",
    "register shift",
];

/// Every shipped chart as written, by the name of its file.
static CHARTS: LazyLock<BTreeMap<String, Chart>> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let chart = |(name, timeline): (String, Arc<Timeline>)| {
        let bytes = std::fs::read(folder.join(format!("{name}.chart"))).expect("a chart");
        let chart = Chart::parse(&name, &bytes).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(chart.unroll().as_ref(), Ok(&*timeline));
        (name, chart)
    };
    charts().into_iter().map(chart).collect()
});

fn name(line: &Line) -> String {
    format!("{} in {}", line.timeline.title, line.style.name)
}

/// The chart that a line is played over.
fn chart(line: &Line) -> &'static Chart {
    let mut all = CHARTS.values();
    let found = all.find(|chart| chart.title() == line.timeline.title);
    found.expect("a shipped chart")
}

/// A line read back from a file of a format, without any problem.
fn read_back(line: &Line, format: &str) -> Given {
    let what = format!("{} as {format}", name(line));
    let exporter = exporter(format, &Settings::default()).expect("a known format");
    let bytes = exporter
        .bytes(line)
        .unwrap_or_else(|e| panic!("{what}: {e}"));
    let (mut given, problems) = read_lines(&format!("line.{format}"), &bytes, None)
        .unwrap_or_else(|e| panic!("{what}: {e}"));
    assert!(problems.is_empty(), "{what}: {problems}");
    assert_eq!(given.len(), 1, "{what}");
    given.remove(0)
}

/// A given line, read over its chart.
fn studied(line: &Line, given: &Given, infer: bool) -> Study {
    let how = Reading {
        infer,
        ..Reading::default()
    };
    let (_, study) = given
        .study(chart(line), &how)
        .unwrap_or_else(|e| panic!("{}: {e}", name(line)));
    study
}

/// Looks at a line of the first seed over every chart in every style.
fn of_every_line<T: Send>(look: impl Fn(&Line) -> T + Sync) -> Vec<T> {
    let (charts, composers) = (charts(), composers());
    let wanted: Vec<Wanted> = composers
        .iter()
        .flat_map(|composer| {
            charts.iter().map(move |(_, chart)| Wanted {
                chart,
                composer,
                seeds: 1..=1,
            })
        })
        .collect();
    let threads = available_parallelism().map_or(1, NonZero::get);
    let looked = compose(&wanted, threads, |lines| look(&lines[0]));
    assert_eq!(looked.len(), charts.len() * composers.len());
    looked
}

/// The functions that do not depend on the plan.
fn apart_from_plan(functions: &[Function]) -> Vec<Function> {
    let kept = functions.iter().filter(|f| !BY_PLAN.contains(&f.name.long));
    kept.copied().collect()
}

#[test]
fn a_line_that_is_read_back_is_explained_as_the_composer_explains_it() {
    of_every_line(|line| {
        for format in FORMATS {
            let what = format!("{} as {format}", name(line));
            let study = studied(line, &read_back(line, format), false);
            assert_eq!(study.remarks, [], "{what}");
            assert_eq!(study.between(), 0, "{what}");
            let drawn = PlanSource::Drawn { seed: 1, line: 0 };
            assert_eq!(study.plan, drawn, "{what}");
            assert_eq!(study.line.plan, line.plan, "{what}");
            assert_eq!(study.line.timeline, line.timeline, "{what}");
            // Notes, degrees, functions, cells, clarity, tension, cadences, score: all of it.
            for (found, wanted) in study.line.reading.notes.iter().zip(&line.reading.notes) {
                assert_eq!(found, wanted, "{what}");
            }
            for (found, wanted) in study.line.reading.bars.iter().zip(&line.reading.bars) {
                assert_eq!(found, wanted, "{what}");
            }
            assert_eq!(study.line.reading, line.reading, "{what}");
            assert_eq!(study.line.origin.choice, None, "{what}");
        }
    });
}

#[test]
fn what_does_not_depend_on_the_plan_is_the_same_under_an_inferred_one() {
    let functions = of_every_line(|line| {
        let what = name(line);
        let study = studied(line, &read_back(line, "mid"), true);
        assert_eq!(study.plan, PlanSource::Inferred, "{what}");
        assert_eq!(study.remarks, [], "{what}");
        let mut functions: BTreeSet<&'static str> = BTreeSet::new();
        assert_eq!(study.line.reading.notes.len(), line.reading.notes.len());
        for (found, wanted) in study.line.reading.notes.iter().zip(&line.reading.notes) {
            let (pitch, spelled) = (found.pitch, found.note);
            assert_eq!((pitch, spelled), (wanted.pitch, wanted.note), "{what}");
            assert_eq!(found.degree, wanted.degree, "{what}");
            assert_eq!(found.member, wanted.member, "{what}");
            let own = apart_from_plan(&found.functions);
            assert_eq!(own, apart_from_plan(&wanted.functions), "{what}");
            functions.extend(own.iter().map(|function| function.name.long));
        }
        for (found, wanted) in study.line.reading.bars.iter().zip(&line.reading.bars) {
            assert_eq!(found.bar, wanted.bar, "{what}");
            assert_eq!(found.cell, wanted.cell, "{what}");
            let sound = (found.clarity, &found.rival, found.tension);
            assert_eq!(
                sound,
                (wanted.clarity, &wanted.rival, wanted.tension),
                "{what}"
            );
        }
        functions
    });
    let functions: BTreeSet<&str> = functions.into_iter().flatten().collect();
    assert!(functions.len() >= 15, "{functions:?}");
}

/// Whoever reads the line finds the cadences that it was meant to make and makes.
#[test]
fn every_cadence_that_a_line_keeps_is_heard_under_any_plan() {
    let counts = of_every_line(|line| {
        let kept: BTreeSet<_> = line
            .reading
            .bars
            .iter()
            .filter_map(|bar| Some((bar.bar, bar.cadence?)))
            .collect();
        let given = read_back(line, "txt");
        for infer in [false, true] {
            let study = studied(line, &given, infer);
            let explained = Explanation::of(&study.line);
            let heard: BTreeSet<_> = explained
                .landings
                .iter()
                .map(|landing| (landing.bar, landing.kind))
                .collect();
            assert!(kept.is_subset(&heard), "{}", name(line));
            let planned: BTreeSet<_> = explained
                .landings
                .iter()
                .filter(|landing| landing.planned)
                .map(|landing| (landing.bar, landing.kind))
                .collect();
            if !infer {
                assert_eq!(planned, kept, "{}", name(line));
            }
            // A landing that is planned is a finding of its rule in the reading.
            for (_, kind) in planned {
                let rule = cadence_rule(kind);
                let book = &study.line.book;
                let mut findings = study.line.reading.findings.iter();
                assert!(findings.any(|f| book.entry(f.rule).rule == rule));
            }
        }
        kept.len()
    });
    let count: usize = counts.iter().sum();
    assert!(count >= 1000, "only {count} cadences");
}

/// A line with every third note, or every note, another: lines as anybody might write them.
fn by_anybody(line: &Line, seed: u64) -> Line {
    let mut dice = Dice::new(seed, line.plan.slots.len() as u64, Purpose::Notes);
    let notes: Vec<Pitch> = line
        .reading
        .notes
        .iter()
        .map(|note| {
            let away = match dice.below(9) {
                0..3 => dice.below(5) as i32 - 2,
                3 => dice.below(25) as i32 - 12,
                _ => 0,
            };
            note.pitch.shifted(away).unwrap_or(note.pitch)
        })
        .collect();
    let composer = linewright::Composer::new((*line.style).clone()).expect("a style");
    Line::given(&composer, &line.timeline, line.plan.clone(), &notes)
}

/// music21: `harmony.ChordSymbol` and `interval.Interval`, as in `lines_outside.rs`; what a
/// function means is common practice, no source.
#[test]
fn every_label_of_an_explained_line_is_true_of_music21s_chords_and_intervals() {
    let asked = of_every_line(|line| {
        // Every style in turn brings its lines from another format.
        let seed = line.style.name.len() as u64;
        let format = FORMATS[seed as usize % FORMATS.len()];
        let line = by_anybody(line, seed);
        let study = studied(&line, &read_back(&line, format), true);
        (
            name(&line),
            study.line.reading.notes.len(),
            labelled(&study.line),
        )
    });
    let notes: usize = asked.iter().map(|(_, notes, _)| notes).sum();
    assert!(notes >= 2000, "only {notes} notes");
    let rows: String = asked.iter().map(|(.., row)| format!("{row}\n")).collect();
    let answers = python()
        .and_then(|python| python.run("line_labels.py", rows.as_bytes()))
        .unwrap_or_else(|e| panic!("{e}"));
    let told: Vec<Value> = answers
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect();
    assert_eq!(told.len(), asked.len());
    let mut wrong = Vec::new();
    let mut checked: BTreeMap<String, u64> = BTreeMap::new();
    for ((name, ..), told) in asked.iter().zip(told) {
        for (function, count) in told["checked"].as_object().expect("counts") {
            *checked.entry(function.clone()).or_default() += count.as_u64().expect("a count");
        }
        for fault in told["faults"].as_array().expect("a list") {
            wrong.push(format!("{name}, note {}: {}", fault[0], fault[1]));
        }
    }
    println!("{notes} notes: {checked:#?}");
    assert!(
        wrong.is_empty(),
        "{} faults:\n{}",
        wrong.len(),
        wrong[..wrong.len().min(20)].join("\n")
    );
    assert!(checked.len() >= 20, "{checked:?}");
}
