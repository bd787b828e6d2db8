//! Rigid bodies on fixed axes, joined by crosses.

use yokeline::geometry::Vec3;

type Matrix = [[f64; 3]; 3];

/// Rotation by `angle` about the unit vector `axis`, right-handed.
fn rotation(axis: Vec3, angle: f64) -> Matrix {
    let (s, c) = angle.sin_cos();
    let (x, y, z) = (axis.x, axis.y, axis.z);
    let t = 1.0 - c;
    [
        [t * x * x + c, t * x * y - s * z, t * x * z + s * y],
        [t * x * y + s * z, t * y * y + c, t * y * z - s * x],
        [t * x * z - s * y, t * y * z + s * x, t * z * z + c],
    ]
}

fn times(m: &Matrix, v: Vec3) -> Vec3 {
    let row = |r: &[f64; 3]| r[0] * v.x + r[1] * v.y + r[2] * v.z;
    Vec3::new(row(&m[0]), row(&m[1]), row(&m[2]))
}

/// A body that turns: its axis, a mark on its upper yoke's trunnion axis at rest, and the angle to its lower yoke.
struct Body {
    axis: Vec3,
    upper: Vec3,
    phase: f64,
}

/// A chain of bodies, the column first.
pub(super) struct Simulation {
    bodies: Vec<Body>,
}

impl Simulation {
    /// Bodies from the axes of column, shafts and gear, the housings of joints with two crosses between them; `twists`
    /// (rad) from a shaft's upper yoke to its lower.
    pub(super) fn new(axes: &[Vec3], crosses: &[Vec<Vec3>], twists: &[f64]) -> Self {
        let mut lines = vec![(axes[0], 0.0)];
        for (i, joint) in crosses.iter().enumerate() {
            if let [first, second] = joint[..] {
                lines.push(((second - first).unit().unwrap(), 0.0));
            }
            lines.push((axes[i + 1], twists.get(i).copied().unwrap_or(0.0)));
        }
        // The column's mark is the normal of the first joint that bends.
        let normal = lines.windows(2).map(|pair| pair[0].0.cross(pair[1].0)).find(|n| n.length() > 1e-6);
        let first = normal.and_then(Vec3::unit).unwrap_or_else(|| axes[0].any_normal());
        let bodies = lines
            .iter()
            .enumerate()
            .map(|(i, &(axis, phase))| Body { axis, upper: if i == 0 { first } else { axis.any_normal() }, phase })
            .collect();
        Self { bodies }
    }

    /// Rotation of the gear's shaft, up to half turns, and its speed ratio, with the column turned by `theta`.
    fn at(&self, theta: f64) -> (f64, f64) {
        let mut angle = theta;
        let mut ratio = 1.0;
        for pair in self.bodies.windows(2) {
            let (driving, driven) = (&pair[0], &pair[1]);
            let yoke = times(&rotation(driving.axis, angle + driving.phase), driving.upper);
            // The driven yoke turned by x stands square to the driving one: p cos x + q sin x = 0.
            let p = driven.upper.dot(yoke);
            let q = times(&rotation(driven.axis, std::f64::consts::FRAC_PI_2), driven.upper).dot(yoke);
            angle = (-p).atan2(q);
            let other = times(&rotation(driven.axis, angle), driven.upper);
            // Both yokes turn with the cross, so their speeds agree along its normal... seen along either axis.
            let normal = yoke.cross(other);
            ratio *= driving.axis.dot(normal) / driven.axis.dot(normal);
        }
        (angle, ratio)
    }

    /// Gear less column (rad) from the start of the turn, nearest to what it was `before`.
    fn lead(&self, theta: f64, before: f64) -> (f64, f64) {
        let start = self.at(0.0).0;
        let (angle, ratio) = self.at(theta);
        let lead = angle - start - theta;
        let half = std::f64::consts::PI;
        (lead - half * ((lead - before) / half).round(), ratio)
    }

    /// Lead (rad) and ratio at every degree up to `degrees`.
    pub(super) fn turn(&self, degrees: u32) -> Vec<(f64, f64)> {
        let mut rows = Vec::new();
        let mut before = 0.0;
        for degree in 0..=degrees {
            let row = self.lead(f64::from(degree).to_radians(), before);
            before = row.0;
            rows.push(row);
        }
        rows
    }

    /// Half of peak to peak (rad), greatest and least ratio over a turn.
    pub(super) fn extremes(&self) -> (f64, f64, f64) {
        let rows = self.turn(360);
        let at = |i: usize| (i as f64).to_radians();
        let (mut low, mut high) = (0.0f64, 0.0f64);
        let (mut slowest, mut fastest) = (1.0f64, 1.0f64);
        for i in 0..360 {
            let (before, after) = (rows[i], rows[i + 1]);
            low = low.min(before.0);
            high = high.max(before.0);
            // The lead is extreme where the ratio passes one.
            if (before.1 - 1.0) * (after.1 - 1.0) < 0.0 {
                let (mut a, mut b) = (at(i), at(i + 1));
                for _ in 0..60 {
                    let middle = f64::midpoint(a, b);
                    let same = (self.at(middle).1 - 1.0) * (before.1 - 1.0) > 0.0;
                    if same { a = middle } else { b = middle }
                }
                let lead = self.lead(a, before.0).0;
                low = low.min(lead);
                high = high.max(lead);
            }
            let (last, next) = (rows[(i + 359) % 360].1, after.1);
            for (sign, best) in [(1.0, &mut fastest), (-1.0, &mut slowest)] {
                if sign * before.1 >= sign * last && sign * before.1 >= sign * next {
                    // Thirds between the neighbours of the greatest sample.
                    let (mut a, mut b) = (at(i) - 1f64.to_radians(), at(i) + 1f64.to_radians());
                    for _ in 0..100 {
                        let third = (b - a) / 3.0;
                        if sign * self.at(a + third).1 < sign * self.at(b - third).1 { a += third } else { b -= third }
                    }
                    let found = self.at(f64::midpoint(a, b)).1;
                    *best = if sign * found > sign * *best { found } else { *best };
                }
            }
        }
        ((high - low) / 2.0, fastest, slowest)
    }
}
