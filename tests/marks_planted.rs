//! Marks find what is planted: clean lines of the tool's own get one known fault each, and the
//! marks must tell that fault, where it is, what it costs, and nothing else.
//!
//! What is a fault is told by the workshop's judge, which shares nothing with the rules; it then
//! hears some thousand lines with notes changed at random. With `--nocapture` the figures are
//! printed.

#[path = "support/planted.rs"]
mod planted;

use std::collections::BTreeMap;
use std::num::NonZero;
use std::sync::{Arc, LazyLock, Mutex};
use std::thread::available_parallelism;

use linewright::plan::{Dice, Plan, Purpose};
use linewright::study::mark::{Mark, Scheme, Wrong, mark};
use linewright::style::{Criterion, Weight};
use linewright::theory::Pitch;
use linewright::{Choice, Composer, Library, Line, Style, Timeline};
use linewright_workshop::shipped::{charts, compose, composers, pairs};

use linewright_workshop::judge::{FAULTS, Fault, Faults, Judge};
use planted::{DEVICES, ROWS, Row, plant, plant_device};

const GRADES: [&str; 8] = [
    "grade-1", "grade-2", "grade-3", "grade-4", "grade-5", "grade-6", "grade-7", "grade-8",
];

static CHARTS: LazyLock<Vec<(String, Arc<Timeline>)>> = LazyLock::new(charts);

fn composer(style: &str) -> Composer {
    let style = Library::builtin()
        .style(style)
        .unwrap_or_else(|e| panic!("{e}"));
    Composer::new(style).unwrap_or_else(|e| panic!("{e}"))
}

/// The best line of the first seed over each chart in a style.
fn best_lines(style: &str) -> Arc<Vec<Line>> {
    static MADE: Mutex<BTreeMap<String, Arc<Vec<Line>>>> = Mutex::new(BTreeMap::new());
    if let Some(made) = MADE.lock().unwrap().get(style) {
        return made.clone();
    }
    let composer = composer(style);
    let best = |(name, timeline): &(String, Arc<Timeline>)| {
        composer
            .compose(timeline, 1, 0, Choice::Best)
            .unwrap_or_else(|why| panic!("{name} in {style}: {why}"))
    };
    let made = Arc::new(CHARTS.iter().map(best).collect::<Vec<_>>());
    MADE.lock().unwrap().insert(style.to_owned(), made.clone());
    made
}

/// Marks notes in place of a line's own, under its plan.
struct Marker<'a> {
    line: &'a Line,
    composer: Composer,
    scheme: Scheme,
}

impl<'a> Marker<'a> {
    fn of(line: &'a Line) -> Self {
        let composer = Composer::new((*line.style).clone()).unwrap();
        let (book, style) = (composer.book(), composer.style());
        let scheme = Scheme::of(book, style, &line.timeline, &line.plan, 0);
        Self {
            line,
            composer,
            scheme,
        }
    }

    fn mark(&self, notes: &[Pitch]) -> Mark {
        let line = self.line;
        let given = Line::given(&self.composer, &line.timeline, line.plan.clone(), notes);
        let found = mark(&given, &self.scheme);
        assert_adds_up(&found, &line.style);
        found
    }
}

/// Totals are those of the style; what was got is the total less what the faults cost, and never
/// below nothing; the line's marks are the sum.
fn assert_adds_up(mark: &Mark, style: &Style) {
    let (mut total, mut got) = (0, 0);
    for one in &mark.criteria {
        let nth = Criterion::ALL
            .iter()
            .position(|c| *c == one.criterion)
            .unwrap();
        assert_eq!(one.total, i64::from(style.marks.totals[nth]) * 1000);
        let cost: i64 = one.faults.iter().map(|fault| fault.cost).sum();
        assert_eq!(one.got, (one.total - cost).max(0));
        total += one.total;
        got += one.got;
    }
    assert_eq!((mark.total(), mark.got()), (total, got));
    assert_eq!(mark.pass(), total * i64::from(style.marks.pass) / 100);
    assert_eq!(mark.passes(), mark.got() >= mark.pass());
}

/// Whether marks are of a line with next to no fault.
fn is_clean(mark: &Mark) -> bool {
    mark.got() * 100 >= mark.total() * 97
}

