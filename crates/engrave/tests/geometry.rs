//! Over many scores: marks that must not touch do not, and nothing leaves the page.

use linewright_engrave::{Bounds, Kind as Mark, Options, Page, Paper, STAFF, pages};
use linewright_notation::{BarLine, Score};

mod support;

use support::{Kind, everything, generated};

fn check(page: &Page, what: &str) {
    if let Some(mark) = page.outside().first() {
        panic!(
            "{what}: {:?} of {:?} leaves the page at {:?}",
            mark.kind(),
            mark.place(),
            mark.bounds()
        );
    }
    if let Some((one, other)) = page.collisions().first() {
        panic!(
            "{what}: {:?} {:?} of {:?} at {:?} touches {:?} {:?} of {:?} at {:?}",
            one.kind(),
            one.text(),
            one.place(),
            one.bounds(),
            other.kind(),
            other.text(),
            other.place(),
            other.bounds()
        );
    }
}

fn check_all(score: &Score, options: &Options, what: &str) {
    for (number, page) in pages(score, options).iter().enumerate() {
        check(page, &format!("{what}, page {}", number + 1));
    }
}

#[test]
fn nothing_collides_in_any_key_and_metre() {
    for fifths in -7..=7 {
        for beats in 2..=7 {
            let kind = Kind {
                fifths,
                beats,
                bars: 12,
                range: (28, 55),
                dense: false,
                busy: fifths % 2 == 0,
                rows: 1,
                wordy: false,
                form: false,
            };
            let score = generated(kind, (fifths + 20) as u64 * u64::from(beats));
            check_all(&score, &everything(&score), &format!("{kind:?}"));
        }
    }
}

#[test]
fn nothing_collides_on_dense_pages() {
    for seed in 0..60 {
        let kind = Kind {
            fifths: seed as i8 % 15 - 7,
            beats: 2 + seed as u8 % 6,
            bars: 20,
            // From the lowest string of five, on four ledger lines, to far above the staff.
            range: if seed % 3 == 0 { (23, 67) } else { (26, 60) },
            dense: seed % 2 == 0,
            busy: seed % 5 != 0,
            rows: (seed % 4) as usize,
            wordy: seed % 7 < 3,
            form: seed % 3 != 1,
        };
        let score = generated(kind, seed);
        for paper in [Paper::A4, Paper::Letter, Paper::Endless] {
            let options = Options {
                paper,
                bars_per_system: 1 + (seed % 6) as usize,
                ..everything(&score)
            };
            check_all(&score, &options, &format!("seed {seed} {kind:?} {paper:?}"));
        }
    }
}

#[test]
fn nothing_collides_on_sheets_written_by_hand() {
    for (name, score) in support::sheets() {
        check_all(&score, &everything(&score), name);
        check_all(&score, &Options::default(), name);
    }
}

#[test]
fn what_does_not_fit_is_engraved_smaller() {
    let long = "a very long text that says everything there is to say ".repeat(20);
    let mut score = support::blues();
    score.title = Some(long.clone());
    score.feel = Some(long.clone());
    score.measures[2].section = Some(long.clone());
    score.measures[0].events[0].under[0] = long.clone();
    let options = Options {
        footer: vec![long],
        ..everything(&score)
    };
    check_all(&score, &options, "long texts");
    let mut short = support::tune("64ths", "C", 4, "C7:");
    short.measures[0].events = (0..64)
        .map(|n| linewright_notation::Event::note(n * 420, 420, "F#3".parse().unwrap()))
        .collect();
    check_all(&short, &Options::default(), "64ths");
}

