//! Chord symbols by place → what is written in each bar, beat by beat.

use linewright_diagnostic::{Diagnostics, Place, clean::quoted};
use linewright_notation::{Symbol, Ticks};
use linewright_theory::Chord;

use super::bars::Draft;
use crate::harmony::Harmony;
use crate::written::{BarLine, Content, WrittenSpan};

/// What is written in each bar.
pub(super) fn contents(drafts: &mut [Draft], found: &mut Diagnostics) -> Vec<Content> {
    let placed = on_beats(drafts, found);
    let mut writer = Writer::default();
    drafts
        .iter()
        .zip(placed)
        .map(|(draft, chords)| writer.bar(draft, &chords))
        .collect()
}

/// A chord and the beat where it begins.
type OnBeat = (u8, Harmony);

/// The chords of each bar on its beats, in order.
fn on_beats(drafts: &mut [Draft], found: &mut Diagnostics) -> Vec<Vec<OnBeat>> {
    let mut moved = Tally::default();
    let mut dropped = Tally::default();
    let mut all: Vec<Vec<OnBeat>> = Vec::with_capacity(drafts.len());
    let mut unread = Vec::new();
    for nth in 0..drafts.len() {
        let mut symbols = std::mem::take(&mut drafts[nth].symbols);
        symbols.sort_by_key(|(at, _)| *at);
        let (number, beat, beats) = {
            let draft = &drafts[nth];
            (draft.measure, draft.beat, Ticks::from(draft.beats))
        };
        let mut chords: Vec<(OnBeat, bool)> = Vec::new();
        for (at, symbol) in symbols {
            let harmony = match symbol {
                Symbol::Chord(chord) => Harmony::Chord(chord),
                Symbol::NoChord => Harmony::NoChord,
                Symbol::Unread(text) => match without_bass(&text) {
                    Some(chord) => {
                        found.remark(
                            Place::Measure(number),
                            format!("{} has a bass that cannot be read", quoted(&text)),
                            format!("it was read as {chord}"),
                        );
                        Harmony::Chord(chord)
                    }
                    None => {
                        unread.push((
                            Place::Measure(number),
                            format!("{} is no chord symbol that can be read", quoted(&text)),
                        ));
                        continue;
                    }
                },
            };
            let exact = at.is_multiple_of(beat);
            // Half a beat before a beat counts as that beat.
            let mut on = (at.saturating_add(beat / 2)) / beat;
            if on >= beats {
                if !matches!(drafts[nth].right, BarLine::Repeat(_) | BarLine::Final)
                    && drafts[nth].jump.is_none()
                    && let Some(next) = drafts.get_mut(nth + 1)
                    && next.symbols.iter().all(|(at, _)| *at >= next.beat / 2)
                {
                    moved.add(number);
                    next.symbols.insert(0, (0, back(harmony)));
                    continue;
                }
                on = beats - 1;
            }
            if !exact || at != on * beat {
                moved.add(number);
            }
            let on = u8::try_from(on).unwrap_or(0);
            match chords.last_mut().filter(|((last, _), _)| *last == on) {
                // Of two on one beat the one that was written there stays.
                Some(_) if !exact => dropped.add(number),
                Some((last, was_exact)) => {
                    dropped.add(number);
                    if !*was_exact {
                        (*last, *was_exact) = ((on, harmony), true);
                    }
                }
                None => chords.push(((on, harmony), exact)),
            }
        }
        all.push(chords.into_iter().map(|(chord, _)| chord).collect());
    }
    // One odd symbol among many is told; where nothing can be read, there is no chart.
    let is_chord = |(_, harmony): &OnBeat| matches!(harmony, Harmony::Chord(_));
    let chords = all.iter().flatten().any(is_chord);
    for (place, message) in unread {
        let hint = "write the chord another way, for example Bbmaj7 or F#m7b5; the one before goes \
                    on";
        if chords {
            found.remark(place, message, hint);
        } else {
            found.error(place, message, hint);
        }
    }
    moved.tell(
        found,
        "chords stand beside the beats",
        "they were moved to the nearest beat",
    );
    dropped.tell(
        found,
        "two chords fall on one beat",
        "one of them was left out; a chart has at most one chord a beat",
    );
    all
}

/// The chord of a symbol whose bass cannot be read.
fn without_bass(text: &str) -> Option<Chord> {
    let (chord, _) = text.split_once('/')?;
    Chord::parse(chord.trim()).ok()
}

/// Counts something, and remembers where it was first.
#[derive(Default)]
struct Tally {
    first: Option<usize>,
    count: usize,
}

impl Tally {
    fn add(&mut self, number: usize) {
        self.first.get_or_insert(number);
        self.count += 1;
    }

    fn tell(&self, found: &mut Diagnostics, what: &str, hint: &str) {
        if let Some(first) = self.first {
            let times = match self.count {
                1 => "once".to_owned(),
                many => format!("{many} times, first here"),
            };
            found.remark(Place::Measure(first), format!("{what}: {times}"), hint);
        }
    }
}

/// A harmony as the symbol that it was.
fn back(harmony: Harmony) -> Symbol {
    match harmony {
        Harmony::Chord(chord) => Symbol::Chord(chord),
        Harmony::NoChord => Symbol::NoChord,
    }
}

/// What sounds, as the page is read from bar to bar.
#[derive(Default)]
struct Writer {
    /// What sounds at the end of the bar before on the page.
    before: Option<Harmony>,
    /// The length of that bar, and whether one harmony fills it.
    filled: Option<u8>,
    /// What sounded before the first ending.
    fork: Option<Harmony>,
    /// An ending was closed just now, or is open.
    in_endings: bool,
    closed: bool,
}

impl Writer {
    fn bar(&mut self, draft: &Draft, chords: &[OnBeat]) -> Content {
        let sounding = self.sounding(draft);
        let holds = sounding.is_some() && sounding == self.before;
        let mut spans: Vec<WrittenSpan> = Vec::new();
        let mut add = |beats: u8, harmony: Option<Harmony>| match spans.last_mut() {
            Some(last) if last.harmony == harmony => last.beats += beats,
            _ => spans.push(WrittenSpan { beats, harmony }),
        };
        let first = chords.first().map_or(draft.beats, |(on, _)| *on);
        if first > 0 {
            let told = sounding.unwrap_or(Harmony::NoChord);
            add(first, Some(told).filter(|_| !holds));
        }
        for (nth, (on, harmony)) in chords.iter().enumerate() {
            let until = chords.get(nth + 1).map_or(draft.beats, |(next, _)| *next);
            add(until - on, Some(*harmony));
        }
        let same = chords.is_empty() && holds && self.filled == Some(draft.beats);
        let last = chords.last().map(|(_, harmony)| *harmony);
        self.before = last.or(sounding).or(Some(Harmony::NoChord));
        self.filled = (spans.len() == 1).then_some(draft.beats);
        self.closed = matches!(draft.right, BarLine::Repeat(_));
        if same {
            Content::Same
        } else {
            Content::Chords(spans)
        }
    }

    /// What sounds when the bar begins: after the first ending what sounded before it.
    fn sounding(&mut self, draft: &Draft) -> Option<Harmony> {
        if draft.opens_repeat || (self.closed && draft.ending.is_empty()) {
            self.in_endings = false;
        }
        if draft.ending.is_empty() {
            return self.before;
        }
        if self.in_endings && self.closed {
            return self.fork;
        }
        self.in_endings = true;
        self.fork = self.before;
        self.before
    }
}
