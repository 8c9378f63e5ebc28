//! Reads the outline of a glyph: the letters that its path data are written with.

use crate::geometry::Step;

/// The steps of path data made of absolute `M L H V C Z`.
pub(crate) fn steps(path: &str) -> Vec<Step> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::OUTLINES;

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

    #[test]
    fn every_outline_is_read_whole_and_fills_its_box() {
        for (glyph, outline) in OUTLINES {
            let known = |c: char| "MLHVCZ -".contains(c) || c.is_ascii_digit();
            assert!(outline.path.chars().all(known), "{glyph:?}");
            let numbers = outline
                .path
                .split(|c: char| !(c.is_ascii_digit() || c == '-'));
            assert!(
                numbers
                    .filter(|n| !n.is_empty())
                    .all(|n| n.parse::<i64>().is_ok())
            );
            let ends: Vec<(i64, i64)> = steps(outline.path)
                .into_iter()
                .filter_map(|step| match step {
                    Step::Move(x, y) | Step::Line(x, y) | Step::Curve(.., x, y) => Some((x, y)),
                    Step::Close => None,
                })
                .collect();
            let near = |a: i64, b: i64| (a - b).abs() < 40;
            let (left, right) = (
                ends.iter().map(|p| p.0).min(),
                ends.iter().map(|p| p.0).max(),
            );
            assert!(near(left.unwrap(), outline.left), "{glyph:?}");
            assert!(near(right.unwrap(), outline.right), "{glyph:?}");
        }
    }
}
