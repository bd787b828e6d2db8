//! Mounts of the column in words, for the record and the terminal.

use super::table::Table;
use super::value;
use crate::geometry::Vec3;
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::MountResult;
use crate::spec::Spec;

/// A mount as rows of what and how much.
pub fn rows(spec: &Spec, mount: &MountResult) -> Vec<(&'static str, String)> {
    let build = &spec.build;
    let both = |mm: f64| value::both(build, mm);
    let mut rows = vec![
        ("middle of the clamp", format!("{} from the shaft's end up the column", both(mount.at))),
        (
            "clamp",
            format!(
                "two halves {} wide on a tube of {}, each bent round {} of it; the ears stand {} apart beyond the tab \
                 before the bolts draw them together",
                both(mount.width),
                both(mount.bore),
                quantity::degrees(mount.wrap, 0),
                both(mount.squeeze)
            ),
        ),
        (
            "column to face",
            format!("{}, its axis {} off the face at the clamp", quantity::degrees(mount.lean, 1), both(mount.drop)),
        ),
    ];
    let wedge = match mount.wedge_toward {
        None => "none: the column stands true to the face".to_owned(),
        Some(toward) => {
            let what =
                if mount.wedge_for == "square" { "a clamp square to the column" } else { "a bracket along the column" };
            format!(
                "none: the tab is cut to the angle. In its place {what} would want a wedge of {} on the face, thickest {}: {} thicker over each {}",
                quantity::degrees(mount.wedge, 1),
                way(toward),
                both(mount.width * libm::tan(mount.wedge.to_radians())),
                both(mount.width)
            )
        }
    };
    rows.push(("wedge or shim", wedge));
    let clear = match mount.clear_by {
        None => "not judged: state `column.mount.keep_clear`".to_owned(),
        Some(clear) if clear > 0.0 => format!("{} of free tube beside what slides or folds up", both(clear)),
        Some(clear) => format!("STANDS {} ON TUBE THAT MUST STAY FREE", both(-clear)),
    };
    rows.push(("collapse", clear));
    rows.push(("parts", mount.plates.join(", ")));
    rows
}

/// A direction in the vehicle, by its greatest part and, where that is not all, the next.
fn way(toward: Vec3) -> String {
    let mut parts = [
        (toward.x, "rearward", "forward"),
        (toward.y, "to the right", "to the left"),
        (toward.z, "upward", "downward"),
    ];
    parts.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
    let word = |&(size, ahead, back): &(f64, &'static str, &'static str)| if size > 0.0 { ahead } else { back };
    // A fifth is 11 degrees.
    if parts[1].0.abs() > 0.2 {
        format!("{} and {}", word(&parts[0]), word(&parts[1]))
    } else {
        word(&parts[0]).to_owned()
    }
}

/// All mounts, one table each.
pub(super) fn tables(spec: &Spec, solution: &Solution) -> Vec<(String, Table)> {
    let table = |mount: &MountResult| {
        let mut table = Table::new(&[("mount", 36.0), ("found", 150.0)]);
        for (what, words) in rows(spec, mount) {
            table.row([what.to_owned(), words]);
        }
        (format!("Column mount: {}", mount.name), table)
    };
    solution.mounts.iter().map(table).collect()
}
