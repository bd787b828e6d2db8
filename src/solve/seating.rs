//! Set screws: what they are tightened to.

use super::solution::{End, ScrewSeating};
use crate::catalog::fasteners;
use crate::spec::Spec;

/// The screws of every hub, once a hub and thread, from column to gear.
pub(super) fn seating(spec: &Spec) -> Vec<ScrewSeating> {
    let mut rows: Vec<ScrewSeating> = Vec::new();
    for joint in &spec.joints {
        for (hub, end) in [(&joint.upper, End::Upper), (&joint.lower, End::Lower)] {
            let start = rows.len();
            for screw in hub.screws() {
                let name = &screw.thread.name;
                if let Some(row) = rows[start..].iter_mut().find(|row| row.thread == *name) {
                    row.quantity += 1;
                    continue;
                }
                let entry = fasteners::set_screw(&screw.thread);
                let seating = entry.and_then(|entry| entry.seating);
                rows.push(ScrewSeating {
                    joint: joint.name.clone(),
                    hub: end,
                    thread: name.clone(),
                    quantity: 1,
                    seating,
                    source: entry.filter(|_| seating.is_some()).map(|entry| entry.source.clone()).unwrap_or_default(),
                });
            }
        }
    }
    rows
}
