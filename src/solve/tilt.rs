//! A column that tilts about a pivot below its lower bearing: its end moves, and with it the first joint and shaft.

use serde::{Deserialize, Serialize};

use super::bodies;
use super::clearance::{Around, NotchGap, clearances};
use super::motion::{Unevenness, relative_phases};
use super::solution::{Clearance, NotchResult, ShaftResult};
use super::travel::Linkage;
use super::{chain, fit, notch};
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::spec::Spec;
use crate::spec::types::Tilt;

/// The linkage with the column at one end of its tilt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct TiltResult {
    /// From where the column was taped (deg), wheel up positive.
    pub tilt: f64,
    /// Working angle of every joint (deg).
    pub angles: Vec<f64>,
    /// Half of peak to peak (deg), with the yoke phases as set.
    pub error: f64,
    /// Greatest speed ratio.
    pub ratio_max: f64,
    /// By how much each shaft gets longer between its crosses (mm); negative: shorter.
    pub longer: Vec<f64>,
    /// Least gaps with the column there, over all motions; to a notched rail those to the wall that its notch, cut for the
    /// column as taped, leaves standing.
    #[serde(default)]
    pub clearances: Vec<Clearance>,
}

/// The spec with the column turned about its pivot by that much (rad), wheel up positive.
///
/// The pivot's axis lies level and square to the column.
pub fn tilted(spec: &Spec, tilt: &Tilt, angle: f64) -> Spec {
    let mut spec = spec.clone();
    let vertical = Vec3::new(0.0, 0.0, 1.0);
    // (w × z) × w points up for the wheel's direction w: a positive turn lifts the wheel.
    let hinge = (spec.column.axis * -1.0).cross(vertical).unit().unwrap_or(Vec3::new(0.0, 1.0, 0.0));
    for point in [Some(&mut spec.column.end), spec.column.second.as_mut()].into_iter().flatten() {
        *point = tilt.pivot + (*point - tilt.pivot).turned(hinge, angle);
    }
    spec.column.axis = spec.column.axis.turned(hinge, angle);
    spec
}

/// Both ends of the tilt, wheel down first; empty where the column does not tilt.
///
/// # Errors
/// A joint that folds back, or crosses that coincide, at one end.
pub(super) fn tilt(
    spec: &Spec,
    shafts: &[ShaftResult],
    around: Around<'_>,
    notches: &[NotchResult],
) -> Result<Vec<TiltResult>, Vec<Diagnostic>> {
    let Some(tilt) = &spec.column.tilt else { return Ok(Vec::new()) };
    let twists: Vec<_> = shafts.iter().map(|shaft| shaft.twist.clone()).collect();
    let set = fit::set_phases(&twists);
    let at = |angle: f64| -> Result<TiltResult, Vec<Diagnostic>> {
        let tilted = tilted(spec, tilt, angle);
        let chain = chain::chain(&tilted)?;
        // Its motions carry the column from there: the tilt is the joint nearest to the wheel.
        let linkage = Linkage::new(&tilted, &chain);
        let rooms = bodies::moved_rooms(&tilted, &chain);
        let standing = tilted.notches.iter().zip(notches).flat_map(|(row, cut)| {
            let gaps = notch::gaps_left(row, &around.rails[row.rail], &rooms, &cut.shop);
            gaps.into_iter().map(|gap| NotchGap { rail: row.rail, body: gap.body, gap: gap.gap, point: gap.point })
        });
        let standing: Vec<NotchGap> = standing.collect();
        let gaps = clearances(&tilted, &rooms, around, &standing, linkage.as_ref());
        let whole = Unevenness::of_chain(&chain.uneven_angles(), &relative_phases(&set, &chain.uneven_psi()));
        Ok(TiltResult {
            tilt: angle.to_degrees(),
            angles: chain.angles.iter().map(|angle| angle.to_degrees()).collect(),
            error: whole.error().to_degrees(),
            ratio_max: whole.ratio_max(),
            longer: shafts.iter().enumerate().map(|(i, shaft)| chain.span(i) - shaft.centre_distance).collect(),
            clearances: gaps,
        })
    };
    let named = |errors: Vec<Diagnostic>| -> Vec<Diagnostic> {
        errors.into_iter().map(|error| error.at(spec.place("column.tilt"))).collect()
    };
    Ok(vec![at(-tilt.down).map_err(named)?, at(tilt.up).map_err(named)?])
}
