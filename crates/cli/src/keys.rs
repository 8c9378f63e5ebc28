//! Keys that a chart is to be moved to.

use linewright::theory::{Interval, Name};
use linewright::{Chart, Key};

use crate::exit::Failure;
use crate::values;

/// A key as it was asked for.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct AskedKey {
    key: Key,
    /// Whether major or minor was told; a tonic alone leaves it to the chart.
    mode_told: bool,
}

impl AskedKey {
    /// Reads a key, such as `Bb`, `G minor` or `F#m`.
    pub fn read(text: &str) -> Result<Self, String> {
        Ok(Self {
            key: values::key(text)?,
            mode_told: text.trim().parse::<Name>().is_err(),
        })
    }

    /// The key to move a chart to. Moving keeps major and minor, so that a key of the other kind
    /// is refused.
    pub fn of(self, chart: &Chart) -> Result<Key, Failure> {
        let (asked, own) = (self.key, chart.key());
        if !self.mode_told || asked.mode == own.mode {
            return Ok(asked);
        }
        let mut hint = "ask for ".to_owned();
        if let Some(relative) = Key::from_fifths(asked.fifths(), own.mode) {
            hint += &format!("{relative}, the relative of {asked}, or for ");
        }
        let parallel = Key {
            mode: own.mode,
            ..asked
        };
        hint += &parallel.transposed(Interval::UNISON).to_string();
        if let Some(meant) = Key::from_fifths(own.fifths(), asked.mode)
            && !chart.tells_key()
        {
            hint += &format!(
                "; the key of the chart was inferred: if it is wrong, write it there, such as \
                 `key: {meant}`"
            );
        }
        Err(Failure::usage(format!(
            "the chart is in {own}, which cannot be moved to {asked}: major and minor stay\n  hint: {hint}"
        )))
    }

    /// The key to move a chart to where one was asked for.
    pub fn of_any(asked: Option<Self>, chart: &Chart) -> Result<Option<Key>, Failure> {
        asked.map(|asked| asked.of(chart)).transpose()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moved(chart: &str, key: &str) -> Result<String, String> {
        let chart = Chart::parse("test", chart.as_bytes()).expect("a chart");
        let key = AskedKey::read(key)?.of(&chart);
        key.map(|key| chart.transposed(&key).key().to_string())
            .map_err(|fault| format!("{fault:?}"))
    }

    #[test]
    fn a_tonic_alone_and_a_key_of_the_same_mode_move_the_chart() {
        let (major, minor) = ("key: F\n| F |", "key: Dm\n| Dm |");
        for (chart, key, there) in [
            (major, "G", "G major"),
            (major, " Bb ", "Bb major"),
            (major, "G major", "G major"),
            (minor, "G", "G minor"),
            (minor, "Gm", "G minor"),
            (minor, "F# minor", "F# minor"),
        ] {
            assert_eq!(moved(chart, key).as_deref(), Ok(there), "{key}");
        }
    }

    #[test]
    fn a_key_of_the_other_mode_is_refused_with_its_relative_and_the_charts_own_key() {
        for (chart, key, words) in [
            (
                "key: F\n| F |",
                "G minor",
                ["F major", "Bb major", "G major"],
            ),
            ("key: F\n| F |", "G#m", ["F major", "B major", "Ab major"]),
            (
                "key: Dm\n| Dm |",
                "C major",
                ["D minor", "A minor", "C minor"],
            ),
            (
                "| F | C7 | F |",
                "Gm",
                ["F major", "was inferred", "`key: D minor`"],
            ),
        ] {
            let told = moved(chart, key).expect_err(key);
            assert!(
                words.iter().all(|word| told.contains(word)),
                "{key}: {told}"
            );
        }
        let told = moved("key: F\n| F |", "Gm").unwrap_err();
        assert!(!told.contains("inferred"), "{told}");
    }
}
