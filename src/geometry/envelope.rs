//! Symmetric positive definite systems whose entries lie near the diagonal once well ordered.
//!
//! Row i is kept from its first entry that is not zero to the diagonal; a
//! Cholesky factor has no entry outside that envelope, so both share one
//! layout. George & Liu, *Computer Solution of Large Sparse Positive Definite
//! Systems*, 1981, chapters 4 and 5 (from memory). Work and store grow with the
//! square of the row lengths: linearly along a chain.

use std::collections::VecDeque;

use super::least_squares::dot;

/// The lower triangle of a symmetric matrix within its envelope.
#[derive(Debug, Clone)]
pub struct Envelope {
    /// Column of the first entry of each row.
    first: Vec<usize>,
    /// Where each row starts in `values`; its diagonal is its last.
    start: Vec<usize>,
    values: Vec<f64>,
}

/// A row's pivot is, to rounding, nothing: the row depends on those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Singular {
    /// Its number.
    pub row: usize,
}

/// The Cholesky factor L, A = L Lᵀ.
#[derive(Debug, Clone)]
pub struct Factor {
    lower: Envelope,
}

impl Envelope {
    /// Zeros, given the column of the first entry of each row (no more than the row's own number).
    pub fn new(first: Vec<usize>) -> Self {
        let first: Vec<usize> = first.into_iter().enumerate().map(|(row, first)| first.min(row)).collect();
        let mut start = Vec::with_capacity(first.len());
        let mut length = 0;
        for (row, &first) in first.iter().enumerate() {
            start.push(length);
            length += row - first + 1;
        }
        Self { first, start, values: vec![0.0; length] }
    }

    /// How many rows.
    pub fn size(&self) -> usize {
        self.first.len()
    }

    fn slot(&self, row: usize, column: usize) -> Option<usize> {
        let (row, column) = if row >= column { (row, column) } else { (column, row) };
        let first = *self.first.get(row)?;
        (column >= first).then(|| self.start[row] + column - first)
    }

    /// The entry, 0 outside the envelope.
    pub fn get(&self, row: usize, column: usize) -> f64 {
        self.slot(row, column).map_or(0.0, |slot| self.values[slot])
    }

    /// Adds to an entry and its mirror; outside the envelope nothing can be kept, which is a slip of the caller.
    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        let slot = self.slot(row, column);
        debug_assert!(slot.is_some(), "({row}, {column}) lies outside the envelope");
        if let Some(slot) = slot {
            self.values[slot] += value;
        }
    }

    /// Row from its first entry to its diagonal.
    fn row(&self, row: usize) -> &[f64] {
        &self.values[self.start[row]..=self.start[row] + row - self.first[row]]
    }

    /// The Cholesky factor, or the first row whose pivot falls under `least` of the greatest diagonal entry of its
    /// block of that many rows: the coordinates of one point, say, which have one unit.
    pub fn factor(mut self, least: f64, block: usize) -> Result<Factor, Singular> {
        let diagonals: Vec<f64> = (0..self.size()).map(|row| self.get(row, row)).collect();
        let floors: Vec<f64> = diagonals
            .chunks(block.max(1))
            .flat_map(|of_block| {
                let greatest = of_block.iter().copied().fold(0.0, f64::max);
                of_block.iter().map(move |_| least * greatest)
            })
            .collect();
        for (row, &floor) in floors.iter().enumerate() {
            let first = self.first[row];
            let (done, rest) = self.values.split_at_mut(self.start[row]);
            let own = &mut rest[..=row - first];
            let diagonal = own[row - first];
            for column in first..row {
                let their_first = self.first[column];
                let from = first.max(their_first);
                let theirs = &done[self.start[column]..=self.start[column] + column - their_first];
                let (mine, pivot) = (&own[from - first..column - first], theirs[column - their_first]);
                let product = dot(mine, &theirs[from - their_first..column - their_first]);
                own[column - first] = (own[column - first] - product) / pivot;
            }
            let known = &own[..row - first];
            let pivot = diagonal - dot(known, known);
            // Written so that a pivot which is no number fails too.
            if !(pivot > floor && pivot > 0.0) {
                return Err(Singular { row });
            }
            own[row - first] = pivot.sqrt();
        }
        Ok(Factor { lower: self })
    }
}

