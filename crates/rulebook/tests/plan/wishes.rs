//! What every plan holds to, over any chart and style.

use crate::support::{any_style, any_timeline, plain, plan, timeline};
use linewright_chart::{Chart, Harmony, Timeline};
use linewright_rulebook::plan::{BarPlan, Cadence, Clarity, Plan, Role};
use proptest::prelude::*;

/// The first bar after a gap in the phrases.
fn begins_section(timeline: &Timeline, bar: usize) -> bool {
    bar == 0 || timeline.bars[bar].section.is_some() || timeline.bars[bar - 1].pickup
}

/// The last bar before this one that has notes.
fn bar_before(plan: &Plan, bar: usize) -> Option<&BarPlan> {
    plan.bars[..bar]
        .iter()
        .rev()
        .find(|bar| !bar.slots.is_empty())
}

proptest! {
    #[test]
    fn every_beat_under_a_chord_has_one_note_and_others_have_none(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        prop_assert_eq!(plan.bars.len(), timeline.bars.len());
        for (index, (bar, wished)) in timeline.bars.iter().zip(&plan.bars).enumerate() {
            let slots = &plan.slots[wished.slots.clone()];
            for (nth, slot) in slots.iter().enumerate() {
                prop_assert_eq!(slot.bar, index);
                prop_assert_eq!((slot.position as usize, slot.of as usize), (nth, slots.len()));
                prop_assert!(slot.beats > 0 && slot.beat + slot.beats <= bar.beats);
            }
            for beat in 0..bar.beats {
                let sounding: Vec<_> = slots
                    .iter()
                    .filter(|slot| (slot.beat..slot.beat + slot.beats).contains(&beat))
                    .map(|slot| slot.ground.chord)
                    .collect();
                match bar.harmony_at(beat) {
                    Some(Harmony::Chord(chord)) => prop_assert_eq!(sounding, [*chord]),
                    _ => prop_assert!(sounding.is_empty()),
                }
            }
        }
    }

    #[test]
    fn the_rows_of_the_bars_are_all_slots_in_order(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        let mut end = 0;
        for bar in &plan.bars {
            prop_assert_eq!(bar.slots.start, end);
            end = bar.slots.end;
        }
        prop_assert_eq!(end, plan.slots.len());
    }

    #[test]
    fn a_slot_knows_where_chords_begin_and_end_and_what_comes_next(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let slots = plan(&timeline, &style, seed).slots;
        for (at, slot) in slots.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| slots[before].ground.chord);
            let next = slots.get(at + 1).map(|next| next.ground.chord);
            prop_assert_eq!(slot.chord_starts, before != Some(slot.ground.chord));
            prop_assert_eq!(slot.next.as_ref().map(|next| next.chord), next);
            prop_assert_eq!(slot.chord_ends, next.is_some_and(|next| next != slot.ground.chord));
        }
    }

    #[test]
    fn phrases_fill_the_form_and_begin_with_its_sections(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        let length = usize::from(style.plan.phrase_bars);
        for (at, bar) in plan.bars.iter().enumerate() {
            let begins = at == 0 || plan.bars[at - 1].phrase != bar.phrase;
            if begins {
                prop_assert_eq!(bar.place, 0);
                prop_assert_eq!(bar.phrase, if at == 0 { 0 } else { plan.bars[at - 1].phrase + 1 });
            } else {
                prop_assert_eq!(bar.place, plan.bars[at - 1].place + 1);
                prop_assert!(!begins_section(&timeline, at));
            }
            prop_assert!(bar.place <= length);
            // A phrase ends early only with its section, and one bar late only
            // so as to leave no bar over.
            let ends = plan.bars.get(at + 1).is_none_or(|next| next.place == 0);
            let section_ends = at + 1 == plan.bars.len() || begins_section(&timeline, at + 1);
            if ends && bar.place + 1 != length {
                prop_assert!(section_ends, "bar {} of {}", bar.place + 1, length);
            }
            prop_assert_eq!(bar.role == Role::Release, ends && bar.place > 0);
        }
    }

    #[test]
    fn a_line_cadences_only_at_the_end_or_in_the_middle_of_a_phrase_and_where_there_is_room(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        for (at, bar) in plan.bars.iter().enumerate() {
            let Some(cadence) = bar.cadence else { continue };
            prop_assert!(!timeline.bars[at].pickup);
            let length = plan.bars.iter().filter(|other| other.phrase == bar.phrase).count();
            let (end, middle) = (bar.place + 1 == length, (bar.place + 1) * 2 == length);
            prop_assert!(end || (middle && length >= 4));
            let slots = &plan.slots[bar.slots.clone()];
            let (first, last) = (slots.first().unwrap(), slots.last().unwrap());
            if cadence == Cadence::BeatOne {
                prop_assert!(bar.slots.start > 0 && first.beat == 0);
            } else {
                prop_assert!(slots.len() >= 3 && last.beats == 1);
            }
            if cadence == Cadence::OwnRoot {
                let under = slots.iter().rev().take_while(|s| s.ground.chord == last.ground.chord);
                prop_assert!(under.count() >= 3);
            }
            if cadence == Cadence::NextRoot {
                let next = last.next.as_ref().unwrap();
                prop_assert!(next.line_root != last.ground.line_root);
            }
        }
    }

    #[test]
    fn a_kind_of_cadence_without_a_share_is_drawn_only_for_want_of_others(
        timeline in any_timeline(), mut style in any_style(), seed in any::<u64>(),
    ) {
        style.plan.cadences.own_root = 0;
        style.plan.cadences.next_root = 0;
        let plan = plan(&timeline, &style, seed);
        let kinds = plan.bars.iter().filter_map(|bar| bar.cadence);
        prop_assert!(kinds.into_iter().all(|kind| kind == Cadence::BeatOne));
    }

    #[test]
    fn a_bar_is_meant_ambiguous_only_where_the_next_one_lands(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        for (at, bar) in plan.bars.iter().enumerate() {
            if bar.clarity == Clarity::Ambiguous {
                let next = plan.bars[at + 1].cadence;
                prop_assert!(matches!(next, Some(Cadence::BeatOne | Cadence::OwnRoot)));
                prop_assert_eq!(bar.cadence, None);
                prop_assert!(bar.slots.len() >= 3);
                let inside = &plan.slots[bar.slots.clone()][1..];
                prop_assert!(inside.iter().all(|slot| !slot.chord_starts));
                prop_assert!(at == 0 || plan.bars[at - 1].clarity != Clarity::Ambiguous);
            }
            if bar.cadence.is_some() {
                prop_assert_eq!(bar.clarity, Clarity::Clear);
            }
        }
    }

    #[test]
    fn the_register_moves_only_right_after_a_cadence(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        for (at, bar) in plan.bars.iter().enumerate() {
            let moved: Vec<usize> = bar.slots.clone().filter(|&s| plan.slots[s].shift).collect();
            prop_assert_eq!(bar.shift, !moved.is_empty());
            prop_assert!(moved.len() <= 1);
            let Some(&slot) = moved.first() else { continue };
            if slot == bar.slots.start {
                let before = bar_before(&plan, at);
                prop_assert!(before.is_some_and(|before| before.cadence.is_some()));
            } else {
                prop_assert_eq!(slot, bar.slots.start + 1);
                prop_assert_eq!(bar.cadence, Some(Cadence::BeatOne));
            }
        }
    }

    #[test]
    fn every_note_keeps_to_the_register_of_its_bar_or_before_a_shift_to_the_one_before(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let plan = plan(&timeline, &style, seed);
        for (at, bar) in plan.bars.iter().enumerate() {
            prop_assert!(bar.centre >= style.range.low && bar.centre <= style.range.high);
            let moved = bar.slots.clone().find(|&slot| plan.slots[slot].shift);
            for slot in bar.slots.clone() {
                let held = at > 0 && moved.is_some_and(|moved| slot < moved);
                let centre = if held { plan.bars[at - 1].centre } else { bar.centre };
                prop_assert_eq!(plan.slots[slot].centre, centre);
            }
        }
    }

    #[test]
    fn the_same_seed_draws_the_same_plan(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        prop_assert!(plan(&timeline, &style, seed) == plan(&timeline, &style, seed));
    }

    #[test]
    fn tension_stays_between_the_ends_of_its_curve(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let curve = &style.plan.tension.0;
        let (low, high) = (curve.iter().min().unwrap(), curve.iter().max().unwrap());
        for bar in plan(&timeline, &style, seed).bars {
            prop_assert!((low..=high).contains(&&bar.tension));
        }
    }
}

