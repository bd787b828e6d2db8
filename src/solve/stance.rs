//! How every yoke stands at one angle of the column.

use super::chain::Chain;
use crate::geometry::Vec3;

/// The trunnion axes (unit vectors) of the two yokes of a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Yokes {
    /// Of the driving yoke, on the column's side.
    pub driving: Vec3,
    /// Of the driven yoke, on the gear's side.
    pub driven: Vec3,
}

/// Trunnion axes from the column down, with the column yoke's turned `theta` (rad) from n₁.
///
/// The driven yoke of a single joint stands square to the driving one and to its own shaft. `twists` are the yoke
/// phases δ (rad), one a shaft.
pub fn yokes(chain: &Chain, twists: &[f64], theta: f64) -> Vec<Yokes> {
    let mut driving = chain.normals[0].turned(chain.axes[0], theta);
    let mut all = Vec::with_capacity(chain.normals.len());
    for (i, normal) in chain.normals.iter().enumerate() {
        let (above, below) = (chain.axes[i], chain.axes[i + 1]);
        let driven = if chain.is_double(i) {
            // Two quarter turns, evenly: the driven yoke stands to the plane as the driving one does.
            normal.turned(below, normal.signed_angle_to(driving, above))
        } else {
            below.cross(driving).unit().unwrap_or(*normal)
        };
        all.push(Yokes { driving, driven });
        driving = twists.get(i).map_or(driven, |&twist| driven.turned(below, twist));
    }
    all
}
