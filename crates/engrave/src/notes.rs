//! Heads, ledger lines, accidentals, dots, stems, flags and rests.

use linewright_notation::Sign;

use crate::content::{Content, Head, Item};
use crate::geometry::{Bounds, SPACE};
use crate::glyph::Glyph;
use crate::mark::{Kind, Mark};
use crate::metrics::{
    ACCIDENTAL_GAP, DOT_GAP, LEDGER_LINE, LEDGER_REACH, PAREN_GAP, STEM, STEM_LENGTH,
};
use crate::staff::{height, ledger_lines};
use crate::value::Drawn;

/// How far the lines of a breve reach beyond the head of a whole note.
const BREVE_REACH: i64 = 60;

/// How far the marks of an item reach to the left of its head, and to the right from the
/// head's left end.
pub(crate) fn reach(item: &Item, beamed: bool) -> (i64, i64) {
    let Some(head) = &item.note else {
        let dot = if item.value.dotted {
            DOT_GAP + Glyph::Dot.width()
        } else {
            0
        };
        return (0, item.value.rest().width() + dot);
    };
    let width = item.value.head(head.ghost).width();
    let ledger = match item.value.halvings {
        _ if head.place.abs() >= 6 => LEDGER_REACH,
        ..0 => BREVE_REACH,
        _ => 0,
    };
    let sign = head
        .accidental
        .map_or(0, |sign| accidental(sign).bounds.right + sign_gap(head));
    let mut right = width + ledger;
    let flag = flag_end(item, head.place < 0, beamed);
    right = right.max(flag);
    if item.value.dotted {
        right = right.max(dot_left(width, flag) + Glyph::Dot.width());
    }
    (ledger.max(sign), right)
}

/// An accidental from 0 to the right; a courtesy one in parentheses.
fn accidental(sign: Sign) -> Mark {
    let glyph = Glyph::accidental(sign.alter);
    if !sign.courtesy {
        return Mark::glyph(Kind::Accidental, glyph, 0, 0);
    }
    let mut mark = Mark::glyph(Kind::Accidental, Glyph::ParenLeft, 0, 0);
    for glyph in [glyph, Glyph::ParenRight] {
        let left = mark.bounds.right + PAREN_GAP - glyph.bounds(1000).left;
        let next = Mark::glyph(Kind::Accidental, glyph, left, 0);
        mark.bounds = mark.bounds.with(next.bounds);
        mark.shapes.extend(next.shapes);
    }
    mark
}

/// The accidental of a head at an x, in its place.
pub(crate) fn accidental_of(head: &Head, x: i64) -> Option<Mark> {
    let mut mark = accidental(head.accidental?);
    mark.shift(x - sign_gap(head) - mark.bounds.right, height(head.place));
    Some(mark)
}

fn sign_gap(head: &Head) -> i64 {
    match head.place.abs() {
        ..6 => ACCIDENTAL_GAP,
        _ => LEDGER_REACH + ACCIDENTAL_GAP / 2,
    }
}

/// Where a flag ends, from the left end of the head; 0 where there is none.
fn flag_end(item: &Item, up: bool, beamed: bool) -> i64 {
    let Some(head) = item.note.as_ref().filter(|_| !beamed) else {
        return 0;
    };
    item.value.flag(up).map_or(0, |flag| {
        let stem = if up {
            item.value.head(head.ghost).width() - STEM
        } else {
            0
        };
        stem + flag.width()
    })
}

/// Where the dot of a note ends, from the left end of its head.
pub(crate) fn dot_end(item: &Item, up: bool, beamed: bool) -> i64 {
    let head = item.value.rest().width().max(Glyph::HeadBlack.width());
    dot_left(head, flag_end(item, up, beamed)) + Glyph::Dot.width()
}

fn dot_left(head: i64, flag: i64) -> i64 {
    (head + DOT_GAP).max(flag + DOT_GAP / 2)
}

/// Whether the stem of a note that stands free points up.
pub(crate) fn stem_up(head: &Head) -> bool {
    head.place < 0
}

/// Where a stem begins and ends, and whether it points up.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Stem {
    pub up: bool,
    /// The left side of its line.
    pub x: i64,
    pub tip: i64,
}

