//! `yokeline solve SPEC`.

use super::args::SpecFile;
use super::stopwatch::Stopwatch;
use super::{Settings, Trouble, answer, exit, input, report};
use crate::pipeline::{self, Solved};

/// Solves and prints the linkage.
pub fn run(file: &SpecFile, settings: Settings) -> Result<u8, Trouble> {
    let mut watch = Stopwatch::start(settings);
    let (_, solved) = solved(file, settings, &mut watch)?;
    let text = if settings.json { results(&solved)? } else { report::linkage(&solved) };
    watch.print();
    answer(&text, settings)?;
    Ok(exit::GOOD)
}

/// Reads and solves; warnings go to standard error.
pub fn solved(file: &SpecFile, settings: Settings, watch: &mut Stopwatch) -> Result<(input::Source, Solved), Trouble> {
    let source = input::read(&file.spec)?;
    watch.stage("read");
    match pipeline::solve(&source.name, &source.bytes, &mut |stage| watch.stage(stage)) {
        Ok(solved) => {
            report::warn(&solved.warnings, &source, settings)?;
            Ok((source, solved))
        }
        Err(diagnostics) => Err(Trouble::Spec { diagnostics, source }),
    }
}

/// The answer as JSON.
pub fn results(solved: &Solved) -> Result<String, Trouble> {
    pipeline::results(solved).map_err(|error| Trouble::Package(vec![format!("{}: {}", error.path, error.message)]))
}
