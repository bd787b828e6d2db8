//! Least circle, ellipse and slot that enclose points.

use std::f64::consts::PI;

use super::Vec2;

/// A round, an ellipse or a slot: what encloses points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Enclosure {
    /// Its centre.
    pub centre: Vec2,
    /// From the centre along the long axis to the end.
    pub half_length: f64,
    /// From the centre across it to the side.
    pub half_width: f64,
    /// Unit vector along the long axis.
    pub along: Vec2,
}

/// Corners of the convex hull, anticlockwise; points on its edges left out (monotone chain, Andrew 1979).
pub fn hull(points: &[Vec2]) -> Vec<Vec2> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let half = |points: &mut dyn Iterator<Item = Vec2>| {
        let mut chain: Vec<Vec2> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..]
                && (b - a).cross(p - b) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut corners = half(&mut sorted.iter().copied());
    corners.extend(half(&mut sorted.iter().rev().copied()));
    corners
}

/// The least circle round points: the least of those through two or three of them that holds all (Welzl 1991, by
/// repeated passes). `None` without points.
pub fn circle(points: &[Vec2]) -> Option<Enclosure> {
    let corners = hull(points);
    let (mut centre, mut radius) = (*corners.first()?, 0.0_f64);
    let outside = |c: Vec2, r: f64, p: Vec2| (p - c).length() > r * (1.0 + 1e-12) + 1e-12;
    for (i, &p) in corners.iter().enumerate() {
        if !outside(centre, radius, p) {
            continue;
        }
        (centre, radius) = (p, 0.0);
        for (j, &q) in corners[..i].iter().enumerate() {
            if !outside(centre, radius, q) {
                continue;
            }
            (centre, radius) = ((p + q) * 0.5, (p - q).length() / 2.0);
            for &s in &corners[..j] {
                if outside(centre, radius, s)
                    && let Some(found) = through(p, q, s)
                {
                    (centre, radius) = found;
                }
            }
        }
    }
    Some(Enclosure { centre, half_length: radius, half_width: radius, along: Vec2::new(1.0, 0.0) })
}

fn through(a: Vec2, b: Vec2, c: Vec2) -> Option<(Vec2, f64)> {
    let (b, c) = (b - a, c - a);
    let twice = 2.0 * b.cross(c);
    let centre = Vec2::new(c.y * b.dot(b) - b.y * c.dot(c), b.x * c.dot(c) - c.x * b.dot(b)) * (1.0 / twice);
    centre.length().is_finite().then(|| (a + centre, centre.length()))
}

/// The narrowest slot round points along `along`.
fn slot_along(corners: &[Vec2], along: Vec2) -> Enclosure {
    let across = along.left();
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for p in corners {
        low = low.min(p.dot(across));
        high = high.max(p.dot(across));
    }
    let (middle, radius) = (f64::midpoint(low, high), (high - low) / 2.0);
    // The end's centre may lie no farther in than where its half circle still holds each point.
    let (mut near, mut far) = (f64::INFINITY, f64::NEG_INFINITY);
    for p in corners {
        let off = p.dot(across) - middle;
        let reach = (radius * radius - off * off).max(0.0).sqrt();
        near = near.min(p.dot(along) + reach);
        far = far.max(p.dot(along) - reach);
    }
    let length = (far - near).max(0.0);
    Enclosure {
        centre: along * f64::midpoint(near, far) + across * middle,
        half_length: length / 2.0 + radius,
        half_width: radius,
        along,
    }
}

/// A slot round points: of the narrowest in each direction the one of least area; `hint` where that is as good.
pub fn slot(points: &[Vec2], hint: Vec2) -> Option<Enclosure> {
    /// Directions tried before the best is closed in on.
    const TRIED: u32 = 180;
    let corners = hull(points);
    corners.first()?;
    let area = |slot: &Enclosure| {
        let r = slot.half_width;
        PI * r * r + 4.0 * r * (slot.half_length - r)
    };
    let at = |angle: f64| slot_along(&corners, Vec2::polar(angle));
    let step = PI / f64::from(TRIED);
    let best =
        (0..TRIED).map(|i| f64::from(i) * step).min_by(|a, b| area(&at(*a)).total_cmp(&area(&at(*b)))).unwrap_or(0.0);
    let (mut low, mut high) = (best - step, best + step);
    // Thirds: the bracket shrinks to 1e-10 rad.
    for _ in 0..48 {
        let third = (high - low) / 3.0;
        if area(&at(low + third)) < area(&at(high - third)) {
            high -= third;
        } else {
            low += third;
        }
    }
    let (found, hinted) = (at(f64::midpoint(low, high)), slot_along(&corners, hint));
    Some(if area(&hinted) <= area(&found) * (1.0 + 1e-6) { hinted } else { found })
}

