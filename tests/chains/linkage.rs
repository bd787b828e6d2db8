//! Linkages drawn from their angles, and written as specs.

use std::fmt::Write as _;

use proptest::prelude::Rng;
use yokeline::geometry::Vec3;

/// One joint.
#[derive(Clone)]
pub(super) struct Joint {
    /// In all (rad).
    pub(super) angle: f64,
    /// Of the bend plane against the last (rad).
    pub(super) plane: f64,
    /// Between the crosses of a double (mm).
    pub(super) span: Option<f64>,
}

/// One shaft.
#[derive(Clone)]
pub(super) struct Shaft {
    /// Between its crosses (mm).
    pub(super) length: f64,
    /// Station of an eye that places a joint.
    pub(super) eye: Option<f64>,
    /// Station of a bearing stated as a length.
    pub(super) along: Option<f64>,
    /// An eye that places nothing.
    pub(super) loose_eye: Option<Vec3>,
    /// Ears of the hub at its lower end (deg).
    pub(super) ears: f64,
}

/// How shafts and hubs are keyed.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Hold {
    /// Double-D: the ears set the phase.
    Flats,
    /// Round: any phase.
    Round,
}

/// A linkage by its angles and lengths.
#[derive(Clone)]
pub(super) struct Linkage {
    pub(super) start: Vec3,
    pub(super) first: Vec3,
    /// Normal of the first bend.
    pub(super) normal: Vec3,
    pub(super) joints: Vec<Joint>,
    pub(super) shafts: Vec<Shaft>,
    pub(super) hold: Hold,
    /// Ears of every upper hub but the column's (deg).
    pub(super) ears: f64,
    pub(super) torque: Option<f64>,
}

const REACH: f64 = 40.0;
const DEPTH: f64 = 25.0;

fn unit(rng: &mut dyn Rng) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1u64 << 53) as f64
}

fn plain(length: f64) -> Shaft {
    Shaft { length, eye: None, along: None, loose_eye: None, ears: 0.0 }
}

impl Linkage {
    /// Any chain of that many joints.
    pub(super) fn draw(count: usize, rng: &mut dyn Rng) -> Self {
        let mut direction = || Vec3::new(unit(rng) - 0.5, unit(rng) - 0.5, unit(rng) - 0.5);
        let first = direction().unit().unwrap();
        let normal = direction().cross(first).unit().unwrap();
        let start = direction() * 2000.0;
        let joints = (0..count)
            .map(|_| {
                let span = (unit(rng) < 0.3).then(|| 30.0 + 40.0 * unit(rng));
                let most = if span.is_some() { 70.0 } else { 38.0 };
                let angle = if unit(rng) < 0.2 { 0.0 } else { 4.0 + (most - 4.0) * unit(rng) };
                Joint { angle: angle.to_radians(), plane: std::f64::consts::TAU * unit(rng), span }
            })
            .collect();
        let shafts = (0..count - 1)
            .map(|i| {
                let length = 150.0 + 300.0 * unit(rng);
                // On the last shaft an eye would place the joint above it.
                let eye = (i + 2 < count && unit(rng) < 0.3).then(|| length * (0.3 + 0.4 * unit(rng)));
                Shaft { eye, ears: 180.0 * unit(rng), ..plain(length) }
            })
            .collect();
        Self { start, first, normal, joints, shafts, hold: Hold::Flats, ears: 0.0, torque: None }
    }

    /// Shafts of one length, every bend in one plane to one side; the last shaft bearing nothing.
    pub(super) fn planar(joints: &[(f64, Option<f64>)], length: f64) -> Self {
        Self {
            start: Vec3::new(900.0, -350.0, 700.0),
            first: Vec3::new(-0.8, 0.0, -0.6),
            normal: Vec3::new(0.0, 1.0, 0.0),
            joints: joints.iter().map(|&(angle, span)| Joint { angle, plane: 0.0, span }).collect(),
            shafts: vec![plain(length); joints.len() - 1],
            hold: Hold::Flats,
            ears: 0.0,
            torque: None,
        }
    }

    /// Single joints through points; the first and the last point lie on the column's and the gear's axis.
    pub(super) fn through(points: &[Vec3]) -> Self {
        let way: Vec<Vec3> = points.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let axes: Vec<Vec3> = way.iter().map(|way| way.unit().unwrap()).collect();
        let normals: Vec<Vec3> = axes.windows(2).map(|pair| pair[0].cross(pair[1]).unit().unwrap()).collect();
        let joints = (0..normals.len())
            .map(|i| Joint {
                angle: axes[i].angle_to(axes[i + 1]),
                plane: if i == 0 { 0.0 } else { normals[i - 1].signed_angle_to(normals[i], axes[i]) },
                span: None,
            })
            .collect();
        let shafts = way[1..way.len() - 1].iter().map(|way| plain(way.length())).collect();
        Self {
            start: points[1],
            first: axes[0],
            normal: normals[0],
            joints,
            shafts,
            hold: Hold::Flats,
            ears: 0.0,
            torque: None,
        }
    }