/// The stem of a note with its head at an x: of the usual length, or to the middle line.
pub(crate) fn free_stem(item: &Item, head: &Head, x: i64, up: bool) -> Stem {
    let y = height(head.place);
    let width = item.value.head(head.ghost).width();
    if up {
        Stem {
            up,
            x: x + width - STEM,
            tip: (y - STEM_LENGTH).min(0),
        }
    } else {
        Stem {
            up,
            x,
            tip: (y + STEM_LENGTH).max(0),
        }
    }
}

/// Draws everything of an item but its beam and its texts.
pub(crate) fn draw(item: &Item, x: i64, stem: Option<Stem>, beamed: bool, marks: &mut Vec<Mark>) {
    let place = Some(item.place);
    let Some(head) = &item.note else {
        rest(item, x, marks);
        return;
    };
    let y = height(head.place);
    let glyph = item.value.head(head.ghost);
    let width = glyph.width();
    for line in ledger_lines(head.place) {
        let middle = height(line);
        let bounds = Bounds::new(
            x - LEDGER_REACH,
            middle - LEDGER_LINE / 2,
            x + width + LEDGER_REACH,
            middle + LEDGER_LINE / 2,
        );
        marks.push(Mark::block(Kind::LedgerLine, bounds).at(place));
    }
    marks.extend(accidental_of(head, x).map(|mark| mark.at(place)));
    let mut mark = Mark::glyph(Kind::Head, glyph, x, y);
    if item.value.halvings < 0 {
        breve(&mut mark);
    }
    marks.push(mark.at(place));
    let mut flag_right = 0;
    if let Some(stem) = stem.filter(|_| item.value.halvings > 0) {
        let flag = item.value.flag(stem.up).filter(|_| !beamed);
        marks.push(stem_mark(glyph, y, stem, flag).at(place));
        if let Some(flag) = flag {
            marks.push(Mark::glyph(Kind::Flag, flag, stem.x, stem.tip).at(place));
            if stem.up {
                flag_right = flag_end(item, true, beamed);
            }
        }
    }
    if item.value.dotted {
        let lift = if head.place % 2 == 0 { SPACE / 2 } else { 0 };
        let dot = x + dot_left(width, flag_right);
        marks.push(Mark::glyph(Kind::Dot, Glyph::Dot, dot, y - lift).at(place));
    }
}

/// A stem from its head, whose middle is at a height, to the tip that its flag wants.
fn stem_mark(head: Glyph, y: i64, stem: Stem, flag: Option<Glyph>) -> Mark {
    let join = head.outline().stem;
    let tip = stem.tip + flag.map_or(0, |flag| flag.outline().stem);
    let (top, bottom) = if stem.up {
        (tip, y - join)
    } else {
        (y + join, tip)
    };
    Mark::block(Kind::Stem, Bounds::new(stem.x, top, stem.x + STEM, bottom))
}

/// Makes a whole note a breve: a line on either side.
fn breve(head: &mut Mark) {
    let Bounds { left, right, .. } = head.bounds;
    for x in [left - BREVE_REACH, right + BREVE_REACH - STEM] {
        let line = Mark::block(
            Kind::Head,
            Bounds {
                left: x,
                right: x + STEM,
                ..head.bounds
            },
        );
        head.bounds = head.bounds.with(line.bounds);
        head.shapes.extend(line.shapes);
    }
}

fn rest(item: &Item, x: i64, marks: &mut Vec<Mark>) {
    let place = Some(item.place);
    let glyph = item.value.rest();
    let y = if glyph == Glyph::RestWhole { -SPACE } else { 0 };
    let mark = match item.value.halvings {
        ..0 => {
            let block = Bounds::new(x, -SPACE, x + glyph.width() / 2, 0);
            Mark::block(Kind::Rest, block)
        }
        _ => Mark::glyph(Kind::Rest, glyph, x, y),
    };
    marks.push(mark.at(place));
    if item.value.dotted {
        let dot = x + glyph.width() + DOT_GAP;
        marks.push(Mark::glyph(Kind::Dot, Glyph::Dot, dot, -SPACE / 2).at(place));
    }
}

