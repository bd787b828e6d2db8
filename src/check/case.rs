//! A rule at work: its limit, the hubs it looks at, and what it says.

use super::finding::{Finding, Status};
use super::rules::{Confidence, LimitKind, Rule};
use crate::quantity::{both_units, degrees, factor, fixed, stress, torque};
use crate::solve::Solution;
use crate::solve::solution::{End, JointResult};
use crate::spec::Spec;
use crate::spec::types::{Form, Hub, Shaft, ShaftEnd};

/// Slack of every comparison, in the unit compared: the solver's rounding, a thousand times under what can be measured.
pub(super) const SLACK: f64 = 1e-6;

/// One rule judging one linkage.
pub(super) struct Case<'a> {
    pub(super) spec: &'a Spec,
    pub(super) solution: &'a Solution,
    rule: &'static Rule,
    pub(super) findings: Vec<Finding>,
}

/// A hub with what sits in it.
pub(super) struct HubAt<'a> {
    /// Such as `joint upper, column-side hub`.
    pub(super) subject: String,
    pub(super) hub: &'a Hub,
    pub(super) joint: &'a JointResult,
    pub(super) side: End,
    /// Form of the shaft in it.
    pub(super) form: &'a Form,
    /// It is a member of a slip shaft.
    pub(super) slips: bool,
    /// The column's or gear's own shaft, not one that is cut.
    pub(super) is_drive_end: bool,
    /// Taped pinch groove of that shaft.
    pub(super) groove: Option<f64>,
    /// How much farther (mm) its crosses come apart over all motions than as taped; none of a slip shaft.
    pub(super) drawn_out: f64,
}

impl HubAt<'_> {
    /// Length of shaft in the hub (mm).
    pub(super) fn engagement(&self) -> f64 {
        match self.side {
            End::Upper => self.joint.upper_engagement,
            End::Lower => self.joint.lower_engagement,
        }
    }

    /// Cross centre to the shaft's end (mm).
    pub(super) fn gap(&self) -> f64 {
        match self.side {
            End::Upper => self.joint.upper_gap,
            End::Lower => self.joint.lower_gap,
        }
    }

    /// Bite left with every screw lost (mm).
    pub(super) fn captive(&self) -> f64 {
        match self.side {
            End::Upper => self.joint.captive.upper,
            End::Lower => self.joint.captive.lower,
        }
    }
}

impl<'a> Case<'a> {
    pub(super) fn new(spec: &'a Spec, solution: &'a Solution, rule: &'static Rule) -> Self {
        Self { spec, solution, rule, findings: Vec::new() }
    }

    /// The limit the spec sets (mm, deg or number).
    pub(super) fn stated(&self) -> Option<f64> {
        let value = *self.spec.limits.get(self.rule.code)?;
        let is_angle = self.rule.limit.is_some_and(|limit| limit.kind == LimitKind::Angle);
        Some(if is_angle { value.to_degrees() } else { value })
    }

    /// The limit that holds: the spec's, else the rule's own.
    pub(super) fn limit(&self) -> f64 {
        let own = self.rule.limit.and_then(|limit| limit.default);
        self.stated().or(own).unwrap_or(f64::NAN)
    }

    /// What going past the limit means: a habit warns, anything better founded and anything the spec states fails.
    pub(super) fn beyond(&self) -> Status {
        if self.rule.confidence == Confidence::D && self.stated().is_none() { Status::Warn } else { Status::Fail }
    }

    fn source(&self) -> String {
        match self.stated() {
            Some(_) => format!("stated in the spec, limits.{}", self.rule.code),
            None => self.rule.source.into(),
        }
    }

    /// A judgement in full. A value or limit that is not finite is left out.
    pub(super) fn say(
        &mut self,
        status: Status,
        subject: &str,
        (value, limit): (Option<f64>, Option<f64>),
        unit: &str,
        message: impl Into<String>,
    ) {
        let source = self.source();
        self.say_from(status, subject, (value, limit), unit, message, &source);
    }

