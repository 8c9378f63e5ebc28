//! Systems of linear equations with a symmetric, positive definite matrix: A.-L. Cholesky's
//! factorisation (1910; from memory).

/// A lower triangle L with L · Lᵀ the matrix.
pub(super) struct Cholesky {
    size: usize,
    /// By row.
    lower: Vec<f64>,
}

impl Cholesky {
    /// Factorises a matrix of `size` rows, given by row. `None` where it is not positive definite.
    pub(super) fn of(size: usize, matrix: &[f64]) -> Option<Self> {
        let mut lower = vec![0.0; size * size];
        for row in 0..size {
            for column in 0..=row {
                let inner = (0..column)
                    .map(|k| lower[row * size + k] * lower[column * size + k])
                    .sum::<f64>();
                let left = matrix[row * size + column] - inner;
                lower[row * size + column] = match row == column {
                    true if left > 0.0 && left.is_finite() => left.sqrt(),
                    true => return None,
                    false => left / lower[column * size + column],
                };
            }
        }
        Some(Self { size, lower })
    }

    /// Solves for a right-hand side.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.size;
        let mut x = right.to_vec();
        for row in 0..n {
            let inner: f64 = (0..row).map(|k| self.lower[row * n + k] * x[k]).sum();
            x[row] = (x[row] - inner) / self.lower[row * n + row];
        }
        for row in (0..n).rev() {
            let inner: f64 = (row + 1..n).map(|k| self.lower[k * n + row] * x[k]).sum();
            x[row] = (x[row] - inner) / self.lower[row * n + row];
        }
        x
    }

    /// The diagonal of the inverse matrix.
    pub(super) fn inverse_diagonal(&self) -> Vec<f64> {
        let unit = |at: usize| {
            let mut unit = vec![0.0; self.size];
            unit[at] = 1.0;
            self.solve(&unit)[at]
        };
        (0..self.size).map(unit).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_solved_gives_the_right_hand_side_again() {
        let matrix = [4.0, 2.0, 0.6, 2.0, 5.0, 1.5, 0.6, 1.5, 3.8];
        let cholesky = Cholesky::of(3, &matrix).unwrap();
        let x = cholesky.solve(&[1.0, -2.0, 0.5]);
        let again: Vec<f64> = (0..3)
            .map(|row| (0..3).map(|k| matrix[row * 3 + k] * x[k]).sum())
            .collect();
        for (again, wanted) in again.iter().zip([1.0, -2.0, 0.5]) {
            assert!((again - wanted).abs() < 1e-12);
        }
        let inverse = cholesky.inverse_diagonal();
        // The cofactor of the first entry over the determinant.
        let determinant = 4.0 * (5.0 * 3.8 - 2.25) - 2.0 * (2.0 * 3.8 - 0.9) + 0.6 * (3.0 - 3.0);
        assert!((inverse[0] - (5.0 * 3.8 - 2.25) / determinant).abs() < 1e-12);
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_is_refused() {
        assert!(Cholesky::of(2, &[1.0, 2.0, 2.0, 1.0]).is_none());
        assert!(Cholesky::of(1, &[f64::NAN]).is_none());
    }
}