    /// Column, shafts, gear.
    pub(super) fn axes(&self) -> Vec<Vec3> {
        let (mut axis, mut normal) = (self.first, self.normal);
        let mut axes = vec![axis];
        for (i, joint) in self.joints.iter().enumerate() {
            if i > 0 {
                normal = normal.turned(axis, joint.plane);
            }
            axis = axis.turned(normal, joint.angle).unit().unwrap();
            axes.push(axis);
        }
        axes
    }

    /// From the meeting of the axes to each cross: half the span over the cosine of half the angle.
    fn back(&self, i: usize) -> f64 {
        let joint = &self.joints[i];
        joint.span.map_or(0.0, |span| span / 2.0 / (joint.angle / 2.0).cos())
    }

    /// Where the axes of each joint meet; the column's own is at `start`.
    pub(super) fn centres(&self) -> Vec<Vec3> {
        let axes = self.axes();
        let mut centres = vec![self.start];
        for (i, shaft) in self.shafts.iter().enumerate() {
            let apart = self.back(i) + shaft.length + self.back(i + 1);
            centres.push(centres[i] + axes[i + 1] * apart);
        }
        centres
    }

    /// The crosses of each joint, from the column's side.
    pub(super) fn crosses(&self) -> Vec<Vec<Vec3>> {
        let (axes, centres) = (self.axes(), self.centres());
        let of = |(i, centre): (usize, &Vec3)| match self.joints[i].span {
            Some(_) => vec![*centre - axes[i] * self.back(i), *centre + axes[i + 1] * self.back(i)],
            None => vec![*centre],
        };
        centres.iter().enumerate().map(of).collect()
    }

    /// As a spec in millimetres.
    pub(super) fn text(&self) -> String {
        let (axes, centres) = (self.axes(), self.centres());
        let last = self.joints.len() - 1;
        let point = |p: Vec3| format!("[{:?}, {:?}, {:?}]", p.x, p.y, p.z);
        let form = match self.hold {
            Hold::Flats => "{ dd = { diameter = 19.0, flats = 14.0 } }",
            Hold::Round => "{ round = { diameter = 19.0 } }",
        };
        let mut text = String::from("format = 1\n[build]\ntitle = \"drawn\"\nunits = \"mm\"\n");
        let column = centres[0] - axes[0] * (self.back(0) + REACH - DEPTH);
        let gear = centres[last] + axes[last + 1] * (self.back(last) + REACH - DEPTH);
        for (name, end, toward) in
            [("column", column, column - axes[0] * 600.0), ("gear", gear, gear + axes[last + 1] * 600.0)]
        {
            let _ = writeln!(
                text,
                "[{name}]\nend = {}\ntoward = {}\nform = {form}\nexposed = 60",
                point(end),
                point(toward)
            );
        }
        for (i, joint) in self.joints.iter().enumerate() {
            let _ = writeln!(text, "[[joint]]\nname = \"j{i}\"\nswing = 40\nhub = 45\nlimit = \"80 deg\"");
            if let Some(span) = joint.span {
                let _ = writeln!(text, "double = {{ span = {span:?} }}");
            }
            let placed = i > 0 && self.shafts[i - 1].eye.is_some();
            if i > 0 && i < last && !placed {
                let _ = writeln!(text, "centre = {}", point(centres[i]));
            }
            for (side, ears) in
                [("upper", if i == 0 { 0.0 } else { self.shafts[i - 1].ears + self.ears }), ("lower", 0.0)]
            {
                let ears = if self.hold == Hold::Flats { format!("\nears = {ears:?}") } else { String::new() };
                let _ = writeln!(text, "[joint.{side}]\nfits = {form}\nreach = {REACH}\ndepth = {DEPTH}{ears}");
            }
        }
        for (i, shaft) in self.shafts.iter().enumerate() {
            let _ = writeln!(text, "[[shaft]]\nname = \"s{i}\"\nstock = {form}\nmaterial = \"1018-cold-drawn\"");
            let on = |station: f64| centres[i] + axes[i + 1] * (self.back(i) + station);
            if let Some(station) = shaft.eye {
                let _ = writeln!(text, "bearing = {{ at = {}, to = {:?} }}", point(on(station)), shaft.length);
            } else if let Some(station) = shaft.along {
                let _ = writeln!(text, "bearing = {{ at = {station:?} }}");
            } else if let Some(eye) = shaft.loose_eye {
                let _ = writeln!(text, "bearing = {{ at = {} }}", point(eye));
            }
        }
        if let Some(torque) = self.torque {
            let _ = writeln!(text, "[load]\nwheel_torque = \"{torque} N m\"");
        }
        text
    }
}
