//! A profile as a table: a row for each value of each measure.

use linewright_study::profile::{Comparison, Measure, Profile, Value};
use std::collections::BTreeSet;

use super::row;
use crate::json::{Plain, measure_name, plain};
use crate::numbers::percent;

/// The table of a profile: measure, beats, value, how often, among how many, and the share in
/// percent. Names are those of the JSON text.
pub fn profiled(profile: &Profile) -> String {
    let mut table = row([
        "measure", "beat", "to beat", "value", "count", "of", "percent",
    ]);
    for measure in profile.measures() {
        for value in values(&[profile], measure) {
            let mut cells = keys(measure, value);
            cells.extend(counts(profile, measure, value));
            table.push_str(&row(cells));
        }
    }
    table
}

/// The table of a comparison: the same with the counts of both.
pub fn compared(comparison: &Comparison) -> String {
    let (here, there) = (&comparison.here, &comparison.there);
    let mut table = row([
        "measure",
        "beat",
        "to beat",
        "value",
        "count here",
        "of here",
        "percent here",
        "count there",
        "of there",
        "percent there",
    ]);
    for divergence in &comparison.divergences {
        let measure = divergence.measure;
        for value in values(&[here, there], measure) {
            let mut cells = keys(measure, value);
            cells.extend(counts(here, measure, value));
            cells.extend(counts(there, measure, value));
            table.push_str(&row(cells));
        }
    }
    table
}

/// The values that a measure takes in any of these profiles.
fn values(profiles: &[&Profile], measure: Measure) -> BTreeSet<Value> {
    let tallies = profiles.iter().filter_map(|profile| profile.tally(measure));
    tallies
        .flat_map(|tally| tally.iter())
        .map(|(value, _)| value)
        .collect()
}

fn keys(measure: Measure, value: Value) -> Vec<String> {
    let name = measure_name(measure);
    let beat = |beat: Option<u8>| beat.map_or(String::new(), |beat| beat.to_string());
    vec![
        name.measure.to_owned(),
        beat(name.beat),
        beat(name.to_beat),
        match plain(value) {
            Plain::Word(word) => word,
            Plain::Number(number) => number.to_string(),
            Plain::Truth(truth) => truth.to_string(),
        },
    ]
}

fn counts(profile: &Profile, measure: Measure, value: Value) -> [String; 3] {
    let (count, of) = (profile.times(measure, value), profile.whole(measure));
    let share = if of == 0 {
        String::new()
    } else {
        percent(count, of)
    };
    [count.to_string(), of.to_string(), share]
}

#[cfg(test)]
mod tests {
    use super::super::tests::read;
    use super::*;
    use crate::test_lines::{BLUES, line};

    #[test]
    fn every_value_has_a_row_and_every_row_as_many_cells_as_the_heads() {
        let one = Profile::of(&line(BLUES, "plain", 1));
        let other = Profile::of(&line(BLUES, "waltz", 2));
        let rows = read(&profiled(&one));
        let values: usize = one
            .measures()
            .filter_map(|measure| one.tally(measure))
            .map(|tally| tally.iter().count())
            .sum();
        assert_eq!(rows.len(), values + 1);
        assert!(rows.iter().all(|row| row.len() == 7));
        let root = ["root-where-chord-is-new", "", "", "true"];
        let root = rows.iter().find(|row| row[..4] == root);
        assert_eq!(root.unwrap()[4..], ["12", "12", "100.0"]);
        let both = read(&compared(&Comparison::of(one, other)));
        assert!(both.len() >= rows.len());
        assert!(both.iter().all(|row| row.len() == 10));
    }
}
