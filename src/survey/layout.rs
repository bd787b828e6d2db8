//! The linkage in its place.

use std::collections::BTreeMap;

use super::adjust::{Adjustment, adjust};
use super::words::Words;
use crate::diagnostic::Diagnostic;
use crate::geometry::Vec3;
use crate::spec::{Draft, Spec};

/// A spec with every point placed, and the survey that placed them.
pub struct Layout<'d> {
    /// The linkage, all plain values.
    pub spec: Spec,
    /// What the reading of the spec had to say.
    pub warnings: Vec<Diagnostic>,
    /// The survey adjusted, where there is one.
    pub adjustment: Option<Adjustment<'d>>,
    draft: &'d Draft<'d>,
}

/// How the lengths of a draft are written.
pub fn words(draft: &Draft<'_>) -> Words {
    let inch = crate::quantity::INCH / 32.0;
    draft.build().map_or(Words { units: crate::quantity::Unit::Inch, step: inch }, |build| Words {
        units: build.units,
        step: build.tape_step,
    })
}

/// Adjusts the survey of a draft; or every error there is, that it has none included.
pub fn adjusted<'d>(draft: &'d Draft<'d>) -> Result<Adjustment<'d>, Vec<Diagnostic>> {
    match draft.survey() {
        Some(survey) => adjust(survey, words(draft)).map_err(|errors| draft.refused(errors)),
        None => Err(vec![
            Diagnostic::error("no-survey", "this spec has no [survey]: its points are stated as coordinates")
                .at(Some(draft.start()))
                .help("add [survey] with marks and readings, and name its points in place of coordinates"),
        ]),
    }
}

/// Adjusts the survey of a draft, where it has one, and places the linkage; or every error there is.
pub fn place<'d>(draft: &'d Draft<'d>) -> Result<Layout<'d>, Vec<Diagnostic>> {
    let adjustment = draft.survey().map(|_| adjusted(draft)).transpose()?;
    let points = adjustment.as_ref().map(|found| named(found, &found.places)).unwrap_or_default();
    let (spec, warnings) = draft.place(&points)?;
    Ok(Layout { spec, warnings, adjustment, draft })
}

/// Points to be found, by name.
fn named(adjustment: &Adjustment<'_>, places: &[Vec3]) -> BTreeMap<String, Vec3> {
    let points = adjustment.survey.points.iter().zip(places);
    points.filter(|(point, _)| point.fixed.is_none()).map(|(point, place)| (point.name.clone(), *place)).collect()
}

impl Layout<'_> {
    /// The points found that the linkage hangs on.
    pub fn used(&self) -> Vec<usize> {
        let points = self.adjustment.iter().flat_map(|found| found.survey.points.iter().enumerate());
        points
            .filter(|(_, point)| point.fixed.is_none() && self.spec.named_points.contains(&point.name))
            .map(|(i, _)| i)
            .collect()
    }

    /// The linkage with one point moved (mm); `None` where it then cannot be placed.
    pub fn moved(&self, point: usize, by: Vec3) -> Option<Spec> {
        let adjustment = self.adjustment.as_ref()?;
        let mut places = adjustment.places.clone();
        let place = places.get_mut(point)?;
        *place = *place + by;
        self.draft.place(&named(adjustment, &places)).ok().map(|(spec, _)| spec)
    }
}
