//! The page of a profile and of a comparison.

use linewright_study::profile::{Compared, Comparison, Counted, Profile, Profiled};

use super::{compared, profiled};
use crate::test_lines::{BLUES, line};
use crate::text::Options;

fn profile(style: &str) -> Profile {
    let mut profile = Profile::default();
    for seed in 1..=6 {
        profile.join(&Profile::of(&line(BLUES, style, seed)));
    }
    profile
}

fn composed(style: &str) -> Counted {
    Counted::Composed {
        style: style.to_owned(),
        first: 1,
        last: 6,
    }
}

/// The rows of the table under a title.
fn table<'a>(page: &'a str, title: &str) -> Vec<&'a str> {
    let mut rows = page.lines().skip_while(|row| *row != title).skip(1);
    rows.by_ref().take_while(|row| !row.is_empty()).collect()
}

#[test]
fn the_shares_of_every_beat_add_up_to_a_hundred() {
    let page = profiled(
        &Profiled {
            of: composed("plain"),
            over: Some("Backyard\u{1b} blues".to_owned()),
            profile: profile("plain"),
        },
        &Options::default(),
    );
    assert!(
        page.contains(
            "6 lines in style plain, seeds 1 to 6: 72 bars, 288 notes, over Backyard  blues\n"
        ),
        "{page}"
    );
    let rows = table(&page, "degrees by beat, in %");
    let (heads, rows) = rows.split_first().unwrap();
    let (last, rows) = rows.split_last().unwrap();
    assert_eq!(
        heads
            .split_whitespace()
            .filter(|word| *word == "beat")
            .count(),
        4
    );
    assert!(
        last.starts_with("of how many") && last.ends_with("72"),
        "{last}"
    );
    let mut sums = [0.0; 4];
    for row in rows {
        assert_eq!(row.chars().count(), heads.chars().count(), "{row:?}");
        for (sum, cell) in sums.iter_mut().zip(row.split_whitespace().skip(1)) {
            *sum += cell.parse().unwrap_or(0.0);
        }
    }
    // Each share is rounded to a tenth.
    let slack = 0.05 * rows.len() as f64;
    assert!(
        sums.iter().all(|sum: &f64| (sum - 100.0).abs() <= slack),
        "{sums:?}"
    );
}

#[test]
fn colours_change_nothing_but_colours() {
    let of = Profiled {
        of: composed("plain"),
        over: None,
        profile: profile("plain"),
    };
    let colour = Options {
        colour: true,
        ..Options::default()
    };
    let mut plain = String::new();
    let coloured = profiled(&of, &colour);
    for part in coloured.split('\u{1b}') {
        let text = part.strip_prefix('[').and_then(|part| part.split_once('m'));
        plain.push_str(text.map_or(part, |(_, text)| text));
    }
    assert_ne!(coloured, plain);
    assert_eq!(plain, profiled(&of, &Options::default()));
}

#[test]
fn a_comparison_says_what_differs_and_by_which_formula() {
    let page = compared(
        &Compared {
            here: composed("two-feel"),
            there: composed("plain"),
            over: None,
            comparison: Comparison::of(profile("two-feel"), profile("plain")),
        },
        &Options::default(),
    );
    assert!(page.contains("here   6 lines in style two-feel"), "{page}");
    assert!(page.contains("- More often here: ") || page.contains("- Less often here: "));
    assert!(page.contains("½ Σ p log2(p/m) + ½ Σ q log2(q/m)"));
    let rows = table(&page, "how far apart");
    let lonely: Vec<_> = rows
        .iter()
        .filter(|row| row.starts_with("moves from beat 1 to beat 3 "))
        .collect();
    assert_eq!(lonely.len(), 1, "{page}");
    assert!(lonely[0].ends_with("–"), "{lonely:?}");
    assert!(page.lines().all(|row| row.chars().count() <= 100), "{page}");
}

#[test]
fn nothing_that_differs_is_said_so() {
    let page = compared(
        &Compared {
            here: composed("plain"),
            there: composed("plain"),
            over: None,
            comparison: Comparison::of(profile("plain"), profile("plain")),
        },
        &Options::default(),
    );
    assert!(
        page.contains("Nothing differs by more than chance.\n"),
        "{page}"
    );
}
