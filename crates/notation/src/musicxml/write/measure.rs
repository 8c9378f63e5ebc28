//! The measures of a part.

use super::bars;
use super::direction;
use super::harmony;
use super::note::{self, Head};
use super::xml::Xml;
use crate::musicxml::Options;
use crate::musicxml::page::Page;
use crate::{Accidentals, Measure, QUARTER, Ticks, TimeSignature};

/// Writes all measures.
pub(super) fn write(xml: &mut Xml, page: &Page, divisions: Ticks, options: Options) {
    let unit = QUARTER / divisions;
    let brackets = bars::brackets(&page.score.measures);
    let mut in_coda = false;
    let mut accidentals = Accidentals::default();
    let mut time = TimeSignature { beats: 4, unit: 4 };
    let mut number = 1;
    for (place, measure) in page.score.measures.iter().enumerate() {
        time = measure.time.unwrap_or(time);
        open(xml, measure, time, &mut number);
        let [begins, ends] = &brackets[place];
        bars::left(xml, measure, begins.as_ref());
        attributes(xml, measure, (place == 0).then_some(divisions));
        let feel = page.score.feel.as_deref().filter(|_| place == 0);
        direction::before(xml, measure, feel);

        if let Some(key) = measure.key {
            accidentals.key(key);
        }
        accidentals.bar_line();
        let mut symbols = measure.symbols.iter().peekable();
        for (at, written) in page.measures[place].notes.iter().enumerate() {
            let mut before = None;
            while let Some(symbol) = symbols.next_if(|s| s.at < written.at + written.ticks) {
                let offset = (symbol.at - written.at) / unit;
                let crowded = before == Some(symbol.at)
                    || symbols.peek().is_some_and(|next| next.at == symbol.at);
                harmony::write(xml, &symbol.symbol, offset, crowded);
                before = Some(symbol.at);
            }
            let held = at == 0 && same_as_before(page, place);
            let sign = written.note.and_then(|note| accidentals.sign(note, held));
            let head = Head {
                written,
                sign,
                duration: written.ticks / unit,
                rows: match options.under {
                    true => written.rows(&measure.events),
                    false => &[],
                },
            };
            note::write(xml, &head);
        }
        direction::after(xml, measure);
        in_coda |= measure.coda;
        bars::right(xml, measure, ends.as_ref(), in_coda);
        xml.close();
    }
}

/// Whether a measure begins with the very note that is tied into it.
fn same_as_before(page: &Page, place: usize) -> bool {
    let before = place
        .checked_sub(1)
        .and_then(|before| page.measures[before].notes.last());
    let first = page.measures[place].notes.first();
    match (before, first) {
        (Some(before), Some(first)) => first.held && before.note == first.note,
        _ => false,
    }
}

/// Begins a measure. A pick-up has number 0; one that is not as long as its time signature says
/// is marked as such.
fn open(xml: &mut Xml, measure: &Measure, time: TimeSignature, number: &mut usize) {
    let text = if measure.pickup { 0 } else { *number };
    *number += usize::from(!measure.pickup);
    if measure.pickup || measure.ticks != time.ticks() {
        xml.open("measure", &[("number", &text), ("implicit", &"yes")]);
    } else {
        xml.open("measure", &[("number", &text)]);
    }
}

/// Divisions, key, time and clef: all in the first measure, later what is new.
fn attributes(xml: &mut Xml, measure: &Measure, divisions: Option<Ticks>) {
    if divisions.is_none() && measure.key.is_none() && measure.time.is_none() {
        return;
    }
    xml.open("attributes", &[]);
    if let Some(divisions) = divisions {
        xml.leaf("divisions", divisions);
    }
    if let Some(key) = measure.key {
        xml.open("key", &[]);
        xml.leaf("fifths", key.fifths());
        let mode = match key.mode {
            linewright_theory::Mode::Major => "major",
            linewright_theory::Mode::Minor => "minor",
        };
        xml.leaf("mode", mode);
        xml.close();
    }
    if let Some(time) = measure.time {
        xml.open("time", &[]);
        xml.leaf("beats", time.beats);
        xml.leaf("beat-type", time.unit);
        xml.close();
    }
    if divisions.is_some() {
        xml.open("clef", &[]);
        xml.leaf("sign", "F");
        xml.leaf("line", 4);
        xml.close();
        xml.open("transpose", &[]);
        xml.leaf("diatonic", 0);
        xml.leaf("chromatic", 0);
        xml.leaf("octave-change", -1);
        xml.close();
    }
    xml.close();
}

#[cfg(test)]
mod tests {
    use crate::musicxml::{Options, read, write};
    use crate::{Event, Measure, QUARTER, Score, TimeSignature};

    #[test]
    fn a_courtesy_accidental_is_told_as_such_and_changes_nothing() {
        let time = TimeSignature { beats: 1, unit: 4 };
        let measures = ["F#2", "F2", "F2"].map(|name| {
            let mut measure = Measure::new(QUARTER);
            let note = name.parse().unwrap();
            measure.events.push(Event::note(0, QUARTER, note));
            measure
        });
        let mut score = Score {
            measures: measures.into(),
            ..Score::default()
        };
        score.measures[0].time = Some(time);
        let text = write(&score, &Options::default());
        let signs: Vec<&str> = text
            .lines()
            .map(str::trim)
            .filter(|line| line.starts_with("<accidental"))
            .collect();
        let courtesy = "<accidental cautionary=\"yes\" parentheses=\"yes\">natural</accidental>";
        assert_eq!(signs, ["<accidental>sharp</accidental>", courtesy]);
        assert_eq!(read(text.as_bytes(), None).unwrap().0, score);
    }
}
