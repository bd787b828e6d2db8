//! Plane and space geometry: millimetres and radians, double precision.

pub mod vector;

pub mod contour;
pub mod distance;
pub mod enclose;
pub mod envelope;
pub mod frame;
pub mod hug;
pub mod least_squares;
pub mod mass;
pub mod path;
pub mod quadrature;
pub mod rigid;
pub mod root;
pub mod segment;
pub mod split;
pub mod torsion;

pub use frame::Frame;
pub use path::{Path, Piece};
pub use rigid::Rigid;
pub use vector::{Vec2, Vec3};
