//! The outline of a glyph: its box, where a stem meets it, and its path.

use crate::geometry::Bounds;
#[cfg(feature = "print")]
use crate::geometry::Step;

/// The outline of a glyph, in units of a 250th of a staff space, y downwards.
#[derive(Debug)]
pub(crate) struct Outline {
    pub bounds: Bounds,
    /// How far below the origin a stem meets it: the end of a downward stem at a head (an upward
    /// one ends as far above), the tip of the stem at a flag. 0 for a glyph without a stem.
    pub stem: i64,
    /// SVG path data.
    pub path: &'static str,
}

#[cfg(feature = "print")]
impl Outline {
    pub(crate) fn steps(&self) -> Vec<Step> {
        steps(self.path)
    }
}

/// The steps of path data made of absolute `M L H V C Z`.
#[cfg(feature = "print")]
fn steps(path: &str) -> Vec<Step> {
    let mut steps = Vec::new();
    let (mut x, mut y) = (0, 0);
    for (letter, numbers) in commands(path) {
        match letter {
            'M' | 'L' => {
                for (rank, pair) in numbers.chunks_exact(2).enumerate() {
                    (x, y) = (pair[0], pair[1]);
                    // Further pairs after a move are lines.
                    let moves = letter == 'M' && rank == 0;
                    steps.push(if moves {
                        Step::Move(x, y)
                    } else {
                        Step::Line(x, y)
                    });
                }
            }
            'H' => {
                for &to in &numbers {
                    x = to;
                    steps.push(Step::Line(x, y));
                }
            }
            'V' => {
                for &to in &numbers {
                    y = to;
                    steps.push(Step::Line(x, y));
                }
            }
            'C' => {
                for c in numbers.chunks_exact(6) {
                    (x, y) = (c[4], c[5]);
                    steps.push(Step::Curve(c[0], c[1], c[2], c[3], x, y));
                }
            }
            _ => steps.push(Step::Close),
        }
    }
    steps
}

#[cfg(feature = "print")]
fn commands(path: &str) -> impl Iterator<Item = (char, Vec<i64>)> {
    let starts: Vec<usize> = path
        .char_indices()
        .filter(|(_, c)| c.is_ascii_alphabetic())
        .map(|(at, _)| at)
        .collect();
    let ends: Vec<usize> = starts.iter().skip(1).copied().chain([path.len()]).collect();
    starts.into_iter().zip(ends).map(move |(start, end)| {
        let letter = char::from(path.as_bytes()[start]);
        let numbers = path[start + 1..end]
            .split_ascii_whitespace()
            .filter_map(|word| word.parse().ok())
            .collect();
        (letter, numbers)
    })
}

#[cfg(all(test, feature = "print"))]
mod tests {
    use super::*;

    #[test]
    fn every_letter_is_read() {
        assert_eq!(
            steps("M1 -2 3 4H5V6C1 2 3 4 5 6L7 8Z"),
            [
                Step::Move(1, -2),
                Step::Line(3, 4),
                Step::Line(5, 4),
                Step::Line(5, 6),
                Step::Curve(1, 2, 3, 4, 5, 6),
                Step::Line(7, 8),
                Step::Close,
            ]
        );
    }
}
