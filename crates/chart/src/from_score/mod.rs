//! A lead sheet as written in another format → a chart.
//!
//! What a chart cannot say is said as near as it can be, and told; what would change the music
//! is refused, with its measure:
//!
//! - **Metres.** 2/4 to 7/4 stay. What lasts as many quarter notes is that metre: 2/2 is read
//!   as 4/4, 3/2 as 6/4. 6/8, 9/8 and 12/8 and their like are counted in dotted quarters, so
//!   that 12/8 becomes 4/4 with the tempo of its beats: a walking line has a note a beat there
//!   too (common practice, no source). 3/8, 5/8, 7/8 and whatever else counts in no whole beats
//!   is refused.
//! - **Short measures.** The first one is the pick-up. Two that make a full measure together
//!   are one bar; a repeat sign between them moves to the next bar line. The short last measure
//!   that makes up for a pick-up is filled up. Other measures of whole beats change the metre
//!   for themselves.
//! - **Chords** are moved to the nearest beat, and a chord half a beat before a beat to that
//!   beat. A measure without symbols holds the last chord; a later ending without one that of
//!   the bar before the first ending.
//! - **Signs** that no jump uses are left out.

mod bars;
mod chords;
mod metre;
#[cfg(test)]
mod tests;

use linewright_diagnostic::{Diagnostics, Place, clean::one_line};
use linewright_notation::Score;

use crate::MAX_BARS;
use crate::infer;
use crate::walk;
use crate::written::{Chart, WrittenBar};

/// The longest title, name or feel, in characters.
const LONGEST_WORDS: usize = 200;

/// The longest name of a section, in characters.
const LONGEST_SECTION: usize = 40;

/// Tempos that a chart can have, in beats a minute.
const TEMPOS: std::ops::RangeInclusive<u16> = 20..=400;

impl Chart {
    /// The chart of a lead sheet or a part with chord symbols, and what was read otherwise than
    /// it stands there.
    ///
    /// Notes are left aside. Everything that the chart has can be printed and read again.
    ///
    /// # Errors
    /// All faults, each with its measure (counted from 1 as written): symbols that are no
    /// chords, metres and lengths that a chart cannot have, a road map that cannot be played.
    pub fn from_score(score: &Score) -> Result<(Chart, Diagnostics), Diagnostics> {
        let mut found = Diagnostics::default();
        if score.measures.iter().all(|m| m.symbols.is_empty()) {
            return Err(Diagnostics::one(
                Place::Whole,
                "there are no chord symbols",
                "give a lead sheet, or a part that has its chords written above it",
            ));
        }
        let mut drafts = bars::drafts(score, &mut found);
        bars::complete_repeats(&mut drafts);
        bars::drop_unused_signs(&mut drafts, &mut found);
        let contents = chords::contents(&mut drafts, &mut found);
        if drafts.len() > MAX_BARS {
            found.error(
                Place::Whole,
                format!("the piece has more than {MAX_BARS} bars"),
                "split it into several charts",
            );
        }
        if drafts.is_empty() && !found.has_errors() {
            found.error(
                Place::Whole,
                "there is no full bar",
                "give a piece of at least one bar",
            );
        }
        let ((), mut found) = found.judge(())?;
        let measures: Vec<usize> = drafts.iter().map(|draft| draft.measure).collect();
        let (chart, bars) = begin(score, drafts, contents, &mut found);
        if let Err(troubles) = walk::order(&bars) {
            for trouble in troubles {
                found.add(trouble.what.at(Place::Measure(measures[trouble.bar])));
            }
        }
        let mut chart = Chart { bars, ..chart };
        if chart.told_key.is_none() {
            chart.key = infer::key(&chart.resolved());
        }
        found.judge(chart)
    }
}

/// A chart without bars, and its bars with everything that changes in them.
fn begin(
    score: &Score,
    drafts: Vec<bars::Draft>,
    contents: Vec<crate::Content>,
    found: &mut Diagnostics,
) -> (Chart, Vec<WrittenBar>) {
    let metre = drafts[0].metre;
    let told_key = drafts[0].key;
    let (mut now_metre, mut now_key) = (metre, told_key);
    let (mut tempo, mut quarters): (Option<u16>, Option<u16>) = (None, None);
    let mut first_tempo = None;
    let mut bars: Vec<WrittenBar> = Vec::with_capacity(drafts.len());
    let first_number = usize::from(!drafts[0].pickup);
    for (nth, (draft, content)) in drafts.into_iter().zip(contents).enumerate() {
        quarters = draft.tempo.or(quarters);
        let new_tempo = quarters
            .map(|quarters| metre::beats_a_minute(quarters, draft.beat))
            .filter(|new| tempo != Some(*new));
        tempo = new_tempo.or(tempo);
        let playable = new_tempo.filter(|tempo| TEMPOS.contains(tempo));
        if let (Some(odd), None) = (new_tempo, playable) {
            found.remark(
                Place::Measure(draft.measure),
                format!("a tempo of {odd} beats a minute was left out"),
                format!("a chart has {} to {}", TEMPOS.start(), TEMPOS.end()),
            );
        }
        let new_key = draft.key.filter(|key| now_key != Some(*key));
        now_key = draft.key.or(now_key);
        let new_metre = (draft.metre != now_metre).then_some(draft.metre);
        now_metre = draft.metre;
        if nth == 0 {
            first_tempo = playable;
        }
        bars.push(WrittenBar {
            number: first_number + nth,
            pickup: draft.pickup,
            metre: draft.metre,
            beats: draft.beats,
            section: draft.section.as_deref().and_then(section),
            new_metre,
            new_key,
            new_tempo: playable.filter(|_| nth > 0),
            opens_repeat: draft.opens_repeat,
            ending: draft.ending,
            segno: draft.segno,
            coda: draft.coda,
            content,
            to_coda: draft.to_coda,
            fine: draft.fine,
            jump: draft.jump,
            right: draft.right,
        });
    }
    let chart = Chart {
        title: score.title.as_deref().and_then(words),
        composer: score.composer.as_deref().and_then(words),
        told_key,
        key: told_key.unwrap_or_else(infer::c_major),
        metre,
        tempo: first_tempo,
        feel: score.feel.as_deref().and_then(words),
        bars: Vec::new(),
    };
    (chart, bars)
}

/// Free text as a header line can hold it: single blanks, and no `#` where it would begin a
/// comment.
fn words(text: &str) -> Option<String> {
    let plain = one_line(text);
    let numbered = |word: &str| match word.strip_prefix('#') {
        Some(rest) => format!("no. {}", rest.trim_start_matches('#')),
        None => word.to_owned(),
    };
    let words: Vec<String> = plain.split_whitespace().map(numbered).collect();
    let text: String = words.join(" ").chars().take(LONGEST_WORDS).collect();
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// A section's name without what would end it.
fn section(name: &str) -> Option<String> {
    let plain: String = one_line(name)
        .chars()
        .map(|c| match c {
            '[' => '(',
            ']' => ')',
            '|' => '/',
            c => c,
        })
        .collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let name: String = words.join(" ").chars().take(LONGEST_SECTION).collect();
    let name = name.trim();
    (!name.is_empty()).then(|| name.to_owned())
}
