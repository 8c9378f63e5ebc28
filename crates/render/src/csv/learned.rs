//! What was learned as a table: a row for each weight.

use linewright_rulebook::style::Weight;
use linewright_study::learn::Learned;

use super::row;

/// The table of the weights: rule, points, standard error, points in the base, how often the
/// lines have it.
pub fn learned(learned: &Learned) -> String {
    let mut table = row(["rule", "weight", "standard error", "base", "times"]);
    for weight in &learned.weights {
        table.push_str(&row([
            weight.rule.name.to_owned(),
            format!("{:.3}", weight.weight),
            format!("{:.3}", weight.error),
            match weight.base {
                Weight::Never => "never".to_owned(),
                Weight::Milli(milli) => format!("{:.3}", f64::from(milli) / 1000.0),
            },
            weight.count.to_string(),
        ]));
    }
    table
}
