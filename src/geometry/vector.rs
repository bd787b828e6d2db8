//! Vectors of the plane and of space.

use std::ops::{Add, Mul, Neg, Sub};

use serde::{Deserialize, Serialize};

/// A point or direction in space; mm where it is a point. Vehicle axes: x rearward, y right, z up.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(from = "[f64; 3]", into = "[f64; 3]")]
pub struct Vec3 {
    /// Rearward.
    pub x: f64,
    /// To the vehicle's right.
    pub y: f64,
    /// Up.
    pub z: f64,
}

/// A point or direction in a plane; mm where it is a point.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
pub struct Vec2 {
    /// First coordinate (u of a plate or rail, x of a sheet).
    pub x: f64,
    /// Second coordinate (v of a plate or rail, y of a sheet).
    pub y: f64,
}

impl Vec3 {
    /// From three coordinates.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector product, right-handed.
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The direction of length 1; `None` where the length is zero or not finite.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }

    /// Any unit vector square to this one (which must not be zero).
    pub fn any_normal(self) -> Self {
        let (ax, ay, az) = (self.x.abs(), self.y.abs(), self.z.abs());
        let least = if ax <= ay && ax <= az {
            Self::new(1.0, 0.0, 0.0)
        } else if ay <= az {
            Self::new(0.0, 1.0, 0.0)
        } else {
            Self::new(0.0, 0.0, 1.0)
        };
        self.cross(least).unit().unwrap_or(least)
    }

    /// Turned right-handed by `angle` (rad) about the unit vector `axis` (Rodrigues).
    pub fn turned(self, axis: Self, angle: f64) -> Self {
        let (s, c) = libm::sincos(angle);
        self * c + axis.cross(self) * s + axis * (axis.dot(self) * (1.0 - c))
    }

    /// Angle (rad, 0 to pi) between two directions, accurate at both ends.
    pub fn angle_to(self, other: Self) -> f64 {
        libm::atan2(self.cross(other).length(), self.dot(other))
    }

    /// Signed angle (rad) from `self` to `other`, right-handed about the unit vector `axis`.
    pub fn signed_angle_to(self, other: Self, axis: Self) -> f64 {
        libm::atan2(self.cross(other).dot(axis), self.dot(other) - self.dot(axis) * other.dot(axis))
    }
}

impl Vec2 {
    /// From two coordinates.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Unit vector at `angle` (rad) anticlockwise from +x.
    pub fn polar(angle: f64) -> Self {
        let (s, c) = libm::sincos(angle);
        Self::new(c, s)
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Signed area of the parallelogram; positive where `other` lies anticlockwise.
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// The direction of length 1; `None` where the length is zero or not finite.
    pub fn unit(self) -> Option<Self> {
        let length = self.length();
        (length > 0.0 && length.is_finite()).then(|| self * (1.0 / length))
    }

    /// Turned anticlockwise by a quarter.
    pub const fn left(self) -> Self {
        Self::new(-self.y, self.x)
    }

    /// Turned anticlockwise by `angle` (rad).
    pub fn turned(self, angle: f64) -> Self {
        let (s, c) = libm::sincos(angle);
        Self::new(c * self.x - s * self.y, s * self.x + c * self.y)
    }

    /// Angle (rad, -pi to pi) from +x.
    pub fn angle(self) -> f64 {
        libm::atan2(self.y, self.x)
    }
}

macro_rules! arithmetic {
    ($t:ident, $($f:ident),+) => {
        impl Add for $t {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self { $($f: self.$f + other.$f),+ } }
        }
        impl Sub for $t {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self { $($f: self.$f - other.$f),+ } }
        }
        impl Mul<f64> for $t {
            type Output = Self;
            fn mul(self, factor: f64) -> Self { Self { $($f: self.$f * factor),+ } }
        }
        impl Neg for $t {
            type Output = Self;
            fn neg(self) -> Self { Self { $($f: -self.$f),+ } }
        }
    };
}
arithmetic!(Vec3, x, y, z);
arithmetic!(Vec2, x, y);

impl From<[f64; 3]> for Vec3 {
    fn from([x, y, z]: [f64; 3]) -> Self {
        Self { x, y, z }
    }
}

impl From<Vec3> for [f64; 3] {
    fn from(v: Vec3) -> Self {
        [v.x, v.y, v.z]
    }
}

impl From<[f64; 2]> for Vec2 {
    fn from([x, y]: [f64; 2]) -> Self {
        Self { x, y }
    }
}

impl From<Vec2> for [f64; 2] {
    fn from(v: Vec2) -> Self {
        [v.x, v.y]
    }
}