/// The faults that marks tell, as the judge names them.
fn told(line: &Line, mark: &Mark) -> Faults {
    let name = |wrong: Wrong| match wrong {
        Wrong::Found(rule) => Fault::Found(line.book.entry(rule).rule.name),
        Wrong::Missing(rule) => Fault::Missing(line.book.entry(rule).rule.name),
        Wrong::NoDevice => Fault::NoDevice,
    };
    let faults: Vec<_> = mark.faults().map(|f| (name(f.what), f.place)).collect();
    let set: Faults = faults.iter().copied().collect();
    assert_eq!(set.len(), faults.len(), "a fault is told twice: {faults:?}");
    set
}

/// Every fault is under its criterion and costs the share of one place that it should.
fn assert_costs(judge: &Judge, line: &Line, mark: &Mark) {
    for criterion in &mark.criteria {
        for fault in &criterion.faults {
            let what = match fault.what {
                Wrong::Found(rule) => Fault::Found(line.book.entry(rule).rule.name),
                Wrong::Missing(rule) => Fault::Missing(line.book.entry(rule).rule.name),
                Wrong::NoDevice => Fault::NoDevice,
            };
            let known = FAULTS.iter().find(|(fault, ..)| *fault == what);
            let &(_, belongs, share) = known.unwrap_or_else(|| panic!("{what:?} is unknown"));
            assert_eq!(criterion.criterion, belongs, "{what:?}");
            let price = judge.price(belongs) * share / 1000;
            assert_eq!(fault.cost, price, "{what:?} in {}", line.style.name);
        }
    }
}

/// What was planted and what was found, counted.
#[derive(Default)]
struct Confusion(BTreeMap<(Fault, Fault), usize>);

impl Confusion {
    fn add(&mut self, planted: Fault, found: &Faults) {
        for (fault, _) in found {
            *self.0.entry((planted, *fault)).or_default() += 1;
        }
    }

    fn count(&self, planted: Fault, found: Fault) -> usize {
        self.0.get(&(planted, found)).copied().unwrap_or(0)
    }

    fn print(&self) {
        println!("planted (rows) and found (columns, by the numbers of the rows)");
        print!("{:30}", "");
        for number in 1..=FAULTS.len() {
            print!("{number:4}");
        }
        println!();
        for (number, (planted, ..)) in FAULTS.iter().enumerate() {
            print!("{:2} {:27}", number + 1, planted.to_string());
            for (found, ..) in FAULTS {
                match self.count(*planted, *found) {
                    0 => print!("   ."),
                    count => print!("{count:4}"),
                }
            }
            println!();
        }
    }
}