#[test]
fn where_no_kind_of_cadence_has_a_share_no_bar_cadences() {
    let mut style = plain();
    let mix = &mut style.plan.cadences;
    (mix.beat_one, mix.own_root, mix.next_root) = (0, 0, 0);
    let timeline = timeline("| C7 | F7 | C7 | C7 | F7 | F7 | C7 | C7 |");
    for seed in 0..20 {
        let plan = plan(&timeline, &style, seed);
        assert!(plan.bars.iter().all(|bar| bar.cadence.is_none()));
    }
}

#[test]
fn a_chord_that_comes_back_on_the_last_beat_leaves_no_room_to_close_on_its_root() {
    let mut style = plain();
    let mix = &mut style.plan.cadences;
    (mix.beat_one, mix.own_root, mix.next_root) = (0, 1, 0);
    let comes_back = timeline("time: 3/4\n| F7 | C7 F7 C7 |");
    let stays = timeline("time: 3/4\n| F7 | C7 |");
    for seed in 0..20 {
        assert_eq!(
            plan(&comes_back, &style, seed).bars[1].cadence,
            Some(Cadence::BeatOne)
        );
        assert_eq!(
            plan(&stays, &style, seed).bars[1].cadence,
            Some(Cadence::OwnRoot)
        );
    }
}

