//! A line as a MIDI part: what sounds when, and the signs of the piece.
//!
//! A piece lasts exactly as long as its timeline. A marker stands wherever a section or a
//! chord begins, also where no chord sounds (`N.C.`); the line rests there. Where a section
//! begins, its chord is always told after it, so that a section `A` cannot be taken for a chord. A pick-up bar
//! is a bar of its own short metre, so that every bar line stays where it belongs.

use linewright_chart::{Harmony, TimelineBar};
use linewright_compose::Line;
use linewright_diagnostic::clean::one_line;
use linewright_notation::{QUARTER, Ticks};

use crate::facts::{PROGRAM, facts};
use crate::midi::{
    KeyChange, Marker, MetreChange, Part, TICKS_PER_QUARTER, TempoChange, Written, articulate,
    is_accented,
};
use crate::wording;

/// The part of one or more lines, played one after the other.
///
/// Lines of more than one share the sound of the first; a marker tells where each begins.
/// Empty when there are no lines. With `rests_between`, a bar of rest in the metre of the bar
/// before stands between them.
pub fn part(lines: &[&Line], rests_between: bool) -> Part {
    let mut part = Part::new("", 0);
    part.tempos.clear();
    part.metres.clear();
    if let Some(first) = lines.first() {
        part.title = one_line(&first.timeline.title);
        part.name = one_line(&first.style.instrument.name);
        part.program = first.style.instrument.program.saturating_sub(1).min(127);
    }
    for (nth, line) in lines.iter().enumerate() {
        let made = &line.provenance;
        if rests_between && nth > 0 {
            let last = lines[nth - 1].timeline.bars.last();
            part.end = part
                .end
                .saturating_add(ticks(last.map_or(0, |bar| bar.beats)));
        }
        if lines.len() > 1 {
            let text = format!("line {}", wording::line_number(made));
            part.markers.push(Marker { at: part.end, text });
        }
        part.texts.extend(metadata(line));
        for (name, who) in line.credits.told() {
            let text = format!("{name}: {}", one_line(who));
            if !part.texts.contains(&text) {
                part.texts.push(text);
            }
        }
        append(&mut part, line);
    }
    part
}

/// What is needed to make the line again, one thing a text: `seed: 7`, and `linewright` with
/// its version.
fn metadata(line: &Line) -> Vec<String> {
    let text = |(name, value): (String, String)| match name.as_str() {
        PROGRAM => format!("{name} {value}"),
        _ => format!("{name}: {value}"),
    };
    facts(line).into_iter().map(text).collect()
}

/// Ticks of so many beats: a beat is a quarter note.
fn ticks(beats: u8) -> u32 {
    u32::from(beats) * TICKS_PER_QUARTER
}

/// Puts a line after what the part holds already.
fn append(part: &mut Part, line: &Line) {
    let mut starts = Vec::with_capacity(line.timeline.bars.len());
    let mut sounding: Option<Harmony> = None;
    for bar in &line.timeline.bars {
        signs(part, bar);
        markers(part, bar, &mut sounding);
        starts.push(part.end);
        part.end = part.end.saturating_add(ticks(bar.beats));
    }
    notes(part, line, &starts);
}

/// Metre, key and tempo where they change.
fn signs(part: &mut Part, bar: &TimelineBar) {
    let at = part.end;
    let metre = MetreChange {
        at,
        beats: bar.beats,
        unit: 4,
    };
    if part
        .metres
        .last()
        .is_none_or(|last| (last.beats, last.unit) != (metre.beats, metre.unit))
    {
        part.metres.push(metre);
    }
    let minor = bar.key.mode == linewright_theory::Mode::Minor;
    let key = KeyChange {
        at,
        fifths: bar.key.fifths(),
        minor,
    };
    if part
        .keys
        .last()
        .is_none_or(|last| (last.fifths, last.minor) != (key.fifths, key.minor))
    {
        part.keys.push(key);
    }
    let tempo = TempoChange {
        at,
        milli_bpm: u32::from(bar.beats_a_minute()) * 1000,
    };
    if part
        .tempos
        .last()
        .is_none_or(|last| last.milli_bpm != tempo.milli_bpm)
    {
        part.tempos.push(tempo);
    }
}