#[test]
fn every_planted_fault_is_found_where_it_is_and_nothing_else_is() {
    let mut confusion = Confusion::default();
    let mut planted: BTreeMap<Fault, usize> = BTreeMap::new();
    let mut show =
        |row: &str, style: &str, what: Fault, with: &[Fault], found: planted::Planted| {
            let line = &found.line;
            let mut judge = Judge::new(line);
            let clean = judge.faults();
            let marker = Marker::of(line);
            let before = marker.mark(&judge.notes);
            assert!(
                is_clean(&before),
                "{row}: {} of {} marks is no clean line",
                before.got(),
                before.total()
            );
            assert_eq!(told(line, &before), clean, "{row}: the clean line");
            judge.notes = found.notes.clone();
            let after = marker.mark(&judge.notes);
            let now = told(line, &after);
            let (bar, beat) = found.at();
            let changed = (0..judge.notes.len())
                .filter(|&at| judge.notes[at] != line.reading.notes[at].pitch)
                .count();
            println!(
                "{style:12} {row:44} {} bar {bar} {}, {changed} changed; {} of {} marks",
                line.timeline.title,
                beat.map_or(String::new(), |beat| format!("beat {beat}")),
                after.got(),
                after.total(),
            );
            let fresh: Faults = now.difference(&clean).copied().collect();
            let gone: Faults = clean.difference(&now).copied().collect();
            assert_eq!(gone, Faults::new(), "{row}: a fault is gone");
            assert!(fresh.contains(&(what, found.place)), "{row}: {fresh:?}");
            let mut others: Vec<Fault> = fresh
                .iter()
                .filter(|one| **one != (what, found.place))
                .map(|(fault, _)| *fault)
                .collect();
            others.sort();
            let mut expected = with.to_vec();
            expected.sort();
            assert_eq!(others, expected, "{row}: what comes with it");
            assert_eq!(now, judge.faults(), "{row}");
            assert_costs(&judge, line, &after);
            let cost: i64 = fresh
                .iter()
                .map(|(fault, _)| {
                    let known = FAULTS.iter().find(|(one, ..)| one == fault).unwrap();
                    judge.price(known.1) * known.2 / 1000
                })
                .sum();
            assert_eq!(after.got(), before.got() - cost, "{row}");
            confusion.add(what, &fresh);
            *planted.entry(what).or_default() += 1;
        };
    let mut count = 0;
    for row in ROWS {
        let lines = best_lines(row.style);
        let found = plant(row, &lines).unwrap_or_else(|| panic!("no place for {}", row.name));
        show(row.name, row.style, row.fault, row.with, found);
        count += 1;
    }
    for &(style, devices, with) in DEVICES {
        // Where the best line itself lacks the device in places, another chart serves.
        let clean = |line: &&Line| is_clean(&Marker::of(line).mark(&Judge::new(line).notes));
        let lines: Vec<Line> = best_lines(style).iter().filter(clean).cloned().collect();
        let name = format!("two bars without their {}", devices.join(" and "));
        let found =
            plant_device(devices, with, &lines).unwrap_or_else(|| panic!("{style}: {name}"));
        show(&name, style, Fault::NoDevice, with, found);
        count += 1;
    }
    confusion.print();
    println!("{count} planted faults");
    assert!(count >= 40, "only {count} rows");
    for (fault, ..) in FAULTS {
        let times = planted.get(fault).copied().unwrap_or(0);
        assert!(times > 0, "{fault:?} is not planted");
        assert_eq!(confusion.count(*fault, *fault), times, "{fault:?}");
    }
    // Off the diagonal stands only what the rows say comes with what is planted.
    for ((planted, found), times) in &confusion.0 {
        let rows = ROWS.iter().map(|row: &Row| (row.fault, row.with));
        let devices = DEVICES.iter().map(|&(_, _, with)| (Fault::NoDevice, with));
        let said: usize = rows
            .chain(devices)
            .filter(|(fault, _)| fault == planted)
            .map(|(_, with)| with.iter().filter(|one| *one == found).count())
            .sum();
        if planted != found {
            assert_eq!(*times, said, "{planted:?} found as {found:?}");
        }
    }
}

/// Every style, and each with every third chart; notes changed at random, from one to half of
/// all.
#[test]
fn lines_with_notes_changed_at_random_are_marked_as_the_judge_does() {
    let composers = composers();
    let wanted = pairs(&composers, &CHARTS, 3, 1..=1);
    let threads = available_parallelism().map_or(1, NonZero::get);
    let counted = compose(&wanted, threads, |lines| {
        let line = &lines[0];
        let mut counts: BTreeMap<Fault, usize> = BTreeMap::new();
        let mut dice = Dice::new(line.plan.slots.len() as u64, 7, Purpose::Notes);
        let marker = Marker::of(line);
        for round in 0..21 {
            let mut judge = Judge::new(line);
            let count = judge.notes.len();
            let changes = [1, 1, 2, 3, 8, count / 4, count / 2][round % 7].max(1);
            let range = line.style.range;
            let (low, high) = (range.low.midi() - 2, range.high.midi() + 2);
            for _ in 0..changes {
                let at = dice.below(count as u64) as usize;
                let midi = if round % 2 == 0 {
                    // Near the note before, as a player would.
                    let near = i32::from(judge.notes[at].midi()) + dice.below(9) as i32 - 4;
                    near.clamp(i32::from(low), i32::from(high)) as u8
                } else {
                    low + dice.below(u64::from(high - low) + 1) as u8
                };
                judge.notes[at] = Pitch::new(midi).unwrap();
            }
            let mark = marker.mark(&judge.notes);
            let (now, wanted) = (told(line, &mark), judge.faults());
            let name = format!("{} in {}", line.timeline.title, line.style.name);
            let [only_told, only_judged] =
                [now.difference(&wanted), wanted.difference(&now)].map(|d| d.collect::<Vec<_>>());
            assert!(
                only_told.is_empty() && only_judged.is_empty(),
                "{name}, round {round}: told {only_told:?}, judged {only_judged:?}"
            );
            assert_costs(&judge, line, &mark);
            for (fault, _) in now {
                *counts.entry(fault).or_default() += 1;
            }
        }
        counts
    });
    let mut all: BTreeMap<Fault, usize> = BTreeMap::new();
    for (fault, count) in counted.into_iter().flatten() {
        *all.entry(fault).or_default() += count;
    }
    println!("faults in lines with notes changed at random:");
    for (fault, ..) in FAULTS {
        let count = all.get(fault).copied().unwrap_or(0);
        println!("{fault:24} {count:6}");
        assert!(count >= 10, "{fault:?} came {count} times only");
    }
}

