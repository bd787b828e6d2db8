//! A surveyed point is held in every direction.
//!
//! Close to the plane of its marks a point's tapes barely tell how far off that plane it is: at a tenth of its distance
//! from them the error there is four times the tape's own.

use super::{Confidence, Rule, number};
use crate::check::case::Case;

pub(super) const RULE: Rule = Rule {
    code: "survey-point",
    title: "surveyed point held in every direction",
    limit: Some(number(3.0)),
    confidence: Confidence::D,
    source: "cov = σ²(JᵀJ)⁻¹, derived; three times the deviation of a reading taken",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let limit = case.limit();
    let Some(survey) = &case.solution.survey else { return };
    for point in &survey.points {
        let way = point.sigma_max_along;
        let (rearward, right, up) = (way.x.abs(), way.y.abs(), way.z.abs());
        let (words, along) = if up >= rearward && up >= right {
            ("up and down", "z")
        } else if right >= rearward {
            ("from side to side", "y")
        } else {
            ("to front and rear", "x")
        };
        let what = format!("worst {words}, ± {}; over a reading's own", case.length(point.sigma_max));
        let remedy = format!(
            "the point lies near the plane of its marks, or all come from one side; tape it from out of that plane, or \
             add its offset along {along}"
        );
        case.at_most(&format!("point {}", point.name), &what, point.loosened, limit, "", &remedy);
    }
}
