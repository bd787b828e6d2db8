//! SVG files measured.
//!
//! Reads what a drawing or cut file of a package may hold, and refuses what it
//! may not (transforms, units other than millimetres, other shapes), so that
//! nothing on the sheet escapes the measuring.

use roxmltree::{Document, Node};
use svgtypes::{Color, Length, LengthUnit, PathParser, PathSegment, ViewBox};

use super::ink::{self, Inked};
use super::measured::{Measured, Segment, Tracer};
use crate::geometry::Vec2;

/// An SVG file as found.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SvgDrawing {
    /// Width (mm).
    pub width_mm: f64,
    /// Height (mm).
    pub height_mm: f64,
    /// Curves other than words, in order.
    pub items: Vec<Measured>,
    /// Words: the labels of the outlined ones, in order.
    pub texts: Vec<String>,
    /// Words by their outlines: those of letters that the font has.
    pub inked: Vec<Inked>,
    /// Labels whose outlines show something else.
    pub misspelt: Vec<String>,
    /// Those of them in the groups of warnings: `band` of drawings, `note` of cut files.
    pub warnings: Vec<String>,
}

/// Why an SVG file cannot be measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SvgReadError {
    /// Not text, not XML, or not SVG.
    NotSvg(String),
    /// Width, height and view box are missing, or do not make one user unit a millimetre.
    Scale(String),
    /// Something the measuring does not follow.
    Unknown(String),
    /// Path data that cannot be read.
    Path(String),
}

impl std::fmt::Display for SvgReadError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotSvg(what) => write!(f, "not an SVG file: {what}"),
            Self::Scale(what) => write!(f, "not at one user unit a millimetre: {what}"),
            Self::Unknown(what) => write!(f, "holds what is not measured: {what}"),
            Self::Path(what) => write!(f, "path data cannot be read: {what}"),
        }
    }
}

impl std::error::Error for SvgReadError {}

/// A view box in millimetres and the size it is drawn at may differ by this (mm): half of the last digit written.
const SCALE: f64 = 5e-5;

impl SvgDrawing {
    /// The curve of a name.
    pub fn find(&self, key: &str) -> Option<&Measured> {
        self.items.iter().find(|item| item.key.as_deref() == Some(key))
    }
}

/// Reads a file.
///
/// # Errors
/// Bytes that are no SVG, a scale other than one user unit a millimetre, anything that is not followed.
pub fn read(bytes: &[u8]) -> Result<SvgDrawing, SvgReadError> {
    let text = std::str::from_utf8(bytes).map_err(|error| SvgReadError::NotSvg(error.to_string()))?;
    let document = Document::parse(text).map_err(|error| SvgReadError::NotSvg(error.to_string()))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(SvgReadError::NotSvg(format!("the root is `{}`", root.tag_name().name())));
    }
    let (width_mm, height_mm) = size(root)?;
    let mut drawing = SvgDrawing { width_mm, height_mm, ..SvgDrawing::default() };
    gather(root, "", height_mm, &mut drawing)?;
    Ok(drawing)
}

fn size(root: Node<'_, '_>) -> Result<(f64, f64), SvgReadError> {
    let wrong = |what: String| SvgReadError::Scale(what);
    let side = |name: &str| {
        let value = root.attribute(name).unwrap_or_default();
        match value.parse::<Length>() {
            Ok(Length { number, unit: LengthUnit::Mm }) if number > 0.0 => Ok(number),
            _ => Err(wrong(format!("{name} is `{value}`"))),
        }
    };
    let (width, height) = (side("width")?, side("height")?);
    let value = root.attribute("viewBox").unwrap_or_default();
    let view: ViewBox = value.parse().map_err(|_| wrong(format!("viewBox is `{value}`")))?;
    let off = [view.x, view.y, view.w - width, view.h - height];
    if off.into_iter().any(|d| d.abs() > SCALE) {
        return Err(wrong(format!("viewBox is `{value}`, the sheet {width} by {height} mm")));
    }
    Ok((width, height))
}

