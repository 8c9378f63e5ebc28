//! The shortest path through the places of a line.

use linewright_theory::Pitch;

use crate::cost::{of_move, of_place};
use linewright_theory::Bass;

use crate::neck::{Place, places};

/// A note to be played.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Sounding {
    /// What sounds.
    pub pitch: Pitch,
    /// Milliseconds from the start of the note before to the start of this one; of no account
    /// for the first.
    pub after: u32,
}

/// How a line is fingered.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// The instrument.
    pub neck: Bass,
    /// Whether open strings are played wherever they serve; else only where a note has no other
    /// place, as the lowest string's own.
    pub open_strings: bool,
}

impl Options {
    /// With open strings.
    pub fn new(neck: Bass) -> Self {
        Self {
            neck,
            open_strings: true,
        }
    }
}

/// A line's fingering.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fingering {
    /// Where each note is played; `None` for a note beyond the neck.
    pub places: Vec<Option<Place>>,
    /// What all of it costs, in 200ths of a point; see [`cost`](crate::cost).
    pub cost: u64,
}

impl Fingering {
    /// How many notes lie beyond the neck.
    pub fn unreached(&self) -> usize {
        self.places.iter().filter(|place| place.is_none()).count()
    }
}

/// A note that can be reached.
struct Stage {
    /// Its number in the line.
    nth: usize,
    /// Milliseconds from the reached note before.
    after: u32,
    /// Its places with what they and everything after them cost at least.
    places: Vec<(Place, u64)>,
}

/// The fingering of a line that costs least; of several, the one whose places come first,
/// compared from the first note on. Notes beyond the neck are left out of the way. Time grows
/// with the length of the line, and with the square of the places of a note, some tens.
pub fn fingering(line: &[Sounding], options: &Options) -> Fingering {
    let mut stages = stages(line, options);
    // From the end, so that the way can be picked from the beginning.
    for at in (0..stages.len()).rev() {
        let (before, rest) = stages.split_at_mut(at + 1);
        let next = rest.first();
        if let Some(stage) = before.last_mut() {
            for (place, cost) in &mut stage.places {
                let onward = next.map_or(Some(0), |next| {
                    let ways = next.places.iter();
                    ways.map(|(to, rest)| of_move(options.neck, place, to, next.after) + rest)
                        .min()
                });
                *cost = of_place(place) + onward.unwrap_or(0);
            }
        }
    }
    let mut found = Fingering {
        places: vec![None; line.len()],
        cost: 0,
    };
    let mut last: Option<Place> = None;
    for stage in &stages {
        let moved =
            |place: &Place| last.map_or(0, |last| of_move(options.neck, &last, place, stage.after));
        // The first of equals: places are in order.
        let best = stage
            .places
            .iter()
            .min_by_key(|(place, rest)| moved(place) + rest);
        if let Some((place, _)) = best {
            found.cost += moved(place) + of_place(place);
            found.places[stage.nth] = Some(*place);
            last = Some(*place);
        }
    }
    found
}

fn stages(line: &[Sounding], options: &Options) -> Vec<Stage> {
    let mut stages = Vec::with_capacity(line.len());
    let mut after = 0_u32;
    for (nth, note) in line.iter().enumerate() {
        after = after.saturating_add(note.after);
        let places = places(options.neck, note.pitch, options.open_strings);
        if places.is_empty() {
            continue;
        }
        stages.push(Stage {
            nth,
            after,
            places: places.into_iter().map(|place| (place, 0)).collect(),
        });
        after = 0;
    }
    stages
}
