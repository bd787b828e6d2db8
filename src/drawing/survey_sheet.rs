//! The sheet taken to the vehicle: every reading of a survey or mock-up drawn, with a blank beside it.
//!
//! It is made before any number exists, so it rests on names alone, and on rough places where the spec has them.

use super::layout::{Area, BODY, LARGE, Note, SMALL, label, notes_height, set_notes};
use super::mock_up_sketch;
use super::sheet::{Anchor, Role, Sheet};
use super::survey_sketch::{self, Rough};
use super::table::{Pages, Table};
use super::title_block::{self, Heading, Owner};
use super::value;
use crate::geometry::{Path, Vec2};
use crate::quantity;
use crate::spec::types::{Along, Build, Hung, Measure, Output, Reading, Survey, Unit, View};
use crate::survey::mock_up::{HANG, READINGS};

/// Width of a sketch (mm).
const SKETCH: f64 = 56.0;
/// Least height of a row (mm).
const ROW: f64 = 30.5;
/// Width of the blanks (mm).
const BLANKS: f64 = 40.0;
/// Between sketch, words and blanks (mm).
const APART: f64 = 3.5;

/// What a sheet is made for. At least one of survey and mock-ups should hold something.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// What the sheets are headed with.
    pub build: &'a Build,
    /// Paper.
    pub output: &'a Output,
    /// Of the spec's bytes.
    pub sha256: &'a str,
    /// Readings of tape, level and angle finder.
    pub survey: Option<&'a Survey>,
    /// Shafts to be mocked up.
    pub mock_ups: &'a [Hung],
}

/// What each sheet begins with, in words a tired person reads.
const CAUTIONS: [&str; 4] = [
    "Never work under a vehicle that a jack alone holds. Chock the wheels; set the frame on stands on firm ground.",
    "Make the airbag and the steering lock safe before any other work on the column.",
    "A steering failure kills. This sheet measures; it certifies nothing: local codes and a licensed engineer or \
     certifier decide.",
    "Write what the tape shows, never what you expect. Take every reading twice; a second person reads the second.",
];

/// The pages, first the survey's, then one run of rows a mock-up.
pub fn sheets(subject: &Subject<'_>) -> Vec<Sheet> {
    let owner = Owner { build: subject.build, output: subject.output, sha256: subject.sha256 };
    let size = title_block::upright(owner);
    let area = title_block::room(size).body.without(3.0, 3.0, 3.0, 2.0);
    let mut pages = Pages::new("Measuring sheet", size, area);
    begin(&mut pages, subject);
    if let Some(survey) = subject.survey {
        readings(&mut pages, subject.build, survey);
    }
    for hung in subject.mock_ups {
        mock_up(&mut pages, subject.build, hung);
    }
    signed(&mut pages);
    let mut sheets = pages.finish();
    title_block::draw(&mut sheets, owner, &Heading { document: "measuring sheet".into(), scale: "none".into() });
    sheets
}

fn begin(pages: &mut Pages, subject: &Subject<'_>) {
    let build = subject.build;
    pages.section("Before the first reading");
    pages.notes(&CAUTIONS.map(Note::strong));
    let step = quantity::tape(build.tape_step, build.tape_step).text;
    let unit = unit_word(build);
    pages.notes(&[Note::body(format!(
        "Tape in {unit}, read to {step}. Pull it straight, at arm's length force, never draped; where its hook is worn \
         start from a full mark and take that off. Angles in degrees, to 0.1, on a finder set to zero on a level."
    ))]);
    let Some(survey) = subject.survey else { return };
    pages.notes(&[Note::body(
        "x rearward, y to the vehicle's right, z up; zero is where the marks say. Mark every point with a scriber or a \
         punch before the first tape, so that all readings go to one place.",
    )]);
    let rough = Rough::of(survey);
    if rough.known() > 1 {
        let height = 62.0;
        pages.figure(height, |sheet, area| {
            let half = 0.5 * area.width() - 2.0;
            survey_sketch::map(sheet, area.left(half), &rough, View::Side);
            survey_sketch::map(sheet, area.right(half), &rough, View::Plan);
        });
    }
    let mut table = Table::new(&[("point", 40.0), ("known so far", 60.0), ("where on the vehicle, in words", 78.0)]);
    for point in &survey.points {
        let at = |p: crate::geometry::Vec3| {
            [("x", p.x), ("y", p.y), ("z", p.z)]
                .map(|(axis, mm)| format!("{axis} {}", value::pair(build, mm)[0]))
                .join(", ")
        };
        let known = match (point.fixed, point.near) {
            (Some(p), _) => format!("laid down: {}", at(p)),
            (None, Some(p)) => format!("roughly {}", at(p)),
            (None, None) => "to be found".to_owned(),
        };
        table.row([point.name.clone(), known, String::new()]);
    }
    pages.table(&table);
}

