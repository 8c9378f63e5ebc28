//! The page: what it says is what the line holds, at every width.

use std::sync::Arc;

use proptest::prelude::*;

use super::{Options, page};
use crate::test_lines::{BLUES, CHANGING, line};
use linewright_compose::Line;

/// The bars of all rows with this name, in order, each as its words.
fn rows(page: &str, name: &str) -> Vec<Vec<String>> {
    page.lines()
        .filter_map(|row| row.strip_prefix(name))
        .filter_map(|row| row.trim_start().strip_prefix('|')?.strip_suffix('|'))
        .flat_map(|row| {
            row.split('|')
                .map(|bar| bar.split_whitespace().map(str::to_owned).collect())
        })
        .collect()
}

/// What the row of notes must say, worked out from the slots.
fn expected(line: &Line) -> Vec<Vec<String>> {
    let bar = |(index, bar): (usize, &linewright_chart::TimelineBar)| {
        let mut words = vec!["r".to_owned(); usize::from(bar.beats)];
        for (slot, note) in line.plan.slots.iter().zip(&line.reading.notes) {
            if slot.bar == index {
                for beat in slot.beat + 1..slot.beat + slot.beats {
                    words[usize::from(beat)] = ".".to_owned();
                }
                words[usize::from(slot.beat)] = note.note.to_string();
            }
        }
        words
    };
    line.timeline.bars.iter().enumerate().map(bar).collect()
}

#[test]
fn the_row_of_notes_reads_back_as_the_line_in_every_style_and_width() {
    for (chart, style) in [
        (BLUES, "plain"),
        (BLUES, "two-feel"),
        (CHANGING, "plain"),
        (CHANGING, "two-feel"),
    ] {
        let line = line(chart, style, 3);
        for width in [1, 30, 60, 80, 100, 300] {
            let page = page(
                &line,
                &Options {
                    width,
                    ..Options::default()
                },
            );
            assert_eq!(
                rows(&page, "notes"),
                expected(&line),
                "{style} at {width}\n{page}"
            );
        }
    }
}

#[test]
fn a_page_of_a_hundred_columns_has_four_bars_a_row_and_a_narrow_one_fewer() {
    let line = line(BLUES, "plain", 1);
    let most = |width| {
        let page = page(
            &line,
            &Options {
                width,
                ..Options::default()
            },
        );
        let rows = page.lines().filter(|row| row.starts_with("notes"));
        rows.map(|row| row.matches('|').count() - 1).max()
    };
    assert_eq!([100, 80, 40].map(most), [Some(4), Some(2), Some(1)]);
}

#[test]
fn no_row_is_wider_than_the_page_where_a_bar_fits() {
    for chart in [BLUES, CHANGING] {
        for width in [60, 80, 100, 120] {
            let page = page(
                &line(chart, "plain", 2),
                &Options {
                    width,
                    ..Options::default()
                },
            );
            for row in page.lines().filter(|row| row.ends_with('|')) {
                assert!(row.chars().count() <= width, "{width}: {row}");
            }
        }
    }
}

#[test]
fn notes_degrees_and_functions_stand_in_one_column() {
    let page = page(&line(BLUES, "plain", 1), &Options::default());
    let column = |row: &str, word: &str| row.find(word).map(|at| row[..at].chars().count());
    let mut rows = page.lines().skip_while(|row| !row.starts_with("notes"));
    let (notes, degrees) = (rows.next().unwrap(), rows.next().unwrap());
    assert_eq!(column(notes, "F1"), Some(10));
    assert_eq!(column(degrees, "1 "), Some(10));
    let starts = |row: &str| -> Vec<usize> {
        let row: Vec<char> = row.chars().collect();
        (8..row.len())
            .filter(|&at| row[at] != ' ' && row[at] != '|' && row[at - 1] == ' ')
            .collect()
    };
    assert_eq!(starts(notes), starts(degrees));
}

