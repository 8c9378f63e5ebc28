//! The timeline: the bars in the order in which they are played.

use linewright_diagnostic::{Diagnostic, Diagnostics};
use linewright_theory::Key;

use crate::MAX_BARS;
use crate::harmony::{Harmony, Span};
use crate::metre::Metre;
use crate::walk;
use crate::written::{Chart, Content, WrittenBar};

/// Tempo of a chart that does not tell its own, in beats a minute.
pub const DEFAULT_TEMPO: u16 = 140;

/// The bars of a chart in the order in which they are played.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Timeline {
    /// The title, `Untitled` when the chart tells none.
    pub title: String,
    /// Who wrote the tune, if told.
    pub composer: Option<String>,
    /// The key at the start.
    pub key: Key,
    /// The tempo at the start in beats (quarter notes) a minute, if told.
    pub tempo: Option<u16>,
    /// The feel, if told.
    pub feel: Option<String>,
    /// How many times the form is played, at least 1.
    pub choruses: usize,
    /// The bars as played, those of all choruses; never empty.
    pub bars: Vec<TimelineBar>,
}

/// One bar as played.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TimelineBar {
    /// Number of the written bar, counted from 1; 0 for the pick-up bar.
    pub written: usize,
    /// The metre in force.
    pub metre: Metre,
    /// The beats of this bar; fewer than those of the metre in a pick-up bar.
    pub beats: u8,
    /// The bar is the pick-up.
    pub pickup: bool,
    /// The key in force.
    pub key: Key,
    /// The tempo in force in beats (quarter notes) a minute, if told.
    pub tempo: Option<u16>,
    /// A section of this name begins here.
    pub section: Option<String>,
    /// The harmonies, in order; they cover the bar exactly, and neighbours in
    /// a bar differ.
    pub spans: Vec<Span>,
}

impl TimelineBar {
    /// The tempo in force in beats a minute, [`DEFAULT_TEMPO`] where none is told.
    pub fn beats_a_minute(&self) -> u16 {
        self.tempo.unwrap_or(DEFAULT_TEMPO)
    }

    /// What sounds on a beat counted from 0, or `None` after the end of the
    /// bar.
    pub fn harmony_at(&self, beat: u8) -> Option<&Harmony> {
        let covers = |span: &&Span| (span.start..span.end()).contains(&beat);
        self.spans.iter().find(covers).map(|span| &span.harmony)
    }
}

impl Timeline {
    /// The tempo at the start in beats a minute, [`DEFAULT_TEMPO`] where none is told.
    pub fn beats_a_minute(&self) -> u16 {
        self.tempo.unwrap_or(DEFAULT_TEMPO)
    }

    /// The length in beats.
    pub fn beats(&self) -> usize {
        self.bars.iter().map(|bar| usize::from(bar.beats)).sum()
    }

    /// How many bars come before bar 1: one where the tune has a pick-up,
    /// else none.
    pub fn pickups(&self) -> usize {
        usize::from(self.bars.first().is_some_and(|bar| bar.pickup))
    }

    /// The number of the bar at this index as players count it: from 1, over
    /// all choruses; a pick-up bar is 0.
    pub fn bar_number(&self, index: usize) -> usize {
        index + 1 - self.pickups()
    }

    /// Everything that is played here, played `count` times in a row; a
    /// pick-up bar comes once only.
    ///
    /// # Errors
    /// When `count` is 0, or when the result has more than
    /// [`MAX_BARS`] bars.
    pub fn choruses(&self, count: usize) -> Result<Timeline, Diagnostics> {
        let fault = |message: String, hint: String| {
            Diagnostic::error(message, hint).within(&self.title).into()
        };
        if count == 0 {
            return Err(fault(
                "a tune cannot be played 0 times".into(),
                "ask for at least one chorus".into(),
            ));
        }
        let pickups = self.pickups();
        let form = self.bars.len() - pickups;
        let room = (MAX_BARS - pickups) / form.max(1);
        if count > room.max(1) {
            return Err(fault(
                format!("{count} choruses of {form} bars make more than {MAX_BARS} bars"),
                format!("ask for at most {}", room.max(1)),
            ));
        }
        let mut whole = self.clone();
        whole.choruses = self.choruses.saturating_mul(count);
        for _ in 1..count {
            whole.bars.extend_from_slice(&self.bars[pickups..]);
        }
        Ok(whole)
    }
}

impl Chart {
    /// The bars in the order in which they are played: repeats, endings and
    /// jumps are carried out, one chorus long.
    ///
    /// Metre, key and tempo are those in force at the written bar.
    ///
    /// # Errors
    /// When the road map cannot be played. A chart that was read from text has
    /// passed this check, and transposing keeps it.
    pub fn unroll(&self) -> Result<Timeline, Diagnostics> {
        let order = walk::order(&self.bars).map_err(|troubles| {
            let first = troubles.into_iter().next();
            first.map_or_else(Diagnostics::default, |trouble| {
                trouble.what.within(self.title()).into()
            })
        })?;
        let page = self.resolved();
        Ok(Timeline {
            title: self.title().to_owned(),
            composer: self.composer.clone(),
            key: self.key,
            tempo: self.tempo,
            feel: self.feel.clone(),
            choruses: 1,
            bars: order.into_iter().map(|index| page[index].clone()).collect(),
        })
    }

    /// The bars of the page with everything said out: what `%` and `/` stand
    /// for, and the key and tempo in force.
    pub(crate) fn resolved(&self) -> Vec<TimelineBar> {
        let mut page: Vec<TimelineBar> = Vec::with_capacity(self.bars.len());
        let (mut key, mut tempo) = (self.key, self.tempo);
        for bar in &self.bars {
            key = bar.new_key.unwrap_or(key);
            tempo = bar.new_tempo.or(tempo);
            page.push(TimelineBar {
                written: bar.number,
                metre: bar.metre,
                beats: bar.beats,
                pickup: bar.pickup,
                key,
                tempo,
                section: bar.section.clone(),
                spans: spans(bar, page.last()),
            });
        }
        page
    }
}

/// The harmonies of a written bar, given the bar before it on the page.
fn spans(bar: &WrittenBar, before: Option<&TimelineBar>) -> Vec<Span> {
    let before = before.map_or(&[][..], |before| &before.spans);
    let written = match &bar.content {
        Content::Same => return before.to_vec(),
        Content::Chords(written) => written,
    };
    let mut spans: Vec<Span> = Vec::with_capacity(written.len());
    let mut start = 0;
    for part in written {
        let held = || before.last().map(|span| span.harmony);
        let harmony = part.harmony.or_else(held).unwrap_or(Harmony::NoChord);
        match spans.last_mut() {
            Some(last) if last.harmony == harmony => last.beats += part.beats,
            _ => spans.push(Span {
                start,
                beats: part.beats,
                harmony,
            }),
        }
        start += part.beats;
    }
    spans
}
