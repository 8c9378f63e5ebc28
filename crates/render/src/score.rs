//! A line as a part as written.

use linewright_chart::{Harmony, TimelineBar};
use linewright_compose::{Line, Provenance, Role, Written};
use linewright_diagnostic::clean::one_line;
use linewright_notation::{
    BarLine, Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature,
};
use linewright_rulebook::Between;
use linewright_rulebook::plan::Cadence;
use linewright_theory::Note;

use crate::bars::cadence;
use crate::fingers::{Fingered, Fingers};
use crate::text::shown_functions;
use crate::wording;

/// What can stand under the notes.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Under {
    /// One row: the degree over the chord.
    Degrees,
    /// Two rows: the short words for the two strongest functions, as on the page.
    Functions,
    /// One row: under the notes that planned cadences land on, how they do, as the page has it
    /// in the heads of bars.
    Cadences,
    /// Two rows: the finger, and the string where it is another one than before.
    Fingering(Fingers),
}

/// What stands under the notes, with what has to be found for the whole line.
enum Row {
    Degrees,
    Functions,
    Cadences,
    Fingering(Fingered),
}

impl Row {
    fn new(line: &Line, under: Under) -> Self {
        match under {
            Under::Degrees => Row::Degrees,
            Under::Functions => Row::Functions,
            Under::Cadences => Row::Cadences,
            Under::Fingering(fingers) => Row::Fingering(Fingered::new(line, fingers)),
        }
    }
}

/// The line as a part: the bars as they are played, sections and chords where they begin
/// (and where a section does), and the notes with their spelling, held notes and rests filling every bar. Metre, key and tempo
/// stand where they are new; its [`Provenance`] is what it is about. `under` are the rows under the
/// notes, from the top.
pub fn score(line: &Line, under: &[Under]) -> Score {
    let timeline = &line.timeline;
    let rows: Vec<Row> = under.iter().map(|&under| Row::new(line, under)).collect();
    let mut writer = Writer::default();
    let mut measures: Vec<Measure> = timeline
        .bars
        .iter()
        .enumerate()
        .map(|(bar, played)| {
            let mut measure = writer.measure(played);
            measure.events = events(line, bar, &rows);
            if timeline
                .bars
                .get(bar + 1)
                .is_some_and(|next| next.section.is_some())
            {
                measure.right = BarLine::Double;
            }
            measure
        })
        .collect();
    if let Some(last) = measures.last_mut() {
        last.right = BarLine::Final;
    }
    let mut about = Provenance::of(line).facts();
    about.extend(remarks(&rows).map(|remark| ("fingering".to_owned(), remark)));
    Score {
        title: Some(one_line(&timeline.title)),
        composer: line.credits.composer.as_deref().map(one_line),
        student: line.credits.student.as_deref().map(one_line),
        feel: timeline.feel.as_deref().map(one_line),
        about,
        measures,
        ..Score::default()
    }
}

/// What belongs beside every fingering that stands under the notes: how, what cannot be
/// reached, and a caution.
pub(crate) fn fingering_remarks(line: &Line, under: &[Under]) -> Vec<String> {
    let rows: Vec<Row> = under.iter().map(|&under| Row::new(line, under)).collect();
    remarks(&rows).collect()
}

fn remarks(rows: &[Row]) -> impl Iterator<Item = String> {
    rows.iter().filter_map(|row| match row {
        Row::Fingering(fingered) => Some(fingered.remark()),
        Row::Degrees | Row::Functions | Row::Cadences => None,
    })
}

/// Ticks of so many beats: a beat is a quarter note.
fn ticks(beats: u8) -> Ticks {
    Ticks::from(beats) * QUARTER
}

/// What was last written of everything that is told where it is new.
#[derive(Default)]
struct Writer {
    time: Option<TimeSignature>,
    key: Option<linewright_theory::Key>,
    tempo: Option<u16>,
    harmony: Option<Harmony>,
}

impl Writer {
    /// A measure without notes.
    fn measure(&mut self, bar: &TimelineBar) -> Measure {
        let mut measure = Measure::new(ticks(bar.beats));
        measure.pickup = bar.pickup;
        measure.time = new(
            &mut self.time,
            TimeSignature {
                beats: bar.metre.beats,
                unit: bar.metre.unit,
            },
        );
        measure.key = new(&mut self.key, bar.key);
        measure.tempo = new(&mut self.tempo, bar.beats_a_minute());
        measure.section = bar.section.as_deref().map(one_line);
        // A section tells its chord anew, so that it can be read by itself.
        if bar.section.is_some() {
            self.harmony = None;
        }
        for span in &bar.spans {
            if let Some(harmony) = new(&mut self.harmony, span.harmony) {
                measure.symbols.push(SymbolAt {
                    at: ticks(span.start),
                    symbol: match harmony {
                        Harmony::Chord(chord) => Symbol::Chord(chord),
                        Harmony::NoChord => Symbol::NoChord,
                    },
                });
            }
        }
        measure
    }
}

