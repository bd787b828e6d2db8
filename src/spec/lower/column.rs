//! The column's and the gear's shaft ends.

use super::form::form;
use crate::geometry::Vec3;
use crate::quantity::{INCH, both_units, degrees};
use crate::spec::raw::{Reader, Table};
use crate::spec::types::{Axes, DriveEnd, Tilt, Unmeasured};

/// Shortest baseline (mm) of an axis that passes without warning: at 8 in, 1/16 in of reading error is half a degree.
const SHORT_BASELINE: f64 = 8.0 * INCH;

/// A column tilts less than this (rad) from where it was taped: tilt columns go 15 to 20 deg each way.
const MOST_TILT: f64 = std::f64::consts::FRAC_PI_3;

/// Two readings of one point are never nearer than this (mm), and two points never so near.
const SAME_POINT: f64 = 0.01;

pub(super) fn column(reader: &mut Reader<'_>, root: &Table<'_>, unmeasured: &mut Vec<Unmeasured>) -> Option<DriveEnd> {
    let table = reader.table(root, "column")?;
    drive_end(reader, &table, "column", unmeasured)
}

pub(super) fn gear(reader: &mut Reader<'_>, root: &Table<'_>, unmeasured: &mut Vec<Unmeasured>) -> Option<DriveEnd> {
    let table = reader.table(root, "gear")?;
    drive_end(reader, &table, "gear", unmeasured)
}

fn drive_end(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    name: &str,
    unmeasured: &mut Vec<Unmeasured>,
) -> Option<DriveEnd> {
    let is_column = name == "column";
    let end = reader.point(table, "end");
    let form = form(reader, table, "form", &format!("{name} shaft"), unmeasured);
    let exposed = reader.length(table, "exposed");
    let groove = reader.length(table, "groove");
    let tube = if is_column { reader.length(table, "tube") } else { None };
    let key = table.chosen(&["toward", "beyond"]);
    let second = key.and_then(|key| reader.point(table, key));
    let place = match (key, end, second) {
        (Some(key), Some(end), Some(second)) => {
            axis(reader, table, key, end, second, is_column).map(|axis| (end, axis, Some(second)))
        }
        // The mock-up places both ends when joints and shafts are read.
        _ => (reader.axes == Axes::MockUp).then_some((Vec3::default(), Vec3::default(), None)),
    };
    if let (Some(groove), Some(exposed)) = (groove, exposed)
        && groove > exposed
    {
        let message = format!(
            "`groove` is {} from the end; at most the exposed {} is allowed",
            both_units(groove, reader.units),
            both_units(exposed, reader.units)
        );
        reader.error("bad-value", table.span_of("groove"), message, "measure from the end face to the groove's centre");
    }
    if let (Some(tube), Some(form)) = (tube, &form)
        && tube < form.diameter()
    {
        let message = format!(
            "`tube` is {}; more than its shaft of {} is allowed",
            both_units(tube, reader.units),
            both_units(form.diameter(), reader.units)
        );
        reader.error("bad-value", table.span_of("tube"), message, "give the outside diameter of the column tube");
    }
    if tube.is_some() && key == Some("beyond") {
        reader.error(
            "missing-key",
            table.span_of("tube"),
            "`tube` has no upper end; it runs up to `toward`, which is left out",
            "give `toward`, a second point up the column, in place of `beyond`",
        );
    }
    let tilt = if is_column { tilt(reader, table) } else { None };
    let (end, axis, second) = place?;
    Some(DriveEnd { end, axis, second, form: form?, exposed: exposed?, groove, tube, tilt })
}

/// How the column tilts.
fn tilt(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<Tilt> {
    let tilt = reader.table(table, "tilt")?;
    let (pivot, up, down) = (reader.point(&tilt, "pivot"), reader.angle(&tilt, "up"), reader.angle(&tilt, "down"));
    for (key, angle) in [("up", up), ("down", down)] {
        if angle.is_some_and(|angle| angle > MOST_TILT) {
            let message =
                format!("`{key}` is {}; at most 60 deg is allowed", degrees(angle.unwrap_or(0.0).to_degrees(), 1));
            reader.error("bad-value", tilt.span_of(key), message, "measure it from where the column was taped");
        }
    }
    Some(Tilt { pivot: pivot?, up: up?, down: down? })
}

/// Down the column or into the gear.
fn axis(
    reader: &mut Reader<'_>,
    table: &Table<'_>,
    key: &str,
    end: Vec3,
    second: Vec3,
    is_column: bool,
) -> Option<Vec3> {
    // `toward` lies up the column, against its axis, but into the gear, along its axis; `beyond` the other way round.
    let along = (second - end) * if (key == "toward") == is_column { -1.0 } else { 1.0 };
    let baseline = along.length();
    if baseline < SAME_POINT {
        let message = format!("`{key}` is the same point as `end`; two points make an axis");
        reader.error("degenerate", table.span_of(key), message, "measure a second point far along the axis");
        return None;
    }
    if baseline < SHORT_BASELINE {
        let message = format!(
            "`{key}` is {} from `end`; {} or more is wanted",
            both_units(baseline, reader.units),
            both_units(SHORT_BASELINE, reader.units)
        );
        reader.warn(
            "short-baseline",
            table.span_of(key),
            message,
            "measure farther along the axis: a short one turns a small reading error into degrees",
        );
    }
    along.unit()
}
