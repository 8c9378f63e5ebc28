//! The reasons: every finding that weighs anything, with its points. They add up to the
//! score, digit for digit.

use linewright_compose::{Line, thousandths};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Finding, Place};

use super::paint::{Paint, Part};
use crate::numbers::exact_points;
use crate::wording;

/// Columns of a rule's name.
const NAME: usize = 28;

/// Columns of points.
const POINTS: usize = 10;

/// All findings of the bars that are shown, with a sum for each bar and for the line.
pub(super) fn reasons(line: &Line, shown: &[usize], paint: Paint) -> String {
    let mut text = format!(
        "{}  {}\n",
        paint.paint(Part::Section, wording::REASONS),
        wording::REASONS_NOTE
    );
    let mut sum = 0;
    let mut findings = line.reading.findings.as_slice();
    for &bar in shown {
        // Findings stand in order of bars.
        let from = findings.partition_point(|finding| finding.place.bar(&line.plan) < bar);
        let until = findings.partition_point(|finding| finding.place.bar(&line.plan) <= bar);
        sum += of_bar(line, bar, &findings[from..until], paint, &mut text);
        findings = &findings[until..];
    }
    let rest = line.reading.score - sum;
    if shown.len() < line.timeline.bars.len() {
        total(&mut text, wording::THESE_BARS, sum, paint);
        total(&mut text, wording::OTHER_BARS, rest, paint);
    }
    total(&mut text, wording::SCORE, line.reading.score, paint);
    text.push('\n');
    text
}

/// The findings of one bar; returns their sum.
fn of_bar(line: &Line, bar: usize, findings: &[Finding], paint: Paint, text: &mut String) -> i64 {
    let weighs = |finding: &&Finding| line.book.entry(finding.rule).weight != Weight::ZERO;
    let mut place = None;
    let mut sum = 0;
    for finding in findings.iter().filter(weighs) {
        if place != Some(finding.place) {
            place = Some(finding.place);
            text.push_str(&heading(line, bar, finding.place, paint));
        }
        text.push_str(&row(line, finding, paint));
        sum += i64::from(finding.points.unwrap_or(0));
    }
    if place.is_some() {
        total(
            text,
            &format!("bar {}", line.timeline.bar_number(bar)),
            sum,
            paint,
        );
    }
    sum
}

/// `bar 3 beat 4  B2, #11 of F7: half-step approach from below`.
fn heading(line: &Line, bar: usize, place: Place, paint: Paint) -> String {
    let number = line.timeline.bar_number(bar);
    let Place::Note(at) = place else {
        return paint.paint(Part::Note, &format!("bar {number}")) + "\n";
    };
    let (slot, note) = (&line.plan.slots[at], &line.reading.notes[at]);
    let functions: Vec<String> = note.functions.iter().map(wording::long_function).collect();
    let place = format!("bar {number} beat {}  {}", slot.beat + 1, note.note);
    let what = format!(
        ", {} of {}: {}",
        note.degree,
        slot.ground.chord,
        functions.join(", ")
    );
    format!(
        "{}{}\n",
        paint.paint(Part::Note, &place),
        what.trim_end_matches([':', ' '])
    )
}

/// A rule's name, its points, and how strongly it was found when that is not in full.
fn row(line: &Line, finding: &Finding, paint: Paint) -> String {
    let name = line.book.entry(finding.rule).rule.name;
    let points = finding
        .points
        .map_or("never".to_owned(), |points| exact_points(points.into()));
    let part = if finding.points.is_none_or(|points| points < 0) {
        Part::Outside
    } else {
        Part::Plain
    };
    let size = points.chars().count();
    let before = POINTS.saturating_sub(size);
    let strength = if finding.strength == 1000 {
        String::new()
    } else {
        format!(
            "  strength {}",
            thousandths::decimal(finding.strength.abs().into())
        )
    };
    format!(
        "    {name:NAME$}{:before$}{}{strength}\n",
        "",
        paint.paint(part, &points)
    )
}

fn total(text: &mut String, what: &str, points: i64, paint: Paint) {
    let points = exact_points(points);
    let line = format!("  = {what:NAME$}{points:>POINTS$}");
    text.push_str(&paint.paint(Part::Section, &line));
    text.push('\n');
}
