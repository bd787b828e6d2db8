//! `yokeline survey SPEC`.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr as _;

use super::args::Survey;
use super::columns::{padded, wrapped, wrapped_name};
use super::report::{self, heading};
use super::stopwatch::Stopwatch;
use super::{Settings, Trouble, answer, exit, input, sheet};
use crate::pipeline::{self, Surveyed};
use crate::quantity::{self, INCH, Unit};
use crate::survey::result::{AdviceResult, ReadingResult};
use crate::survey::words::Words;

/// Adjusts a survey and prints points, residuals and what to read next; or writes the sheet of what to measure.
pub fn run(options: &Survey, settings: Settings) -> Result<u8, Trouble> {
    if let Some(file) = &options.sheet {
        return sheet::write(&options.spec, file, options.replace, settings);
    }
    let mut watch = Stopwatch::start(settings);
    let source = input::read(&options.spec)?;
    watch.stage("read");
    let surveyed = match pipeline::survey(&source.name, &source.bytes, &mut |stage| watch.stage(stage)) {
        Ok(surveyed) => surveyed,
        Err(diagnostics) => return Err(Trouble::Spec { diagnostics, source }),
    };
    let text = if settings.json {
        let wrong =
            |error: crate::export::ExportError| Trouble::Package(vec![format!("{}: {}", error.path, error.message)]);
        pipeline::survey_results(&surveyed).map_err(wrong)?
    } else {
        words(&surveyed)
    };
    watch.print();
    answer(&text, settings)?;
    if let Err(diagnostics) = &surveyed.linkage {
        // The points stand all the same; what the linkage lacks is said beside them.
        report::warn(diagnostics, &source, settings)?;
    }
    Ok(exit::GOOD)
}

/// Widest name in a table's first column.
const NAME: usize = 38;

fn words(surveyed: &Surveyed) -> String {
    let Surveyed { build, result, linkage } = surveyed;
    let units = build.units;
    let lengths = Words { units, step: build.tape_step };
    let mut out = String::new();
    let _ = writeln!(out, "{}", build.title);

    let unit = if units == Unit::Inch { "in" } else { "mm" };
    let one = |mm: f64| match units {
        Unit::Inch => quantity::fixed(mm / INCH, 3),
        Unit::Millimetre => quantity::fixed(mm, 1),
    };
    heading(&mut out, &format!("Points found ({unit}), each ± one standard deviation"));
    let wide = result.points.iter().map(|point| point.name.width()).max().unwrap_or(0).clamp(5, NAME - 8);
    let _ = writeln!(out, "  {}  {:^15}  {:^15}  {:^15}", padded("", wide), "x rearward", "y right", "z up");
    for point in &result.points {
        let cell = |at: f64, sigma: f64| format!("{:>8} ±{:<5}", one(at), one(sigma));
        let _ = writeln!(
            out,
            "  {}  {}  {}  {}",
            wrapped_name(&point.name, wide),
            cell(point.at.x, point.sigma.x),
            cell(point.at.y, point.sigma.y),
            cell(point.at.z, point.sigma.z)
        );
    }

    heading(&mut out, "Readings, and how far each stands off the points found");
    let names: Vec<String> = result.readings.iter().map(ReadingResult::name).collect();
    let wide = names.iter().map(|name| name.width()).max().unwrap_or(0).min(NAME);
    let _ = writeln!(out, "  {} {:>11}  {:>7}  {:>7}", padded("", wide), "reads", "off", "checked");
    for (i, (reading, name)) in result.readings.iter().zip(&names).enumerate() {
        let is_suspect = result.suspects.iter().any(|suspect| suspect.reading == i);
        let reads = reading.words(reading.reads, lengths);
        let off = if reading.kind == "slope" { quantity::degrees(reading.residual, 2) } else { one(reading.residual) };
        let checked = match reading.standardised {
            Some(_) => format!("{:.0} %", 100.0 * reading.redundancy),
            None => "no".to_owned(),
        };
        let mark = if is_suspect { "  re-read" } else { "" };
        let name = wrapped_name(name, wide);
        let _ = writeln!(out, "  {name} {reads:>11}  {off:>7}  {checked:>7}{mark}");
    }

    heading(&mut out, "What does not fit");
    if result.suspects.is_empty() {
        out.push_str("  every reading fits its neighbours\n");
    }
    for suspect in &result.suspects {
        let Some(reading) = result.readings.get(suspect.reading) else { continue };
        let _ = writeln!(out, "  {}", wrapped(&reading.suspected(suspect.wants, lengths), 2, 4));
    }
    let unchecked: Vec<&String> = result
        .readings
        .iter()
        .zip(&names)
        .filter(|(reading, _)| reading.standardised.is_none())
        .map(|(_, name)| name)
        .collect();
    if !unchecked.is_empty() {
        let text = format!("checked by no other reading, so a slip in it would not show: {}", {
            let few: Vec<&str> = unchecked.iter().take(4).map(|name| name.as_str()).collect();
            let more = unchecked.len() - few.len();
            if more > 0 { format!("{}; and {more} more", few.join("; ")) } else { few.join("; ") }
        });
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }

    match linkage {
        Ok(solution) => {
            heading(&mut out, "What the survey leaves open");
            for shaft in &solution.shafts {
                let Some(sigma) = shaft.cut_length_sigma else { continue };
                let text = format!(
                    "shaft \"{}\": {} long, ± {} (one standard deviation)",
                    shaft.name,
                    quantity::both_units(shaft.cut_length, units),
                    lengths.small(sigma)
                );
                let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
            }
            for joint in &solution.joints {
                let Some(sigma) = joint.angle_sigma else { continue };
                let (angle, sigma) = (quantity::degrees(joint.angle, 1), quantity::degrees(sigma, 1));
                let _ = writeln!(out, "  joint \"{}\": {angle}, ± {sigma}", joint.name);
            }
            let of = result.advice.first().map(|first| format!(", for the length of \"{}\"", first.shaft));
            heading(&mut out, &format!("What to read next{}", of.unwrap_or_default()));
            if result.advice.is_empty() {
                out.push_str("  no single further reading would make a shaft's length much surer\n");
            }
            for advice in &result.advice {
                let _ = writeln!(out, "  {}", wrapped(&advice_words(advice, lengths), 2, 4));
            }
        }
        Err(_) => out.push_str("\nThe linkage itself is not finished: see what it lacks, below.\n"),
    }
    out
}

fn advice_words(advice: &AdviceResult, words: Words) -> String {
    format!("{}: ± {} becomes ± {}", advice.name(), words.small(advice.sigma_before), words.small(advice.sigma_after))
}
