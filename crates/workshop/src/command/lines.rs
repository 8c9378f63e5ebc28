//! Surveys lines over every shipped chart, and prints a row for each style.

use linewright_compose::Line;
use linewright_workshop::shipped::{charts, compose, pairs};
use linewright_workshop::{Habit, Habits, Promise, Promises, percent};

use super::{Command, composers, threads};

pub(super) const COMMAND: Command = Command {
    name: "lines",
    arguments: "[SEEDS [STYLE…]]",
    about: "composes every chart in every style, 20 seeds of each; fails if a promise is broken",
    run,
};

const HEADING: &str = "style           lines limits unexpl misadd alike loose/wide  cad% root1new root1held into1(half/whole) rept%  up/dn  chrom% amb% unland shift% range  differ%";

fn run(arguments: Vec<String>) -> Result<bool, String> {
    let mut arguments = arguments.into_iter();
    let seeds: u64 = arguments
        .next()
        .map_or(Ok(20), |text| text.parse())
        .map_err(|e| format!("SEEDS: {e}"))?;
    if seeds == 0 {
        return Err("SEEDS: at least 1".to_owned());
    }
    let charts = charts();
    println!("{HEADING}");
    let (mut good, threads) = (true, threads());
    for (name, composer) in &composers(arguments.collect())? {
        let composer = std::slice::from_ref(composer);
        let wanted = pairs(composer, &charts, 1, 0..=seeds - 1);
        let (mut promises, mut habits) = (Promises::new(name), Habits::default());
        for (kept, found) in compose(&wanted, threads, |lines| look(name, lines)) {
            promises.join(kept);
            habits.join(found);
        }
        println!("{}", row(&promises, &habits));
        good &= promises.are_kept();
    }
    Ok(good)
}

/// What the lines of one chart keep and do; each is compared with the next.
fn look(style: &str, lines: &[Line]) -> (Promises, Habits) {
    let (mut promises, mut habits) = (Promises::new(style), Habits::default());
    for line in lines {
        promises.add(line);
        habits.add(line);
    }
    for pair in lines.windows(2) {
        promises.compare(&pair[1], &pair[0]);
    }
    (promises, habits)
}

fn row(promises: &Promises, habits: &Habits) -> String {
    let broken = |promise| promises.broken(promise).count();
    let share = |habit| habits.percent(habit);
    let (half, whole) = (share(Habit::HalfIntoOne), share(Habit::WholeIntoOne));
    let (low, high) = habits.range();
    format!(
        "{:<15} {:>5} {:>6} {:>6} {:>6} {:>5} {:>5}/{:<5} {:>5.1} {:>8.1} {:>9.1} {:>5.1} ({half:.0}/{whole:.0}) {:>8.1} {:>4.0}/{:<4.0} {:>5.1} {:>5.1} {:>4} {:>6.1} {low:>3}-{high:<3} {:>5.1}",
        promises.style,
        habits.lines(),
        broken(Promise::Limits) + broken(Promise::Range),
        broken(Promise::Function),
        broken(Promise::Sum),
        broken(Promise::Variety),
        broken(Promise::Recovery),
        habits.wide_leaps(),
        percent(promises.cadences_kept as u64, promises.cadences as u64),
        share(Habit::RootOnNew),
        share(Habit::RootOnHeld),
        half + whole,
        share(Habit::Repeats),
        share(Habit::Up),
        share(Habit::Down),
        share(Habit::Chromatic),
        share(Habit::Ambiguous),
        broken(Promise::Landing),
        share(Habit::Shifts),
        percent(promises.changed as u64, promises.compared as u64),
    )
}
