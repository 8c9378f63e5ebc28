//! The plan that a line seems to follow: slots as its notes lie, wishes as it was heard, by the
//! conditions that a drawn plan obeys too.

use crate::support::{any_style, any_timeline, plain, plan, timeline};
use linewright_rulebook::plan::{
    Cadence, Clarity, Dice, Heard, Onset, PhrasePlace, Plan, Purpose, SHIFT_LEAP,
};
use linewright_rulebook::style::Style;
use linewright_theory::Pitch;
use proptest::prelude::*;

fn onset(beat: u8, beats: u8) -> Onset {
    Onset { beat, beats }
}

/// Four quarter notes.
fn four() -> Vec<Onset> {
    (0..4).map(|beat| onset(beat, 1)).collect()
}

fn pitches(midi: &[u8]) -> Vec<Pitch> {
    midi.iter().map(|&midi| Pitch::new(midi).unwrap()).collect()
}

fn heard(cadences: &[Cadence], ambiguous: bool) -> Heard {
    Heard {
        cadences: cadences.to_vec(),
        ambiguous,
    }
}

/// Eight bars of quarter notes, heard as told (bars from 1), all on one pitch.
fn eight_bars(style: &Style, told: &[(usize, Heard)]) -> Plan {
    let text = "key: F\n| F7 | Bb7 | F7 | C7 | F7 | Bb7 | C7 | F7 |";
    let timeline = timeline(text);
    let plan = Plan::over(&timeline, style, &vec![four(); 8]);
    let mut all = vec![Heard::default(); 8];
    for (bar, heard) in told {
        all[bar - 1] = heard.clone();
    }
    plan.inferred(&timeline, style, &all, &pitches(&[41; 32]))
}

fn cadences(plan: &Plan) -> Vec<Option<Cadence>> {
    plan.bars.iter().map(|bar| bar.cadence).collect()
}

/// The style `plain` with so many shares of the kinds of cadence.
fn shares(beat_one: u32, own_root: u32, next_root: u32) -> Style {
    let mut style = plain();
    let mix = &mut style.plan.cadences;
    (mix.beat_one, mix.own_root, mix.next_root) = (beat_one, own_root, next_root);
    style
}

#[test]
fn slots_lie_where_the_notes_do() {
    let timeline = timeline("key: F\ntempo: 90\n| C7 N.C. / / | F7 Bb7 | N.C. | (tempo: 120) F7 |");
    let rows = vec![
        vec![onset(0, 1), onset(2, 1)],
        vec![onset(1, 3)],
        vec![onset(0, 4)],
        vec![onset(0, 2), onset(3, 1)],
    ];
    let plan = Plan::over(&timeline, &plain(), &rows);
    let told: Vec<_> = plan
        .slots
        .iter()
        .map(|slot| {
            let chord = slot.ground.chord.to_string();
            (
                slot.bar,
                slot.beat,
                slot.beats,
                slot.position,
                slot.of,
                chord,
                slot.tempo,
            )
        })
        .collect();
    // Where no chord sounds there is no slot.
    let wanted = [
        (0, 0, 1, 0, 1, "C7".to_owned(), 90),
        (1, 1, 3, 0, 1, "F7".to_owned(), 90),
        (3, 0, 2, 0, 2, "F7".to_owned(), 120),
        (3, 3, 1, 1, 2, "F7".to_owned(), 120),
    ];
    assert_eq!(told, wanted);
    let rows: Vec<_> = plan.bars.iter().map(|bar| bar.slots.clone()).collect();
    assert_eq!(rows, [0..1, 1..2, 2..2, 2..4]);
    let starts: Vec<bool> = plan.slots.iter().map(|slot| slot.chord_starts).collect();
    assert_eq!(starts, [true, true, false, false]);
    let ends: Vec<bool> = plan.slots.iter().map(|slot| slot.chord_ends).collect();
    assert_eq!(ends, [true, false, false, false]);
    assert!(plan.slots.last().unwrap().next.is_none());
}

#[test]
fn bars_without_onsets_and_bars_that_are_not_told_are_silent() {
    let timeline = timeline("| C7 | F7 | C7 |");
    let plan = Plan::over(&timeline, &plain(), &[four(), Vec::new()]);
    let lengths: Vec<usize> = plan.bars.iter().map(|bar| bar.slots.len()).collect();
    assert_eq!(lengths, [4, 0, 0]);
    let plan = Plan::over(&timeline, &plain(), &[]);
    assert_eq!((plan.bars.len(), plan.slots.len()), (3, 0));
}

#[test]
fn nothing_is_wished_before_the_line_is_heard() {
    let timeline = timeline("| C7 | F7 | C7 | F7 |");
    let plan = Plan::over(&timeline, &plain(), &vec![four(); 4]);
    for bar in &plan.bars {
        assert_eq!(
            (bar.cadence, bar.clarity, bar.shift),
            (None, Clarity::Free, false)
        );
    }
    assert!(plan.slots.iter().all(|slot| !slot.shift));
}

