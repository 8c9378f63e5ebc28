//! Lengths as they stand in a tune.

use crate::Ticks;

/// A length in units, as it stands after a note: nothing for one, `3/2`, `/2`.
pub(super) fn suffix(ticks: Ticks, unit: Ticks) -> String {
    let common = gcd(ticks, unit).max(1);
    match (ticks / common, unit / common) {
        (1, 1) => String::new(),
        (over, 1) => over.to_string(),
        (1, under) => format!("/{under}"),
        (over, under) => format!("{over}/{under}"),
    }
}

fn gcd(a: Ticks, b: Ticks) -> Ticks {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::QUARTER;

    #[test]
    fn lengths_read_as_multiples_of_the_unit() {
        let eighth = QUARTER / 2;
        let texts =
            [QUARTER / 2, QUARTER, QUARTER / 4, QUARTER * 3 / 4, 1].map(|t| suffix(t, eighth));
        assert_eq!(texts, ["", "2", "/2", "3/2", "/3360"]);
    }
}
