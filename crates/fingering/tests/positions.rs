//! Fingerings that every player knows.
//!
//! Half and first position of the double bass with the fingers 1 2 4, and four frets under four
//! fingers on the bass guitar: common practice, no source; the half and first positions are
//! those of the usual German school, from memory.

use linewright_fingering::{Bass, Finger, Fingering, Options, Sounding, fingering};
use linewright_theory::Note;

fn line(notes: &str, after: u32) -> Vec<Sounding> {
    let pitch = |name: &str| name.parse::<Note>().unwrap().pitch().unwrap();
    let sounding = |name| Sounding {
        pitch: pitch(name),
        after,
    };
    notes.split_whitespace().map(sounding).collect()
}

fn told(found: &Fingering) -> (String, String) {
    let fingers = found.places.iter().map(|place| match place {
        Some(place) => place.finger.to_string(),
        None => "-".to_owned(),
    });
    let strings = found.places.iter().map(|place| match place {
        Some(place) => place.string_number(),
        None => "-",
    });
    (
        fingers.collect::<Vec<_>>().join(" "),
        strings.collect::<Vec<_>>().join(" "),
    )
}

fn fingers(notes: &str, options: Options) -> String {
    told(&fingering(&line(notes, 500), &options)).0
}

const BASS: Options = Options {
    neck: Bass::Double,
    open_strings: true,
};
const STOPPED: Options = Options {
    open_strings: false,
    ..BASS
};
const GUITAR: Options = Options {
    neck: Bass::Guitar,
    open_strings: true,
};
const GUITAR_STOPPED: Options = Options {
    open_strings: false,
    ..GUITAR
};

#[test]
fn f_major_lies_in_half_position() {
    let found = fingering(&line("F1 G1 A1 Bb1 C2 D2 E2 F2", 500), &BASS);
    let (fingers, strings) = told(&found);
    assert_eq!(fingers, "1 4 0 1 4 0 2 4");
    assert_eq!(strings, "IV IV III III III II II II");
    assert!(
        found
            .places
            .iter()
            .flatten()
            .all(|place| place.position == 1)
    );
}

#[test]
fn g_major_lies_in_first_position() {
    let found = fingering(&line("G1 A1 B1 C2 D2 E2 F#2 G2", 500), &BASS);
    let (fingers, strings) = told(&found);
    assert_eq!(fingers, "2 0 1 2 0 1 4 0");
    assert_eq!(strings, "IV III III III II II II I");
    let stopped = found
        .places
        .iter()
        .flatten()
        .filter(|place| place.finger != Finger::Open);
    assert!(stopped.clone().count() == 5 && stopped.into_iter().all(|place| place.position == 2));
}

#[test]
fn a_whole_tone_on_one_string_is_first_to_fourth_finger_on_the_double_bass() {
    assert_eq!(fingers("A2 B2", BASS), "1 4");
    assert_eq!(fingers("F1 G1", BASS), "1 4");
}

#[test]
fn open_strings_are_left_out_when_asked_except_the_lowest() {
    let found = fingers("E1 A1 D2 G2", STOPPED);
    assert_eq!(found.split(' ').next(), Some("0"));
    assert!(!found[1..].contains('0'), "{found}");
    assert_eq!(fingers("E1 A1 D2 G2", BASS), "0 0 0 0");
}

#[test]
fn a_major_scale_lies_under_one_hand_on_the_bass_guitar() {
    // Second finger on the root, one hand, no shift.
    let found = fingering(&line("C2 D2 E2 F2 G2 A2 B2 C3", 500), &GUITAR_STOPPED);
    let (fingers, strings) = told(&found);
    assert_eq!(fingers, "2 4 1 2 4 1 3 4");
    assert_eq!(strings, "III III II II II I I I");
    assert!(
        found
            .places
            .iter()
            .flatten()
            .all(|place| place.position == 2)
    );
}

#[test]
fn the_octave_of_the_open_string_is_played_near_the_body_and_what_lies_above_with_the_thumb() {
    let found = fingering(&line("F3 F#3 G3", 500), &BASS);
    assert_eq!(told(&found), ("1 2 3".to_owned(), "I I I".to_owned()));
    let found = fingering(&line("G3 A3 B3 C4", 500), &BASS);
    assert_eq!(told(&found), ("T 1 2 3".to_owned(), "I I I I".to_owned()));
}

#[test]
fn the_faster_the_line_the_fewer_the_shifts() {
    let shifts = |after| {
        let found = fingering(
            &line("G2 Bb2 C3 Eb3 C3 Bb2 G2 F2 Eb2 G2 Bb2 D3", after),
            &STOPPED,
        );
        let places: Vec<_> = found.places.into_iter().flatten().collect();
        let pairs = places.windows(2);
        pairs
            .filter(|pair| pair[0].position != pair[1].position)
            .count()
    };
    assert!(
        shifts(150) < shifts(20_000),
        "{} {}",
        shifts(150),
        shifts(20_000)
    );
}

#[test]
fn notes_beyond_the_neck_are_told_and_the_others_are_fingered() {
    let found = fingering(&line("F1 C1 G1 C6 A1", 500), &BASS);
    assert_eq!(told(&found).0, "1 - 4 - 0");
    assert_eq!(found.unreached(), 2);
    let low = Options::new(Bass::DoubleLowC);
    assert_eq!(fingers("E1 C1 D1 Eb1", low), "0 0 1 2");
    let five = Options::new(Bass::DoubleFive);
    assert_eq!(told(&fingering(&line("C1 E1", 500), &five)).1, "V IV");
    assert_eq!(fingering(&[], &BASS), Fingering::default());
}

#[test]
fn a_long_line_takes_a_moment() {
    let notes = "F1 A1 C2 Eb2 D2 F2 Ab2 A2 Bb2 D3 F3 E3 Eb3 C3 A2 F2 ";
    let found = fingering(&line(&notes.repeat(2000), 300), &BASS);
    assert_eq!((found.places.len(), found.unreached()), (32_000, 0));
}
