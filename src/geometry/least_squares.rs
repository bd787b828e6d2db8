//! Dense linear least squares by Householder reflections.
//!
//! Golub & Van Loan, *Matrix Computations*, 4th ed., algorithm 5.2.1 and
//! section 5.3 (from memory). Columns are scaled to unit length first, so a
//! diagonal entry of R is the sine of the angle between its column and the
//! span of those before it: that is what the rank is judged by.

/// Why no solution was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LeastSquaresError {
    /// Fewer rows than columns, no columns, or columns not all as long as the right-hand side.
    Shape,
    /// An entry is infinite or not a number.
    NotFinite,
    /// This column (from 0) is, to rounding, a combination of those before it.
    Dependent {
        /// Index of the column.
        column: usize,
    },
}

impl std::fmt::Display for LeastSquaresError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Shape => write!(f, "the columns do not fit the right-hand side"),
            Self::NotFinite => write!(f, "an entry is not finite"),
            Self::Dependent { column } => write!(f, "column {column} depends on those before it"),
        }
    }
}

impl std::error::Error for LeastSquaresError {}

/// The coefficients that make |Σ coefficient·column − right| least.
///
/// Any units; each coefficient has the unit of `right` over that of its column.
pub fn solve(columns: Vec<Vec<f64>>, right: &[f64]) -> Result<Vec<f64>, LeastSquaresError> {
    reduce(columns, right, |column| Err(LeastSquaresError::Dependent { column }))
}

/// The same where only Σ coefficient·column matters: a column that depends on those before it gets 0.
pub fn fit(columns: Vec<Vec<f64>>, right: &[f64]) -> Result<Vec<f64>, LeastSquaresError> {
    reduce(columns, right, |_| Ok(()))
}

fn reduce(
    mut columns: Vec<Vec<f64>>,
    right: &[f64],
    dependent: impl Fn(usize) -> Result<(), LeastSquaresError>,
) -> Result<Vec<f64>, LeastSquaresError> {
    let (rows, count) = (right.len(), columns.len());
    if count == 0 || rows < count || columns.iter().any(|column| column.len() != rows) {
        return Err(LeastSquaresError::Shape);
    }
    let mut scales = Vec::with_capacity(count);
    for column in &mut columns {
        let length = norm(column);
        if !length.is_finite() {
            return Err(LeastSquaresError::NotFinite);
        }
        // A column of zeros is left for the rank check.
        let scale = if length > 0.0 { length } else { 1.0 };
        for entry in column.iter_mut() {
            *entry /= scale;
        }
        scales.push(scale);
    }
    let mut right = right.to_vec();
    if !norm(&right).is_finite() {
        return Err(LeastSquaresError::NotFinite);
    }

    // Below this sine a column cannot be told from a combination of the others.
    let least_sine = count as f64 * f64::EPSILON;
    // Columns kept, each with its diagonal entry of R; the k-th of them has its reflection in rows k on.
    let mut kept: Vec<(usize, f64)> = Vec::with_capacity(count);
    for index in 0..count {
        let top = kept.len();
        let (done, rest) = columns.split_at_mut(index + 1);
        let Some(pivot) = done.last_mut().map(|column| &mut column[top..]) else { break };
        let length = norm(pivot);
        if length <= least_sine {
            dependent(index)?;
            continue;
        }
        // The sign that avoids cancellation.
        let end = if pivot[0] > 0.0 { -length } else { length };
        pivot[0] -= end;
        let factor = -1.0 / (end * pivot[0]);
        for column in rest.iter_mut().chain(std::iter::once(&mut right)) {
            let tail = &mut column[top..];
            let along = factor * dot(pivot, tail);
            tail.iter_mut().zip(pivot.iter()).for_each(|(entry, v)| *entry -= along * v);
        }
        kept.push((index, end));
    }

    let mut answer = vec![0.0; count];
    for (row, &(index, diagonal)) in kept.iter().enumerate().rev() {
        let known: f64 = kept[row + 1..].iter().map(|&(later, _)| columns[later][row] * answer[later]).sum();
        answer[index] = (right[row] - known) / diagonal;
    }
    answer.iter_mut().zip(&scales).for_each(|(value, scale)| *value /= scale);
    Ok(answer)
}

/// Scalar product, in four strands so that it runs at the width of the machine.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut strands = [0.0; 4];
    let (quads_a, quads_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = quads_a.remainder().iter().zip(quads_b.remainder()).map(|(x, y)| x * y).sum();
    for (qa, qb) in quads_a.zip(quads_b) {
        for (strand, (x, y)) in strands.iter_mut().zip(qa.iter().zip(qb)) {
            *strand += x * y;
        }
    }
    (strands[0] + strands[1]) + (strands[2] + strands[3]) + rest
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}
