//! A line in its keys.

use linewright_compose::{Line, Provenance, Role, Written};
use linewright_rulebook::plan::Slot;
use linewright_rulebook::{Finding, Function, Place};
use linewright_theory::note_name;

use super::line::{
    Bar, BarPlan, Chord, Event, Found, Heard, Instrument, LineText, MadeBy, Named, Note, Range,
};
use super::{FORMAT, VERSION};

impl LineText {
    pub(super) fn of(line: &Line) -> Self {
        let made = Provenance::of(line);
        Self {
            format: FORMAT.into(),
            version: VERSION,
            made_by: MadeBy::of(&made),
            title: line.timeline.title.clone(),
            composer: line.credits.composer.clone(),
            student: line.credits.student.clone(),
            key: made.key.to_string(),
            tempo_bpm: made.tempo.map_or(0, |tempo| tempo.first),
            choruses: made.choruses,
            instrument: Instrument {
                name: made.instrument.unwrap_or_default(),
                program: made.program.unwrap_or_default(),
            },
            range: Range {
                low: made.low.map(note_name).unwrap_or_default(),
                high: made.high.map(note_name).unwrap_or_default(),
            },
            score_millipoints: made.score,
            bars: bars(line),
            notes: notes(line),
            written: Some(written(line)),
            findings: {
                let findings = line.reading.findings.iter();
                findings.map(|finding| found(line, finding)).collect()
            },
        }
    }
}

fn bars(line: &Line) -> Vec<Bar> {
    let mut heard = line.reading.bars.iter().peekable();
    let mut bars = Vec::with_capacity(line.timeline.bars.len());
    for (index, (bar, plan)) in line.timeline.bars.iter().zip(&line.plan.bars).enumerate() {
        let reading = heard.next_if(|reading| reading.bar == index);
        bars.push(Bar {
            number: line.timeline.bar_number(index),
            written: bar.written,
            section: bar.section.clone(),
            metre: bar.metre.to_string(),
            beats: bar.beats,
            key: bar.key.to_string(),
            tempo_bpm: bar.beats_a_minute(),
            chords: bar
                .spans
                .iter()
                .map(|span| Chord {
                    beat: span.start + 1,
                    beats: span.beats,
                    symbol: span.harmony.to_string(),
                })
                .collect(),
            plan: BarPlan {
                phrase: plan.phrase + 1,
                place: plan.place + 1,
                role: plan.role.to_string(),
                tension_thousandths: plan.tension,
                clarity: plan.clarity.to_string(),
                cadence: plan.cadence.map(|cadence| cadence.to_string()),
                centre_midi: plan.centre.midi(),
                shift: plan.shift,
            },
            heard: reading.map(|reading| Heard {
                degrees: reading.cell.iter().map(ToString::to_string).collect(),
                clarity_millinats: reading.clarity,
                tension_thousandths: reading.tension,
                cadence: reading.cadence.map(|cadence| cadence.to_string()),
            }),
        });
    }
    bars
}

fn notes(line: &Line) -> Vec<Note> {
    let note = |(slot, note): (&Slot, &linewright_rulebook::NoteReading)| Note {
        bar: line.timeline.bar_number(slot.bar),
        beat: slot.beat + 1,
        beats: slot.beats,
        midi: Some(note.pitch.midi()),
        name: note.note.to_string(),
        degree: note.degree.to_string(),
        functions: note.functions.iter().map(named).collect(),
        millipoints: note.points,
    };
    line.plan
        .slots
        .iter()
        .zip(&line.reading.notes)
        .map(note)
        .collect()
}

fn written(line: &Line) -> Vec<Event> {
    let event = |bar: usize, Written { event, role }: &Written| {
        let (role, note, between) = match *role {
            Role::Walk(slot) => ("walk", Some(slot + 1), None),
            Role::Pushed => ("pushed", None, None),
            Role::Held => ("held", None, None),
            Role::Between(between) => ("between", None, Some(between.name())),
            Role::NoChord => ("no chord", None, None),
            Role::Rest => ("rest", None, None),
        };
        Event {
            bar: line.timeline.bar_number(bar),
            at_ticks: event.at,
            length_ticks: event.ticks,
            name: event.note.map(|note| note.to_string()),
            midi: event.note.and_then(|note| Some(note.pitch()?.midi())),
            tied: event.tied,
            ghost: event.ghost,
            role,
            note,
            between,
        }
    };
    let bars = line.written.iter().enumerate();
    bars.flat_map(|(bar, row)| row.iter().map(move |written| event(bar, written)))
        .collect()
}

fn named(function: &Function) -> Named {
    Named {
        name: function.name.long,
        from: function
            .from_below
            .map(|below| if below { "below" } else { "above" }),
    }
}

fn found(line: &Line, finding: &Finding) -> Found {
    let (bar, beat) = match finding.place {
        Place::Bar(bar) => (bar, None),
        Place::Note(at) => (line.plan.slots[at].bar, Some(line.plan.slots[at].beat + 1)),
    };
    Found {
        rule: line.book.entry(finding.rule).rule.name,
        bar: line.timeline.bar_number(bar),
        beat,
        strength_thousandths: finding.strength,
        millipoints: finding.points,
    }
}
