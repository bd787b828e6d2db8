//! What the build record says of a mock-up: its readings, how they were to be taken, what it cannot tell.

use super::layout::Note;
use super::table::{Pages, Table};
use super::value;
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::Axes;
use crate::survey::mock_up::{HANG, READINGS, Value};

/// What a mock-up alone gives, and what it cannot.
pub const ALONE: &str = "Made from a mock-up alone: lengths, angles, yoke phase, strength, drawing and solid follow from \
                         it. Where the linkage lies in the vehicle, room to obstacles by coordinates, rail notches and \
                         plates need positions.";

/// The section of a record, where any shaft has a mock-up.
pub(super) fn section(pages: &mut Pages, spec: &Spec) {
    let mocked = || spec.shafts.iter().filter_map(|shaft| Some((shaft, shaft.mock_up?)));
    if mocked().next().is_none() {
        return;
    }
    pages.section("Mock-up");
    if spec.axes == Axes::MockUp {
        pages.notes(&[Note::strong(ALONE)]);
    } else {
        let words =
            "The linkage is laid out by the places of column and gear; the checks compare the mock-up with them.";
        pages.notes(&[Note::body(words)]);
    }
    let mut table = Table::new(&[("shaft", 28.0), ("reading", 36.0), ("read", 34.0), ("how it is taken", 90.0)]);
    for (shaft, mock_up) in mocked() {
        for reading in READINGS {
            table.row([
                shaft.name.clone(),
                reading.what.to_owned(),
                match reading.of(&mock_up) {
                    Value::Length(mm) => value::two_lines(&spec.build, mm),
                    Value::Angle(angle) => quantity::degrees(angle.to_degrees(), 1),
                },
                reading.how.to_owned(),
            ]);
        }
    }
    pages.notes(&[Note::body(HANG)]);
    pages.table(&table);
}
