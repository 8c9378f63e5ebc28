//! Surveys lines over every shipped chart in every shipped style (or in those
//! that are named), and prints a row for each style:
//! `linewright-survey [SEEDS [STYLE…]]`. Fails if a promise is broken.
//!
//! `linewright-survey pages [STYLE…]` engraves a line over every shipped chart in all twelve keys
//! instead, and fails if marks collide or leave their page.

use std::process::ExitCode;

use linewright_compose::Composer;
use linewright_compose::Line;
use linewright_rulebook::style::Library;
use linewright_survey::shipped::{charts, compose, pairs, written};
use linewright_survey::{Habit, Habits, Promise, Promises, Sheets, percent};

const HEADING: &str = "style           lines limits unexpl misadd alike loose/wide  cad% root1new root1held into1(half/whole) rept%  up/dn  chrom% amb% unland shift% range  differ%";

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<bool, String> {
    let mut args = std::env::args().skip(1).peekable();
    if args.next_if(|first| first == "pages").is_some() {
        return pages(args.collect());
    }
    let seeds: u64 = args
        .next()
        .map_or(Ok(20), |text| text.parse())
        .map_err(|e| format!("SEEDS: {e}"))?;
    if seeds == 0 {
        return Err("SEEDS: at least 1".to_owned());
    }
    let charts = charts();
    println!("{HEADING}");
    let (mut good, threads) = (true, threads());
    for (name, composer) in &composers(args.collect())? {
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

/// Engraves pages and prints a row of figures, and where what collides.
fn pages(styles: Vec<String>) -> Result<bool, String> {
    let composers: Vec<Composer> = composers(styles)?.into_iter().map(|(_, c)| c).collect();
    let sheets = Sheets::of(&composers, &written(), threads());
    println!("lines  pages    marks collisions outside");
    println!(
        "{:>5} {:>6} {:>8} {:>10} {:>7}",
        sheets.lines,
        sheets.pages,
        sheets.marks,
        sheets.colliding(),
        sheets.outside.len()
    );
    for (kinds, (count, place)) in &sheets.collisions {
        println!("{count} × {kinds}, first in {place}");
    }
    for place in sheets.outside.iter().take(20) {
        println!("outside: {place}");
    }
    Ok(sheets.are_clean())
}

/// The composers of these styles, or of all that are shipped.
fn composers(mut styles: Vec<String>) -> Result<Vec<(String, Composer)>, String> {
    if styles.is_empty() {
        styles = Library::builtin_names().map(str::to_owned).collect();
    }
    let library = Library::builtin();
    let composer = |name: String| {
        let composer = library.style(&name).and_then(Composer::new);
        Ok((name, composer.map_err(|e| e.to_string())?))
    };
    styles.into_iter().map(composer).collect()
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
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
