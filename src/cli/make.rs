//! `yokeline make SPEC -o DIR`.

use super::args::{Make, SpecFile};
use super::disk::Real;
use super::stopwatch::Stopwatch;
use super::{Settings, Trouble, answer, exit, notice, package, report, solve};
use crate::audit;
use crate::pipeline::{self, MakeError};

/// Writes the package beside its target, audits it from disk, moves it in; a failed rule makes exit 1.
pub fn run(options: &Make, settings: Settings) -> Result<u8, Trouble> {
    let mut watch = Stopwatch::start(settings);
    let file = SpecFile { spec: options.spec.clone() };
    let (source, solved) = solve::solved(&file, settings, &mut watch)?;
    let artifacts = match pipeline::make(&source.bytes, &solved, &mut |stage| watch.stage(stage)) {
        Ok(artifacts) => artifacts,
        Err(MakeError::Spec(diagnostics)) => return Err(Trouble::Spec { diagnostics, source }),
        Err(MakeError::Files(errors)) => {
            let told = errors.iter().map(|error| format!("{}: {}", error.path, error.message));
            return Err(Trouble::Package(told.collect()));
        }
    };
    let staged = package::stage(&Real, &options.output, &artifacts)?;
    for folder in &staged.left {
        let words = "left by a killed run, and not removed here, where it may hold other files: look, then remove it";
        notice(&format!("{}: {words}", folder.display()), settings);
    }
    watch.stage("write");
    let proof = audit::audit(&staged.read()?);
    watch.stage("audit");
    if !proof.good() {
        let bad = proof.lines.iter().filter(|line| !line.good).map(report::audit_line);
        let head = "the package did not prove true and was not moved in; this is a fault of the program".to_owned();
        return Err(Trouble::Package(std::iter::once(head).chain(bad).collect()));
    }
    staged.move_in()?;
    watch.stage("move in");
    watch.print();
    let text = if settings.json {
        solve::results(&solved)?
    } else {
        report::made(&options.output.to_string_lossy(), &solved, &artifacts, &proof)
    };
    answer(&text, settings)?;
    Ok(if solved.failed() == 0 { exit::GOOD } else { exit::FAILED })
}
