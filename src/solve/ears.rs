//! How a shaft's own flats lie to the ears of its yokes.

use super::solution::Twist;
use crate::spec::types::{Hub, Shaft, ShaftEnd};

/// From the upper yoke's trunnion axis to the normal of the lower end's flats (deg), where the upper end has none.
pub(super) fn flats_on_lower_alone(shaft: &Shaft, lower: &Hub, twist: &Twist) -> Option<f64> {
    let flat = |end| shaft.form_at(end).is_double_d();
    let alone = !flat(ShaftEnd::Upper) && flat(ShaftEnd::Lower);
    alone.then(|| twist.set - lower.ears.unwrap_or(0.0).to_degrees() + 90.0)
}

/// From the trunnion axis of a shaft's upper yoke to its frame's x, about the shaft (rad).
pub(super) fn turn_from_trunnion(shaft: &Shaft, [upper, lower]: [&Hub; 2], twist: &Twist) -> f64 {
    match flats_on_lower_alone(shaft, lower, twist) {
        Some(degrees) => degrees.to_radians(),
        None => upper.ears.map_or(0.0, |ears| std::f64::consts::FRAC_PI_2 - ears),
    }
}
