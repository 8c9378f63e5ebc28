//! Where the notes of a bar begin, how long they last, and how strong their
//! places are.

use crate::support::{in_two, plain, plan, timeline};
use linewright_chart::DEFAULT_TEMPO;
use linewright_rulebook::plan::{Beat, Plan};

/// Beat (from 1) and length of each note of a bar, counted from 1.
fn notes(plan: &Plan, bar: usize) -> Vec<(u8, u8)> {
    let row = plan.bars[bar - 1].slots.clone();
    plan.slots[row]
        .iter()
        .map(|slot| (slot.beat + 1, slot.beats))
        .collect()
}

fn strengths(plan: &Plan) -> String {
    let letter = |beat| match beat {
        Beat::Down => 'D',
        Beat::Strong => 's',
        Beat::Weak => '.',
    };
    plan.slots
        .iter()
        .map(|slot| letter(slot.strength))
        .collect()
}

#[test]
fn in_four_a_note_falls_on_every_beat() {
    let plan = plan(&timeline("| C7 | Dm7 G7 |"), &plain(), 1);
    for bar in [1, 2] {
        assert_eq!(notes(&plan, bar), [(1, 1), (2, 1), (3, 1), (4, 1)]);
    }
}

#[test]
fn in_two_the_bar_is_halved_or_divided_as_its_beats_group() {
    for (metre, rhythm) in [
        ("2/4", [(1, 1), (2, 1)]),
        ("3/4", [(1, 2), (3, 1)]),
        ("4/4", [(1, 2), (3, 2)]),
        ("5/4", [(1, 3), (4, 2)]),
        ("6/4", [(1, 3), (4, 3)]),
        ("7/4", [(1, 4), (5, 3)]),
    ] {
        let plan = plan(&timeline(&format!("time: {metre}\n| C7 |")), &in_two(0), 1);
        assert_eq!(notes(&plan, 1), rhythm, "{metre}");
    }
}

#[test]
fn in_two_a_new_chord_has_its_note_on_whatever_beat_it_falls() {
    let plan = plan(
        &timeline("| C7 / / F7 | C7 F7 / / | Dm7 G7 |"),
        &in_two(0),
        1,
    );
    assert_eq!(notes(&plan, 1), [(1, 2), (3, 1), (4, 1)]);
    assert_eq!(notes(&plan, 2), [(1, 1), (2, 1), (3, 2)]);
    assert_eq!(notes(&plan, 3), [(1, 2), (3, 2)]);
}

#[test]
fn a_pick_up_in_two_falls_on_the_last_beat_of_a_bar_of_four_beats_or_more() {
    for (metre, rhythm) in [
        ("3/4", vec![(1, 2), (3, 1)]),
        ("4/4", vec![(1, 2), (3, 1), (4, 1)]),
        ("5/4", vec![(1, 3), (4, 1), (5, 1)]),
        ("7/4", vec![(1, 4), (5, 2), (7, 1)]),
    ] {
        let plan = plan(
            &timeline(&format!("time: {metre}\n| C7 |")),
            &in_two(1000),
            1,
        );
        assert_eq!(notes(&plan, 1), rhythm, "{metre}");
    }
}

#[test]
fn pick_ups_in_two_come_about_as_often_as_the_style_says() {
    let bars = vec!["C7"; 1000].join(" | ");
    let plan = plan(&timeline(&format!("| {bars} |")), &in_two(300), 5);
    let pick_ups = (1..=1000)
        .filter(|&bar| notes(&plan, bar).len() == 3)
        .count();
    assert!((250..350).contains(&pick_ups), "{pick_ups}");
}

#[test]
fn nothing_sounds_where_there_is_no_chord() {
    let timeline = timeline("| C7 | N.C. | C7 / N.C. / |");
    let walking = plan(&timeline, &plain(), 1);
    assert_eq!(notes(&walking, 2), []);
    assert_eq!(notes(&walking, 3), [(1, 1), (2, 1)]);
    let two = plan(&timeline, &in_two(0), 1);
    assert_eq!(notes(&two, 2), []);
    assert_eq!(notes(&two, 3), [(1, 2)]);
}

#[test]
fn beat_one_is_down_and_the_start_of_a_group_is_strong() {
    for (metre, beats) in [
        ("2/4", "D."),
        ("3/4", "D.."),
        ("4/4", "D.s."),
        ("5/4", "D..s."),
        ("6/4", "D..s.."),
        ("7/4", "D...s.."),
    ] {
        let plan = plan(&timeline(&format!("time: {metre}\n| C7 |")), &plain(), 1);
        assert_eq!(strengths(&plan), beats, "{metre}");
    }
}

#[test]
fn a_pick_up_bar_is_weak_and_walks_also_in_two() {
    let timeline = timeline("pickup: 2\n| C7 | F7 |");
    for (style, beats) in [(plain(), "..D.s."), (in_two(0), "..Ds")] {
        let plan = plan(&timeline, &style, 1);
        assert_eq!(strengths(&plan), beats);
        assert_eq!(notes(&plan, 1), [(1, 1), (2, 1)]);
        assert_eq!(plan.bars[0].cadence, None);
    }
}

#[test]
fn notes_carry_the_tempo_in_force() {
    let told = plan(
        &timeline("tempo: 90\n| C7 | (tempo: 200) F7 |"),
        &plain(),
        1,
    );
    let tempos: Vec<u16> = told.slots.iter().map(|slot| slot.tempo).collect();
    assert_eq!(tempos, [90, 90, 90, 90, 200, 200, 200, 200]);
    let untold = plan(&timeline("| C7 |"), &plain(), 1);
    assert!(untold.slots.iter().all(|slot| slot.tempo == DEFAULT_TEMPO));
}
