//! The table of rules. A rule's code is also its key in the spec's `[limits]`.

use super::case::Case;
pub use crate::spec::{LimitKey, LimitKind};

mod angle_match;
mod as_built;
mod as_made;
mod axis_baseline;
mod axis_sigma;
mod bearing_bore;
mod bearing_line;
mod bearing_place;
mod bend_hole;
mod bend_radius;
mod bolt_square;
mod bore_depth;
mod captive;
mod clearance;
mod collapse;
mod column_tilt;
mod countersink_depth;
mod crash_offset;
mod cross_arm;
mod dimple_edge;
mod dimple_shear;
mod dimple_wall;
mod end_clearance;
mod engagement;
mod flat_pressure;
mod free_play;
mod hole_edge;
mod hole_floor;
mod hole_web;
mod hub_fit;
mod insertion;
mod joint_angle;
mod joint_torque;
mod left_right;
mod length_change;
mod load;
mod measure;
mod mock_up_angle;
mod mock_up_length;
mod motion_angle;
mod motion_slip;
mod mount_clear;
mod notch_apart;
mod notch_closed;
mod notch_corner;
mod notch_doubler;
mod notch_gap;
mod notch_motion;
mod notch_section;
mod opening_edge;
mod opening_motion;
mod positions;
mod rail_hole;
mod retention;
mod shaft_diameter;
mod shaft_span;
mod shear_yield;
mod slip;
mod support_bearing;
mod survey_point;
mod survey_reading;
mod thread_engagement;
mod unevenness;
mod wheel_play;
mod wheel_straight;
mod working_angle;
mod wrench_circle;
mod yoke_phase;

/// How well a limit is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Confidence {
    /// Proved, or verified to the digits shown; or stated by the user.
    A,
    /// Two independent agreeing statements, or one with a recomputation.
    B,
    /// One statement, or memory.
    C,
    /// Habit or rule of thumb: past it is a warning, unless the spec sets the limit itself.
    D,
}

/// A limit that the spec's `[limits]` may set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What it is.
    pub kind: LimitKind,
    /// The rule's own (mm, deg or number); `None` where it depends on the part judged.
    pub default: Option<f64>,
}

/// A rule.
pub struct Rule {
    /// Short stable code in kebab case.
    pub code: &'static str,
    /// In words.
    pub title: &'static str,
    /// What `[limits]` may set; `None`: nothing.
    pub limit: Option<Limit>,
    /// Of the limit.
    pub confidence: Confidence,
    /// Where the limit is from.
    pub source: &'static str,
    pub(super) judge: fn(&mut Case<'_>),
}

/// Every rule, in the order of the findings: angles, ends and hubs, phase, strength, room, metalwork, what nobody measured.
pub const RULES: &[Rule] = &[
    joint_angle::RULE,
    motion_angle::RULE,
    working_angle::RULE,
    angle_match::RULE,
    column_tilt::RULE,
    crash_offset::RULE,
    support_bearing::RULE,
    bearing_line::RULE,
    bearing_place::RULE,
    bearing_bore::RULE,
    slip::RULE,
    motion_slip::RULE,
    length_change::RULE,
    hub_fit::RULE,
    free_play::RULE,
    insertion::RULE,
    bore_depth::RULE,
    engagement::RULE,
    end_clearance::RULE,
    cross_arm::RULE,
    captive::RULE,
    retention::RULE,
    dimple_edge::RULE,
    dimple_wall::RULE,
    yoke_phase::RULE,
    unevenness::RULE,
    left_right::RULE,
    wheel_straight::RULE,
    wheel_play::RULE,
    load::RULE,
    shear_yield::RULE,
    dimple_shear::RULE,
    flat_pressure::RULE,
    joint_torque::RULE,
    shaft_diameter::RULE,
    shaft_span::RULE,
    clearance::RULE,
    notch_gap::RULE,
    notch_motion::RULE,
    notch_corner::RULE,
    notch_apart::RULE,
    notch_closed::RULE,
    notch_section::RULE,
    notch_doubler::RULE,
    hole_edge::RULE,
    hole_web::RULE,
    opening_edge::RULE,
    opening_motion::RULE,
    bolt_square::RULE,
    rail_hole::RULE,
    mount_clear::RULE,
    bend_hole::RULE,
    bend_radius::RULE,
    wrench_circle::RULE,
    thread_engagement::RULE,
    hole_floor::RULE,
    countersink_depth::RULE,
    axis_baseline::RULE,
    axis_sigma::RULE,
    survey_point::RULE,
    survey_reading::RULE,
    mock_up_length::RULE,
    mock_up_angle::RULE,
    positions::RULE,
    measure::RULE,
    as_built::RULE,
    as_made::RULE,
    collapse::RULE,
];

/// The keys of `[limits]`.
pub fn limits() -> Vec<LimitKey> {
    RULES.iter().filter_map(|rule| rule.limit.map(|limit| LimitKey { code: rule.code, kind: limit.kind })).collect()
}

const fn length(mm: f64) -> Limit {
    Limit { kind: LimitKind::Length, default: Some(mm) }
}

const fn angle(degrees: f64) -> Limit {
    Limit { kind: LimitKind::Angle, default: Some(degrees) }
}

const fn number(value: f64) -> Limit {
    Limit { kind: LimitKind::Number, default: Some(value) }
}
