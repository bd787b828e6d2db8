//! Solids built face by face: planes, cylinders, cones, elliptic cylinders.
//!
//! No booleans: every face, edge and vertex is placed by its own formula, so
//! that a reader finds true planes, cylinders and cones with their own sizes.

pub mod block;
pub mod bracket;
pub mod curve;
pub mod double_d;
pub mod error;
pub mod feature;
mod hole;
pub mod joint;
pub mod liner;
pub mod obstacle;
pub mod plate;
mod plate_hole;
mod prism;
pub mod rail;
pub mod room;
pub mod round_bar;
pub mod shaft;
mod sheet;
pub mod solid;
pub mod spline;
mod stretch;
pub mod surface;

pub use curve::Curve;
pub use error::ModelError;
pub use solid::Solid;
pub use surface::{Shape, Surface};

/// A corner of a solid.
pub(crate) type Vertex = truck_topology::Vertex<crate::geometry::Vec3>;
/// A stretch of curve between two corners, or a closed curve with one.
pub(crate) type Edge = truck_topology::Edge<crate::geometry::Vec3, Curve>;
/// A closed chain of edges.
pub(crate) type Wire = truck_topology::Wire<crate::geometry::Vec3, Curve>;
/// A piece of surface within its wires.
pub(crate) type Face = truck_topology::Face<crate::geometry::Vec3, Curve, Surface>;
