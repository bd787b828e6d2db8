//! What is printed: plain words at 80 columns, or JSON.

use std::fmt::Write as _;
use std::io::{self, Write as _};

use serde_json::json;
use unicode_width::UnicodeWidthStr as _;

use super::columns::{WIDTH, padded, wrapped, wrapped_name};
use super::{Settings, built, diagnose, input, steer};
use crate::audit::{AuditLine, AuditReport};
use crate::catalog::{self, Row};
use crate::check::{Finding, Status};
use crate::diagnostic::Diagnostic;
use crate::drawing::mock_up;
use crate::export::Artifact;
use crate::pipeline::Solved;
use crate::quantity::{self, Unit};
use crate::solve::gap_curve::tightest;
use crate::solve::solution::{BothUnits, Dimple, End, NotchResult, On, ShaftResult, SpotWhen};
use crate::spec::types::Axes;

/// Gaps told in full, and how many of the next are named after them.
const CLOSEST: usize = 4;
const NEXT: usize = 4;

/// Diagnostics with their source lines; one JSON object a line with `--json`.
pub fn diagnostics(found: &[Diagnostic], source: &input::Source, settings: Settings) -> String {
    let text = String::from_utf8_lossy(&source.bytes);
    let text: &str = &text;
    let lookup = |name: &str| (name == source.name).then_some(text);
    if settings.json {
        return lines_of_json(diagnose::rows(found, &lookup).iter().map(|row| json!(row)));
    }
    // Colours are taken out again where the terminal does not want them.
    diagnose::render(found, &lookup, true)
}

/// Warnings go to standard error and stop nothing.
pub fn warn(found: &[Diagnostic], source: &input::Source, settings: Settings) -> io::Result<()> {
    if found.is_empty() || settings.quiet {
        return Ok(());
    }
    anstream::stderr().lock().write_all(diagnostics(found, source, settings).as_bytes())
}

/// An error without a place in the spec.
pub fn error_json(path: Option<&str>, message: &str, help: Option<&str>) -> String {
    lines_of_json(std::iter::once(json!({ "severity": "error", "file": path, "message": message, "help": help })))
}

fn lines_of_json(rows: impl Iterator<Item = serde_json::Value>) -> String {
    rows.map(|row| format!("{row}\n")).collect()
}

/// A word in the colour of its verdict.
pub(super) fn verdict(status: Status) -> String {
    let (code, word) = match status {
        Status::Pass => ("32", "good"),
        Status::Warn => ("33", "look"),
        Status::Fail => ("1;31", "FAIL"),
        Status::Open => ("36", "open"),
    };
    format!("\u{1b}[{code}m{word}\u{1b}[0m")
}

pub(super) fn heading(out: &mut String, words: &str) {
    let _ = writeln!(out, "\n\u{1b}[1m{}\u{1b}[0m", wrapped(words, 0, 2));
}

fn title(out: &mut String, solved: &Solved) {
    let build = &solved.spec.build;
    let _ = writeln!(out, "\u{1b}[1m{}\u{1b}[0m", wrapped(&build.title, 0, 0));
    let mut under: Vec<String> = Vec::new();
    for (word, text) in [("", &build.vehicle), ("record ", &build.record), ("revision ", &build.revision)] {
        if !text.is_empty() {
            under.push(format!("{word}{text}"));
        }
    }
    if !under.is_empty() {
        let _ = writeln!(out, "{}", wrapped(&under.join(", "), 0, 0));
    }
}