fn gather(node: Node<'_, '_>, group: &str, height: f64, drawing: &mut SvgDrawing) -> Result<(), SvgReadError> {
    for child in node.children().filter(Node::is_element) {
        let name = child.tag_name().name();
        if let Some(transform) = child.attribute("transform") {
            return Err(SvgReadError::Unknown(format!("transform `{transform}` on `{name}`")));
        }
        match name {
            "title" | "desc" => {}
            "g" => {
                look(child)?;
                gather(child, child.attribute("class").unwrap_or(group), height, drawing)?;
            }
            "path" => {
                look(child)?;
                if let Some(label) = label(child) {
                    match spelt(child, label, height)? {
                        Some(Ok(inked)) => drawing.inked.push(inked),
                        Some(Err(_)) => drawing.misspelt.push(label.to_owned()),
                        None => {}
                    }
                    if matches!(group, "band" | "note") {
                        drawing.warnings.push(label.to_owned());
                    }
                    drawing.texts.push(label.to_owned());
                    continue;
                }
                let mut tracer = trace(child.attribute("d").unwrap_or_default(), height)?;
                let filled = child.attribute("fill").is_some_and(|fill| fill != "none");
                drawing.items.push(tracer.finish(child.attribute("id").map(str::to_owned), group, filled));
            }
            _ => return Err(SvgReadError::Unknown(format!("element `{name}`"))),
        }
    }
    Ok(())
}

/// The words a path shows. A stroked one is a line to a cutter, whatever it says.
fn label<'a>(path: Node<'a, '_>) -> Option<&'a str> {
    let unstroked = path.attribute("stroke") == Some("none");
    path.attribute("aria-label").filter(|_| unstroked)
}

/// What a group and a path may say of their looks and names; anything else could hide them.
const SAID: [&str; 9] =
    ["class", "d", "id", "role", "aria-label", "fill", "stroke", "stroke-width", "stroke-dasharray"];
/// An error unless a group or path is drawn as it is measured: nothing hidden, thin or faint.
fn look(node: Node<'_, '_>) -> Result<(), SvgReadError> {
    let unknown = |what: String| Err(SvgReadError::Unknown(what));
    let name = node.tag_name().name();
    if let Some(more) = node.attributes().find(|said| !SAID.contains(&said.name())) {
        return unknown(format!("{} `{}` on `{name}`", more.name(), more.value()));
    }
    let of = |key: &str| node.attribute(key);
    let dark = |colour: Option<&str>| {
        colour.is_some_and(|hex| {
            hex.parse::<Color>().is_ok_and(|c| {
                ink::lightness([c.red, c.green, c.blue].map(|part| f64::from(part) / 255.0)) <= ink::FAINT
            })
        })
    };
    let wide = of("stroke-width").is_none_or(|wide| wide.parse::<f64>().is_ok_and(|wide| wide >= ink::THIN));
    let good = match (name, of("stroke"), of("fill")) {
        // A group's lines; its areas fill themselves.
        ("g", stroke, fill) => dark(stroke) && wide && fill == Some("none"),
        // A line, with the looks of its group.
        (_, None, None) => of("stroke-width").is_none(),
        // An area, or letters.
        (_, Some("none"), Some(fill)) => of("aria-label").is_none() || dark(Some(fill)),
        _ => false,
    };
    if good { Ok(()) } else { unknown(format!("`{name}` that is hidden, faint or thin")) }
}

/// The words that a path's outline spells, which must be those of its label; see [`ink::spelt`].
fn spelt(path: Node<'_, '_>, label: &str, height: f64) -> Result<Option<Result<Inked, f64>>, SvgReadError> {
    let mut points = Vec::new();
    let (mut last, mut start) = (Vec2::default(), Vec2::default());
    for step in PathParser::from(path.attribute("d").unwrap_or_default()) {
        let step = step.map_err(|error| SvgReadError::Path(error.to_string()))?;
        let from = last;
        let put = |abs: bool, x: f64, y: f64| if abs { Vec2::new(x, y) } else { from + Vec2::new(x, y) };
        match step {
            PathSegment::MoveTo { abs, x, y } => {
                last = put(abs, x, y);
                start = last;
            }
            PathSegment::LineTo { abs, x, y } => last = put(abs, x, y),
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                points.push(put(abs, x1, y1));
                last = put(abs, x, y);
            }
            PathSegment::ClosePath { .. } => {
                last = start;
                continue;
            }
            _ => return Err(SvgReadError::Unknown(format!("letters of `{label}` in another font"))),
        }
        points.push(last);
    }
    let up: Vec<Vec2> = points.into_iter().map(|p| Vec2::new(p.x, height - p.y)).collect();
    Ok(ink::spelt(label, &up))
}

