//! The judge of practice counts as its source was counted, where the excerpts are at hand.

use std::collections::BTreeMap;
use std::path::PathBuf;

use linewright_rulebook::plan::{Dice, Purpose};
use linewright_workshop::practice::{Counts, Excerpt, FOLDER, excerpts};

/// The excerpts, or nothing and a word on it.
fn at_hand(test: &str) -> Option<Vec<Excerpt>> {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else {
        eprintln!("{test} is left out: {FOLDER} names no folder of excerpts");
        return None;
    };
    Some(excerpts(&folder).unwrap_or_else(|e| panic!("{e}")))
}

/// What is counted in each tune.
fn by_tune(excerpts: &[Excerpt]) -> Vec<Counts> {
    let mut tunes: BTreeMap<u32, Counts> = BTreeMap::new();
    for excerpt in excerpts {
        let counts = tunes.entry(excerpt.tune).or_default();
        counts.join(&Counts::of(&excerpt.runs));
    }
    tunes.into_values().collect()
}

fn together<'a>(all: impl IntoIterator<Item = &'a Counts>) -> Counts {
    let mut sum = Counts::default();
    all.into_iter().for_each(|counts| sum.join(counts));
    sum
}

#[test]
fn players_figures_come_out_to_the_last_digit() {
    let Some(excerpts) = at_hand("players_figures_come_out_to_the_last_digit") else {
        return;
    };
    let tunes = by_tune(&excerpts);
    assert_eq!((excerpts.len(), tunes.len()), (35, 17));
    let all = together(&tunes);
    assert_eq!(all.notes(), 1740);
    for figure in all.figures() {
        // The source rounds twice: to hundredths, then to what it tells.
        let hundredths = |value: f64| (value * 100.0).round() / 100.0;
        let told = |value: f64| format!("{:.*}", figure.decimals, hundredths(value));
        assert_eq!(told(figure.value), told(figure.practice), "{}", figure.name);
    }
    // The counts behind the distances are those of the excerpts.
    assert_eq!(all.divergences(), [0.0; 6]);
}

#[test]
fn intervals_come_from_resampled_tunes() {
    let Some(excerpts) = at_hand("intervals_come_from_resampled_tunes") else {
        return;
    };
    let tunes = by_tune(&excerpts);
    let mut dice = Dice::new(1, 0, Purpose::Notes);
    let mut draw = || &tunes[dice.below(tunes.len() as u64) as usize];
    let mut resampled: Vec<Vec<f64>> = Vec::new();
    for _ in 0..4000 {
        let drawn: Vec<&Counts> = (0..17).map(|_| draw()).collect();
        let figures = together(drawn).figures();
        resampled.push(figures.iter().map(|figure| figure.value).collect());
    }
    for (at, figure) in together(&tunes).figures().iter().enumerate() {
        let mut values: Vec<f64> = resampled.iter().map(|values| values[at]).collect();
        values.sort_by(f64::total_cmp);
        let found = (values[100], values[3899]);
        let (low, high) = figure.interval;
        // The source drew other tunes. A percentile is a whole semitone or the one beside it.
        let near = if figure.name.starts_with("pitch p") {
            1.0
        } else {
            (high - low) * 0.12
        };
        let is_near = |a: f64, b: f64| (a - b).abs() <= near;
        assert!(
            is_near(found.0, low) && is_near(found.1, high),
            "{}: {found:?}, not {low} to {high}",
            figure.name
        );
    }
}