/// The linkage as solved: joints, shafts, what to cut, what to worry about first.
pub fn linkage(solved: &Solved) -> String {
    let Solved { spec, solution, .. } = solved;
    let units = spec.build.units;
    let mut out = String::new();
    title(&mut out, solved);
    if spec.axes == Axes::MockUp {
        let _ = writeln!(out, "\n{}", wrapped(mock_up::ALONE, 0, 0));
    }

    heading(&mut out, "Joints, from the column");
    let wide = solution.joints.iter().map(|joint| joint.name.width()).max().unwrap_or(0).clamp(6, 16);
    let _ = writeln!(out, "  {}    angle   limit   shaft ends apart   hubs hold", padded("", wide));
    for joint in &solution.joints {
        let one = |mm| length(mm, units);
        let _ = writeln!(
            out,
            "  {} {:>8} {:>7}   {:<17}  {} and {}",
            wrapped_name(&joint.name, wide),
            quantity::degrees(joint.angle, 1),
            quantity::degrees(joint.limit, 0),
            if joint.end_clearance > 0.0 { one(joint.end_clearance) } else { "THEY TOUCH".to_owned() },
            one(joint.upper_engagement),
            one(joint.lower_engagement)
        );
    }

    let sure: Vec<String> = solution
        .joints
        .iter()
        .filter_map(|joint| Some(format!("{} ± {}", joint.name, quantity::degrees(joint.angle_sigma?, 1))))
        .collect();
    if !sure.is_empty() {
        let text = format!("angles from the survey, one standard deviation: {}", sure.join(", "));
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }

    for (shaft, result) in spec.shafts.iter().zip(&solution.shafts) {
        // The catalogue's own words where it has the bar: a name such as dd-3/4 says less.
        let entry = shaft.stock.name.as_deref().and_then(catalog::forms::find);
        let bar = entry.map_or(result.stock.as_str(), |entry| entry.title.as_str());
        let bar = format!("{bar}; {}", shaft.material.title);
        shaft_lines(&mut out, solved, &bar, shaft.length_tolerance.is_none(), result);
    }

    let motion = &solution.motion;
    heading(&mut out, "How it turns");
    let _ = writeln!(
        out,
        "  the gear runs up to {} ahead and behind; ratio {} to {}",
        quantity::degrees(motion.error, 2),
        quantity::factor(motion.ratio_min),
        quantity::factor(motion.ratio_max)
    );
    let _ = writeln!(
        out,
        "  best these angles allow: {}, ratio up to {}",
        quantity::degrees(motion.best.error, 2),
        quantity::factor(motion.best.ratio_max)
    );
    for shaft in &solution.strength.shafts {
        let text = format!(
            "{}: {} in shear at {}, {} to yield",
            shaft.name,
            quantity::stress(shaft.shear),
            quantity::torque(shaft.torque_max),
            quantity::factor(shaft.yield_margin)
        );
        let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
    }

    steer::lines(&mut out, solved);
    if !solution.clearances.is_empty() {
        heading(&mut out, "Closest");
        let rows = tightest(solution);
        for row in rows.iter().take(CLOSEST) {
            let gap = if row.gap > 0.0 { quantity::both_units(row.gap, units) } else { "TOUCHES".to_owned() };
            let sure = row.gap_sigma.filter(|_| row.gap > 0.0).map(|sigma| format!(" ± {}", length(sigma, units)));
            let (sure, need) = (sure.unwrap_or_default(), length(row.need, units));
            let mut text = format!("{} to {}: {gap}{sure}, wants {need}", row.part, row.obstacle);
            if let Some(apart) = row.bounds_apart() {
                let _ = write!(text, ", proved only to within {}", length(apart, units));
            }
            let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
            if let Some(taped) = row.taped {
                let at = solved.spec.motions_at(&row.at).join(", ");
                let text = format!("with {at}; as taped {}", length(taped.gap, units));
                let _ = writeln!(out, "    {}", wrapped(&text, 4, 4));
            }
        }
        let next: Vec<String> = rows
            .iter()
            .skip(CLOSEST)
            .take(NEXT)
            .map(|row| format!("{} to {} {}", row.part, row.obstacle, length(row.judged(), units)))
            .collect();
        if !next.is_empty() {
            let _ = writeln!(out, "  {}", wrapped(&format!("next: {}", next.join("; ")), 2, 4));
        }
    }
    for notch in &solution.notches {
        heading(&mut out, &format!("Notch \"{}\" in {}", notch.name, notch.rail));
        if notch.shop.is_empty() {
            let _ = writeln!(out, "  no cut is needed for its clearance");
            continue;
        }
        notch_lines(&mut out, notch, units);
        if let Some(sigma) = notch.place_sigma {
            let (along, across) = (length(sigma.along, units), length(sigma.across, units));
            let text = format!(
                "its place from the survey: ± {along} along the rail, ± {across} in depth (one standard deviation)"
            );
            let _ = writeln!(out, "  {}", wrapped(&text, 2, 4));
        }
    }
    steer::mounts(&mut out, solved);
    for plate in &solution.plates {
        heading(&mut out, &format!("Plate \"{}\"", plate.name));
        let _ = writeln!(
            out,
            "  {} thick, {}, {}",
            length(plate.thick, units),
            several(plate.holes.len(), "hole"),
            several(plate.openings.len(), "opening")
        );
    }

    built::lines(&mut out, solved);
    worries(&mut out, solved);
    out
}

