//! Shafts between joints: the bar, its ends, its two members where it slips.

use super::{Form, FormShape, Material, MockUp};
use crate::geometry::Vec3;

/// A shaft between two joints.
#[derive(Debug, Clone)]
pub struct Shaft {
    /// Unique name.
    pub name: String,
    /// Bar it is cut from; of a slip shaft the inner member's.
    pub stock: Form,
    /// Its material.
    pub material: Material,
    /// ± on the finished length (mm); `None` for that of `build.general` at the length found.
    pub length_tolerance: Option<f64>,
    /// ± on dimple stations (mm).
    pub station_tolerance: f64,
    /// Left on when sawing (mm).
    pub leave: f64,
    /// Chamfer of both ends (mm).
    pub chamfer: Option<f64>,
    /// Ends cut otherwise than the bar: upper, then lower.
    pub ends: [Option<CutEnd>; 2],
    /// The twist the ends are to be made with.
    pub twist: Option<TwistWish>,
    /// Two members that slide in one another.
    pub slip: Option<Slip>,
    /// What was taped with its joints hung loosely.
    pub mock_up: Option<MockUp>,
    /// Support bearing.
    pub bearing: Option<Bearing>,
    /// Seat turned for it; never without a bearing.
    pub journal: Option<Journal>,
}

/// An end of a shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShaftEnd {
    /// Toward the column.
    Upper,
    /// Toward the gear.
    Lower,
}

impl ShaftEnd {
    /// Both, from column to gear.
    pub const BOTH: [Self; 2] = [Self::Upper, Self::Lower];

    /// 0 for the upper, 1 for the lower.
    pub const fn index(self) -> usize {
        match self {
            Self::Upper => 0,
            Self::Lower => 1,
        }
    }

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Upper => Self::Lower,
            Self::Lower => Self::Upper,
        }
    }
}

/// An end turned or milled on round bar, with a shoulder at its inner end.
#[derive(Debug, Clone, PartialEq)]
pub struct CutEnd {
    /// Its form; never over the bar's diameter, and without a bore of its own.
    pub form: Form,
    /// From the end face to the shoulder (mm).
    pub length: f64,
    /// From the edges of the flats at the other end, or the punched line, to a tooth (rad), where it was measured.
    pub tooth: Option<f64>,
}

/// The twist a shaft is made with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TwistWish {
    /// The joint optimum over all shafts.
    Best,
    /// This angle (rad) from the upper yoke to the lower.
    Angle(f64),
}

/// A shaft of two members.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// Outside of the outer member.
    pub outer: Form,
    /// Its hole, through its whole length: a double-D or serrated.
    pub hole: Form,
    /// Whether the hole was stated; else it is the inner member's own form, and its play is not known.
    pub hole_stated: bool,
    /// End of the shaft the outer member is at.
    pub outer_end: ShaftEnd,
    /// How much longer than taped it must get (mm).
    pub extend: f64,
    /// How much shorter than taped it must get (mm).
    pub collapse: f64,
    /// Overlap left when fully extended, at least (mm).
    pub least_overlap: f64,
}

impl Shaft {
    /// Middle of its bearing and the distance between its crosses, where those two place a joint.
    pub fn placing(&self) -> Option<(Vec3, f64)> {
        match self.bearing.as_ref()?.at {
            BearingAt::Eye { centre, to } => Some((centre, to?)),
            BearingAt::Along(_) => None,
        }
    }

    /// The bar at an end before anything is cut on it.
    pub fn bar_at(&self, end: ShaftEnd) -> &Form {
        match &self.slip {
            Some(slip) if slip.outer_end == end => &slip.outer,
            _ => &self.stock,
        }
    }

    /// The form the hub at an end slides over.
    pub fn form_at(&self, end: ShaftEnd) -> &Form {
        self.ends[end.index()].as_ref().map_or_else(|| self.bar_at(end), |cut| &cut.form)
    }

    /// Largest diameter (mm).
    pub fn diameter(&self) -> f64 {
        self.bar_at(ShaftEnd::Upper).diameter().max(self.bar_at(ShaftEnd::Lower).diameter())
    }

    /// Whether an end has flats that are milled on it, and so can be milled at any angle.
    pub fn is_milled(&self, end: ShaftEnd) -> bool {
        self.ends[end.index()].as_ref().is_some_and(|cut| cut.form.is_double_d())
    }
}

impl Form {
    /// Concentric round bore (mm), where it is hollow.
    pub const fn bore(&self) -> Option<f64> {
        match self.shape {
            FormShape::DoubleD { bore, .. } | FormShape::Round { bore, .. } => bore,
            FormShape::Serrated { .. } => None,
        }
    }

    /// Number of teeth and whether one of them is wider than the rest.
    pub const fn teeth(&self) -> Option<(u32, bool)> {
        match self.shape {
            FormShape::Serrated { teeth, master, .. } => Some((teeth, master)),
            _ => None,
        }
    }
}

/// A support bearing: it holds its shaft sideways, and lets it slide and tilt.
#[derive(Debug, Clone, PartialEq)]
pub struct Bearing {
    /// Where it sits.
    pub at: BearingAt,
    /// Its bore (mm).
    pub bore: Option<f64>,
    /// The room it takes.
    pub housing: Option<Housing>,
}

/// The room of a support bearing: a cylinder about the shaft's line, its middle at the bearing's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Housing {
    /// Across it (mm).
    pub outside: f64,
    /// Along the shaft (mm).
    pub width: f64,
}

/// A seat turned on the bar for its bearing, its middle at the bearing's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Journal {
    /// Of the seat (mm).
    pub diameter: f64,
    /// From shoulder to shoulder (mm).
    pub length: f64,
}

/// Where a support bearing sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BearingAt {
    /// From the cross at the shaft's upper end along the shaft (mm).
    Along(f64),
    /// A point in space.
    Eye {
        /// Its middle.
        centre: Vec3,
        /// Between the shaft's two crosses (mm), where that places one of them.
        to: Option<f64>,
    },
}
