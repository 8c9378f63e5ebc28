//! A line as a MIDI part: what sounds when, and the signs of the piece.
//!
//! A piece lasts exactly as long as its timeline. A marker stands wherever a section or a
//! chord begins, also where no chord sounds (`N.C.`); the line rests there. Where a section
//! begins, its chord is always told after it, so that a section `A` cannot be taken for a chord. A pick-up bar
//! is a bar of its own short metre, so that every bar line stays where it belongs.

use linewright_chart::{TimelineBar, group_starts};
use linewright_compose::Line;
use linewright_notation::midi::{Articulation, Marker, Part, TICKS_PER_QUARTER};
use linewright_notation::{QUARTER, Ticks};
use linewright_rulebook::style::Feel;

use crate::score::score;

/// The part of one or more lines, played one after the other.
///
/// Lines of more than one share the sound of the first; a marker tells where each begins.
/// Empty when there are no lines. With `rests_between`, a bar of rest in the metre of the bar
/// before stands between them.
pub fn part(lines: &[&Line], rests_between: bool) -> Part {
    let mut part = Part::new("", 0);
    for (nth, line) in lines.iter().enumerate() {
        let score = score(line, &[]);
        match nth.checked_sub(1).map(|before| lines[before]) {
            None => part = Part::of(&score),
            Some(before) if rests_between => {
                let beats = before.timeline.bars.last().map_or(0, |bar| bar.beats);
                let rest = u32::from(beats) * TICKS_PER_QUARTER;
                part.end = part.end.saturating_add(rest);
            }
            Some(_) => {}
        }
        if lines.len() > 1 {
            let text = format!("line {}", line.origin.number());
            part.markers.push(Marker { at: part.end, text });
        }
        let sound = line.style.sound;
        let articulation = Articulation {
            velocity: sound.velocity,
            accent: sound.accent,
            length: sound.length,
        };
        part.append(&score, articulation, |bar, at| {
            is_stronger(line.style.feel, &line.timeline.bars[bar], at)
        });
    }
    part
}

/// Whether a note that begins at a place in a bar is a little stronger: on a beat that is, and
/// never in a pick-up.
fn is_stronger(feel: Feel, bar: &TimelineBar, at: Ticks) -> bool {
    let beat = u8::try_from(at / QUARTER).ok();
    let beat = beat.filter(|_| at.is_multiple_of(QUARTER) && !bar.pickup);
    beat.is_some_and(|beat| is_accented(feel, bar.metre.groups(), beat))
}

/// Whether a beat (from 0) is a little stronger in a full bar whose beats group like this:
/// two and four as one walks in four, else the start of each group, so one in two and in
/// three.
fn is_accented(feel: Feel, groups: &[u8], beat: u8) -> bool {
    if (feel, groups) == (Feel::Walking, &[4]) {
        return beat % 2 == 1;
    }
    group_starts(groups).any(|start| start == beat)
}

#[cfg(test)]
mod tests {
    use linewright_notation::midi;

    use super::*;
    use crate::test_lines::{BLUES, CHANGING, line};
    use linewright_compose::Provenance;
    use linewright_compose::VERSION;

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
    fn walking_in_four_leans_on_two_and_four_and_all_else_on_the_start_of_a_group() {
        let accents = |feel, groups: &[u8]| -> Vec<u8> {
            let beats = groups.iter().sum();
            (0..beats)
                .filter(|&beat| is_accented(feel, groups, beat))
                .map(|beat| beat + 1)
                .collect()
        };
        assert_eq!(accents(Feel::Walking, &[4]), [2, 4]);
        assert_eq!(accents(Feel::InTwo, &[4]), [1]);
        for feel in [Feel::Walking, Feel::InTwo] {
            assert_eq!(accents(feel, &[2]), [1]);
            assert_eq!(accents(feel, &[3]), [1]);
            assert_eq!(accents(feel, &[3, 2]), [1, 4]);
            assert_eq!(accents(feel, &[3, 3]), [1, 4]);
            assert_eq!(accents(feel, &[4, 3]), [1, 5]);
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
        assert_eq!(texts.len(), Provenance::of(&line).facts().len());
        assert_eq!(texts[0], format!("linewright {VERSION}"));
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
