//! Straight ahead, and the factor of dimples.

use crate::quantity::fixed;
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Clocking, DimpleFactor};

/// The table, where there is one. The gear's centre lies between its locks.
pub(super) fn clocking(reader: &mut Reader<'_>, root: &Table<'_>) -> Option<Clocking> {
    let table = reader.table(root, "clocking")?;
    let lock_to_lock = reader.number(&table, "lock_to_lock");
    let centre = reader.number(&table, "gear_centre");
    match (centre, lock_to_lock) {
        (Some(centre), Some(turns)) if centre >= turns => {
            let message = format!(
                "`gear_centre` is {} turns from the left lock; less than the {} of `lock_to_lock` is allowed",
                fixed(centre, 2),
                fixed(turns, 2)
            );
            let help = "count both from the left lock, at the gear's input shaft";
            reader.error("bad-value", table.span_of("gear_centre"), message, help);
        }
        (Some(_), None) if !table.has("lock_to_lock") => {
            let message = "`gear_centre` is given and `lock_to_lock` is left out; it counts from one of the two locks";
            reader.error("missing-key", table.span_of("gear_centre"), message, "give `lock_to_lock`, the turns in all");
        }
        _ => {}
    }
    Some(Clocking {
        wheel_teeth: reader.count(&table, "wheel_teeth"),
        wheel_tied: reader.flag(&table, "wheel_tied").unwrap_or(false),
        wheel_diameter: reader.length(&table, "wheel_diameter"),
        wheel_off: reader.angle(&table, "wheel_off"),
        yoke: reader.angle(&table, "yoke"),
        lock_to_lock,
        gear_centre: centre.or(lock_to_lock.map(|turns| turns / 2.0)),
        rod_travel: reader.length(&table, "rod_travel"),
        rod_pitch: reader.length(&table, "rod_pitch"),
    })
}

/// The factor of dimples in `[load]`, where there is one.
pub(super) fn dimple_factor(reader: &mut Reader<'_>, load: &Table<'_>) -> Option<DimpleFactor> {
    let table = reader.table(load, "dimple_factor")?;
    let value = reader.number(&table, "value");
    let source = reader.text(&table, "source");
    Some(DimpleFactor { value: value?, source })
}