/// The section and the chords that begin in a bar.
fn markers(part: &mut Part, bar: &TimelineBar, sounding: &mut Option<Harmony>) {
    if let Some(section) = &bar.section {
        part.markers.push(Marker {
            at: part.end,
            text: one_line(section),
        });
    }
    for span in &bar.spans {
        let opens_section = bar.section.is_some() && span.start == 0;
        if *sounding != Some(span.harmony) || opens_section {
            *sounding = Some(span.harmony);
            let at = part.end + ticks(span.start);
            part.markers.push(Marker {
                at,
                text: span.harmony.to_string(),
            });
        }
    }
}

/// The notes of a line whose bars start at these ticks.
fn notes(part: &mut Part, line: &Line, starts: &[u32]) {
    let written: Vec<Written> = line
        .sounds()
        .iter()
        .map(|sound| {
            let bar = &line.timeline.bars[sound.bar];
            let beat = (sound.at / QUARTER) as u8;
            let on_beat = sound.at.is_multiple_of(QUARTER);
            let (from, to) = (played(sound.at), played(sound.at + sound.ticks));
            Written {
                start: starts[sound.bar] + from,
                length: to - from,
                pitch: sound.pitch.midi(),
                accented: on_beat
                    && !bar.pickup
                    && is_accented(line.style.feel, bar.metre.groups(), beat),
                ghost: sound.ghost,
            }
        })
        .collect();
    part.notes.extend(articulate(&written, line.style.sound));
}

