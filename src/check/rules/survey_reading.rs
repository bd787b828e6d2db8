//! No reading of the survey is at odds with the rest.

use super::{Confidence, Rule};
use crate::check::case::Case;
use crate::check::finding::Status;
use crate::survey::words::Words;

pub(super) const RULE: Rule = Rule {
    code: "survey-reading",
    title: "readings of the survey fit one another",
    limit: None,
    confidence: Confidence::D,
    source: "standardised residual over 3.29, one good reading in a thousand (Baarda 1968, from memory)",
    judge,
};

fn judge(case: &mut Case<'_>) {
    let Some(survey) = &case.solution.survey else { return };
    let words = Words { units: case.spec.build.units, step: case.spec.build.tape_step };
    let name = |i: usize| survey.readings.get(i).map(|reading| (reading.name(), reading));
    if survey.suspects.is_empty() {
        case.say(Status::Pass, "survey", (None, None), "", "every reading fits its neighbours");
    }
    for suspect in &survey.suspects {
        let Some((name, reading)) = name(suspect.reading) else { continue };
        let message = reading.suspected(suspect.wants, words);
        case.say(Status::Warn, &name, (None, None), "", message);
    }
    let unchecked = survey.readings.iter().filter(|reading| reading.standardised.is_none()).count();
    if unchecked > 0 {
        let message = format!(
            "{unchecked} of {} readings are checked by no other: a slip in one would not show; add a tape to each point \
             they hold",
            survey.readings.len()
        );
        case.say(Status::Warn, "survey", (None, None), "", message);
    }
}
