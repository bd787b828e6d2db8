//! Times of the stages, for `--timings`.

use std::io::Write as _;
use std::time::Instant;

use super::Settings;

/// Measures from its making, stage by stage.
pub struct Stopwatch {
    start: Instant,
    last: Instant,
    stages: Vec<(&'static str, f64)>,
    wanted: bool,
}

impl Stopwatch {
    /// Starts.
    pub fn start(settings: Settings) -> Self {
        let now = Instant::now();
        Self { start: now, last: now, stages: Vec::new(), wanted: settings.timings }
    }

    /// A stage has ended.
    pub fn stage(&mut self, name: &'static str) {
        let now = Instant::now();
        let spent = (now - self.last).as_secs_f64() * 1e3;
        // Files of one kind are one stage.
        match self.stages.iter_mut().find(|(known, _)| *known == name) {
            Some((_, sum)) => *sum += spent,
            None => self.stages.push((name, spent)),
        }
        self.last = now;
    }

    /// Prints the stages to standard error where they are wanted.
    pub fn print(&self) {
        if !self.wanted {
            return;
        }
        let total = (self.last - self.start).as_secs_f64() * 1e3;
        let rows = self.stages.iter().copied().chain(std::iter::once(("total", total)));
        let text: String = rows.map(|(name, ms)| format!("{ms:9.2} ms  {name}\n")).collect();
        // Timings nobody can read are no failure.
        let _ = anstream::stderr().lock().write_all(text.as_bytes());
    }
}
