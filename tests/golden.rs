//! The bytes of composed lines stay what they are, and do not hang on threads.
//!
//! `tests/golden/lines.txt` holds a 64-bit FNV-1a hash of the MIDI file and of the page of a line
//! in every shipped style over three charts, seed 1. Where lines are meant to change (weights,
//! formats, the version number), write it anew and read its differences:
//!
//! ```text
//! LINEWRIGHT_BLESS=1 cargo test -p linewright --test golden
//! ```

use std::path::Path;
use std::sync::Arc;

use linewright::{Line, Settings, Timeline, exporter};

use linewright_workshop::shipped::{charts, compose, composers, pairs};

/// A blues, a tune with a pick-up and changing metres, one with bass notes of its own.
const CHARTS: [&str; 3] = ["blues-in-f", "pickup-and-metres", "slash-chords"];

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/golden/lines.txt");

const HEADING: &str = "\
# 64-bit FNV-1a hashes of a line's MIDI file and page, seed 1. Written by tests/golden.rs, which
# says how to write it anew.
# style        chart              MIDI file         page
";

/// FNV-1a with the offset and prime of 64 bits (from memory; the test below knows two values).
fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

fn bytes(lines: &[Line], extension: &str) -> Vec<u8> {
    let exporter = exporter(extension, &Settings::default()).expect("a known extension");
    exporter
        .bytes(&lines.to_vec())
        .unwrap_or_else(|e| panic!("{e}"))
}

fn chosen() -> Vec<(String, Arc<Timeline>)> {
    let mut charts = charts();
    charts.retain(|(name, _)| CHARTS.contains(&name.as_str()));
    assert_eq!(charts.len(), CHARTS.len());
    charts
}

/// The golden values are our own.
#[test]
fn lines_have_the_bytes_that_are_written_down() {
    let (charts, composers) = (chosen(), composers());
    let hashes = compose(&pairs(&composers, &charts, 1, 1..=1), 2, |lines| {
        (fnv1a(&bytes(lines, "mid")), fnv1a(&bytes(lines, "txt")))
    });
    let names = composers.iter().flat_map(|composer| {
        charts
            .iter()
            .map(move |(chart, _)| (composer.style().name.as_str(), chart.as_str()))
    });
    let mut found = HEADING.to_owned();
    for ((style, chart), (midi, page)) in names.zip(hashes) {
        found.push_str(&format!(
            "{style:<14} {chart:<18} {midi:016x}  {page:016x}\n"
        ));
    }
    if std::env::var_os("LINEWRIGHT_BLESS").is_some() {
        std::fs::create_dir_all(Path::new(FILE).parent().expect("a folder")).expect("the folder");
        std::fs::write(FILE, &found).expect("the file of hashes can be written");
        return;
    }
    let known = std::fs::read_to_string(FILE).unwrap_or_else(|e| panic!("{FILE}: {e}"));
    let known = known.replace("\r\n", "\n");
    let other: Vec<&str> = found
        .lines()
        .filter(|row| !known.lines().any(|k| k == *row))
        .collect();
    let again = "to write the file anew, see the head of tests/golden.rs";
    assert!(
        known == found,
        "{} lines are not as written down; {again}:\n{}",
        other.len(),
        other.join("\n")
    );
}

/// Each line comes from its own seed and number: not from the lines before it, and not from
/// the thread that makes it.
#[test]
fn one_thread_and_two_make_the_same_bytes() {
    let (charts, mut composers) = (chosen(), composers());
    composers.truncate(4);
    let one_by_one: Vec<Vec<u8>> = (7..=9)
        .flat_map(|seed| {
            let one = pairs(&composers, &charts[..2], 1, seed..=seed);
            compose(&one, 1, |lines| {
                [bytes(lines, "mid"), bytes(lines, "txt")].concat()
            })
        })
        .collect();
    let together = compose(&pairs(&composers, &charts[..2], 1, 7..=9), 2, |lines| {
        let file = |line: &Line| {
            [
                bytes(std::slice::from_ref(line), "mid"),
                bytes(std::slice::from_ref(line), "txt"),
            ]
            .concat()
        };
        lines.iter().map(file).collect::<Vec<_>>()
    });
    let pairs = together.len();
    assert_eq!(one_by_one.len(), 3 * pairs);
    for (at, files) in together.iter().enumerate() {
        for (seed, file) in files.iter().enumerate() {
            assert!(
                *file == one_by_one[seed * pairs + at],
                "line {at} of seed {}",
                7 + seed
            );
        }
    }
}

/// From memory: the hashes of nothing and of `a`, as the authors of FNV list them.
#[test]
fn the_hash_is_fnv1a() {
    assert_eq!(fnv1a(b""), 0xcbf2_9ce4_8422_2325);
    assert_eq!(fnv1a(b"a"), 0xaf63_dc4c_8601_ec8c);
}
