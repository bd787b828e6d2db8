//! Readings as equations: what each would show, and how that changes as its points move.

use crate::geometry::Vec3;
use crate::geometry::envelope::{self, Envelope};
use crate::spec::types::{Along, Measure, Survey, View};

/// The directions a level and a plumb bob give, in vehicle axes: rearward, to the right, up.
///
/// `rake` is what a level shows along the frame, `roll` across it, so up = (sin rake, −sin roll, ..) whatever the
/// order the frame was tilted in. Rearward is the frame's own, laid level.
#[derive(Debug, Clone, Copy)]
pub struct Level {
    axes: [Vec3; 3],
}

impl Level {
    /// From what a level shows along and across the frame (rad).
    pub fn new(rake: f64, roll: f64) -> Self {
        let (along, across) = (libm::sin(rake), -libm::sin(roll));
        let up = Vec3::new(along, across, (1.0 - along * along - across * across).max(0.0).sqrt());
        let rear = Vec3::new(1.0, 0.0, 0.0);
        let rear = (rear - up * rear.dot(up)).unit().unwrap_or(rear);
        Self { axes: [rear, up.cross(rear), up] }
    }

    /// One of the three.
    pub const fn axis(&self, along: Along) -> Vec3 {
        match along {
            Along::X => self.axes[0],
            Along::Y => self.axes[1],
            Along::Z => self.axes[2],
        }
    }
}

/// What a reading would show, and its change with each of its two ends (mm or rad, per mm).
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// mm or rad.
    pub shows: f64,
    /// Points it touches.
    pub ends: [usize; 2],
    /// Change with each; the second is zero where there is one end alone.
    pub slopes: [Vec3; 2],
}

/// Evaluates a reading with its points where they are.
pub fn row(what: Measure, level: &Level, points: &[Vec3]) -> Row {
    let ends = what.ends();
    let at = |i: usize| points.get(i).copied().unwrap_or_default();
    match what {
        Measure::Tape { from, to, skin } => {
            let span = at(to) - at(from);
            let along = span.unit().unwrap_or_default();
            Row { shows: span.length() - skin / 2.0, ends, slopes: [-along, along] }
        }
        Measure::Offset { of, along } => {
            let axis = level.axis(along);
            Row { shows: axis.dot(at(of)), ends, slopes: [axis, Vec3::default()] }
        }
        Measure::Slope { from, to, view } => {
            let (shows, change) = slope(at(to) - at(from), view, level);
            Row { shows, ends, slopes: [-change, change] }
        }
    }
}

/// The acute angle of a line to x or to level as it is seen (rad), and its change with the line's far end.
fn slope(span: Vec3, view: View, level: &Level) -> (f64, Vec3) {
    let [rear, right, up] = level.axes;
    let (rise, run) = match view {
        View::Side => (up, rear),
        View::Plan => (right, rear),
        View::True => (up, (span - up * span.dot(up)).unit().unwrap_or(rear)),
    };
    let (high, far) = (span.dot(rise), span.dot(run));
    let square = high * high + far * far;
    if square <= 0.0 {
        return (0.0, Vec3::default());
    }
    // The finder shows no sign: what is seen is the angle of (|far|, |high|).
    let change = rise * (high.signum() * far.abs() / square) - run * (far.signum() * high.abs() / square);
    (libm::atan2(high.abs(), far.abs()), change)
}

/// The points to be found in an order that keeps the equations near the diagonal.
#[derive(Debug, Clone)]
pub struct Network<'a> {
    /// What was read.
    pub survey: &'a Survey,
    /// Level and plumb.
    pub level: Level,
    /// Of each point: its number among the blocks of three equations; `None` where it is fixed.
    blocks: Vec<Option<usize>>,
    /// Points in the order of the blocks.
    order: Vec<usize>,
    /// First column of each row of the equations.
    first: Vec<usize>,
}