#[test]
fn systems_are_justified_and_a_short_last_one_is_not_stretched() {
    let score = support::tune("Ten bars", "C", 4, &"C7: C2 E2 G2 A2 |".repeat(10));
    let page = &pages(&score, &Options::default())[0];
    let lines: Vec<_> = page
        .marks()
        .iter()
        .filter(|mark| mark.kind() == Mark::StaffLine)
        .map(|mark| mark.bounds().right)
        .collect();
    assert_eq!(lines.len(), 15);
    assert_eq!(lines[0], lines[5]);
    assert!(lines[10] < lines[0] * 3 / 4, "{lines:?}");
    let symbols: Vec<_> = page
        .marks()
        .iter()
        .filter(|mark| mark.kind() == Mark::ChordSymbol)
        .map(|mark| mark.bounds())
        .collect();
    assert_eq!(symbols.len(), 10);
    for system in symbols.chunks(4) {
        assert!(
            system
                .iter()
                .all(|bounds| bounds.bottom == system[0].bottom)
        );
    }
    // Bars of like content are of like width.
    let widths: Vec<i64> = symbols[4..8]
        .windows(2)
        .map(|p| p[1].left - p[0].left)
        .collect();
    assert!(
        widths.iter().all(|width| (width - widths[0]).abs() < 5),
        "{widths:?}"
    );
}

#[test]
fn a_nearly_empty_last_page_is_avoided_by_a_little_less_height() {
    let pages_of = |bars: usize| {
        let score = support::tune("Long", "C", 4, &"C7: C2 E2 G2 A2 |".repeat(bars));
        pages(&score, &Options::default())
    };
    let mut smaller = 0;
    for systems in 8..24 {
        let pages = pages_of(4 * systems);
        let full = Options::default().staff_height;
        let unit = pages[0].paper_size().0 * 1000 / pages[0].bounds().right;
        smaller += usize::from(unit < i64::from(full));
        assert!(unit * 100 >= i64::from(full) * 87, "{unit}");
    }
    assert!(smaller > 0);
}

#[test]
fn every_note_of_the_score_is_on_some_page_once() {
    for (name, score) in support::sheets() {
        let mut seen = std::collections::BTreeSet::new();
        for page in pages(&score, &Options::default()) {
            for mark in page.marks() {
                if mark.kind() == Mark::Head {
                    let place = mark.place().unwrap();
                    seen.insert((place.measure, place.event.unwrap(), place.tick));
                }
            }
        }
        let expected: std::collections::BTreeSet<_> = score
            .measures
            .iter()
            .enumerate()
            .flat_map(|(number, measure)| {
                let events = measure.events.iter().enumerate();
                events
                    .filter(|(_, event)| event.note.is_some())
                    .map(move |(index, event)| (number, index, event.at))
            })
            .collect();
        assert_eq!(seen, expected, "{name}");
    }
}

#[test]
fn an_ending_is_spanned_by_its_bracket_over_sections_and_systems() {
    let mut score = support::tune("Endings", "C", 4, &"C7: C2 E2 G2 A2 |".repeat(12));
    // The first ending goes through the beginning of a section, the second over the end of a system.
    score.measures[3].ending = vec![1];
    score.measures[4].right = BarLine::Double;
    score.measures[5].section = Some("B".to_owned());
    score.measures[6].right = BarLine::Repeat(2);
    score.measures[7].ending = vec![2];
    let page = &pages(&score, &Options::default())[0];
    let of = |kind: Mark| page.marks().iter().filter(move |mark| mark.kind() == kind);
    let numbers: Vec<String> = of(Mark::EndingNumber).map(|mark| mark.text()).collect();
    assert_eq!(numbers, ["1.", "2."]);
    // By system: the lines along the staff, and the hooks that begin and end brackets.
    let (lines, hooks): (Vec<_>, Vec<_>) = of(Mark::Ending)
        .map(|mark| mark.bounds())
        .partition(|bounds| bounds.right - bounds.left > bounds.bottom - bounds.top);
    assert_eq!((lines.len(), hooks.len()), (4, 3), "two begin, one ends");
    let spans = |line: &Bounds| -> Vec<usize> {
        let heads = of(Mark::Head).filter(|head| {
            let head = head.bounds();
            let is_near = (0..3 * STAFF).contains(&(head.top - line.bottom));
            is_near && line.left <= head.left && head.right <= line.right
        });
        let mut measures: Vec<usize> = heads.map(|head| head.place().unwrap().measure).collect();
        measures.dedup();
        measures
    };
    let spanned: Vec<_> = lines.iter().map(spans).collect();
    assert_eq!(spanned, [[3, 4], [5, 6], [7, 8], [9, 10]]);
}