/// Size of a notch, what it leaves of its rail, what is set into it and on it.
fn notch_lines(out: &mut String, notch: &NotchResult, units: Unit) {
    let section = &notch.section;
    let mut say = |text: &str| {
        let _ = writeln!(out, "  {}", wrapped(text, 2, 4));
    };
    say(&format!(
        "{} along the rail, {} round it; {} of the section modulus is left",
        length(notch.width, units),
        length(notch.depth, units),
        quantity::percent(section.left.share_of(&section.full)),
    ));
    if let Some(liner) = &notch.liner {
        let (outside, wall) = (length(liner.outside, units), length(liner.wall, units));
        say(&format!("{} of {outside} outside, {wall} wall, {} long", liner.kind.word(), length(liner.length, units)));
    }
    for doubler in &notch.doublers {
        say(&format!("doubler on the {} face, {} plate", doubler.face, length(doubler.thick, units)));
    }
    if let Some(restored) = &section.restored {
        let torsion = quantity::percent(restored.torsion / section.full.torsion);
        let made = quantity::percent(restored.share_of(&section.full));
        say(&format!("made good to {made} of the section modulus, {torsion} of the stiffness in torsion"));
    }
    if let Some(plates) = &notch.proposal {
        let (thick, height) = (length(plates.thick, units), length(plates.height, units));
        say(&format!(
            "doublers that would make it good: {thick} plate, {height} high, on the {}",
            plates.faces.join(" and ")
        ));
    }
}

fn length(mm: f64, units: Unit) -> String {
    match units {
        Unit::Inch => quantity::decimal_inch(mm),
        Unit::Millimetre => quantity::millimetres(mm, 1),
    }
}

