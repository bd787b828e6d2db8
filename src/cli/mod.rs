//! The thin program: files, clock, terminal, exit status. Nothing else in the crate touches them.

pub mod args;
pub mod diagnose;
pub mod disk;
pub mod exit;
pub mod package;
pub mod report;

mod audit;
mod built;
mod check;
mod columns;
mod compare;
mod input;
pub mod leftover;
mod make;
mod new;
mod one_file;
mod parts;
mod print_test;
mod sheet;
mod solve;
mod steer;
mod stopwatch;
mod survey;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser as _;

use args::{Arguments, Command};

/// Runs the program on the arguments it was started with.
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return usage(&error),
    };
    let settings = Settings { json: arguments.json, quiet: arguments.quiet, timings: arguments.timings };
    let done = match &arguments.command {
        Command::New(options) => new::run(options, settings),
        Command::Solve(file) => solve::run(file, settings),
        Command::Survey(options) => survey::run(options, settings),
        Command::Check(file) => check::run(file, settings),
        Command::Make(options) => make::run(options, settings),
        Command::Audit(options) => audit::run(options, settings),
        Command::Compare(options) => compare::run(options, settings),
        Command::Parts => parts::run(settings),
        Command::PrintTest(options) => print_test::run(options, settings),
    };
    match done {
        Ok(status) => ExitCode::from(status),
        Err(trouble) => {
            trouble.tell(settings);
            ExitCode::from(exit::COULD_NOT_RUN)
        }
    }
}

/// Help and version, or what is wrong with the arguments.
fn usage(error: &clap::Error) -> ExitCode {
    let json = std::env::args_os().any(|argument| argument == "--json");
    // Where nobody reads, there is nothing left to do.
    if json && error.use_stderr() {
        let text = error.to_string();
        let said = text.split("\n\n").next().unwrap_or_default();
        let message = said.strip_prefix("error: ").unwrap_or(said);
        let line = report::error_json(None, message, Some("yokeline --help shows every command with an example"));
        let _ = io::stderr().lock().write_all(line.as_bytes());
    } else {
        let _ = error.print();
    }
    ExitCode::from(if error.use_stderr() { exit::COULD_NOT_RUN } else { exit::GOOD })
}

/// How to talk.
#[derive(Debug, Clone, Copy)]
pub struct Settings {
    /// JSON in place of words.
    pub json: bool,
    /// No words at all on standard output.
    pub quiet: bool,
    /// Times of the stages.
    pub timings: bool,
}

/// Says on standard error what the user should know and nothing fails by; programs that read JSON are not told.
fn notice(words: &str, settings: Settings) {
    if !settings.json {
        // Where standard error is closed there is nothing left to do.
        let _ = anstream::stderr().lock().write_all(format!("note: {words}\n").as_bytes());
    }
}

/// Why the program could not run.
#[derive(Debug)]
pub enum Trouble {
    /// The spec has errors; its text is kept for the source lines.
    Spec {
        /// What was found.
        diagnostics: Vec<crate::diagnostic::Diagnostic>,
        /// Name and text of the spec.
        source: input::Source,
    },
    /// A file or folder.
    Disk(package::DiskError),
    /// A file of the package could not be made, or did not prove true.
    Package(Vec<String>),
    /// Standard output is closed, or the like.
    Io(io::Error),
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

impl From<package::DiskError> for Trouble {
    fn from(error: package::DiskError) -> Self {
        Self::Disk(error)
    }
}

impl Trouble {
    /// Says it on standard error.
    fn tell(&self, settings: Settings) {
        let text = match self {
            Self::Spec { diagnostics, source } => report::diagnostics(diagnostics, source, settings),
            Self::Disk(error) if settings.json => {
                report::error_json(Some(&error.path.to_string_lossy()), &error.message, Some(error.help))
            }
            Self::Disk(error) => {
                format!("error: {}: {}\n  help: {}\n", error.path.display(), error.message, error.help)
            }
            Self::Package(messages) if settings.json => {
                messages.iter().map(|message| report::error_json(None, message, None)).collect()
            }
            Self::Package(messages) => messages.iter().map(|message| format!("error: {message}\n")).collect(),
            // The reader went away: nobody is left to tell.
            Self::Io(error) if error.kind() == io::ErrorKind::BrokenPipe => return,
            Self::Io(error) if settings.json => report::error_json(None, &error.to_string(), None),
            Self::Io(error) => format!("error: {error}\n"),
        };
        // Where standard error is closed too there is nothing left to do.
        let _ = anstream::stderr().lock().write_all(text.as_bytes());
    }
}

/// Prints the answer; colours go where the terminal takes them.
fn answer(text: &str, settings: Settings) -> io::Result<()> {
    if settings.quiet && !settings.json {
        return Ok(());
    }
    anstream::stdout().lock().write_all(text.as_bytes())
}
