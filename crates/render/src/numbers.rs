//! Points as people read them. Whole-number arithmetic only.

/// Milli-points with three decimals and a sign: `+1.250`. Exact.
pub(crate) fn exact_points(milli: i64) -> String {
    let sign = if milli < 0 { '-' } else { '+' };
    let size = milli.unsigned_abs();
    format!("{sign}{}.{:03}", size / 1000, size % 1000)
}

/// Milli-points with two decimals and a sign, rounded half away from zero: `+1.25`.
pub(crate) fn points(milli: i64) -> String {
    let hundredths = (milli.unsigned_abs() + 5) / 10;
    let sign = match (hundredths, milli < 0) {
        (0, _) => "",
        (_, true) => "-",
        (_, false) => "+",
    };
    format!("{sign}{}.{:02}", hundredths / 100, hundredths % 100)
}

/// A part of a whole in hundredths with one decimal, rounded half up: `62.5`. `–` where there is
/// no whole.
pub(crate) fn percent(part: u64, whole: u64) -> String {
    let Some(thousandths) = share(part, whole) else {
        return "–".to_owned();
    };
    format!("{}.{}", thousandths / 10, thousandths % 10)
}

/// A part of a whole in thousandths, rounded half up; `None` where there is no whole.
pub(crate) fn share(part: u64, whole: u64) -> Option<u64> {
    let (part, whole) = (u128::from(part), u128::from(whole));
    let thousandths = (2000 * part + whole).checked_div(2 * whole)?;
    u64::try_from(thousandths).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_rounded_half_up_and_nothing_has_none() {
        let shares = [(1, 2), (1, 3), (2, 3), (1, 16), (7, 2), (0, 5)];
        let told = shares.map(|(part, whole)| percent(part, whole));
        assert_eq!(told, ["50.0", "33.3", "66.7", "6.3", "350.0", "0.0"]);
        assert_eq!((percent(0, 0).as_str(), share(0, 0)), ("–", None));
    }

    #[test]
    fn points_keep_their_sign_and_round_half_away_from_zero() {
        let rounded = [1255, -1255, 4, -4, 0, -700].map(points);
        assert_eq!(rounded, ["+1.26", "-1.26", "0.00", "0.00", "0.00", "-0.70"]);
        assert_eq!(exact_points(-4), "-0.004");
        assert_eq!(exact_points(12_345), "+12.345");
    }
}