/// One path on a sheet of no height: y turned up from zero.
pub(super) fn curve(data: &str) -> Result<Measured, SvgReadError> {
    Ok(trace(data, 0.0)?.finish(None, "", false))
}

/// Path data into segments, y turned up.
fn trace(data: &str, height: f64) -> Result<Tracer, SvgReadError> {
    let mut tracer = Tracer::default();
    // Last point in the file's own axes, for relative steps.
    let mut last = Vec2::default();
    let mut start = Vec2::default();
    let up = |p: Vec2| Vec2::new(p.x, height - p.y);
    for step in PathParser::from(data) {
        let step = step.map_err(|error| SvgReadError::Path(error.to_string()))?;
        let put = |abs: bool, x: f64, y: f64| if abs { Vec2::new(x, y) } else { last + Vec2::new(x, y) };
        let from = up(last);
        match step {
            PathSegment::MoveTo { abs, x, y } => {
                last = put(abs, x, y);
                start = last;
                tracer.lift(up(last));
            }
            PathSegment::LineTo { abs, x, y } => {
                last = put(abs, x, y);
                tracer.line(up(last));
            }
            PathSegment::HorizontalLineTo { abs, x } => {
                last = Vec2::new(if abs { x } else { last.x + x }, last.y);
                tracer.line(up(last));
            }
            PathSegment::VerticalLineTo { abs, y } => {
                last = Vec2::new(last.x, if abs { y } else { last.y + y });
                tracer.line(up(last));
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let [c1, c2, to] = [put(abs, x1, y1), put(abs, x2, y2), put(abs, x, y)];
                tracer.draw(Segment::Cubic { from, c1: up(c1), c2: up(c2), to: up(to) });
                last = to;
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let to = put(abs, x, y);
                let flags = Flags { large: large_arc, sweep };
                match arc(last, to, [rx.abs(), ry.abs()], x_axis_rotation.to_radians(), flags, height) {
                    Some(segment) => tracer.draw(segment),
                    None => tracer.line(up(to)),
                }
                last = to;
            }
            PathSegment::ClosePath { .. } => {
                tracer.close();
                last = start;
            }
            PathSegment::SmoothCurveTo { .. } | PathSegment::Quadratic { .. } | PathSegment::SmoothQuadratic { .. } => {
                return Err(SvgReadError::Unknown("a smooth or quadratic curve outside words".into()));
            }
        }
    }
    if tracer.at().is_none() {
        return Err(SvgReadError::Path("a path without a start".into()));
    }
    Ok(tracer)
}

#[derive(Clone, Copy)]
struct Flags {
    large: bool,
    sweep: bool,
}

/// Centre form of an arc given by its ends (SVG 1.1, appendix F.6.5 and F.6.6), turned y up; `None` where
/// the arc is a straight line or nothing.
fn arc(from: Vec2, to: Vec2, [rx, ry]: [f64; 2], turn: f64, flags: Flags, height: f64) -> Option<Segment> {
    if rx <= 0.0 || ry <= 0.0 || (from - to).length() <= 0.0 {
        return None;
    }
    let half = ((from - to) * 0.5).turned(-turn);
    // On the unit circle: half the chord, and the centre's distance from its middle.
    let chord = Vec2::new(half.x / rx, half.y / ry);
    let short = chord.dot(chord);
    // Radii too small for the chord grow until they fit.
    let grow = short.sqrt().max(1.0);
    let chord = chord * (1.0 / grow);
    let across = (1.0 / chord.dot(chord) - 1.0).max(0.0).sqrt();
    let sign = if flags.large == flags.sweep { -1.0 } else { 1.0 };
    let middle = Vec2::new(chord.y, -chord.x) * (across * sign);
    let (rx, ry) = (rx * grow, ry * grow);
    let centre = Vec2::new(middle.x * rx, middle.y * ry).turned(turn) + (from + to) * 0.5;
    let start = (chord - middle).angle();
    let end = (-chord - middle).angle();
    let mut range = end - start;
    let full = std::f64::consts::TAU;
    if flags.sweep && range < 0.0 {
        range += full;
    } else if !flags.sweep && range > 0.0 {
        range -= full;
    }
    let (s, c) = libm::sincos(turn);
    Some(Segment::Arc {
        centre: Vec2::new(centre.x, height - centre.y),
        major: Vec2::new(rx * c, -rx * s),
        minor: Vec2::new(-ry * s, -ry * c),
        start,
        sweep: range,
    })
}