/// The ellipse of least area round points (Löwner–John), grown until it holds every one of them.
///
/// No more than five points hold it, so it is found round a few of them, and the one farthest outside is taken in until
/// none stands out.
pub fn ellipse(points: &[Vec2]) -> Option<Enclosure> {
    /// Points taken in at most; each leaves less area to gain.
    const MOST: usize = 200;
    let corners = hull(points);
    if corners.len() < 3 {
        return None;
    }
    let middle = corners.iter().fold(Vec2::default(), |sum, &p| sum + p) * (1.0 / corners.len() as f64);
    let near: Vec<Vec2> = corners.iter().map(|&p| p - middle).collect();
    let mut some: Vec<Vec2> = Vec::new();
    for turn in 0..8 {
        let way = Vec2::polar(PI * f64::from(turn) / 4.0);
        let far = near.iter().copied().max_by(|a, b| a.dot(way).total_cmp(&b.dot(way)))?;
        if !some.contains(&far) {
            some.push(far);
        }
    }
    let (mut centre, mut spread) = round_few(&some)?;
    for _ in 0..MOST {
        let inverse = spread.inverse();
        let out = |p: &Vec2| inverse.squared(*p - centre);
        let farthest = near.iter().copied().max_by(|a, b| out(a).total_cmp(&out(b)))?;
        // Squared, the rim is at 2.
        if out(&farthest) < 2.0 * (1.0 + 4.0 * CLOSE) || some.contains(&farthest) {
            break;
        }
        some.push(farthest);
        (centre, spread) = round_few(&some)?;
    }
    let inverse = spread.inverse();
    let reach = near.iter().map(|p| inverse.squared(*p - centre)).fold(0.0, f64::max).sqrt();
    let ([long, short], along) = spread.axes();
    let (long, short) = (long.sqrt() * reach, short.sqrt() * reach);
    (long.is_finite() && short > 0.0).then_some(Enclosure {
        centre: middle + centre,
        half_length: long,
        half_width: short,
        along,
    })
}

/// Farthest a weighted point may be off the rim, as a share.
const CLOSE: f64 = 1e-9;

/// Centre and spread of the least ellipse round a few points.
///
/// Khachiyan's method with steps away (Todd & Yıldırım 2007, doi:10.1016/j.dam.2007.02.013): weights on the points are
/// shifted to the one farthest out, or off the one farthest in, until all that bear weight lie on the rim.
fn round_few(points: &[Vec2]) -> Option<(Vec2, Spread)> {
    const MOST: usize = 20_000;
    let mut weights = vec![1.0 / points.len() as f64; points.len()];
    for _ in 0..MOST {
        let (centre, spread) = moments(points, &weights);
        let inverse = spread.inverse();
        // In the lifted space of one more dimension the distance squared is 1 + that in the plane.
        let out: Vec<f64> = points.iter().map(|p| 1.0 + inverse.squared(*p - centre)).collect();
        let farthest = (0..out.len()).max_by(|&a, &b| out[a].total_cmp(&out[b]))?;
        let weighted = (0..out.len()).filter(|&i| weights[i] > 1e-12);
        let innermost = weighted.min_by(|&a, &b| out[a].total_cmp(&out[b]))?;
        let (most, least) = (out[farthest], out[innermost]);
        let (over, under) = (most / 3.0 - 1.0, 1.0 - least / 3.0);
        if over.max(under) < CLOSE {
            break;
        }
        if over > under {
            let step = (most - 3.0) / (3.0 * (most - 1.0));
            for weight in &mut weights {
                *weight *= 1.0 - step;
            }
            weights[farthest] += step;
        } else {
            let all = weights[innermost] / (1.0 - weights[innermost]);
            let step = ((3.0 - least) / (3.0 * (least - 1.0)).max(1e-12)).min(all);
            for weight in &mut weights {
                *weight *= 1.0 + step;
            }
            weights[innermost] = (weights[innermost] - step).max(0.0);
        }
    }
    Some(moments(points, &weights))
}

/// A symmetric matrix of two by two.
#[derive(Clone, Copy)]
struct Spread {
    xx: f64,
    xy: f64,
    yy: f64,
}

impl Spread {
    fn inverse(self) -> Self {
        let det = self.xx * self.yy - self.xy * self.xy;
        Self { xx: self.yy / det, xy: -self.xy / det, yy: self.xx / det }
    }

    fn squared(self, p: Vec2) -> f64 {
        self.xx * p.x * p.x + 2.0 * self.xy * p.x * p.y + self.yy * p.y * p.y
    }

    /// Both own values, the greater first, and the unit vector of that.
    fn axes(self) -> ([f64; 2], Vec2) {
        let (half, off) = ((self.xx - self.yy) / 2.0, self.xy);
        let root = (half * half + off * off).sqrt();
        let mean = f64::midpoint(self.xx, self.yy);
        ([mean + root, mean - root], Vec2::polar(libm::atan2(off, half) / 2.0))
    }
}

fn moments(points: &[Vec2], weights: &[f64]) -> (Vec2, Spread) {
    let mut centre = Vec2::default();
    for (&p, &weight) in points.iter().zip(weights) {
        centre = centre + p * weight;
    }
    let mut spread = Spread { xx: 0.0, xy: 0.0, yy: 0.0 };
    for (&p, &weight) in points.iter().zip(weights) {
        let d = p - centre;
        spread.xx += weight * d.x * d.x;
        spread.xy += weight * d.x * d.y;
        spread.yy += weight * d.y * d.y;
    }
    (centre, spread)
}