#[test]
fn another_seed_draws_another_plan() {
    let timeline = timeline("| C7 | F7 | C7 | C7 | F7 | F7 | C7 | A7 | Dm7 | G7 | C7 | G7 |");
    let plans: Vec<Plan> = (0..5).map(|seed| plan(&timeline, &plain(), seed)).collect();
    assert!(plans[1..].iter().any(|other| *other != plans[0]));
}

#[test]
fn the_wishes_are_the_same_in_every_key() {
    let text = "key: C\n| C6 | A7 | Dm7 | G7 | Em7 A7 | Dm7 G7 | C6 | G7 |";
    let chart = Chart::parse("test", text.as_bytes()).unwrap();
    let at_home = plan(&chart.unroll().unwrap(), &plain(), 7);
    for semitones in 1..12 {
        let moved = chart.transposed_by(semitones).unroll().unwrap();
        assert_eq!(plan(&moved, &plain(), 7).bars, at_home.bars, "{semitones}");
    }
}

#[test]
fn eleven_bars_in_fours_are_two_phrases_and_a_last_one_of_three() {
    let bars = ["C7"; 11].join(" | ");
    let plan = plan(&timeline(&format!("| {bars} |")), &plain(), 1);
    let phrases: Vec<usize> = plan.bars.iter().map(|bar| bar.phrase).collect();
    assert_eq!(phrases, [0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2]);
}

#[test]
fn a_single_bar_left_over_joins_the_phrase_before_it() {
    let bars = ["C7"; 9].join(" | ");
    let plan = plan(&timeline(&format!("| {bars} |")), &plain(), 1);
    let phrases: Vec<usize> = plan.bars.iter().map(|bar| bar.phrase).collect();
    assert_eq!(phrases, [0, 0, 0, 0, 1, 1, 1, 1, 1]);
}

#[test]
fn a_phrase_ends_with_a_cadence_wherever_its_last_bar_has_notes() {
    let timeline = timeline("| C7 | F7 | C7 | C7 | F7 | F7 | C7 | N.C. |");
    for seed in 0..20 {
        let plan = plan(&timeline, &plain(), seed);
        assert!(plan.bars[3].cadence.is_some());
        assert_eq!(plan.bars[7].cadence, None);
    }
}