impl Factor {
    /// The solution of A x = b, in place of b.
    pub fn solve(&self, right: &mut [f64]) {
        let lower = &self.lower;
        debug_assert_eq!(right.len(), lower.size());
        for row in 0..lower.size() {
            let (first, entries) = (lower.first[row], lower.row(row));
            let known = dot(&entries[..row - first], &right[first..row]);
            right[row] = (right[row] - known) / entries[row - first];
        }
        for row in (0..lower.size()).rev() {
            let (first, entries) = (lower.first[row], lower.row(row));
            let value = right[row] / entries[row - first];
            right[row] = value;
            for (known, entry) in right[first..row].iter_mut().zip(entries) {
                *known -= entry * value;
            }
        }
    }

    /// The entries of A⁻¹ that lie within the envelope, without the rest.
    ///
    /// Takahashi, Fagan & Chen, 1973 (from memory): with L = L̃ D^½ and L̃ of unit diagonal, column i of the inverse
    /// follows from the columns after it, Z(i,j) = δ(i,j)/D(i) − Σ L̃(k,i) Z(k,j) over k > i; every Z asked for
    /// lies within the envelope as well.
    pub fn inverse_within(&self) -> Envelope {
        let lower = &self.lower;
        let size = lower.size();
        let mut inverse = Envelope::new(lower.first.clone());
        // Rows below i whose envelope reaches column i.
        let mut below: Vec<Vec<usize>> = vec![Vec::new(); size];
        for row in 0..size {
            for column in &mut below[lower.first[row]..row] {
                column.push(row);
            }
        }
        let mut column = Vec::new();
        for i in (0..size).rev() {
            let pivot = lower.get(i, i);
            column.clear();
            column.extend(below[i].iter().map(|&k| lower.get(k, i) / pivot));
            let mut diagonal = 1.0 / (pivot * pivot);
            for &j in &below[i] {
                let sum: f64 = below[i].iter().zip(&column).map(|(&k, l)| l * inverse.get(k, j)).sum();
                inverse.add(j, i, -sum);
            }
            for (&k, l) in below[i].iter().zip(&column) {
                diagonal -= l * inverse.get(k, i);
            }
            inverse.add(i, i, diagonal);
        }
        inverse
    }
}

/// An order that brings neighbours together: reverse Cuthill-McKee from an end of each part of the graph.
///
/// Answers the old numbers in their new order. Ties go to the lower number, so the order is always the same.
pub fn order(neighbours: &[Vec<usize>]) -> Vec<usize> {
    let size = neighbours.len();
    let mut order = Vec::with_capacity(size);
    let mut placed = vec![false; size];
    let mut roots: Vec<usize> = (0..size).collect();
    roots.sort_by_key(|&node| neighbours[node].len());
    for root in roots {
        if placed[root] {
            continue;
        }
        let levels = levels(neighbours, far_end(neighbours, root));
        for node in levels {
            placed[node] = true;
            order.push(node);
        }
    }
    order.reverse();
    order
}

/// Breadth first from a node, neighbours of fewest neighbours first.
fn levels(neighbours: &[Vec<usize>], root: usize) -> Vec<usize> {
    let mut seen = vec![false; neighbours.len()];
    let mut found = Vec::new();
    let mut queue = VecDeque::from([root]);
    seen[root] = true;
    while let Some(node) = queue.pop_front() {
        found.push(node);
        let mut next: Vec<usize> = neighbours[node].iter().copied().filter(|&other| !seen[other]).collect();
        next.sort_by_key(|&other| (neighbours[other].len(), other));
        next.dedup();
        for other in next {
            seen[other] = true;
            queue.push_back(other);
        }
    }
    found
}

/// A node far from the middle of its part: the last reached, a few times over.
fn far_end(neighbours: &[Vec<usize>], root: usize) -> usize {
    /// More rounds have not been seen to lengthen the way.
    const ROUNDS: usize = 3;
    (0..ROUNDS).fold(root, |root, _| levels(neighbours, root).last().copied().unwrap_or(root))
}
