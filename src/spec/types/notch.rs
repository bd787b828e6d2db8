//! A notch in a rail, and what makes the rail good again.

use serde::{Deserialize, Serialize};

use super::Body;

/// A notch in a rail.
#[derive(Debug, Clone)]
pub struct Notch {
    /// Unique name.
    pub name: String,
    /// Index of its rail.
    pub rail: usize,
    /// What remains clear with liner, doublers and weld on (mm).
    pub clearance: f64,
    /// Least inside corner radius of the shop outline (mm).
    pub corner: f64,
    /// Shape of the outline to cut.
    pub shape: ShopShape,
    /// Index of the rail's mark the template counts from.
    pub datum: Option<usize>,
    /// The bodies it must clear.
    pub bodies: Vec<Body>,
    /// Tube set into it.
    pub liner: Option<Liner>,
    /// Plates on the rail's faces.
    pub doubler: Option<Doubler>,
}

/// Shape of a notch's outline to cut. Each takes at least what the clearance takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShopShape {
    /// As traced, inside corners rounded.
    True,
    /// The smallest slot with round ends that holds it: two holes and two straight cuts, or one hole.
    Round,
    /// The smallest rectangle along the rail that holds it, corners rounded.
    Straight,
}

/// What a tube set into a notch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum LinerKind {
    /// Part of a tube, or plate rolled to one: it closes the notch toward the rail's inside.
    Liner,
    /// A whole tube through both walls.
    Sleeve,
}

impl LinerKind {
    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Liner => "liner",
            Self::Sleeve => "sleeve",
        }
    }
}

/// A tube set into a notch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liner {
    /// Part of a tube or a whole one.
    pub kind: LinerKind,
    /// Outside diameter (mm); `None`: the least that keeps the clearance.
    pub outside: Option<f64>,
    /// Wall (mm).
    pub wall: f64,
    /// Whether its axis is square to the rail; else it runs along the shaft.
    pub square: bool,
}

/// Plates welded flat on a rail's faces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Doubler {
    /// Thickness (mm).
    pub wall: f64,
    /// How far their ends stand past the notch (mm); `None`: the rail's height.
    pub overrun: Option<f64>,
    /// Height over the face (mm); `None`: all of the face's flat.
    pub height: Option<f64>,
    /// On the level faces too.
    pub all_faces: bool,
}
