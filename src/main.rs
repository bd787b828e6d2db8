//! The yokeline program.

fn main() -> std::process::ExitCode {
    yokeline::cli::run()
}
