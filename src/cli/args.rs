//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// Steering linkages from one spec to paper and metal: solve it, judge it, write templates, drawings and solids,
/// then read them back and prove them.
#[derive(Debug, Parser)]
#[command(
    name = "yokeline",
    version,
    propagate_version = true,
    max_term_width = 100,
    after_help = "Start here:\n  yokeline new my-car.toml          a commented spec to fill in\n  yokeline solve my-car.toml        what it comes to\n  yokeline make my-car.toml -o out  templates, drawings, solids, record\n\nThe program measures and computes; it certifies nothing. Local codes and a licensed engineer or certifier decide.\nExit status: 0 good; 1 a rule or the audit failed; 2 could not run."
)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// Print the answer as JSON, errors too
    #[arg(long, global = true)]
    pub json: bool,
    /// Print nothing but errors
    #[arg(long, short, global = true)]
    pub quiet: bool,
    /// Print the time each stage took (to standard error)
    #[arg(long, global = true)]
    pub timings: bool,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a commented starter spec to fill in
    #[command(
        after_help = "Example:\n  yokeline new my-car.toml\n\nThen put your own measurements in and run `yokeline solve my-car.toml`."
    )]
    New(New),
    /// Solve a linkage and print joints, shafts, what to cut, and what to worry about first
    #[command(after_help = "Example:\n  yokeline solve examples/heron-roadster/linkage.toml")]
    Solve(SpecFile),
    /// Adjust a tape-and-level survey and print its points, how sure they are, and which reading to take next
    #[command(
        after_help = "Example:\n  yokeline survey examples/heron-surveyed/linkage.toml\n  yokeline survey my-car.toml --sheet sheet.pdf   what to measure, with blanks\n\nA reading that does not fit its neighbours is named. Points are one standard deviation sure as shown.\n\nOn the sheet, readings without `reads` are blanks; `mockup = {}` in a shaft gives that of its mock-up:\nboth joints hung loosely, a straight trial bar through their inner hubs.\n  faces        tape along the bar between the two hubs' machined outer faces\n  upper_angle  bend of the upper joint from straight\n  lower_angle  bend of the lower joint\n  planes       turn the bar-side fork of the upper joint until both ears lie in the\n               plane of the bend, and scribe the bar on the side to which the column\n               leans; the same below, on the side to which the gear shaft leans, the\n               bar not turned in between. Lay the bar level in V-blocks and measure\n               from the upper scribe to the lower, from the column end, clockwise.\n               Not on the ears in place: on a sloping bar a finder misreads by degrees."
    )]
    Survey(Survey),
    /// Solve and judge by the rules, one line a rule; exit 1 where one fails
    #[command(after_help = "Example:\n  yokeline check examples/heron-roadster/linkage.toml")]
    Check(SpecFile),
    /// Write the whole package: templates, drawings, solids, record; audited before it is moved in
    #[command(
        after_help = "Example:\n  yokeline make examples/heron-roadster/linkage.toml -o out/heron\n\nThe folder is written whole or not at all. Where a rule fails it is still written, every sheet banded DO NOT CUT, and the exit status is 1.\n\nPrint templates at 100 %, \"actual size\", and lay a rule on the scale marks first."
    )]
    Make(Make),
    /// Read a package back from disk and measure every file against its spec; exit 1 where anything is off
    #[command(
        after_help = "Example:\n  yokeline audit out/heron\n  yokeline audit out/heron --rebuild   also make it anew and compare"
    )]
    Audit(Audit),
    /// Compare two packages: what changed in spec, figures and parts, and what must be made again
    #[command(
        after_help = "Example:\n  yokeline compare out/heron-a out/heron-b\n\nThe older package first. Exit status: 0 nothing has to be made again; 1 something has; 2 could not run."
    )]
    Compare(Compare),
    /// List the catalogue: end forms, joints, screws, holes, materials, sheets, each with its source
    #[command(
        after_help = "Example:\n  yokeline parts\n\nDouble-D flats, hub depths and screw positions have no standard: measure yours."
    )]
    Parts,
    /// Write one sheet to print and measure: what a printer does to lengths, before any template
    #[command(
        after_help = "Example:\n  yokeline print-test test.pdf --sheet a4\n\nMeasure its two rules, put measured over printed length into the spec as output.print_correction."
    )]
    PrintTest(PrintTest),
}

/// A spec to read.
#[derive(Debug, Args)]
pub struct SpecFile {
    /// Linkage spec (TOML); `-` reads standard input
    pub spec: PathBuf,
}

/// Options of `new`.
#[derive(Debug, Args)]
pub struct New {
    /// File to write
    pub file: PathBuf,
    /// Starter to copy
    #[arg(long, value_name = "NAME", default_value = "rack")]
    pub from: String,
    /// Write over an existing file
    #[arg(long)]
    pub replace: bool,
}

/// Options of `print-test`.
#[derive(Debug, Args)]
pub struct PrintTest {
    /// PDF file to write
    pub file: PathBuf,
    /// Paper: letter, tabloid, a4 or a3
    #[arg(long, value_name = "NAME", default_value = "letter")]
    pub sheet: String,
    /// Write over an existing file
    #[arg(long)]
    pub replace: bool,
}

/// Options of `survey`.
#[derive(Debug, Args)]
pub struct Survey {
    /// Linkage spec (TOML), its readings taken or not; `-` reads standard input
    pub spec: PathBuf,
    /// Write a printable sheet of what to measure, with blanks (PDF)
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Write over an existing sheet
    #[arg(long, requires = "sheet")]
    pub replace: bool,
}

/// Options of `make`.
#[derive(Debug, Args)]
pub struct Make {
    /// Linkage spec (TOML); `-` reads standard input
    pub spec: PathBuf,
    /// Folder to write; an earlier package there is replaced in one step
    #[arg(short, long, value_name = "DIR")]
    pub output: PathBuf,
}

/// Options of `audit`.
#[derive(Debug, Args)]
pub struct Audit {
    /// Folder of a package
    pub folder: PathBuf,
    /// Also make the package anew from its spec and compare every byte
    #[arg(long)]
    pub rebuild: bool,
}

/// Options of `compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// Folder of the older package
    #[arg(value_name = "DIR1")]
    pub before: PathBuf,
    /// Folder of the newer package
    #[arg(value_name = "DIR2")]
    pub after: PathBuf,
}
