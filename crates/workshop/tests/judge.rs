//! The judge against the rules: two workings-out of one thing, over lines with notes changed at
//! random, must find the same.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use linewright_compose::{Composer, Line};
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Place, RULES};
use linewright_theory::Pitch;
use linewright_workshop::judge::{CHECKS, Judge};
use linewright_workshop::shipped::{charts, compose, composers, pairs};

static COMPOSERS: LazyLock<Vec<Composer>> = LazyLock::new(composers);

/// Every rule that a shipped style forbids.
fn forbidden() -> BTreeSet<&'static str> {
    let by = |composer: &'static Composer| {
        let is_forbidden = |name: &&str| composer.style().weight(name) == Weight::Never;
        RULES.iter().map(|rule| rule.name).filter(is_forbidden)
    };
    COMPOSERS.iter().flat_map(by).collect()
}

#[test]
fn whatever_a_shipped_style_forbids_has_a_check_of_its_own() {
    let checked: BTreeSet<&str> = CHECKS.iter().map(|check| check.rule).collect();
    assert_eq!(checked.len(), CHECKS.len(), "a rule has two checks");
    let forbidden = forbidden();
    assert!(forbidden.len() >= 20, "{forbidden:?}");
    let without: Vec<_> = forbidden.difference(&checked).collect();
    assert!(without.is_empty(), "no check for {without:?}");
    let unknown: Vec<_> = checked
        .iter()
        .filter(|name| RULES.iter().all(|rule| rule.name != **name))
        .collect();
    assert!(unknown.is_empty(), "no rule is called {unknown:?}");
}

/// Lines of every style, each with every fifth chart, with one to half of all notes changed; what
/// is found in them by `look`, in order.
fn of_changed_lines<T: Send>(look: impl Fn(&Line) -> T + Sync) -> Vec<T> {
    let charts = charts();
    let wanted = pairs(&COMPOSERS, &charts, 5, 1..=1);
    let found = compose(&wanted, 2, |lines| {
        let line = &lines[0];
        let composer = COMPOSERS
            .iter()
            .find(|composer| composer.style().name == line.style.name)
            .expect("the composer of the line");
        let count = line.plan.slots.len() as u64;
        let mut dice = Dice::new(count, 11, Purpose::Notes);
        let (low, high) = (line.style.range.low.midi(), line.style.range.high.midi());
        let mut changed = |round: usize| {
            let notes = line.reading.notes.iter();
            let mut notes: Vec<Pitch> = notes.map(|note| note.pitch).collect();
            for _ in 0..[1, 3, count / 8, count / 2][round % 4].max(1) {
                let at = dice.below(count) as usize;
                let midi = if round.is_multiple_of(3) {
                    low - 2 + dice.below(u64::from(high - low) + 5) as u8
                } else {
                    // Near the note before, as a player would.
                    notes[at.saturating_sub(1)].midi() - 4 + dice.below(9) as u8
                };
                notes[at] = Pitch::new(midi).expect("a pitch");
            }
            look(&Line::given(
                composer,
                &line.timeline,
                line.plan.clone(),
                &notes,
            ))
        };
        (0..24).map(&mut changed).collect::<Vec<T>>()
    });
    found.into_iter().flatten().collect()
}

#[test]
fn judge_and_rules_find_the_same_of_what_is_forbidden() {
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    let found = of_changed_lines(|line| {
        let judged = Judge::new(line).forbidden();
        let findings = line.reading.findings.iter();
        let read: BTreeSet<(&str, Place)> = findings
            .filter(|finding| finding.points.is_none())
            .map(|finding| (line.book.entry(finding.rule).rule.name, finding.place))
            .collect();
        let only = |one: &BTreeSet<_>, other| format!("{:?}", one.difference(other));
        assert_eq!(
            judged,
            read,
            "{} in {}: only the judge finds {}, only the rules {}",
            line.timeline.title,
            line.style.name,
            only(&judged, &read),
            only(&read, &judged)
        );
        judged
    });
    for (rule, _) in found.into_iter().flatten() {
        *times.entry(rule).or_default() += 1;
    }
    for rule in forbidden() {
        let count = times.get(rule).copied().unwrap_or(0);
        assert!(count >= 10, "{rule} came {count} times only");
    }
}

#[test]
fn judge_and_rulebook_hear_bars_as_equally_clear() {
    let bars: usize = of_changed_lines(|line| {
        let judge = Judge::new(line);
        for bar in &line.reading.bars {
            let (title, style) = (&line.timeline.title, &line.style.name);
            let place = format!("bar {} of {title} in {style}", bar.bar);
            assert_eq!(judge.clarity(bar.bar), bar.clarity, "{place}");
        }
        line.reading.bars.len()
    })
    .into_iter()
    .sum();
    assert!(bars > 10_000, "only {bars} bars");
}
