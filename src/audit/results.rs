//! results.json against the spec solved anew: exact.

use serde_json::{Value, json};

use super::AuditReport;
use crate::check::Finding;
use crate::solve::Solution;
use crate::spec::Spec;

/// At most this many differences are named: one wrong number can be a thousand wrong rows.
const NAMED: usize = 12;

/// Compares every value of the file with the solution.
pub fn check(path: &str, bytes: &[u8], spec: &Spec, solution: &Solution, checks: &[Finding], report: &mut AuditReport) {
    let found: Value = match serde_json::from_slice(bytes) {
        Ok(found) => found,
        Err(error) => {
            report.wrong(path, "results", "JSON", format!("unreadable: {error}"));
            return;
        }
    };
    let (Ok(mut expected), Ok(checks)) = (serde_json::to_value(solution), serde_json::to_value(checks)) else {
        report.wrong(path, "results", "a solution that can be written", "one that cannot");
        return;
    };
    let build = &spec.build;
    let head = json!({
        "sha256": spec.sha256, "title": build.title, "vehicle": build.vehicle,
        "record": build.record, "revision": build.revision,
    });
    if let Some(map) = expected.as_object_mut() {
        map.insert("format".to_owned(), json!(1));
        map.insert("spec".to_owned(), head);
        map.insert("frame".to_owned(), json!(spec.axes.frame()));
        map.insert("checks".to_owned(), checks);
    }
    let mut differences = Vec::new();
    compare("", &expected, &found, &mut differences);
    let count = differences.len();
    report.number(path, "values that differ from the spec solved anew", 0.0, count as f64, 0.0, "");
    for (key, expected, found) in differences.into_iter().take(NAMED) {
        report.wrong(path, key, expected, found);
    }
}

fn compare(key: &str, expected: &Value, found: &Value, out: &mut Vec<(String, String, String)>) {
    let below = |name: &str| if key.is_empty() { name.to_owned() } else { format!("{key}.{name}") };
    match (expected, found) {
        (Value::Object(a), Value::Object(b)) => {
            for (name, value) in a {
                match b.get(name) {
                    Some(other) => compare(&below(name), value, other, out),
                    None => out.push((below(name), brief(value), "missing".to_owned())),
                }
            }
            for (name, value) in b.iter().filter(|(name, _)| !a.contains_key(*name)) {
                out.push((below(name), "no such key".to_owned(), brief(value)));
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (i, (value, other)) in a.iter().zip(b).enumerate() {
                compare(&format!("{key}[{i}]"), value, other, out);
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            out.push((key.to_owned(), format!("{} rows", a.len()), format!("{} rows", b.len())));
        }
        (Value::Number(a), Value::Number(b)) if a.as_f64() == b.as_f64() => {}
        _ if expected == found => {}
        _ => out.push((key.to_owned(), brief(expected), brief(found))),
    }
}

fn brief(value: &Value) -> String {
    let text = value.to_string();
    if text.chars().count() <= 60 { text } else { text.chars().take(57).chain("...".chars()).collect() }
}