#[test]
fn a_cadence_is_planned_where_it_was_heard_and_a_plan_may_have_it() {
    use Cadence::{BeatOne, NextRoot, OwnRoot};
    let told = [
        (2, heard(&[OwnRoot, BeatOne], false)),
        (3, heard(&[BeatOne], false)),
        (4, heard(&[NextRoot], false)),
        (8, heard(&[BeatOne], false)),
    ];
    let plan = eight_bars(&plain(), &told);
    let mut wanted = [None; 8];
    // Not in bar 3, which neither ends its phrase nor lies in its middle.
    (wanted[1], wanted[3], wanted[7]) = (Some(OwnRoot), Some(NextRoot), Some(BeatOne));
    assert_eq!(cadences(&plan), wanted);
}

#[test]
fn where_a_phrase_ends_without_one_the_likeliest_is_wished() {
    use Cadence::{BeatOne, NextRoot, OwnRoot};
    let at_ends = |style: &Style| {
        let found = cadences(&eight_bars(style, &[]));
        assert!(
            found
                .iter()
                .enumerate()
                .all(|(bar, c)| c.is_none() || bar % 4 == 3)
        );
        [found[3], found[7]]
    };
    assert_eq!(at_ends(&shares(3, 1, 1)), [Some(BeatOne); 2]);
    assert_eq!(at_ends(&shares(1, 3, 1)), [Some(OwnRoot); 2]);
    // The last bar has no next root, so the likeliest of the others.
    assert_eq!(at_ends(&shares(1, 2, 3)), [Some(NextRoot), Some(OwnRoot)]);
    // The first kind of equals.
    assert_eq!(at_ends(&shares(2, 2, 2)), [Some(BeatOne); 2]);
    // A style without cadences wishes none.
    assert_eq!(at_ends(&shares(0, 0, 0)), [None; 2]);
}

#[test]
fn a_bar_is_meant_ambiguous_only_where_the_next_one_lands() {
    let unclear = heard(&[], true);
    let lands = heard(&[Cadence::BeatOne], false);
    let plan = eight_bars(&plain(), &[(3, unclear.clone()), (4, lands.clone())]);
    assert_eq!(plan.bars[2].clarity, Clarity::Ambiguous);
    // Nothing lands after bar 5, and bar 4 lands itself.
    let told = [(4, heard(&[Cadence::BeatOne], true)), (5, unclear.clone())];
    let plan = eight_bars(&plain(), &told);
    assert!(
        plan.bars
            .iter()
            .all(|bar| bar.clarity != Clarity::Ambiguous)
    );
    // A line does not begin unclear.
    let plan = eight_bars(&plain(), &[(1, unclear), (2, lands)]);
    assert_eq!(plan.bars[0].clarity, Clarity::Clear);
}

#[test]
fn the_register_moves_where_the_line_leaps_after_a_cadence_that_it_makes() {
    let timeline = timeline("| F7 | Bb7 | C7 | F7 | Bb7 | Bb7 |");
    let style = plain();
    let mut notes = vec![41; 16];
    notes.extend([53; 8]);
    let mut told = vec![Heard::default(); 6];
    let inferred = |told: &[Heard], notes: &[u8]| {
        let plan = Plan::over(&timeline, &style, &vec![four(); 6]);
        plan.inferred(&timeline, &style, told, &pitches(notes))
    };
    let shifts = |plan: &Plan| -> Vec<usize> {
        (0..plan.slots.len())
            .filter(|&at| plan.slots[at].shift)
            .collect()
    };
    // An octave up into bar 5, but no cadence is made before it.
    assert_eq!(shifts(&inferred(&told, &notes)), [0; 0]);
    told[3] = heard(&[Cadence::OwnRoot], false);
    let plan = inferred(&told, &notes);
    assert_eq!(shifts(&plan), [16]);
    assert!(plan.bars[4].shift);
    // The line lives where its notes are, up to the shift and after it.
    let centres: Vec<u8> = plan.bars.iter().map(|bar| bar.centre.midi()).collect();
    assert_eq!(centres, [41, 41, 41, 41, 53, 53]);
    assert!(plan.slots[..16].iter().all(|slot| slot.centre.midi() == 41));
    assert!(plan.slots[16..].iter().all(|slot| slot.centre.midi() == 53));
    // After a landing on beat one the leap comes inside the bar.
    let mut notes = vec![41; 13];
    notes.extend([53; 11]);
    told[3] = heard(&[Cadence::BeatOne], false);
    assert_eq!(shifts(&inferred(&told, &notes)), [13]);
    // A fifth is no move.
    let mut notes = vec![41; 16];
    notes.extend([48; 8]);
    told[3] = heard(&[Cadence::OwnRoot], false);
    assert_eq!(shifts(&inferred(&told, &notes)), [0; 0]);
}

#[test]
fn cadences_have_their_places_in_the_phrase() {
    let timeline = timeline("| C7 | F7 | C7 | F7 |[B] C7 | F7 | C7 |[C] C7 | F7 |");
    let plan = Plan::over(&timeline, &plain(), &[]);
    let places: Vec<_> = (0..9).map(|bar| plan.place_of_cadence(bar)).collect();
    let (end, middle) = (Some(PhrasePlace::End), Some(PhrasePlace::Middle));
    let wanted = [None, middle, None, end, None, None, end, None, end];
    assert_eq!(places, wanted);
}