/// The value, if it is not the one that was written last.
fn new<T: Copy + PartialEq>(written: &mut Option<T>, value: T) -> Option<T> {
    (written.replace(value) != Some(value)).then_some(value)
}

/// The notes and rests of a bar.
fn events(line: &Line, bar: usize, under: &[Row]) -> Vec<Event> {
    let row = line.written[bar].iter().enumerate();
    row.map(|(nth, written)| Event {
        under: texts(line, bar, nth, under),
        ..written.event.clone()
    })
    .collect()
}

/// What stands under a note or rest of a bar: nothing under what only goes on.
fn texts(line: &Line, bar: usize, nth: usize, rows: &[Row]) -> Vec<String> {
    let Written { event, role } = &line.written[bar][nth];
    let (Some(note), true) = (event.note, *role != Role::Held) else {
        return Vec::new();
    };
    let mut texts = Vec::new();
    for row in rows {
        match row {
            Row::Degrees => texts.push(degree(line, bar, event, note, *role)),
            Row::Functions => {
                let from = texts.len();
                texts.extend(functions(line, *role));
                texts.resize(from + 2, String::new());
            }
            Row::Cadences => texts.push(match role {
                Role::Walk(slot) => landing(line, *slot).unwrap_or_default(),
                _ => String::new(),
            }),
            Row::Fingering(fingered) => {
                let sound = fingered.sound_at(bar, nth);
                texts.push(sound.map_or_else(String::new, |sound| fingered.finger(sound)));
                let string = sound.map_or("", |sound| fingered.new_string(sound));
                texts.push(string.to_owned());
            }
        }
    }
    texts
}

/// The degree of a note over the chord that sounds; none where there is no chord, and of what
/// is only felt.
fn degree(line: &Line, bar: usize, event: &Event, note: Note, role: Role) -> String {
    match role {
        Role::Walk(slot) => line.reading.notes[slot].degree.to_string(),
        Role::Between(_) if !event.ghost => note
            .pitch()
            .and_then(|pitch| line.degree_at(bar, event.at, pitch))
            .map_or_else(String::new, |degree| degree.to_string()),
        _ => String::new(),
    }
}

/// The short words for what a note does, as the page has them.
fn functions(line: &Line, role: Role) -> Vec<String> {
    match role {
        Role::Walk(slot) => shown_functions(line, &line.reading.notes[slot])
            .map(wording::short_function)
            .collect(),
        Role::Between(between) => vec![between.short().to_owned()],
        Role::Pushed => vec![Between::Anticipation.short().to_owned()],
        Role::Held | Role::NoChord | Role::Rest => Vec::new(),
    }
}