fn shaft_lines(out: &mut String, solved: &Solved, bar: &str, general: bool, shaft: &ShaftResult) {
    let build = &solved.spec.build;
    let units = build.units;
    heading(out, &format!("Shaft \"{}\"", shaft.name));
    let _ = writeln!(out, "  bar         {}", wrapped(bar, 14, 14));
    let by = if general { "general class" } else { "as stated" };
    let both = |text: &BothUnits| match units {
        Unit::Inch => format!("{} = {}", text.inch, text.mm),
        Unit::Millimetre => format!("{} = {}", text.mm, text.inch),
    };
    let cut = |out: &mut String, long: f64, (finished, text): (f64, &BothUnits), tolerance: f64| {
        let saw = quantity::tape(long, build.tape_step);
        let words = match shaft.cut_length_sigma {
            None => format!("{saw}, fit, then face"),
            Some(sigma) => format!(
                "{saw}, fit, face to {}: the survey is sure to ± {} (one standard deviation), and twice that is left on",
                quantity::tape(finished, build.tape_step),
                length(sigma, units)
            ),
        };
        let _ = writeln!(out, "  saw to      {}", wrapped(&words, 14, 14));
        let text = format!("{}, ± {} ({by})", both(text), length(tolerance, units));
        let _ = writeln!(out, "  finished    {}", wrapped(&text, 14, 14));
    };
    if shaft.members.is_empty() {
        let finished = (shaft.cut_length, &shaft.cut_length_text);
        cut(out, shaft.cut_long, finished, shaft.cut_length_max - shaft.cut_length);
    } else {
        let _ = writeln!(out, "  as taped    {} from hub end to hub end", both(&shaft.cut_length_text));
    }
    for member in &shaft.members {
        let text = format!("member, {} end: {}", end_words(member.end), member.stock);
        let _ = writeln!(out, "  {:<11} {}", member.name, wrapped(&text, 14, 14));
        let finished = (member.cut_length, &member.cut_length_text);
        cut(out, member.cut_long, finished, member.cut_length_max - member.cut_length);
    }
    if let Some(slip) = &shaft.slip {
        let text = format!(
            "overlap {}, {} left when extended; {} of room to collapse",
            quantity::both_units(slip.overlap, units),
            length(slip.overlap_extended, units),
            length(slip.collapse_room, units)
        );
        let _ = writeln!(out, "  slip        {}", wrapped(&text, 14, 14));
    }
    for end in &shaft.ends {
        let clock =
            end.clock.map_or_else(String::new, |clock| format!(", flats at clock {}", quantity::degrees(clock, 1)));
        let text =
            format!("{} end {}, {} to the shoulder{clock}", end_words(end.end), end.form, length(end.length, units));
        let _ = writeln!(out, "  cut         {}", wrapped(&text, 14, 14));
    }
    for dimple in &shaft.dimples {
        let _ = writeln!(out, "  dimple      {}", wrapped(&dimple_words(dimple, units), 14, 14));
    }
    for groove in &shaft.grooves {
        let end = end_words(groove.end);
        let text = format!(
            "{} from the {end} end, bolt axis {} off the shaft's axis",
            quantity::both_units(groove.station, units),
            length(groove.offset, units)
        );
        let _ = writeln!(out, "  groove      {}", wrapped(&text, 14, 14));
    }
    if let Some(bearing) = &shaft.bearing {
        let text = format!(
            "{} from its upper cross, {} from the column end of the bar",
            quantity::both_units(bearing.station, units),
            quantity::both_units(bearing.z, units)
        );
        let _ = writeln!(out, "  bearing     {}", wrapped(&text, 14, 14));
    }
    let twist = &shaft.twist;
    let yokes = match (twist.wanted, twist.certain) {
        (None, _) => "any phase does: no bend of a single joint to even out".to_owned(),
        (Some(wanted), true) => format!(
            "wanted {}, these ends give {}: {} off",
            quantity::degrees(wanted, 1),
            quantity::degrees(twist.set, 1),
            quantity::degrees(twist.off_max, 1)
        ),
        (Some(wanted), false) => format!(
            "wanted {}; teeth allow it within {}",
            quantity::degrees(wanted, 1),
            quantity::degrees(twist.off_max, 1)
        ),
    };
    let _ = writeln!(out, "  yokes       {}", wrapped(&yokes, 14, 14));
}

const fn end_words(end: End) -> &'static str {
    match end {
        End::Upper => "column",
        End::Lower => "gear",
    }
}

fn dimple_words(dimple: &Dimple, units: Unit) -> String {
    let end = end_words(dimple.end);
    let station = quantity::both_units(dimple.station, units);
    let side = match (dimple.on, dimple.clock) {
        (On::Round, _) => "on the round".to_owned(),
        (On::Flat, clock) if clock.abs() < 1e-6 => "in flat A".to_owned(),
        (On::Flat, clock) if (clock - 180.0).abs() < 1e-6 => "in the flat opposite A".to_owned(),
        (On::Flat, clock) => format!("in the flat at clock {}", quantity::degrees(clock, 1)),
    };
    match dimple.spot {
        SpotWhen::Drill => format!(
            "{station} from the {end} end {side}, {} drill, {} across, {} deep",
            quantity::degrees(dimple.drill, 0),
            length(dimple.diameter, units),
            length(dimple.depth, units)
        ),
        SpotWhen::Fit => format!("({station}) from the {end} end {side}, spotted through the hub on assembly"),
        SpotWhen::None => format!("none under the screw {station} from the {end} end"),
    }
}

/// What matters most, by the codes of the rules: what touches, binds, comes off or breaks, then what turns unevenly.
/// The rest follow in the order of the table of rules.
const FIRST: &[&str] = &[
    "clearance",
    "end-clearance",
    "cross-arm",
    "notch-gap",
    "joint-angle",
    "retention",
    "hub-fit",
    "engagement",
    "insertion",
    "bore-depth",
    "shear-yield",
    "flat-pressure",
    "notch-closed",
    "notch-section",
    "captive",
    "yoke-phase",
    "unevenness",
];

/// Rows of the short list.
const MOST_WORRIES: usize = 8;