fn unit_word(build: &Build) -> &'static str {
    match build.units {
        Unit::Inch => "inches",
        Unit::Millimetre => "mm",
    }
}

/// One row to be filled in.
struct Row<'r> {
    head: String,
    words: &'r str,
    /// Label of the blank: its unit and step.
    unit: &'r str,
}

fn readings(pages: &mut Pages, build: &Build, survey: &Survey) {
    let rough = Rough::of(survey);
    let step = quantity::tape(build.tape_step, build.tape_step).text;
    let length = format!("reads, {}, to {step}", unit_word(build));
    let angle = "reads, degrees, to 0.1";
    pages.section("Level of the frame");
    for (head, words, along) in [
        (
            "rake",
            "Level laid along the frame, fore and aft. Rear high is more than 0. Zero it on the stands if you can.",
            true,
        ),
        ("roll", "Level laid across the frame. Right side low is more than 0.", false),
    ] {
        let row = Row { head: head.to_owned(), words, unit: angle };
        set_row(pages, &row, |sheet, area| survey_sketch::frame_level(sheet, area, along));
    }
    for (kind, title) in [("tape", "Tapes"), ("offset", "Heights and offsets"), ("slope", "Slopes")] {
        let of_kind = || survey.readings.iter().filter(|reading| reading.what.kind() == kind);
        if of_kind().next().is_none() {
            continue;
        }
        pages.section(title);
        for (number, reading) in of_kind().enumerate() {
            let words = how(build, survey, reading);
            let head = format!("{kind} {}", number + 1);
            let unit = if reading.what.is_angle() { angle } else { &length };
            let row = Row { head, words: &words, unit };
            set_row(pages, &row, |sheet, area| survey_sketch::reading(sheet, area, survey, &rough, reading.what));
        }
    }
}

/// Where to hold the tape, level or finder.
fn how(build: &Build, survey: &Survey, reading: &Reading) -> String {
    let name = |i: usize| survey.points.get(i).map_or_else(String::new, |point| format!("\"{}\"", point.name));
    match reading.what {
        Measure::Tape { from, to, skin } if skin > 0.0 => format!(
            "From {} to the near skin of the round of {} at {}. Hold the tape to the skin, not over it; the program adds \
             half the round.",
            name(from),
            value::both(build, skin),
            name(to)
        ),
        Measure::Tape { from, to, .. } => {
            format!("From {} straight to {}. Hook or zero mark on the first, read at the second.", name(from), name(to))
        }
        Measure::Offset { of, along: Along::Z } => format!(
            "Height of {} over the level plane through zero. Plumb rule or water level; below zero is less than 0.",
            name(of)
        ),
        Measure::Offset { of, along: Along::X } => format!(
            "How far {} lies behind the axle line through zero, along the vehicle. Ahead of it is less than 0.",
            name(of)
        ),
        Measure::Offset { of, along: Along::Y } => {
            format!("How far {} lies to the vehicle's right of the centre line. To its left is less than 0.", name(of))
        }
        Measure::Slope { from, to, view } => {
            let (from, to) = (name(from), name(to));
            match view {
                View::Side => format!(
                    "Angle of the line from {from} to {to} seen square from the side, against level fore and aft. Sight \
                     along the finder; the acute angle, no sign."
                ),
                View::Plan => format!(
                    "Angle of the line from {from} to {to} seen from straight above, against the centre line. Drop both \
                     ends to the floor with a plumb line; the acute angle, no sign."
                ),
                View::True => format!(
                    "Finder laid on the line itself from {from} to {to}: a straight tube or the shaft. The acute angle \
                     against level, no sign."
                ),
            }
        }
    }
}

