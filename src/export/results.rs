//! results.json.

use serde::Serialize;

use super::{ExportError, json};
use crate::check::Finding;
use crate::solve::Solution;
use crate::spec::Spec;
use crate::survey::SurveyResult;

#[derive(Serialize)]
struct Results<'a> {
    format: u32,
    spec: Identity<'a>,
    frame: &'static str,
    #[serde(flatten)]
    solution: &'a Solution,
    checks: &'a [Finding],
}

#[derive(Serialize)]
struct Identity<'a> {
    sha256: &'a str,
    title: &'a str,
    vehicle: &'a str,
    record: &'a str,
    revision: &'a str,
}

/// A survey as JSON text.
pub fn survey_text(survey: &SurveyResult) -> Result<String, ExportError> {
    let path = "survey";
    let text = json::text(path, survey)?;
    let wrong = |message: String| ExportError { path: path.to_owned(), message };
    let back: SurveyResult = serde_json::from_str(&text).map_err(|error| wrong(error.to_string()))?;
    if back != *survey {
        return Err(wrong("a number is not finite or does not read back as it was written".to_owned()));
    }
    Ok(text)
}

/// The answer as JSON text.
///
/// Fails on a number that is not finite: what is written must read back as the same solution.
pub fn text(spec: &Spec, solution: &Solution, checks: &[Finding]) -> Result<String, ExportError> {
    let path = "results.json";
    let build = &spec.build;
    let text = json::text(
        path,
        &Results {
            format: 1,
            spec: Identity {
                sha256: &spec.sha256,
                title: &build.title,
                vehicle: &build.vehicle,
                record: &build.record,
                revision: &build.revision,
            },
            frame: spec.axes.frame(),
            solution,
            checks,
        },
    )?;
    let wrong = |message: String| ExportError { path: path.to_owned(), message };
    let back: Solution = serde_json::from_str(&text).map_err(|error| wrong(error.to_string()))?;
    if back != *solution {
        return Err(wrong("a number is not finite or does not read back as it was written".to_owned()));
    }
    Ok(text)
}
