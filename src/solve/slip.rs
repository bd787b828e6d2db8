//! The two members of a slip shaft.
//!
//! With L the length between the two hub ends as taped and e the engagement of
//! each hub, the members are cut so that the stated overlap is left at full
//! extension, and so that both stop at the same collapse: the inner member at
//! the stretch of the outer one its hub clamps, the outer member at the face of
//! the inner one's hub.
//!
//! inner + outer = L + extend + least overlap, and
//! L - inner - e(outer) = L - outer - e(inner), the room to collapse.
//!
//! No longer than that: what is not overlap is room to collapse in a crash.

use super::solution::{End, SlipResult};
use crate::diagnostic::Diagnostic;
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{ShaftEnd, Slip};

/// Lengths of the members (mm), upper first.
pub(super) struct Split {
    pub(super) lengths: [f64; 2],
    pub(super) result: SlipResult,
}

/// Parts shaft `i` of that length into its members; `engaged` are its hubs' engagements, upper first.
///
/// Fails where overlap, extension and collapse have no room between the hubs.
pub(super) fn split(spec: &Spec, i: usize, slip: &Slip, length: f64, engaged: [f64; 2]) -> Result<Split, Diagnostic> {
    let sum = length + slip.extend + slip.least_overlap;
    // A member's length less that of the other is the engagement of its own hub less the other's.
    let upper = (sum + engaged[0] - engaged[1]) / 2.0;
    let lengths = [upper, sum - upper];
    let room = length - upper - engaged[1];
    // A rounding short is not short.
    if room < slip.collapse - 1e-9 {
        let text = |mm: f64| quantity::both_units(mm, spec.build.units);
        let free = length - engaged[0] - engaged[1];
        let needed = slip.least_overlap + slip.extend + 2.0 * slip.collapse;
        let found = format!(
            "shaft \"{}\" has {} between its hubs; its slip needs {}: least overlap {}, extend {}, twice collapse {}",
            spec.shafts[i].name,
            text(free),
            text(needed),
            text(slip.least_overlap),
            text(slip.extend),
            text(slip.collapse)
        );
        return Err(Diagnostic::error("slip-without-room", found)
            .at(spec.place(&format!("shaft.{i}.slip")))
            .help("ask for less collapse or less extension, or put the slip in a longer shaft"));
    }
    let overlap = slip.extend + slip.least_overlap;
    let result = SlipResult {
        overlap,
        overlap_extended: overlap - slip.extend,
        collapse_room: room,
        extend: slip.extend,
        collapse: slip.collapse,
        least_overlap: slip.least_overlap,
    };
    Ok(Split { lengths, result })
}

/// Name of the member at an end.
pub(super) fn member_name(slip: &Slip, end: End) -> &'static str {
    let outer = match slip.outer_end {
        ShaftEnd::Upper => End::Upper,
        ShaftEnd::Lower => End::Lower,
    };
    if outer == end { "outer" } else { "inner" }
}
