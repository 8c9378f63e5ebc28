//! Bass lines to write: every key, many metres, everything that a line may hold.

use linewright_notation::{
    BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks, TimeSignature, Until,
};
use linewright_theory::{Chord, Key, Mode, Name, Note};

/// Numbers that look random and are always the same.
pub struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % limit
    }

    fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }
}

/// Rhythms of a beat: the parts of a quarter, and whether one is a rest.
const BEATS: [(&[(Ticks, Ticks)], bool); 8] = [
    (&[(1, 1)], false),
    (&[(1, 1)], false),
    (&[(1, 1)], true),
    (&[(1, 2), (1, 2)], false),
    (&[(3, 4), (1, 4)], false),
    (&[(1, 3), (1, 3), (1, 3)], false),
    (&[(2, 3), (1, 3)], false),
    (&[(1, 5), (1, 5), (1, 5), (1, 5), (1, 5)], false),
];

const QUALITIES: [&str; 10] = [
    "", "7", "maj7", "m7", "m7b5", "dim7", "6", "m6", "9", "sus4",
];

/// A bass note in or near a key, spelled with at most one accidental.
fn note(dice: &mut Dice, key: Key) -> Note {
    let near = i32::from(key.fifths()) + dice.below(12) as i32 - 4;
    let name = Name::from_fifths(near).expect("a name").simple();
    Note::new(name, dice.of(&[1, 1, 2, 2, 3]))
}

fn measure(dice: &mut Dice, key: Key, time: TimeSignature) -> Measure {
    let mut measure = Measure::new(time.ticks());
    let mut now = 0;
    while now < measure.ticks {
        let (parts, is_rest) = dice.of(&BEATS);
        let left = measure.ticks - now;
        let half: &[(Ticks, Ticks)] = &[(1, 2)];
        let parts = if left < QUARTER { half } else { parts };
        for (over, under) in parts {
            let ticks = QUARTER * over / under;
            measure.events.push(match is_rest {
                true => Event::rest(now, ticks),
                false => Event::note(now, ticks, note(dice, key)),
            });
            now += ticks;
        }
    }
    // Now and then a long note, tied or not, and one under a chord change.
    if dice.below(4) == 0 {
        let half = time.ticks() / 2;
        let long = note(dice, key);
        measure.events = vec![
            Event::note(0, half, long),
            Event::note(half, time.ticks() - half, long),
        ];
        measure.events[0].tied = dice.below(2) == 0;
    }
    let places = [0, QUARTER * (1 + dice.below(2) as Ticks)];
    for at in places.into_iter().take(1 + dice.below(2)) {
        let root = note(dice, key).name;
        let chord = Chord::parse(&format!("{root}{}", dice.of(&QUALITIES)));
        measure.symbols.push(SymbolAt {
            at,
            symbol: Symbol::Chord(chord.expect("a chord")),
        });
    }
    measure
}

/// A line in each of the thirty keys, without repeats or changes.
pub fn in_all_keys() -> Vec<Score> {
    let metres = [(4, 4), (3, 4), (5, 4), (6, 8), (2, 2), (7, 4)];
    let modes = [Mode::Major, Mode::Minor];
    let keys = (-7i8..=7).flat_map(|fifths| modes.map(|mode| (fifths, mode)));
    keys.enumerate()
        .map(|(number, (fifths, mode))| {
            let key = Key::from_fifths(fifths, mode).expect("a key");
            let (beats, unit) = metres[number % metres.len()];
            let time = TimeSignature { beats, unit };
            let mut dice = Dice(number as u64);
            let mut measures: Vec<Measure> =
                (0..13).map(|_| measure(&mut dice, key, time)).collect();
            measures[0].time = Some(time);
            measures[0].key = Some(key);
            measures[0].tempo = Some(60 + 7 * number as u16);
            measures[12].right = BarLine::Final;
            Score {
                title: Some(format!("{key}")),
                feel: Some("swing".into()),
                about: vec![("style".into(), "plain".into())],
                measures,
                ..Score::default()
            }
        })
        .collect()
}

/// A line with a pick-up in which metre, key and tempo change.
pub fn changing() -> Score {
    let mut score = in_all_keys().remove(8);
    let mut dice = Dice(99);
    let key = Key::from_fifths(3, Mode::Minor).expect("a key");
    let time = TimeSignature { beats: 3, unit: 4 };
    for measure in score.measures.iter_mut().skip(6) {
        *measure = self::measure(&mut dice, key, time);
    }
    score.measures[6].key = Some(key);
    score.measures[6].time = Some(time);
    score.measures[6].section = Some("B".into());
    score.measures[9].tempo = Some(200);
    let first = score.measures.remove(0);
    let mut pickup = Measure::new(QUARTER);
    pickup.pickup = true;
    pickup.time = first.time;
    pickup.key = first.key;
    pickup.tempo = first.tempo;
    pickup.events = vec![Event::note(0, QUARTER, "C2".parse().expect("a note"))];
    score.measures.insert(0, pickup);
    score
}

/// A line with repeats, endings and the signs of the way.
pub fn repeated() -> Score {
    let mut score = in_all_keys().remove(12);
    let measures = &mut score.measures;
    measures[0].opens_repeat = true;
    measures[0].segno = true;
    measures[3].ending = vec![1];
    measures[3].right = BarLine::Repeat(2);
    measures[4].ending = vec![2];
    measures[4].right = BarLine::Double;
    measures[6].to_coda = true;
    measures[7].opens_repeat = true;
    measures[8].right = BarLine::Repeat(2);
    measures[9].fine = true;
    measures[10].jump = Some(Jump {
        to_segno: true,
        until: Until::Coda,
    });
    measures[10].right = BarLine::Double;
    measures[11].coda = true;
    score
}