    /// The same, where the limit is not the rule's own but from somewhere else.
    pub(super) fn say_from(
        &mut self,
        status: Status,
        subject: &str,
        (value, limit): (Option<f64>, Option<f64>),
        unit: &str,
        message: impl Into<String>,
        source: &str,
    ) {
        self.findings.push(Finding {
            rule: self.rule.code.into(),
            status,
            subject: subject.into(),
            value: value.filter(|v| v.is_finite()),
            limit: limit.filter(|v| v.is_finite()),
            unit: unit.into(),
            message: message.into(),
            source: source.into(),
        });
    }

    /// Not judged, and why.
    pub(super) fn open(&mut self, subject: &str, message: impl Into<String>) {
        self.say(Status::Open, subject, (None, None), "", message);
    }

    /// Value at most limit, else [`Self::beyond`] with one thing to do.
    pub(super) fn at_most(&mut self, subject: &str, what: &str, value: f64, limit: f64, unit: &str, remedy: &str) {
        self.compare(subject, what, (value, limit), unit, ("at most", remedy), value <= limit + SLACK);
    }

    /// Value at least limit, else [`Self::beyond`] with one thing to do.
    pub(super) fn at_least(&mut self, subject: &str, what: &str, value: f64, limit: f64, unit: &str, remedy: &str) {
        self.compare(subject, what, (value, limit), unit, ("at least", remedy), value >= limit - SLACK);
    }

    fn compare(
        &mut self,
        subject: &str,
        what: &str,
        (value, limit): (f64, f64),
        unit: &str,
        (bound, remedy): (&str, &str),
        good: bool,
    ) {
        let mut message = format!("{what} {}, {bound} {}", self.shown(value, unit), self.shown(limit, unit));
        let status = match good {
            _ if !value.is_finite() || !limit.is_finite() => Status::Open,
            true => Status::Pass,
            false => self.beyond(),
        };
        if status != Status::Pass {
            message = format!("{message}: {remedy}");
        }
        self.say(status, subject, (Some(value), Some(limit)), unit, message);
    }

    /// A value with its unit, as people read it.
    pub(super) fn shown(&self, value: f64, unit: &str) -> String {
        match unit {
            "mm" => both_units(value, self.spec.build.units),
            "deg" => degrees(value, 1),
            "MPa" => stress(value),
            "N m" => torque(value),
            "%" => format!("{} %", fixed(value, 1)),
            _ => factor(value),
        }
    }

    /// A length as people read it.
    pub(super) fn length(&self, mm: f64) -> String {
        self.shown(mm, "mm")
    }

    fn drawn_out(&self, shaft: &Shaft) -> f64 {
        let over = self.solution.over_motions.as_ref().filter(|_| shaft.slip.is_none());
        over.and_then(|over| over.shaft(&shaft.name)).map_or(0.0, |row| (row.longest.bound - row.taped).max(0.0))
    }

    /// Every hub from column to gear with the shaft in it.
    pub(super) fn hubs(&self) -> Vec<HubAt<'a>> {
        let spec = self.spec;
        let mut hubs = Vec::new();
        for (i, (joint, result)) in spec.joints.iter().zip(&self.solution.joints).enumerate() {
            for side in [End::Upper, End::Lower] {
                let (hub, shaft, drive, side_word) = match side {
                    End::Upper => {
                        (&joint.upper, i.checked_sub(1).and_then(|i| spec.shafts.get(i)), &spec.column, "column")
                    }
                    End::Lower => (&joint.lower, spec.shafts.get(i), &spec.gear, "gear"),
                };
                hubs.push(HubAt {
                    subject: format!("joint {}, {side_word}-side hub", joint.name),
                    hub,
                    joint: result,
                    side,
                    form: shaft.map_or(&drive.form, |shaft| {
                        // The hub on the column's side of a joint sits on the lower end of the shaft above.
                        shaft.form_at(if side == End::Upper { ShaftEnd::Lower } else { ShaftEnd::Upper })
                    }),
                    slips: shaft.is_some_and(|shaft| shaft.slip.is_some()),
                    is_drive_end: shaft.is_none(),
                    groove: drive.groove.filter(|_| shaft.is_none()),
                    drawn_out: shaft.map_or(0.0, |shaft| self.drawn_out(shaft)),
                });
            }
        }
        hubs
    }
}
