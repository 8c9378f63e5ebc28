//! Where phrases begin and end.

use std::ops::Range;

use linewright_chart::Timeline;

use crate::plan::bar::Role;

/// Splits the bars into phrases of about `length` bars. A section begins a new
/// phrase, and so does bar one after a pick-up; a single bar left over joins
/// the phrase before it.
pub fn phrases(timeline: &Timeline, length: usize) -> Vec<Range<usize>> {
    let mut phrases: Vec<Range<usize>> = Vec::new();
    for section in sections(timeline) {
        let mut at = section.start;
        while at < section.end {
            let mut end = (at + length).min(section.end);
            if section.end - end == 1 {
                end = section.end;
            }
            phrases.push(at..end);
            at = end;
        }
    }
    phrases
}

/// Ranges of bars between section marks and after the pick-up.
fn sections(timeline: &Timeline) -> Vec<Range<usize>> {
    let bars = &timeline.bars;
    let begins = |at: usize| at == 0 || bars[at].section.is_some() || bars[at - 1].pickup;
    let mut starts: Vec<usize> = (0..bars.len()).filter(|&at| begins(at)).collect();
    starts.push(bars.len());
    starts.windows(2).map(|pair| pair[0]..pair[1]).collect()
}

/// The part of the bar at `place` in a phrase of `length` bars.
pub fn role(place: usize, length: usize) -> Role {
    if place + 1 == length && length > 1 {
        Role::Release
    } else if place == 0 {
        Role::Statement
    } else if place + 2 == length {
        Role::Drive
    } else {
        Role::Departure
    }
}

/// The wished tension at `place` of `length`, read off a curve of thousandths
/// by straight lines between its points.
pub fn tension(curve: &[u16], place: usize, length: usize) -> u16 {
    let last = curve.len() - 1;
    if last == 0 || length < 2 {
        return curve[last];
    }
    let scaled = place * last;
    let (left, rest) = (scaled / (length - 1), scaled % (length - 1));
    if rest == 0 {
        return curve[left];
    }
    let (a, b) = (i64::from(curve[left]), i64::from(curve[left + 1]));
    (a + (b - a) * rest as i64 / (length - 1) as i64) as u16
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_four_bar_phrase_states_departs_drives_and_releases() {
        let roles: Vec<Role> = (0..4).map(|place| role(place, 4)).collect();
        assert_eq!(
            roles,
            [Role::Statement, Role::Departure, Role::Drive, Role::Release]
        );
        assert_eq!(role(0, 1), Role::Statement);
    }

    #[test]
    fn tension_follows_its_curve_and_stretches_over_longer_phrases() {
        let curve = [200, 500, 800, 100];
        let four: Vec<u16> = (0..4).map(|place| tension(&curve, place, 4)).collect();
        assert_eq!(four, curve);
        assert_eq!(tension(&curve, 6, 7), 100);
        assert_eq!(tension(&curve, 1, 7), 350);
        assert_eq!(tension(&[400], 3, 8), 400);
    }
}
