//! Least gaps.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::geometry::Vec3;

/// Least gap between a part of the linkage and an obstacle or rail.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Clearance {
    /// Body of the linkage.
    pub part: String,
    /// Obstacle or rail.
    pub obstacle: String,
    /// Distance of the surfaces; 0 on contact.
    pub gap: f64,
    /// One standard deviation of the gap from the survey.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gap_sigma: Option<f64>,
    /// Gap wanted.
    pub need: f64,
    /// Value of every motion that moves either body where the gap is least: degrees of a turn, mm otherwise.
    pub at: BTreeMap<String, f64>,
    /// On the obstacle.
    pub point: Vec3,
    /// Proved: over all motions the gap is never less; `None` where nothing moves either body.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lower: Option<f64>,
    /// The gap as taped, where a motion moves either body.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taped: Option<TapedGap>,
}

impl Clearance {
    /// How far apart the bounds are, where the search ended before they met (mm).
    pub fn bounds_apart(&self) -> Option<f64> {
        let apart = self.gap - self.lower?;
        (apart > crate::solve::travel::tolerance(self.at.len()) + 1e-6).then_some(apart)
    }

    /// What it is judged by (mm): the gap, or its lower bound where the bounds did not meet.
    pub fn judged(&self) -> f64 {
        self.lower.filter(|_| self.bounds_apart().is_some()).unwrap_or(self.gap)
    }
}

/// A gap with everything where it was taped.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TapedGap {
    /// Distance of the surfaces; 0 on contact.
    pub gap: f64,
    /// On the obstacle.
    pub point: Vec3,
}
