//! Screw threads, set-screw points, dimples, clearance holes, tap drills.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use serde::Deserialize;

use super::Unknown;
use super::file::{Decoded, Length, Torque, decode};
use crate::quantity::millimetres;

/// A screw thread from the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct Thread {
    /// Such as `5/16-18` or `M8x1.25`.
    pub name: String,
    /// Major diameter (mm).
    pub diameter: f64,
    /// Pitch (mm).
    pub pitch: f64,
}

impl Thread {
    /// Basic minor diameter (mm), D − 1.082532 P: D less 5/4 of the 60 degree triangle's height, (√3/2) P.
    /// ISO 68-1, ASME B1.1 (both from memory).
    pub fn minor_diameter(&self) -> f64 {
        self.diameter - 1.25 * 3.0_f64.sqrt() / 2.0 * self.pitch
    }
}

/// Point of a set screw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScrewPoint {
    /// Cup.
    Cup,
    /// Cone.
    Cone,
    /// Dog.
    Dog,
    /// Flat.
    Flat,
}

impl ScrewPoint {
    /// The word used in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cup => "cup",
            Self::Cone => "cone",
            Self::Dog => "dog",
            Self::Flat => "flat",
        }
    }
}

/// A dimple: a cone of the drill's angle, then a straight wall where it is deeper than its mouth needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DimpleSize {
    /// Included angle of the drill or countersink (rad); pi for a flat-bottomed hole.
    pub drill: f64,
    /// Tip below the struck flat or crest (mm).
    pub depth: f64,
    /// Of the drill (mm): the cone is never wider.
    pub diameter: f64,
}

/// A thread with what the catalogue knows of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ThreadEntry {
    /// The thread.
    pub thread: Thread,
    /// Nominal size, such as `5/16` or `M8`.
    pub size: String,
    /// Drill before tapping, in words.
    pub tap_drill: String,
    /// Diameter of that drill (mm).
    pub tap_diameter: f64,
    /// Where the figures are from.
    pub source: String,
}

/// A set screw's point and key, by nominal size.
#[derive(Debug, Clone, PartialEq)]
pub struct SetScrew {
    /// Nominal size, such as `5/16` or `M8`.
    pub size: String,
    /// Hexagon key across the flats (mm).
    pub hex: f64,
    /// Largest rim of a cup, and largest flat point (mm).
    pub cup: f64,
    /// Largest dog diameter (mm).
    pub dog: f64,
    /// Longest dog (mm): the half dog of inch screws, the long dog of metric ones.
    pub dog_length: f64,
    /// Length (mm) at and above which the cone is 90 degrees (118 below); `None` on metric screws.
    pub cone_full: Option<f64>,
    /// Seating torque (N m), where known.
    pub seating: Option<f64>,
    /// Where the figures are from.
    pub source: String,
}

/// A clearance hole.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceHole {
    /// Bolt size such as `5/16` or `M8`.
    pub bolt: String,
    /// `close`, `normal`, `loose` of inch bolts, `fine`, `medium`, `coarse` of metric ones.
    pub fit: String,
    /// Hole (mm); of inch bolts the inch drill.
    pub diameter: f64,
    /// Drill in words, such as `11/32 in`.
    pub drill: String,
    /// The standard.
    pub source: String,
}

/// Heads of the bolts of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// Bolt size such as `5/16` or `M8`.
    pub bolt: String,
    /// Hexagon head across the flats (mm).
    pub flats: f64,
    /// Height of the nut, the greatest (mm).
    pub nut: f64,
    /// Thickness of a plain washer (mm).
    pub washer: f64,
    /// Largest sharp head (mm) of a flat-head socket screw.
    pub countersink: f64,
    /// Included angle (rad) of that head.
    pub countersink_angle: f64,
    /// Where the figures are from.
    pub source: String,
}