/// Ticks of a part as written in ticks of a file, to the nearest.
fn played(ticks: Ticks) -> u32 {
    let (file, part) = (u64::from(TICKS_PER_QUARTER), u64::from(QUARTER));
    // Fewer than came in.
    ((u64::from(ticks) * file + part / 2) / part) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::midi;
    use crate::test_lines::{BLUES, CHANGING, line};

    #[test]
    fn a_piece_lasts_exactly_as_long_as_its_timeline() {
        for (chart, style) in [
            (BLUES, "plain"),
            (CHANGING, "plain"),
            (CHANGING, "two-feel"),
        ] {
            let line = line(chart, style, 4);
            let part = part(&[&line], false);
            assert_eq!(
                part.end as usize,
                line.timeline.beats() * TICKS_PER_QUARTER as usize
            );
            assert!(midi::write(&part).is_ok());
        }
    }

    #[test]
    fn metre_key_and_tempo_change_where_the_chart_says() {
        let part = part(&[&line(CHANGING, "plain", 1)], false);
        let beat = |at: u32| at / TICKS_PER_QUARTER;
        let metres: Vec<(u32, u8)> = part.metres.iter().map(|m| (beat(m.at), m.beats)).collect();
        assert_eq!(metres, [(0, 1), (1, 4), (9, 3), (15, 5), (20, 4)]);
        let keys: Vec<(u32, i8, bool)> = part
            .keys
            .iter()
            .map(|k| (beat(k.at), k.fifths, k.minor))
            .collect();
        assert_eq!(keys, [(0, -1, true), (15, -1, false)]);
        let tempos: Vec<(u32, u32)> = part
            .tempos
            .iter()
            .map(|t| (beat(t.at), t.milli_bpm))
            .collect();
        assert_eq!(tempos, [(0, 140_000), (12, 90_000)]);
    }

    #[test]
    fn markers_tell_sections_and_chords_where_they_begin_and_rests_too() {
        let changing = part(&[&line(CHANGING, "plain", 1)], false);
        let beat = |marker: &Marker| (marker.at / TICKS_PER_QUARTER, marker.text.clone());
        let markers: Vec<(u32, String)> = changing.markers.iter().map(beat).collect();
        let expected = [
            (0, "A7"),
            (1, "Dm7"),
            (5, "N.C."),
            (9, "Em7b5"),
            (11, "A7b9"),
            (12, "Dm6"),
            (15, "Gm7"),
            (18, "C7"),
            (20, "Fmaj7"),
            (22, "N.C."),
        ];
        assert_eq!(markers, expected.map(|(at, text)| (at, text.to_owned())));
        let first = &part(&[&line(BLUES, "plain", 1)], false).markers[..2];
        assert_eq!(
            first.iter().map(|m| m.text.as_str()).collect::<Vec<_>>(),
            ["A", "F7"]
        );
    }

    #[test]
    fn nothing_sounds_where_no_chord_does() {
        let part = part(&[&line(CHANGING, "plain", 1)], false);
        let silent = [5..9, 22..24]
            .map(|beats| beats.start * TICKS_PER_QUARTER..beats.end * TICKS_PER_QUARTER);
        for note in &part.notes {
            let clear = |silence: &std::ops::Range<u32>| {
                note.start + note.length <= silence.start || note.start >= silence.end
            };
            assert!(silent.iter().all(clear), "{note:?}");
        }
    }

    #[test]
    fn length_and_velocity_are_the_styles() {
        let line = line(BLUES, "plain", 1);
        let part = part(&[&line], false);
        let sound = line.style.sound;
        let full = TICKS_PER_QUARTER * u32::from(sound.length) / 1000;
        for (index, note) in part.notes.iter().enumerate() {
            let again = part
                .notes
                .get(index + 1)
                .is_some_and(|next| next.pitch == note.pitch);
            assert!(
                if again {
                    note.length < full
                } else {
                    note.length == full
                },
                "{index}"
            );
            let accent = if index % 2 == 1 { sound.accent } else { 0 };
            assert_eq!(note.velocity, sound.velocity + accent, "{index}");
        }
    }

    #[test]
    fn the_texts_are_the_facts_by_name_and_the_program_by_its_version() {
        let line = line(BLUES, "plain", 77);
        let texts = part(&[&line], false).texts;
        assert_eq!(texts.len(), facts(&line).len());
        assert_eq!(texts[0], "linewright 0.0.0");
        assert!(texts.contains(&"seed: 77".to_owned()));
        assert!(texts.contains(&format!("style hash: {:016x}", line.style.hash())));
    }

    #[test]
    fn a_section_always_has_its_chord_after_it() {
        let part = part(&[&line("[A]\n| C | % |\n[B]\n| % |\n", "plain", 1)], false);
        let texts: Vec<&str> = part.markers.iter().map(|m| m.text.as_str()).collect();
        assert_eq!(texts, ["A", "C", "B", "C"]);
    }

    #[test]
    fn a_tempo_that_changes_is_told_as_the_first_of_several() {
        let texts = part(&[&line(CHANGING, "plain", 1)], false).texts;
        assert!(texts.contains(&"tempo: 140 at first, then as in the chart".to_owned()));
    }

    #[test]
    fn several_lines_sound_one_after_the_other() {
        let (one, two) = (line(BLUES, "plain", 1), line(CHANGING, "plain", 2));
        let single = part(&[&one], false);
        let both = part(&[&one, &two], false);
        assert_eq!(both.notes[..single.notes.len()], single.notes);
        assert!(both.notes[single.notes.len()].start >= single.end);
        assert!(both.markers.contains(&Marker {
            at: single.end,
            text: "line 1".to_owned()
        }));
        assert!(midi::write(&both).is_ok());
        let rested = part(&[&one, &two], true);
        assert_eq!(rested.end, both.end + 4 * TICKS_PER_QUARTER);
        let second = single.notes.len();
        assert_eq!(
            rested.notes[second].start,
            both.notes[second].start + 4 * TICKS_PER_QUARTER
        );
    }
}
