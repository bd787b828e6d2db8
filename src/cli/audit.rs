//! `yokeline audit DIR`.

use super::args::Audit;
use super::stopwatch::Stopwatch;
use super::{Settings, Trouble, answer, exit, package, report};
use crate::{audit, pipeline};

/// Reads a package from disk and measures it; anything off makes exit 1.
pub fn run(options: &Audit, settings: Settings) -> Result<u8, Trouble> {
    let mut watch = Stopwatch::start(settings);
    let files = package::read(&options.folder)?;
    watch.stage("read");
    let mut proof = audit::audit(&files);
    watch.stage("audit");
    if options.rebuild {
        pipeline::rebuild(&files, &mut proof);
        watch.stage("rebuild");
    }
    watch.print();
    let text = if settings.json { report::audit_json(&proof) } else { report::audited(&proof) };
    answer(&text, settings)?;
    Ok(if proof.good() { exit::GOOD } else { exit::FAILED })
}