/// Whether an item of a measure is under a beam.
pub(crate) fn beamed(content: &Content, item: usize) -> bool {
    content
        .beams
        .iter()
        .any(|&(first, last)| (first..=last).contains(&item))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::Place;
    use linewright_notation::QUARTER;
    use linewright_notation::written::Value;

    fn item(place: i64, ticks: u32) -> Item {
        Item {
            at: 0,
            value: Value::of(ticks).unwrap(),
            place: Place {
                measure: 0,
                tick: 0,
                event: Some(0),
            },
            note: Some(Head {
                place,
                accidental: None,
                ghost: false,
                tied: false,
            }),
            beams: Vec::new(),
            under: Vec::new(),
        }
    }

    fn stem(place: i64, ticks: u32) -> Stem {
        let item = item(place, ticks);
        let head = item.note.clone().unwrap();
        free_stem(&item, &head, 0, stem_up(&head))
    }

    #[test]
    fn stems_turn_at_the_middle_line_and_far_ones_reach_it() {
        assert!(!stem(0, QUARTER).up && !stem(3, QUARTER).up);
        assert!(stem(-1, QUARTER).up);
        let usual = stem(2, QUARTER);
        assert_eq!(usual.tip - height(2), STEM_LENGTH);
        assert_eq!(stem(12, QUARTER).tip, 0);
        assert_eq!(stem(-12, QUARTER).tip, 0);
    }

    #[test]
    fn a_stem_ends_at_its_head_and_in_its_flags() {
        for halvings in 1..=6 {
            for (place, ghost) in [(-2, false), (2, false), (-2, true), (2, true)] {
                let mut item = item(place, (4 * QUARTER) >> halvings);
                let head = item.note.as_mut().unwrap();
                head.ghost = ghost;
                let free = free_stem(&item, item.note.as_ref().unwrap(), 0, place < 0);
                let mut marks = Vec::new();
                draw(&item, 0, Some(free), false, &mut marks);
                let of = |kind| marks.iter().find(|m| m.kind == kind).map(Mark::bounds);
                let (head, stem) = (of(Kind::Head).unwrap(), of(Kind::Stem).unwrap());
                let (near, tip) = match free.up {
                    true => (stem.bottom, stem.top),
                    false => (stem.top, stem.bottom),
                };
                assert!(head.top < near && near < head.bottom, "{halvings} {place}");
                assert!(head.left <= stem.left && stem.right <= head.right);
                let flags = of(Kind::Flag);
                assert_eq!(flags.is_some(), halvings > 2);
                assert!(
                    flags.is_none_or(|f| f.top <= tip && tip <= f.bottom && f.left == stem.left)
                );
            }
        }
    }

    #[test]
    fn a_dot_stands_in_a_space_and_right_of_a_flag() {
        let mut marks = Vec::new();
        let dotted = item(-2, QUARTER * 3 / 4);
        draw(
            &dotted,
            0,
            Some(stem(-2, QUARTER * 3 / 4)),
            false,
            &mut marks,
        );
        let of = |kind| marks.iter().find(|m| m.kind == kind).unwrap().bounds();
        assert!(!of(Kind::Dot).overlaps(&of(Kind::Flag)));
        let dot = of(Kind::Dot);
        let middle = (dot.top + dot.bottom) / 2;
        assert_eq!((middle + SPACE / 2).rem_euclid(SPACE), 0);
        assert!(reach(&dotted, false).1 >= dot.right);
    }

    #[test]
    fn a_courtesy_accidental_stands_between_parentheses() {
        let sign = |courtesy| {
            accidental(Sign {
                alter: -1,
                courtesy,
            })
        };
        let (plain, courtesy) = (sign(false), sign(true));
        assert_eq!((plain.shapes.len(), courtesy.shapes.len()), (1, 3));
        assert_eq!((plain.bounds.left, courtesy.bounds.left), (0, 0));
        let parens = Glyph::ParenLeft.width() + Glyph::ParenRight.width();
        assert!(courtesy.bounds.right > plain.bounds.right + parens);
    }

    #[test]
    fn a_whole_note_has_no_stem() {
        let mut marks = Vec::new();
        draw(
            &item(0, 4 * QUARTER),
            0,
            Some(stem(0, 4 * QUARTER)),
            false,
            &mut marks,
        );
        assert!(marks.iter().all(|mark| mark.kind != Kind::Stem));
    }
}
