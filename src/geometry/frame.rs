//! A right-handed frame: an origin and three unit axes.

use super::{Vec2, Vec3};

/// Right-handed orthonormal frame in vehicle axes (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Where local (0, 0, 0) lies.
    pub origin: Vec3,
    /// First axis.
    pub x: Vec3,
    /// Second axis.
    pub y: Vec3,
    /// Third axis, x × y.
    pub z: Vec3,
}

impl Frame {
    /// From an origin, the third axis and a direction near the first; `None` where they are parallel or zero.
    pub fn from_z_x(origin: Vec3, z: Vec3, near_x: Vec3) -> Option<Self> {
        let z = z.unit()?;
        let across = near_x - z * z.dot(near_x);
        // A direction within 1e-9 of the axis says nothing about the other two.
        if across.length() <= 1e-9 * near_x.length() {
            return None;
        }
        let x = across.unit()?;
        Some(Self { origin, x, y: z.cross(x), z })
    }

    /// From an origin, the first axis and a direction near the second; `None` where they are parallel or zero.
    pub fn from_x_y(origin: Vec3, x: Vec3, near_y: Vec3) -> Option<Self> {
        let Self { x: y, y: z, z: x, .. } = Self::from_z_x(origin, x, near_y)?;
        Some(Self { origin, x, y, z })
    }

    /// Vehicle coordinates of a local point.
    pub fn out(&self, p: Vec3) -> Vec3 {
        self.origin + self.x * p.x + self.y * p.y + self.z * p.z
    }

    /// A local direction in vehicle axes.
    pub fn direction(&self, v: Vec3) -> Vec3 {
        self.x * v.x + self.y * v.y + self.z * v.z
    }

    /// A frame given in local coordinates, in vehicle axes.
    pub fn carried(&self, local: &Self) -> Self {
        let [x, y, z] = [local.x, local.y, local.z].map(|axis| self.direction(axis));
        Self { origin: self.out(local.origin), x, y, z }
    }

    /// Local coordinates of a point in vehicle axes.
    pub fn local(&self, p: Vec3) -> Vec3 {
        let d = p - self.origin;
        Vec3::new(d.dot(self.x), d.dot(self.y), d.dot(self.z))
    }

    /// Vehicle coordinates of a point of the plane z = 0.
    pub fn on_plane(&self, p: Vec2) -> Vec3 {
        self.origin + self.x * p.x + self.y * p.y
    }
}