#[test]
fn the_best_lines_of_every_grade_have_full_marks_or_nearly() {
    let mut full = 0;
    let mut low: Vec<String> = Vec::new();
    print!("{:24}", "best lines, percent");
    for grade in GRADES {
        print!("{grade:>9}");
    }
    println!();
    for (nth, (chart, _)) in CHARTS.iter().enumerate() {
        print!("{chart:24}");
        for grade in GRADES {
            let line = &best_lines(grade)[nth];
            let notes: Vec<Pitch> = line.reading.notes.iter().map(|note| note.pitch).collect();
            let mark = Marker::of(line).mark(&notes);
            let percent = mark.got() as f64 * 100.0 / mark.total() as f64;
            print!("{percent:9.1}");
            assert!(mark.total() > 0);
            let faults = told(line, &mark);
            let is_limit = |fault: &Fault| match fault {
                Fault::Found(name) => line.style.weight(name) == Weight::Never,
                Fault::Missing(_) | Fault::NoDevice => false,
            };
            assert!(
                !faults.iter().any(|(fault, _)| is_limit(fault)),
                "{faults:?}"
            );
            if mark.got() * 100 < mark.total() * 97 {
                low.push(format!(
                    "{chart} in {grade}: {percent:.1} percent: {faults:?}"
                ));
            }
            full += usize::from(mark.got() == mark.total());
        }
        println!();
    }
    let all = CHARTS.len() * GRADES.len();
    println!("{full} of {all} have full marks");
    println!("below 97 percent: {low:#?}");
    assert!(low.len() <= 4, "{low:#?}");
    assert!(full * 10 >= all * 7, "only {full} of {all}");
}

/// A cadence is asked for wherever a plan has one, whatever the grade.
#[test]
fn random_chord_tones_never_pass_grade_three() {
    let grade = composer("grade-3");
    let range = grade.style().range;
    let (mut highest, mut lines) = (0.0_f64, 0);
    for (name, timeline) in CHARTS.iter() {
        if timeline
            .bars
            .iter()
            .any(|bar| bar.beats != 4 && !bar.pickup)
        {
            continue;
        }
        for seed in 1..=40 {
            let plan = Plan::draw(
                timeline,
                grade.style(),
                &mut Dice::new(seed, 0, Purpose::Plan),
            );
            let mut dice = Dice::new(seed, 1, Purpose::Notes);
            let notes: Vec<Pitch> = plan
                .slots
                .iter()
                .map(|slot| {
                    let tones: Vec<Pitch> = (range.low.midi()..=range.high.midi())
                        .filter_map(Pitch::new)
                        .filter(|pitch| slot.ground.is_chord_tone(pitch.class()))
                        .collect();
                    tones[dice.below(tones.len() as u64) as usize]
                })
                .collect();
            let line = Line::given(&grade, timeline, plan, &notes);
            let mark = Marker::of(&line).mark(&notes);
            let percent = mark.got() as f64 * 100.0 / mark.total() as f64;
            highest = highest.max(percent);
            lines += 1;
            assert!(
                !mark.passes(),
                "{name}, seed {seed}: {percent:.1} percent pass"
            );
        }
    }
    println!("{lines} lines of random chord tones: at most {highest:.1} percent");
    assert!(lines >= 400, "only {lines} lines");
}