/// What fails, then what to look at and what is open; then the counts.
fn worries(out: &mut String, solved: &Solved) {
    heading(out, "What to worry about first");
    let mut rows: Vec<Vec<&Finding>> = Vec::new();
    for status in [Status::Fail, Status::Warn, Status::Open] {
        let mut findings: Vec<_> = solved.findings.iter().filter(|finding| finding.status == status).collect();
        findings.sort_by_key(|finding| FIRST.iter().position(|code| *code == finding.rule).unwrap_or(FIRST.len()));
        for finding in findings {
            match rows.last_mut() {
                Some(row) if row.iter().all(|other| folds(other, finding)) => row.push(finding),
                _ => rows.push(vec![finding]),
            }
        }
    }
    for row in rows.iter().take(MOST_WORRIES) {
        folded_line(out, row);
    }
    let more: usize = rows.iter().skip(MOST_WORRIES).map(Vec::len).sum();
    if more > 0 {
        let _ = writeln!(out, "  ... and {more} more: yokeline check shows all");
    }
    if rows.is_empty() {
        out.push_str("  nothing that these rules know of\n");
    }
    let _ = writeln!(out, "\n{}", counts(solved));
    if solved.failed() > 0 {
        let _ = writeln!(out, "\u{1b}[1;31mDo not cut: {} beyond limit.\u{1b}[0m", several(solved.failed(), "check"));
    }
}

/// Whether two judgements go on one line. Each failure keeps a line of its own.
fn folds(a: &Finding, b: &Finding) -> bool {
    let remedy = |finding: &'_ Finding| finding.message.split_once(": ").map(|(_, words)| words.to_owned());
    let comparable = a.value.is_some() && b.value.is_some() && a.limit == b.limit && remedy(a) == remedy(b);
    a.status != Status::Fail && a.status == b.status && a.rule == b.rule && (comparable || a.message == b.message)
}

/// Judgements of one rule: all they are about, and the words of the one farthest off.
fn folded_line(out: &mut String, row: &[&Finding]) {
    let off = |finding: &Finding| (finding.value.unwrap_or(0.0) - finding.limit.unwrap_or(0.0)).abs();
    let Some(worst) = row.iter().copied().max_by(|a, b| off(a).total_cmp(&off(b))) else { return };
    if row.len() == 1 {
        return finding_line(out, worst);
    }
    let at_worst = if row.iter().all(|finding| finding.message == worst.message) { "" } else { "at worst " };
    // `joint upper, column-side hub` and `joint upper, gear-side hub` share the joint.
    let mut parts: Vec<(&str, Vec<&str>)> = Vec::new();
    for finding in row {
        let (part, place) = finding.subject.split_once(", ").unwrap_or((&finding.subject, ""));
        match parts.last_mut() {
            Some((known, places)) if *known == part => places.push(place),
            _ => parts.push((part, vec![place])),
        }
    }
    let mut names: Vec<String> = Vec::new();
    for (part, places) in parts {
        let places = match places.as_slice() {
            ["column-side hub", "gear-side hub"] => "both hubs".to_owned(),
            places => places.join(" and "),
        };
        names.push(if places.is_empty() { part.to_owned() } else { format!("{part}, {places}") });
    }
    let text = format!("{}: {at_worst}{}", names.join("; "), worst.message);
    let _ = writeln!(out, "  {}  {}", verdict(worst.status), wrapped(&text, 8, 8));
}

