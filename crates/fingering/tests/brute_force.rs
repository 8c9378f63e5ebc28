//! The shortest path against every path of short lines.

use linewright_fingering::{Bass, Options, Place, Sounding, cost, fingering, places};
use linewright_theory::Pitch;
use proptest::prelude::*;

/// The cheapest fingering and its cost by trying them all, in order.
fn cheapest(line: &[Sounding], options: &Options) -> (u64, Vec<Place>) {
    let mut best: Option<(u64, Vec<Place>)> = None;
    let mut way = Vec::new();
    try_all(line, options, 0, &mut way, &mut best);
    best.unwrap()
}

fn try_all(
    line: &[Sounding],
    options: &Options,
    cost: u64,
    way: &mut Vec<Place>,
    best: &mut Option<(u64, Vec<Place>)>,
) {
    let Some(note) = line.get(way.len()) else {
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            *best = Some((cost, way.clone()));
        }
        return;
    };
    for place in places(options.neck, note.pitch, options.open_strings) {
        let moved = way.last().map_or(0, |last| {
            cost::of_move(options.neck, last, &place, note.after)
        });
        let cost = cost + moved + cost::of_place(&place);
        way.push(place);
        try_all(line, options, cost, way, best);
        way.pop();
    }
}

fn any_line() -> impl Strategy<Value = Vec<Sounding>> {
    let note = (28_u8..62, 60_u32..2000).prop_map(|(midi, after)| Sounding {
        pitch: Pitch::new(midi).unwrap(),
        after,
    });
    prop::collection::vec(note, 1..4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_other_fingering_costs_less_and_equals_come_later(
        line in any_line(),
        neck in prop::sample::select(&Bass::ALL[..]),
        open_strings: bool,
    ) {
        let options = Options { neck, open_strings };
        let found = fingering(&line, &options);
        let (cost, places) = cheapest(&line, &options);
        prop_assert_eq!(found.cost, cost);
        prop_assert_eq!(found.places, places.into_iter().map(Some).collect::<Vec<_>>());
    }

    #[test]
    fn every_place_sounds_its_note_and_lies_under_the_hand(
        midi in 0_u8..128,
        neck in prop::sample::select(&Bass::ALL[..]),
        open_strings: bool,
    ) {
        let pitch = Pitch::new(midi).unwrap();
        let strings: Vec<u8> = neck.strings().collect();
        let places = places(neck, pitch, open_strings);
        for place in &places {
            prop_assert_eq!(i32::from(strings[place.string]) + place.stop, i32::from(midi));
            if place.finger != linewright_fingering::Finger::Open {
                prop_assert!((0..=5).contains(&(place.stop - place.position)));
            }
        }
        let lowest = match neck {
            Bass::DoubleLowC => 24,
            Bass::DoubleFive | Bass::GuitarFive => 23,
            Bass::Double | Bass::Guitar => 28,
        };
        let highest = match neck {
            Bass::Guitar | Bass::GuitarFive => 63,
            _ => 67,
        };
        prop_assert_eq!(!places.is_empty(), (lowest..=highest).contains(&midi));
    }
}