/// What was heard of a line, drawn at random, a few per bar.
fn any_heard(seed: u64, bars: usize) -> Vec<Heard> {
    let mut dice = Dice::new(seed, 0, Purpose::Notes);
    (0..bars)
        .map(|_| {
            let mut cadences = Cadence::ALL.to_vec();
            cadences.retain(|_| dice.below(3) == 0);
            heard(&cadences, dice.below(2) == 0)
        })
        .collect()
}

/// What was heard, without the cadences that a bar has no room for: nobody hears those.
fn hearable(plan: &Plan, mut all: Vec<Heard>) -> Vec<Heard> {
    for (bar, heard) in all.iter_mut().enumerate() {
        heard.cadences.retain(|kind| plan.has_room(bar, *kind));
    }
    all
}

proptest! {
    /// The rhythm of a drawn plan, laid out again, is its slots; wishes apart.
    #[test]
    fn the_slots_over_the_onsets_of_a_plan_are_its_own(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let drawn = plan(&timeline, &style, seed);
        let rows: Vec<Vec<Onset>> = drawn.bars.iter().map(|bar| {
            let slots = drawn.slots[bar.slots.clone()].iter();
            slots.map(|slot| onset(slot.beat, slot.beats)).collect()
        }).collect();
        let over = Plan::over(&timeline, &style, &rows);
        prop_assert_eq!(over.slots.len(), drawn.slots.len());
        for (found, wanted) in over.slots.iter().zip(&drawn.slots) {
            let mut found = found.clone();
            (found.shift, found.centre) = (wanted.shift, wanted.centre);
            prop_assert_eq!(&found, wanted);
        }
        for (found, wanted) in over.bars.iter().zip(&drawn.bars) {
            prop_assert_eq!(&found.slots, &wanted.slots);
            let place = (found.phrase, found.place, found.role, found.tension);
            prop_assert_eq!(place, (wanted.phrase, wanted.place, wanted.role, wanted.tension));
        }
    }

    /// An inferred plan obeys what every drawn plan obeys (see `wishes.rs`).
    #[test]
    fn an_inferred_plan_keeps_what_a_drawn_plan_keeps(
        timeline in any_timeline(), style in any_style(), seed in any::<u64>(),
    ) {
        let rows: Vec<Vec<Onset>> = timeline.bars.iter().enumerate().map(|(index, bar)| {
            let mut dice = Dice::new(seed, index as u64, Purpose::Notes);
            let beats = (0..bar.beats).filter(|_| dice.below(4) > 0);
            beats.map(|beat| onset(beat, 1)).collect()
        }).collect();
        let over = Plan::over(&timeline, &style, &rows);
        let told = hearable(&over, any_heard(seed, timeline.bars.len()));
        let mut dice = Dice::new(seed, 1, Purpose::Plan);
        let notes: Vec<Pitch> = over.slots.iter()
            .map(|_| Pitch::new(28 + dice.below(28) as u8).unwrap())
            .collect();
        let slots = over.slots.clone();
        let plan = over.inferred(&timeline, &style, &told, &notes);
        for (at, (slot, before)) in plan.slots.iter().zip(&slots).enumerate() {
            // Only what is wished of a slot is new.
            let mut before = before.clone();
            (before.shift, before.centre) = (slot.shift, slot.centre);
            prop_assert_eq!(&before, slot);
            if slot.shift {
                let leap = i32::from(notes[at].midi()) - i32::from(notes[at - 1].midi());
                prop_assert!(leap.abs() >= SHIFT_LEAP);
                prop_assert!(plan.bars[slot.bar].shift);
            }
        }
        let (low, high) = (notes.iter().min(), notes.iter().max());
        for (at, bar) in plan.bars.iter().enumerate() {
            if let Some(cadence) = bar.cadence {
                prop_assert!(!timeline.bars[at].pickup);
                prop_assert!(plan.has_room(at, cadence));
                let place = plan.place_of_cadence(at);
                prop_assert!(place.is_some());
                // In the middle of a phrase only what was heard.
                let was_heard = told[at].cadences.first() == Some(&cadence);
                prop_assert!(was_heard || place == Some(PhrasePlace::End));
            } else if plan.place_of_cadence(at).is_some() && !timeline.bars[at].pickup {
                prop_assert!(told[at].cadences.is_empty());
            }
            if bar.clarity == Clarity::Ambiguous {
                prop_assert!(told[at].ambiguous && bar.cadence.is_none() && at > 0);
                let next = plan.bars[at + 1].cadence;
                prop_assert!(matches!(next, Some(Cadence::BeatOne | Cadence::OwnRoot)));
                prop_assert!(plan.bars[at - 1].clarity != Clarity::Ambiguous);
            }
            let lives = low.is_none() || (low..=high).contains(&Some(&bar.centre));
            let before_all = plan.slots[bar.slots.start..].len() == plan.slots.len();
            prop_assert!(lives || before_all, "{:?} outside {low:?} to {high:?}", bar.centre);
        }
    }
}