fn mock_up(pages: &mut Pages, build: &Build, hung: &Hung) {
    let step = quantity::tape(build.tape_step, build.tape_step).text;
    let length = format!("reads, {}, to {step}", unit_word(build));
    pages.section(format!("Mock-up of \"{}\", joint \"{}\" to joint \"{}\"", hung.shaft, hung.upper, hung.lower));
    pages.notes(&[Note::body(HANG)]);
    for reading in READINGS {
        let unit = if reading.key == "faces" { length.as_str() } else { "reads, degrees, to 0.1" };
        let row = Row { head: format!("{}: {}", reading.key, reading.what), words: reading.how, unit };
        set_row(pages, &row, |sheet, area| mock_up_sketch::draw(sheet, area, reading.key));
    }
}

/// Sketch, words, blanks.
fn set_row(pages: &mut Pages, row: &Row<'_>, sketch: impl Fn(&mut Sheet, Area)) {
    let width = pages.width() - SKETCH - BLANKS - 2.0 * APART;
    let notes = [Note { words: row.head.clone(), height: BODY, bold: true }, Note::body(row.words)];
    let height = ROW.max(notes_height(&notes, width) + 3.0);
    pages.figure(height, |sheet, area| {
        let top = area.top(ROW);
        sketch(sheet, area.left(SKETCH).without(0.0, 2.5, 0.0, 1.5));
        let words =
            Area::new(Vec2::new(area.low.x + SKETCH + APART, area.low.y), area.high - Vec2::new(BLANKS + APART, 0.0));
        set_notes(sheet, words, &notes);
        blanks(sheet, top.right(BLANKS), row.unit);
        let foot = area.low - Vec2::new(0.0, 1.5);
        sheet.line(Role::Dimension, Path::line(foot, Vec2::new(area.high.x, foot.y)));
    });
}

/// A box for the reading, one for the second, one for initials.
fn blanks(sheet: &mut Sheet, area: Area, unit: &str) {
    let (left, width, top) = (area.low.x, area.width(), area.high.y - 1.0);
    let mut blank = |x: f64, y: f64, wide: f64, words: &str| {
        sheet.line(Role::Frame, Path::rectangle(Vec2::new(x, y), wide, 9.5, 0.0));
        sheet.text(label(Vec2::new(x, y - 1.2 - SMALL), Anchor::Start, SMALL, false, words));
    };
    blank(left, top - 9.5, width, unit);
    blank(left, top - 25.5, 0.62 * width - 1.0, "again");
    blank(left + 0.62 * width + 1.0, top - 25.5, 0.38 * width - 1.0, "initials");
}

fn signed(pages: &mut Pages) {
    /// Height of the row to write in (mm).
    const HEIGHT: f64 = 14.0;
    pages.section("Taken by");
    pages.figure(HEIGHT, |sheet, area| {
        let y = area.high.y - LARGE - 5.0;
        let mut x = area.low.x;
        for (what, share) in [("first reader", 0.36), ("second reader", 0.36), ("date", 0.28)] {
            let width = share * area.width() - 4.0;
            sheet.line(Role::Dimension, Path::line(Vec2::new(x, y), Vec2::new(x + width, y)));
            sheet.text(label(Vec2::new(x, y - 1.0 - SMALL), Anchor::Start, SMALL, false, what));
            x += width + 4.0;
        }
    });
}