impl<'a> Network<'a> {
    /// Orders the points of a survey.
    pub fn new(survey: &'a Survey) -> Self {
        let unknown: Vec<usize> = (0..survey.points.len()).filter(|&i| survey.points[i].fixed.is_none()).collect();
        let mut number = vec![None; survey.points.len()];
        for (n, &point) in unknown.iter().enumerate() {
            number[point] = Some(n);
        }
        let pairs: Vec<[usize; 2]> = survey
            .readings
            .iter()
            .filter_map(|reading| {
                let [a, b] = reading.what.ends();
                Some([number[a]?, number[b]?])
            })
            .filter(|[a, b]| a != b)
            .collect();
        let mut neighbours = vec![Vec::new(); unknown.len()];
        for &[a, b] in &pairs {
            neighbours[a].push(b);
            neighbours[b].push(a);
        }
        for list in &mut neighbours {
            list.sort_unstable();
            list.dedup();
        }
        let order = envelope::order(&neighbours);
        let mut place = vec![0; unknown.len()];
        for (block, &n) in order.iter().enumerate() {
            place[n] = block;
        }
        let blocks = number.iter().map(|number| number.map(|n| place[n])).collect();
        let first = order
            .iter()
            .enumerate()
            .flat_map(|(block, &n)| {
                let least = neighbours[n].iter().map(|&other| place[other]).min().unwrap_or(block).min(block);
                [3 * least; 3]
            })
            .collect();
        Self {
            survey,
            level: Level::new(survey.rake, survey.roll),
            blocks,
            order: order.iter().map(|&n| unknown[n]).collect(),
            first,
        }
    }

    /// First equation of a point; `None` where it is fixed.
    pub fn equation(&self, point: usize) -> Option<usize> {
        self.blocks.get(point).copied().flatten().map(|block| 3 * block)
    }

    /// Points to be found, in the order of their equations.
    pub fn unknown(&self) -> &[usize] {
        &self.order
    }

    /// The normal equations of some rows with their weights (1/σ²): matrix, and right side for the misfits given.
    pub fn normal(&self, rows: impl Iterator<Item = (Row, f64, f64)>) -> (Envelope, Vec<f64>) {
        let mut matrix = Envelope::new(self.first.clone());
        let mut right = vec![0.0; self.first.len()];
        for (row, misfit, weight) in rows {
            let parts = self.parts(&row);
            for (i, &(a, slope_a)) in parts.iter().flatten().enumerate() {
                for (k, own) in slope_a.into_iter().enumerate() {
                    right[a + k] += weight * own * misfit;
                }
                for &(b, slope_b) in parts.iter().flatten().take(i + 1) {
                    for (k, own) in slope_a.into_iter().enumerate() {
                        let most = if a == b { k + 1 } else { 3 };
                        for (m, other) in slope_b.into_iter().enumerate().take(most) {
                            matrix.add(a + k, b + m, weight * own * other);
                        }
                    }
                }
            }
        }
        (matrix, right)
    }

    /// Equation numbers and slopes of the ends that are to be found.
    pub fn parts(&self, row: &Row) -> [Option<(usize, [f64; 3])>; 2] {
        let part = |i: usize| self.equation(row.ends[i]).map(|at| (at, row.slopes[i].into()));
        [part(0), part(1).filter(|_| row.ends[0] != row.ends[1])]
    }

    /// J Q Jᵀ of a row (mm² or rad²), Q known where two points share a reading.
    pub fn variance(&self, row: &Row, covariance: &Envelope) -> f64 {
        let parts = self.parts(row);
        let mut sum = 0.0;
        for &(a, slope_a) in parts.iter().flatten() {
            for &(b, slope_b) in parts.iter().flatten() {
                for (k, own) in slope_a.iter().enumerate() {
                    for (m, other) in slope_b.iter().enumerate() {
                        sum += own * other * covariance.get(a + k, b + m);
                    }
                }
            }
        }
        sum
    }

    /// Moves every point by a step of the equations.
    pub fn moved(&self, points: &[Vec3], step: &[f64]) -> Vec<Vec3> {
        let mut moved = points.to_vec();
        for (block, &point) in self.order.iter().enumerate() {
            if let (Some(place), [x, y, z]) = (moved.get_mut(point), &step[3 * block..3 * block + 3]) {
                *place = *place + Vec3::new(*x, *y, *z);
            }
        }
        moved
    }
}
