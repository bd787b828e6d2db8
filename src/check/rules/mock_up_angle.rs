//! The angles of a mock-up and those of the taped positions agree.
//!
//! An axis that is off by ε swings the plane of its joint by about ε / sin β: where a joint hardly bends, its plane
//! can hardly be read.

use super::mock_up_length::verdict;
use super::{Confidence, Rule, angle};
use crate::check::Status;
use crate::check::case::Case;
use crate::geometry::Vec3;
use crate::quantity::degrees;
use crate::spec::types::Axes;

pub(super) const RULE: Rule = Rule {
    code: "mock-up-angle",
    title: "mock-up and positions agree on joint angles and bend planes",
    limit: Some(angle(2.0)),
    confidence: Confidence::D,
    source: "an axis taped over 8 in and an angle finder laid on by hand, together about 1 deg of standard deviation: \
             common practice, no source; bend planes by that over the sine of each joint's angle (derived); past twice \
             the limit one of them is wrong",
    judge,
};

/// Allowance (deg) past which two bend planes are not compared: half of what sets them apart at the most.
const PLANES_LOST: f64 = 45.0;

fn judge(case: &mut Case<'_>) {
    if case.spec.axes == Axes::MockUp {
        return;
    }
    let limit = case.limit();
    let mut axes = vec![case.spec.column.axis];
    axes.extend(case.solution.shafts.iter().map(|shaft| shaft.frame.z));
    axes.push(case.spec.gear.axis);
    for (i, shaft) in case.spec.shafts.iter().enumerate() {
        let Some(mock_up) = shaft.mock_up else { continue };
        let joints = [case.spec.joints.get(i), case.spec.joints.get(i + 1)];
        let results = [case.solution.joints.get(i), case.solution.joints.get(i + 1)];
        let ([Some(upper), Some(lower)], [Some(above), Some(below)]) = (joints, results) else { continue };
        let bends = [above.angle, below.angle];
        for (joint, angle, read) in [(upper, bends[0], mock_up.upper_angle), (lower, bends[1], mock_up.lower_angle)] {
            let read = read.to_degrees();
            let off = (angle - read).abs();
            let mut message = format!(
                "bends {} by the mock-up, {} by the positions: apart by {}, at most {}",
                degrees(read, 1),
                degrees(angle, 1),
                degrees(off, 1),
                degrees(limit, 1)
            );
            let status = verdict(case, off, limit);
            if status != Status::Pass {
                message += ": read the angle again, and tape both axes over a longer distance";
            }
            let subject = format!("shaft {}, joint {}", shaft.name, joint.name);
            case.say(status, &subject, (Some(off), Some(limit)), "deg", message);
        }
        if let Some([a, b, c]) = axes.get(i..i + 3).and_then(|three| <[Vec3; 3]>::try_from(three).ok()) {
            planes(case, &format!("shaft {}, bend planes", shaft.name), [a, b, c], bends, mock_up.planes);
        }
    }
}

/// Compares the angle from one bend plane to the next; `read` in rad.
fn planes(case: &mut Case<'_>, subject: &str, [a, b, c]: [Vec3; 3], bends: [f64; 2], read: f64) {
    let sines = bends.map(|bend| libm::sin(bend.to_radians()));
    let allowed = case.limit() * (1.0 / (sines[0] * sines[0]) + 1.0 / (sines[1] * sines[1])).sqrt();
    if !allowed.is_finite() || allowed > PLANES_LOST {
        case.open(subject, "a joint that hardly bends has no bend plane that can be read; nothing to compare");
        return;
    }
    let found = a.cross(b).signed_angle_to(b.cross(c), b).to_degrees();
    let read = read.to_degrees();
    let apart = (found - read + 180.0).rem_euclid(360.0) - 180.0;
    let words = format!(
        "planes {} apart by the mock-up, {} by the positions",
        degrees(read, 1),
        // The turn nearest to what was read.
        degrees(read + apart, 1)
    );
    let off = apart.abs();
    let far_side = 180.0 - off <= allowed;
    let status = verdict(case, off, allowed);
    let message = if status != Status::Pass && far_side {
        format!("{words}: half a turn: one scribe was made on the far side of the bar, or counted from there")
    } else {
        let again = if status == Status::Pass { "" } else { ": scribe again, clockwise seen from the column" };
        format!("{words}: off by {}, at most {}{again}", degrees(off, 1), degrees(allowed, 1))
    };
    case.say(status, subject, (Some(off), Some(allowed)), "deg", message);
}
