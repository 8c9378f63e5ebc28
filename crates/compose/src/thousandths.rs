//! Whole thousandths as decimal numbers, and back.

/// Thousandths without trailing zeros: `0.7`, `-12`.
pub fn decimal(thousandths: i64) -> String {
    let sign = if thousandths < 0 { "-" } else { "" };
    let size = thousandths.unsigned_abs();
    let text = format!("{sign}{}.{:03}", size / 1000, size % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The thousandths in a number that [`decimal`] wrote; `None` for another text.
pub fn read(text: &str) -> Option<i64> {
    let (sign, size) = match text.strip_prefix('-') {
        Some(size) => (-1, size),
        None => (1, text),
    };
    let (whole, digits) = size.split_once('.').unwrap_or((size, "0"));
    let is_number = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if !is_number(whole) || !is_number(digits) || digits.len() > 3 {
        return None;
    }
    let part: i64 = format!("{digits:0<3}").parse().ok()?;
    let whole: i64 = whole.parse().ok()?;
    Some(sign * whole.checked_mul(1000)?.checked_add(part)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousandths_end_where_their_digits_end_and_come_back() {
        let told = [700, 1000, 1050, 0, -4, 105_300].map(decimal);
        assert_eq!(told, ["0.7", "1", "1.05", "0", "-0.004", "105.3"]);
        for number in [0, 1, -1, 999, -1000, 1001, 12_340, i64::MAX, -i64::MAX] {
            assert_eq!(read(&decimal(number)), Some(number));
        }
        for text in [
            "",
            "-",
            ".5",
            "1.",
            "1.0001",
            "+1",
            "1 ",
            "9223372036854775807",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
