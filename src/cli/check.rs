//! `yokeline check SPEC`.

use super::args::SpecFile;
use super::stopwatch::Stopwatch;
use super::{Settings, Trouble, answer, exit, report, solve};

/// Solves and judges; a failed rule makes exit 1.
pub fn run(file: &SpecFile, settings: Settings) -> Result<u8, Trouble> {
    let mut watch = Stopwatch::start(settings);
    let (_, solved) = solve::solved(file, settings, &mut watch)?;
    let text = if settings.json { solve::results(&solved)? } else { report::rules(&solved) };
    watch.print();
    answer(&text, settings)?;
    Ok(if solved.failed() == 0 { exit::GOOD } else { exit::FAILED })
}