fn several(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

fn counts(solved: &Solved) -> String {
    let count = |status| solved.count(status);
    format!(
        "{} within limit, {} to look at, {} beyond limit, {} not judged",
        count(Status::Pass),
        count(Status::Warn),
        count(Status::Fail),
        count(Status::Open)
    )
}

fn finding_line(out: &mut String, finding: &Finding) {
    let text = if finding.subject.is_empty() {
        finding.message.clone()
    } else {
        format!("{}: {}", finding.subject, finding.message)
    };
    let _ = writeln!(out, "  {}  {}", verdict(finding.status), wrapped(&text, 8, 8));
}

/// Every judgement, worst first.
pub fn rules(solved: &Solved) -> String {
    let mut out = String::new();
    title(&mut out, solved);
    for (status, words) in [
        (Status::Fail, "Beyond limit"),
        (Status::Warn, "Near limit, or past a habit of the trade"),
        (Status::Open, "Not judged: something is not known"),
        (Status::Pass, "Within limit"),
    ] {
        if solved.count(status) == 0 {
            continue;
        }
        heading(&mut out, words);
        for finding in solved.findings.iter().filter(|finding| finding.status == status) {
            finding_line(&mut out, finding);
            if status != Status::Pass {
                let source = format!("[{}] {}", finding.rule, finding.source);
                let _ = writeln!(out, "        \u{1b}[2m{}\u{1b}[0m", wrapped(&source, 8, 8));
            }
        }
    }
    let _ = writeln!(out, "\n{}", counts(solved));
    out.push_str("This certifies nothing: local codes and a licensed engineer or certifier decide.\n");
    out
}

/// What `make` wrote.
pub fn made(folder: &str, solved: &Solved, artifacts: &[Artifact], proof: &AuditReport) -> String {
    let mut out = String::new();
    title(&mut out, solved);
    let _ = writeln!(out, "\nwrote {folder}");
    let wide = artifacts.iter().map(|file| file.path.width()).max().unwrap_or(0).min(WIDTH / 2);
    for file in artifacts {
        let what = wrapped(&file.what, wide + 4, wide + 4);
        let _ = writeln!(out, "  {}  {what}", wrapped_name(&file.path, wide));
    }
    let _ = writeln!(out, "\naudited: {} quantities measured in the files, all as solved", proof.lines.len());
    worries(&mut out, solved);
    out.push_str("\nPrint at 100 % (\"actual size\") and lay a rule on the scale marks before cutting.\n");
    out
}

/// One line of the audit in words.
pub fn audit_line(line: &AuditLine) -> String {
    let AuditLine { file, what, expected, found, .. } = line;
    if line.allowed > 0.0 {
        let by = quantity::significant(line.difference, 2);
        return format!("{file}: {what}: expected {expected}, found {found} (off {by}, allowed {})", line.allowed);
    }
    format!("{file}: {what}: expected {expected}, found {found}")
}

/// The audit: what is off, or that nothing is.
pub fn audited(proof: &AuditReport) -> String {
    let mut out = String::new();
    let bad = proof.lines.iter().filter(|line| !line.good).count();
    for line in proof.lines.iter().filter(|line| !line.good) {
        let _ = writeln!(out, "  {}  {}", verdict(Status::Fail), wrapped(&audit_line(line), 8, 8));
    }
    if bad > 0 {
        let _ = writeln!(out, "\n{bad} of {} quantities are off: do not cut from this package", proof.lines.len());
        return out;
    }
    let mut files: Vec<&str> = proof.lines.iter().map(|line| line.file.as_str()).collect();
    files.sort_unstable();
    files.dedup();
    // Beside the widest words that follow.
    let room = WIDTH - 45;
    let wide = files.iter().map(|file| file.width()).max().unwrap_or(0).min(room);
    for file in files {
        let lines = proof.lines.iter().filter(|line| line.file == file);
        // Areas go by the outline's length; they are judged, but would drown the millimetres here.
        let lengths = lines.clone().filter(|line| line.expected.ends_with(" mm"));
        let worst = lengths.map(|line| line.difference).fold(0.0, f64::max);
        let file = wrapped_name(file, wide);
        let _ = writeln!(out, "  {file}  {:>4} measured, farthest off {worst:.6} mm", lines.count());
    }
    let _ = writeln!(out, "\nall {} quantities are as solved", proof.lines.len());
    out
}

/// The audit as JSON.
pub fn audit_json(proof: &AuditReport) -> String {
    json!({ "good": proof.good(), "lines": proof.lines }).to_string() + "\n"
}

/// The catalogue.
pub fn parts(rows: &[Row]) -> String {
    let mut out = String::new();
    let mut kind = "";
    for row in rows {
        if row.kind != kind {
            kind = row.kind;
            heading(&mut out, kind);
        }
        // What the title has said already is not said again.
        let more: Vec<&str> = row.sizes.split(", ").filter(|size| !row.title.contains(size)).collect();
        let text = format!("{}, {}", row.title, more.join(", "));
        let _ = writeln!(out, "  {} {}", padded(&row.name, 18), wrapped(&text, 21, 21));
        let _ = writeln!(out, "  {} \u{1b}[2m{}\u{1b}[0m", padded("", 18), wrapped(&row.source, 21, 21));
    }
    out
}
