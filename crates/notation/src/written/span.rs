//! The stretches of a measure, before they are note heads.

use super::WrittenNote;
use super::tuplet::Window;
use crate::{Event, Ticks};

/// A stretch of a measure with one event or none.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Span {
    pub at: Ticks,
    pub ticks: Ticks,
    /// The place of its event; `None` in a gap.
    pub of: Option<usize>,
    /// Whether the event begins here.
    pub begins: bool,
    /// Whether somebody wrote it so: then a rest is not written otherwise where it can stay.
    pub given: bool,
}

impl Span {
    pub fn end(&self) -> Ticks {
        self.at + self.ticks
    }

    /// The stretch of a note head.
    pub fn written(note: &WrittenNote) -> Self {
        Self {
            at: note.at,
            ticks: note.ticks,
            of: note.of,
            begins: note.begins,
            given: true,
        }
    }

    /// The part of it from one place to another.
    fn part(self, from: Ticks, to: Ticks) -> Self {
        Self {
            at: from,
            ticks: to - from,
            begins: self.begins && from == self.at,
            ..self
        }
    }

    /// Its parts inside and outside tuplets.
    pub fn parts(self, windows: &[Window]) -> Vec<(Span, Option<&Window>)> {
        let mut parts = Vec::new();
        let mut now = self.at;
        let first = windows.partition_point(|window| window.end() <= self.at);
        for window in windows[first..].iter().take_while(|w| w.at < self.end()) {
            if now < window.at {
                parts.push((self.part(now, window.at), None));
                now = window.at;
            }
            let end = window.end().min(self.end());
            parts.push((self.part(now, end), Some(window)));
            now = end;
        }
        if now < self.end() {
            parts.push((self.part(now, self.end()), None));
        }
        parts
    }
}

/// The events of a measure this long in order, cut where they overlap, with the gaps between them.
pub(super) fn spans(events: &[Event], ticks: Ticks) -> Vec<Span> {
    let mut order: Vec<usize> = (0..events.len()).filter(|&e| events[e].ticks > 0).collect();
    order.sort_by_key(|&event| events[event].at);
    let gap = |from: Ticks, to: Ticks| Span {
        at: from,
        ticks: to - from,
        of: None,
        begins: false,
        given: false,
    };
    let mut spans: Vec<Span> = Vec::new();
    let mut now = 0;
    for (rank, &place) in order.iter().enumerate() {
        let event = &events[place];
        let next = order.get(rank + 1).map_or(ticks, |&next| events[next].at);
        let end = event.at.saturating_add(event.ticks).min(next).min(ticks);
        if end <= event.at {
            continue;
        }
        if event.at > now {
            spans.push(gap(now, event.at));
        }
        spans.push(Span {
            of: Some(place),
            begins: true,
            given: true,
            ..gap(event.at, end)
        });
        now = end;
    }
    if now < ticks {
        spans.push(gap(now, ticks));
    }
    spans
}

/// The same, cut at more places.
pub(super) fn cut_at(spans: Vec<Span>, places: impl Iterator<Item = Ticks>) -> Vec<Span> {
    let mut places: Vec<Ticks> = places.collect();
    places.sort_unstable();
    places.dedup();
    let mut cut = Vec::with_capacity(spans.len() + places.len());
    for span in spans {
        let first = places.partition_point(|&place| place <= span.at);
        let inside = places[first..].iter().take_while(|&&p| p < span.end());
        let mut now = span.at;
        for &place in inside {
            cut.push(span.part(now, place));
            now = place;
        }
        cut.push(span.part(now, span.end()));
    }
    cut
}