/// The mark of the cadence that a note is the landing of: the first note of its bar or the last.
fn landing(line: &Line, nth: usize) -> Option<String> {
    let bar = line.plan.slots[nth].bar;
    let slots = &line.plan.bars[bar].slots;
    let (cadence, true) = cadence(line, bar)? else {
        return None;
    };
    let lands = match cadence {
        Cadence::BeatOne => slots.start,
        Cadence::OwnRoot | Cadence::NextRoot => slots.end - 1,
    };
    let mark = || format!("{}{}", wording::KEPT, wording::short_cadence(cadence));
    (lands == nth).then(mark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_lines::{BLUES, CHANGING, line};

    #[test]
    fn bars_are_filled_and_last_as_long_as_they_are_played() {
        for (chart, style) in [
            (BLUES, "plain"),
            (CHANGING, "plain"),
            (CHANGING, "two-feel"),
        ] {
            let line = line(chart, style, 4);
            let score = score(&line, &[]);
            assert_eq!(score.measures.len(), line.timeline.bars.len());
            for (measure, bar) in score.measures.iter().zip(&line.timeline.bars) {
                assert_eq!(measure.ticks, ticks(bar.beats));
                let mut end = 0;
                for event in &measure.events {
                    assert_eq!(event.at, end);
                    assert!(event.ticks > 0 && event.under.is_empty());
                    end += event.ticks;
                }
                assert_eq!(end, measure.ticks);
            }
            let notes = score.measures.iter().flat_map(|m| &m.events);
            let notes: Vec<_> = notes.filter_map(|event| event.note).collect();
            let read: Vec<_> = line.reading.notes.iter().map(|note| note.note).collect();
            assert_eq!(notes, read);
        }
    }

    #[test]
    fn everything_that_changes_stands_where_it_is_new() {
        let score = score(&line(CHANGING, "plain", 1), &[]);
        let metre = |measure: &Measure| measure.time.map(|time| time.beats);
        let metres: Vec<Option<u8>> = score.measures.iter().map(metre).collect();
        let four = [Some(4), None, None];
        let later = [Some(3), None, Some(5), Some(4)];
        assert_eq!(metres, [&four[..], &later[..]].concat());
        assert!(score.measures[0].pickup);
        assert_eq!(score.measures[0].ticks, QUARTER);
        let keys: Vec<String> = score
            .measures
            .iter()
            .filter_map(|m| m.key.map(|key| key.to_string()))
            .collect();
        assert_eq!(keys, ["D minor", "F major"]);
        let tempos: Vec<Option<u16>> = score.measures.iter().map(|m| m.tempo).collect();
        assert_eq!(tempos, [Some(140), None, None, None, Some(90), None, None]);
        let symbols: Vec<String> = score
            .measures
            .iter()
            .flat_map(|m| &m.symbols)
            .map(|s| format!("{} {}", s.at / QUARTER, s.symbol))
            .collect();
        assert_eq!(
            symbols,
            [
                "0 A7", "0 Dm7", "0 N.C.", "0 Em7b5", "2 A7b9", "0 Dm6", "0 Gm7", "3 C7",
                "0 Fmaj7", "2 N.C."
            ]
        );
        assert_eq!(score.measures[6].right, BarLine::Final);
    }

    #[test]
    fn sections_begin_after_a_double_bar_line() {
        let score = score(&line(BLUES, "plain", 1), &[]);
        let first = |section: &str| {
            score
                .measures
                .iter()
                .position(|m| m.section.as_deref() == Some(section))
        };
        assert_eq!((first("A"), first("B")), (Some(0), Some(4)));
        let same = line("[A]\n| C | % |\n[B]\n| % |\n", "plain", 1);
        let symbols = self::score(&same, &[]).measures;
        let symbols: Vec<usize> = symbols.iter().map(|m| m.symbols.len()).collect();
        assert_eq!(symbols, [1, 0, 1]);
        assert_eq!(score.measures[3].right, BarLine::Double);
        let line = line(BLUES, "plain", 1);
        assert_eq!(score.about, Provenance::of(&line).facts());
    }

    #[test]
    fn under_the_notes_stand_the_rows_that_are_asked_for() {
        let line = line(BLUES, "plain", 1);
        let score = score(&line, &[Under::Functions, Under::Degrees]);
        let mut words = 0;
        let notes = score.measures.iter().flat_map(|m| &m.events);
        for (event, read) in notes.filter(|e| e.note.is_some()).zip(&line.reading.notes) {
            let [first, second, degree] = &event.under[..] else {
                panic!("{:?}", event.under)
            };
            assert_eq!(*degree, read.degree.to_string());
            assert!(second.is_empty() || !first.is_empty());
            words += usize::from(!first.is_empty());
        }
        assert!(words > 0);
    }

    #[test]
    fn a_cadence_is_marked_under_the_note_that_it_lands_on() {
        let mut seen = std::collections::BTreeSet::new();
        for seed in 0..40 {
            let line = line(BLUES, "closing-four", seed);
            let score = score(&line, &[Under::Cadences]);
            for (bar, measure) in score.measures.iter().enumerate() {
                let notes: Vec<&Event> =
                    measure.events.iter().filter(|e| e.note.is_some()).collect();
                let marks: Vec<&str> = notes.iter().map(|e| &e.under[0][..]).collect();
                let kept = cadence(&line, bar).filter(|(_, kept)| *kept);
                let Some((cadence, _)) = kept else {
                    assert!(marks.iter().all(|mark| mark.is_empty()), "{marks:?}");
                    continue;
                };
                let (landing, mark) = match cadence {
                    Cadence::BeatOne => (0, "●1"),
                    Cadence::OwnRoot => (notes.len() - 1, "●own"),
                    Cadence::NextRoot => (notes.len() - 1, "●next"),
                };
                assert_eq!(marks[landing], mark);
                assert_eq!(marks.iter().filter(|mark| !mark.is_empty()).count(), 1);
                seen.insert(mark);
            }
        }
        assert!(seen.len() >= 2, "{seen:?}");
    }

    #[test]
    fn under_the_notes_stand_fingers_and_strings_where_they_change() {
        let line = line(BLUES, "plain", 1);
        let score = score(&line, &[Under::Fingering(Fingers::default())]);
        let fingered = Fingered::new(&line, Fingers::default());
        let notes = score.measures.iter().flat_map(|m| &m.events);
        let mut string = String::new();
        for (nth, event) in notes.filter(|event| event.note.is_some()).enumerate() {
            let [finger, new_string] = &event.under[..] else {
                panic!("{:?}", event.under)
            };
            let place = fingered.place(nth).expect("a note on the neck");
            assert_eq!(*finger, place.finger.to_string());
            assert_eq!(new_string.is_empty(), string == place.string_number());
            place.string_number().clone_into(&mut string);
        }
        let told = score.about.iter().find(|(name, _)| name == "fingering");
        let (_, remark) = told.expect("how it is fingered");
        assert!(remark.starts_with("double bass, open strings"), "{remark}");
        assert!(remark.contains("doctor"), "{remark}");
    }
}