#[test]
fn sections_begin_a_system_and_so_do_choruses() {
    let line = line(BLUES, "plain", 1);
    let plain = page(&line, &Options::default());
    assert!(
        plain.contains("\n[A]\n") && plain.contains("\n[B]\n"),
        "{plain}"
    );
    let mut line = line;
    Arc::make_mut(&mut line.timeline).choruses = 2;
    let twice = page(&line, &Options::default());
    assert!(
        twice.contains("\nchorus 1 [A]\n") && twice.contains("\nchorus 2\n"),
        "{twice}"
    );
}

#[test]
fn the_head_tells_whether_the_tempo_stays() {
    let head = |chart| page(&line(chart, "plain", 1), &Options::default());
    assert!(head(BLUES).contains("· 140 beats a minute ·"));
    assert!(head(CHANGING).contains("· 140 beats a minute at first ·"));
}

#[test]
fn bars_can_be_picked_and_the_rest_stays_away() {
    let line = line(BLUES, "plain", 1);
    let page = page(
        &line,
        &Options {
            bars: Some(3..=5),
            plan: true,
            ..Options::default()
        },
    );
    assert_eq!(rows(&page, "notes"), expected(&line)[2..5]);
    let table: Vec<&str> = page
        .lines()
        .skip_while(|row| !row.starts_with("bar "))
        .skip(1)
        .take(3)
        .collect();
    let numbers: Vec<&str> = table
        .iter()
        .filter_map(|row| row.split(' ').next())
        .collect();
    assert_eq!(numbers, ["3", "4", "5"]);
}

#[test]
fn a_plain_page_has_no_escapes_and_a_coloured_one_differs_in_nothing_else() {
    let line = line(CHANGING, "plain", 1);
    let options = Options {
        plan: true,
        reasons: true,
        ..Options::default()
    };
    let plain = page(&line, &options);
    let coloured = page(
        &line,
        &Options {
            colour: true,
            ..options
        },
    );
    assert!(!plain.contains('\u{1b}') && coloured.contains('\u{1b}'));
    let mut stripped = String::new();
    for (index, piece) in coloured.split('\u{1b}').enumerate() {
        stripped.push_str(if index == 0 {
            piece
        } else {
            piece.split_once('m').unwrap().1
        });
    }
    assert_eq!(stripped, plain);
}

/// Milli-points of a printed number such as `-0.075`.
fn milli(text: &str) -> Option<i64> {
    let (sign, digits) = match text.split_at_checked(1)? {
        ("+", digits) => (1, digits),
        ("-", digits) => (-1, digits),
        _ => return None,
    };
    let (whole, decimals) = digits.split_once('.')?;
    assert_eq!(decimals.len(), 3, "{text}");
    Some(sign * (whole.parse::<i64>().ok()? * 1000 + decimals.parse::<i64>().ok()?))
}

/// Sums of what the reasons print: of single findings, of bars, and the score.
fn printed_sums(page: &str) -> (i64, i64, Option<i64>) {
    let (mut findings, mut bars, mut score) = (0, 0, None);
    for row in page.lines().skip_while(|row| !row.starts_with("reasons")) {
        let last = row.split_whitespace().find_map(milli);
        match last {
            Some(points) if row.starts_with("    ") => findings += points,
            Some(points) if row.starts_with("  = bar ") => bars += points,
            Some(points) if row.starts_with("  = score") => score = Some(points),
            _ => {}
        }
    }
    (findings, bars, score)
}

#[test]
fn a_function_under_a_note_is_explained_at_the_foot() {
    let page = page(&line(BLUES, "plain", 1), &Options::default());
    let foot: String = page.rsplit_once("|\n\n").unwrap().1.to_owned();
    let mut words: Vec<String> = rows(&page, "why").concat();
    words.sort();
    words.dedup();
    assert!(!words.is_empty());
    for word in words {
        assert!(
            foot.split_whitespace().any(|entry| entry == word),
            "{word} in\n{foot}"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn printed_reasons_add_up_to_the_printed_score(seed in 0u64..1000, changing: bool) {
        let line = line(if changing { CHANGING } else { BLUES }, "plain", seed);
        let page = page(&line, &Options { reasons: true, ..Options::default() });
        let (findings, bars, score) = printed_sums(&page);
        prop_assert_eq!(score, Some(line.reading.score));
        prop_assert_eq!(findings, line.reading.score);
        prop_assert_eq!(bars, line.reading.score);
    }
}
