//! Rigid motions of space.

use super::{Frame, Vec3};

/// A turn followed by a shift: p becomes (p.x · `x` + p.y · `y` + p.z · `z`) + `shift`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rigid {
    x: Vec3,
    y: Vec3,
    z: Vec3,
    shift: Vec3,
}

impl Rigid {
    /// Everything stays where it is.
    pub const STILL: Self = Self {
        x: Vec3::new(1.0, 0.0, 0.0),
        y: Vec3::new(0.0, 1.0, 0.0),
        z: Vec3::new(0.0, 0.0, 1.0),
        shift: Vec3::new(0.0, 0.0, 0.0),
    };

    /// A shift (mm).
    pub const fn shift(by: Vec3) -> Self {
        Self { shift: by, ..Self::STILL }
    }

    /// A right-handed turn (rad) about the line through `about` along the unit vector `axis`.
    pub fn turn(about: Vec3, axis: Vec3, angle: f64) -> Self {
        let [x, y, z] = [Self::STILL.x, Self::STILL.y, Self::STILL.z].map(|unit| unit.turned(axis, angle));
        let turn = Self { x, y, z, shift: Vec3::default() };
        Self { shift: about - turn.direction(about), ..turn }
    }

    /// Where a point goes.
    pub fn point(&self, p: Vec3) -> Vec3 {
        self.direction(p) + self.shift
    }

    /// Where a direction turns.
    pub fn direction(&self, d: Vec3) -> Vec3 {
        self.x * d.x + self.y * d.y + self.z * d.z
    }

    /// This motion, and then the `outer` one.
    pub fn then(&self, outer: &Self) -> Self {
        let [x, y, z] = [self.x, self.y, self.z].map(|axis| outer.direction(axis));
        Self { x, y, z, shift: outer.point(self.shift) }
    }

    /// The motion that undoes this one.
    pub fn back(&self) -> Self {
        let row = |pick: fn(Vec3) -> f64| Vec3::new(pick(self.x), pick(self.y), pick(self.z));
        let turn = Self { x: row(|v| v.x), y: row(|v| v.y), z: row(|v| v.z), shift: Vec3::default() };
        Self { shift: -turn.direction(self.shift), ..turn }
    }

    /// Where a frame goes.
    pub fn frame(&self, frame: &Frame) -> Frame {
        Frame {
            origin: self.point(frame.origin),
            x: self.direction(frame.x),
            y: self.direction(frame.y),
            z: self.direction(frame.z),
        }
    }
}
