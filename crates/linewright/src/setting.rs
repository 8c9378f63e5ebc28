//! How a chart is to be played: in which key, how fast, how often.

use linewright_chart::{Chart, Timeline};
use linewright_diagnostic::Diagnostics;
use linewright_theory::Key;

/// How a chart is to be played. The default is as written, once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// The key to move the chart to; its mode stays that of the chart.
    pub key: Option<Key>,
    /// One tempo for the whole piece, in beats (quarter notes) a minute; the chart's own
    /// tempos otherwise.
    pub tempo: Option<u16>,
    /// How many times the form is played.
    pub choruses: usize,
}

impl Default for Setting {
    fn default() -> Self {
        Self {
            key: None,
            tempo: None,
            choruses: 1,
        }
    }
}

impl Setting {
    /// The bars of a chart as they are played in this setting.
    ///
    /// # Errors
    /// No choruses, or more bars than a timeline may have.
    pub fn timeline(&self, chart: &Chart) -> Result<Timeline, Diagnostics> {
        let mut timeline = match &self.key {
            Some(key) => chart.transposed(key).unroll()?,
            None => chart.unroll()?,
        };
        if let Some(tempo) = self.tempo {
            timeline.tempo = Some(tempo);
            for bar in &mut timeline.bars {
                bar.tempo = Some(tempo);
            }
        }
        timeline.choruses(self.choruses)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> Chart {
        let text = "key: Am\npickup: 1\n| E7 | Am | (tempo: 90) E7 |\n";
        Chart::parse("test", text.as_bytes()).unwrap()
    }

    #[test]
    fn one_tempo_replaces_every_tempo_of_the_chart() {
        let setting = Setting {
            tempo: Some(200),
            ..Setting::default()
        };
        let timeline = setting.timeline(&chart()).unwrap();
        assert_eq!(timeline.tempo, Some(200));
        assert!(timeline.bars.iter().all(|bar| bar.tempo == Some(200)));
    }

    #[test]
    fn a_key_moves_the_chords_and_keeps_the_mode() {
        let setting = Setting {
            key: Some("C".parse().unwrap()),
            ..Setting::default()
        };
        let timeline = setting.timeline(&chart()).unwrap();
        assert_eq!(timeline.key.to_string(), "C minor");
        assert_eq!(timeline.bars[1].spans[0].harmony.to_string(), "Cm");
    }

    #[test]
    fn choruses_repeat_the_form_without_its_pick_up_and_none_is_refused() {
        let bars = |choruses| {
            Setting {
                choruses,
                ..Setting::default()
            }
            .timeline(&chart())
            .map(|t| t.bars.len())
        };
        assert_eq!(bars(3), Ok(7));
        assert!(bars(0).is_err());
    }
}
