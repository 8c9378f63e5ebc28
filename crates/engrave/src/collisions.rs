//! Which marks of a page collide, and which leave it: for tests and surveys, which look at what
//! the engraver does and must not do.

use crate::mark::{Kind, Mark};
use crate::page::Page;

impl Page {
    /// The pairs of marks that touch though they must not. Marks that are drawn over each other
    /// by custom may: a head on its ledger line, a stem at its head, anything of the staff on
    /// the staff lines, a tie across a bar line.
    pub fn collisions(&self) -> Vec<(&Mark, &Mark)> {
        let mut marks: Vec<&Mark> = self.marks.iter().collect();
        marks.sort_by_key(|mark| mark.bounds.left);
        let mut found = Vec::new();
        for (rank, &one) in marks.iter().enumerate() {
            let right = one.bounds.right;
            let nearby = marks[rank + 1..]
                .iter()
                .take_while(|other| other.bounds.left < right);
            found.extend(
                nearby
                    .filter(|other| touch(one, other) && !may_touch(one, other))
                    .map(|&other| (one, other)),
            );
        }
        found
    }

    /// The marks that do not lie within the page.
    pub fn outside(&self) -> Vec<&Mark> {
        let paper = self.bounds();
        let leaves = |mark: &&Mark| !paper.contains(&mark.bounds);
        self.marks.iter().filter(leaves).collect()
    }
}

fn touch(one: &Mark, other: &Mark) -> bool {
    one.bounds.overlaps(&other.bounds)
        && one
            .boxes()
            .iter()
            .any(|part| other.boxes().iter().any(|more| part.overlaps(more)))
}

fn may_touch(one: &Mark, other: &Mark) -> bool {
    let (one, other) = match one.kind <= other.kind {
        true => (one, other),
        false => (other, one),
    };
    let same = one.place.is_some() && one.place == other.place;
    drawn_over(one.kind, other.kind) || same && belong_together(one.kind, other.kind)
}

/// Whether two kinds may overlap when they belong to different events or to none; the kinds are
/// in order.
fn drawn_over(one: Kind, other: Kind) -> bool {
    match (one, other) {
        // Lines that marks stand on or cross.
        (Kind::StaffLine, other) => matches!(
            other,
            Kind::Barline
                | Kind::RepeatDots
                | Kind::Clef
                | Kind::KeySign
                | Kind::TimeFigure
                | Kind::Head
                | Kind::Stem
                | Kind::Flag
                | Kind::Beam
                | Kind::Dot
                | Kind::Accidental
                | Kind::Rest
                | Kind::Tie
        ),
        // A tie crosses what stands between its notes.
        (Kind::Barline | Kind::RepeatDots | Kind::KeySign | Kind::TimeFigure, Kind::Tie) => true,
        // A group under a beam.
        (Kind::LedgerLine | Kind::Stem | Kind::Beam, Kind::Beam) => true,
        (Kind::LedgerLine, Kind::Tie) => true,
        _ => false,
    }
}

/// Whether two kinds of one event may overlap; the kinds are in order.
fn belong_together(one: Kind, other: Kind) -> bool {
    matches!(
        (one, other),
        (
            Kind::LedgerLine,
            Kind::Head | Kind::Stem | Kind::Flag | Kind::Dot
        ) | (Kind::Head, Kind::Stem)
            // Within the curve of the flag.
            | (Kind::Head, Kind::Flag)
            | (Kind::Stem, Kind::Flag)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Bounds;
    use crate::{Options, pages};
    use linewright_notation::{Event, Measure, QUARTER, Score};

    fn page() -> Page {
        let mut measure = Measure::new(4 * QUARTER);
        for (beat, name) in ["Bb1", "D2", "F#2", "B2"].into_iter().enumerate() {
            let note = name.parse().unwrap();
            let event = Event::note(beat as u32 * QUARTER, QUARTER, note);
            measure.events.push(event);
        }
        let score = Score {
            measures: vec![measure],
            ..Score::default()
        };
        pages(&score, &Options::default()).remove(0)
    }

    #[test]
    fn a_mark_that_is_moved_onto_another_or_off_the_page_is_found() {
        let mut page = page();
        assert!(page.collisions().is_empty() && page.outside().is_empty());
        let of = |page: &Page, kind| page.marks.iter().position(|m| m.kind == kind).unwrap();
        let head = page.marks[of(&page, Kind::Head)].bounds;
        let sign = of(&page, Kind::Accidental);
        page.marks[sign].bounds = head;
        let kinds = |(one, other): &(&Mark, &Mark)| {
            let mut kinds = [one.kind, other.kind];
            kinds.sort_unstable();
            kinds
        };
        assert!(
            page.collisions()
                .iter()
                .any(|pair| kinds(pair) == [Kind::Head, Kind::Accidental])
        );
        page.marks[sign].bounds = Bounds::new(-1, 0, 5, 5);
        assert_eq!(page.outside().len(), 1);
    }

    #[test]
    fn marks_of_the_staff_may_stand_on_its_lines_and_texts_may_not() {
        assert!(drawn_over(Kind::StaffLine, Kind::Head));
        assert!(!drawn_over(Kind::StaffLine, Kind::ChordSymbol));
        assert!(!drawn_over(Kind::Head, Kind::Tie));
        assert!(!drawn_over(Kind::Stem, Kind::Tie));
        assert!(!belong_together(Kind::Head, Kind::Tie));
    }
}