#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
struct File {
    thread: Vec<RawThread>,
    set_screw: Vec<RawScrew>,
    bolt: Vec<RawBolt>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawThread {
    name: String,
    size: String,
    diameter: Length,
    pitch: Length,
    tap: RawDrill,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDrill {
    drill: String,
    diameter: Length,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawScrew {
    size: String,
    hex: Length,
    cup: Length,
    dog: Length,
    dog_length: Length,
    cone_full: Option<Length>,
    seating: Option<Torque>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawBolt {
    size: String,
    head: RawHead,
    fits: BTreeMap<String, String>,
    source: String,
    head_source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawHead {
    flats: Length,
    nut: Length,
    washer: Length,
    countersink: Length,
    angle: f64,
}

#[derive(Default)]
struct Rooms {
    threads: Vec<ThreadEntry>,
    screws: Vec<SetScrew>,
    holes: Vec<ClearanceHole>,
    heads: Vec<Head>,
    fault: Option<String>,
}

static ROOMS: LazyLock<Rooms> = LazyLock::new(|| {
    let Decoded { rows, mut fault }: Decoded<File> =
        decode("fasteners.toml", include_str!("../../templates/parts/fasteners.toml"));
    let threads = rows.thread.into_iter().map(|raw| ThreadEntry {
        thread: Thread { name: raw.name, diameter: raw.diameter.0, pitch: raw.pitch.0 },
        size: raw.size,
        tap_drill: raw.tap.drill,
        tap_diameter: raw.tap.diameter.0,
        source: raw.source,
    });
    let screws = rows.set_screw.into_iter().map(|raw| SetScrew {
        size: raw.size,
        hex: raw.hex.0,
        cup: raw.cup.0,
        dog: raw.dog.0,
        dog_length: raw.dog_length.0,
        cone_full: raw.cone_full.map(|length| length.0),
        seating: raw.seating.map(|torque| torque.0),
        source: raw.source,
    });
    let mut holes = Vec::new();
    let mut heads = Vec::new();
    for raw in rows.bolt {
        heads.push(Head {
            bolt: raw.size.clone(),
            flats: raw.head.flats.0,
            nut: raw.head.nut.0,
            washer: raw.head.washer.0,
            countersink: raw.head.countersink.0,
            countersink_angle: raw.head.angle.to_radians(),
            source: raw.head_source,
        });
        for (fit, drill) in raw.fits {
            match crate::quantity::parse_length(&drill, crate::quantity::Unit::Millimetre) {
                Ok(diameter) => holes.push(ClearanceHole {
                    bolt: raw.size.clone(),
                    fit,
                    diameter,
                    drill,
                    source: raw.source.clone(),
                }),
                Err(error) => fault = Some(format!("fasteners.toml: {error}")),
            }
        }
    }
    Rooms { threads: threads.collect(), screws: screws.collect(), holes, heads, fault }
});

pub(super) fn fault() -> Option<String> {
    ROOMS.fault.clone()
}

/// Every thread, in the order of the file.
pub fn threads() -> &'static [ThreadEntry] {
    &ROOMS.threads
}

/// Set-screw points and keys by size.
pub fn set_screws() -> &'static [SetScrew] {
    &ROOMS.screws
}

/// Every clearance hole.
pub fn clearance_holes() -> &'static [ClearanceHole] {
    &ROOMS.holes
}

/// The heads of a bolt size, such as `5/16` or `M8`.
pub fn head(bolt: &str) -> Option<&'static Head> {
    ROOMS.heads.iter().find(|head| head.bolt == bolt)
}

/// A thread by name, such as `5/16-18` or `M8x1.25`.
pub fn thread(name: &str) -> Option<&'static ThreadEntry> {
    threads().iter().find(|entry| entry.thread.name == name)
}

/// Names that [`thread`] knows.
pub fn thread_names() -> Vec<&'static str> {
    threads().iter().map(|entry| entry.thread.name.as_str()).collect()
}

/// The set screw of a thread, by its nominal size.
pub fn set_screw(thread: &Thread) -> Option<&'static SetScrew> {
    let size = &self::thread(&thread.name)?.size;
    set_screws().iter().find(|screw| screw.size == *size)
}

/// The clearance hole of `5/16 normal` or `M8 medium`.
pub fn clearance(text: &str) -> Result<&'static ClearanceHole, Unknown> {
    let mut words = text.split_whitespace();
    let bolt = words.next().unwrap_or_default();
    let fit = words.collect::<Vec<_>>().join(" ");
    let of_bolt = || clearance_holes().iter().filter(|hole| hole.bolt == bolt);
    if of_bolt().next().is_none() {
        let mut allowed: Vec<&str> = clearance_holes().iter().map(|hole| hole.bolt.as_str()).collect();
        allowed.dedup();
        return Err(Unknown { kind: "bolt", found: bolt.into(), allowed });
    }
    of_bolt().find(|hole| hole.fit == fit).ok_or_else(|| Unknown {
        kind: "fit of the bolt",
        found: fit.clone(),
        allowed: of_bolt().map(|hole| hole.fit.as_str()).collect(),
    })
}

/// Point angle of a jobber drill (rad): 118 degrees, common practice, no source.
const JOBBER_POINT: f64 = 118.0 * PI / 180.0;

/// The dimple a set screw's point wants on a flat; `None` where the catalogue does not know that size's point.
///
/// - Cone: its own 90 degrees, to a mouth of the thread's basic minor diameter, where the screw's
///   cone begins, so the whole cone seats. (A screw shorter than its `cone_full` has 118 degrees; its
///   length is not known here.) The choice of mouth is common practice, no source.
/// - Cup: a spot of a 118 degree drill whose mouth is the largest rim of the cup, so it seats on the rim.
/// - Dog: a flat-bottomed hole (angle pi) of the largest dog diameter and the longest dog.
/// - Flat: none; depth and diameter are 0.
pub fn dimple(thread: &Thread, point: ScrewPoint) -> Option<DimpleSize> {
    Some(match point {
        ScrewPoint::Cone => spot(FRAC_PI_2, thread.minor_diameter()),
        ScrewPoint::Cup => spot(JOBBER_POINT, set_screw(thread)?.cup),
        ScrewPoint::Dog => {
            let screw = set_screw(thread)?;
            DimpleSize { drill: PI, depth: screw.dog_length, diameter: screw.dog }
        }
        ScrewPoint::Flat => DimpleSize { drill: PI, depth: 0.0, diameter: 0.0 },
    })
}

/// A cone of included angle `drill` that just reaches its mouth: depth = (d/2) / tan(A/2).
fn spot(drill: f64, diameter: f64) -> DimpleSize {
    DimpleSize { drill, depth: diameter / 2.0 / libm::tan(drill / 2.0), diameter }
}

impl ClearanceHole {
    /// `5/16 normal`.
    pub fn name(&self) -> String {
        format!("{} {}", self.bolt, self.fit)
    }

    /// Drill in words and in mm.
    pub fn size(&self) -> String {
        if self.drill.ends_with("mm") {
            self.drill.clone()
        } else {
            format!("{} ({})", self.drill, millimetres(self.diameter, 2))
        }
    }
}
