//! Rails and their marks.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::names::{Named, unique};
use crate::geometry::Vec3;
use crate::quantity::both_units;
use crate::spec::keys::{Kind, nearest};
use crate::spec::raw::{Reader, Table, shown};
use crate::spec::types::{Edge, Face, Mark, Rail, Section};

/// Two points of a rail are never nearer than this (mm).
const SHORTEST: f64 = 1.0;

/// Cosine of the least angle between a named face and the rail's run: nearer than 30 degrees to square
/// across the rail, another pair of words fits better.
const FACE_ALONG: f64 = 0.866;

const FACES: [Face; 6] = [Face::Top, Face::Bottom, Face::Left, Face::Right, Face::Front, Face::Rear];

/// A rail, whole where all of it could be read.
pub(super) struct RailRead {
    pub(super) name: Option<String>,
    pub(super) marks: Vec<Named>,
    pub(super) whole: Option<Rail>,
}

impl RailRead {
    /// Its name, where it was read.
    pub(super) fn name(&self) -> Option<&str> {
        self.name.as_deref()
    }
}

fn face(word: &str) -> Option<Face> {
    FACES.into_iter().find(|face| face.word() == word)
}

pub(super) fn rails(reader: &mut Reader<'_>, root: &Table<'_>) -> Vec<RailRead> {
    let mut names = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(root, "rail") {
        let Some(table) = table else {
            all.push(RailRead { name: None, marks: Vec::new(), whole: None });
            continue;
        };
        let read = rail(reader, &table);
        names.push(Named { name: read.name.clone(), span: table.span_of("name") });
        all.push(read);
    }
    unique(reader, &names, "rails");
    all
}

fn rail(reader: &mut Reader<'_>, table: &Table<'_>) -> RailRead {
    let name = reader.name(table, "name");
    let along = along(reader, table);
    let edge = edge(reader, table, along);
    let section = match table.chosen(&["tube", "channel", "pipe"]) {
        Some("tube") => tube(reader, table),
        Some("channel") => channel(reader, table, along, edge),
        Some(_) => pipe(reader, table),
        None => None,
    };
    let (marks, named) = marks(reader, table);
    let whole = || Some(Rail { name: name.clone()?, along: along?, edge: edge?, section: section?, marks: marks? });
    let whole = whole();
    RailRead { name, marks: named, whole }
}

fn along(reader: &mut Reader<'_>, table: &Table<'_>) -> Option<[Vec3; 2]> {
    let points = reader.points(table, "along")?;
    let [(_, first), (_, second)] = points[..] else { return None };
    if (second - first).length() < SHORTEST {
        let message = format!(
            "the rail is {} long; its two points are the same",
            both_units((second - first).length(), reader.units)
        );
        reader.error("degenerate", table.span_of("along"), message, "measure two points far apart along the edge");
        return None;
    }
    Some([first, second])
}

/// Whether a face looks along the rail rather than across it.
fn is_end(face: Face, along: [Vec3; 2]) -> bool {
    (along[1] - along[0]).unit().is_some_and(|run| run.dot(face.direction()).abs() > FACE_ALONG)
}

fn edge(reader: &mut Reader<'_>, table: &Table<'_>, along: Option<[Vec3; 2]>) -> Option<Edge> {
    let node = table.node("edge")?;
    let DeValue::String(text) = node.value else {
        reader.wrong_type(&node, Kind::Edge);
        return None;
    };
    if text == "centre" {
        return Some(Edge::Centre);
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let faces: Vec<Option<Face>> = words.iter().map(|word| face(word)).collect();
    let upright = |face: Face| matches!(face, Face::Top | Face::Bottom);
    let pair = match faces[..] {
        [Some(a), Some(b)] if upright(a) && !upright(b) => Some((a, b)),
        [Some(a), Some(b)] if upright(b) && !upright(a) => Some((b, a)),
        _ => None,
    };
    let Some((first, second)) = pair else {
        let message = format!(
            "`edge` is \"{}\"; top or bottom with left or right (front or rear on a crossmember), or centre, is allowed",
            shown(text)
        );
        let unknown = words.iter().zip(&faces).find(|(_, face)| face.is_none()).map(|(word, _)| *word);
        let near = unknown.and_then(|word| nearest(word, FACES.iter().map(|face| face.word()).chain(["centre"])));
        let help = near.map_or_else(|| "such as \"top right\"".into(), |near| format!("did you mean \"{near}\"?"));
        reader.error("bad-value", node.span, message, help);
        return None;
    };
    if let Some(along) = along
        && let Some(end) = [first, second].into_iter().find(|face| is_end(*face, along))
    {
        let message = format!("`edge` names the {} face, but the rail runs that way: that is its end", end.word());
        let help = match end {
            Face::Top | Face::Bottom => "an upright post is not acted on yet: describe it as an obstacle",
            Face::Left | Face::Right => "name front or rear in its place",
            Face::Front | Face::Rear => "name left or right in its place",
        };
        reader.error("bad-edge", node.span, message, help);
        return None;
    }
    Some(Edge::Corner(first, second))
}

/// A wall leaves room inside.
fn wall(reader: &mut Reader<'_>, table: &Table<'_>, most: Option<f64>) -> Option<f64> {
    let wall = reader.length(table, "wall")?;
    if let Some(most) = most.filter(|most| wall >= *most) {
        let message = format!(
            "`wall` is {}; less than {} is allowed in this section",
            both_units(wall, reader.units),
            both_units(most, reader.units)
        );
        reader.error("bad-value", table.span_of("wall"), message, "measure the wall at a cut end or a drilled hole");
        return None;
    }
    Some(wall)
}

/// Outside corner radius (mm), stated or from the tape once round: `sharp` is the girth with sharp corners,
/// and each mm of radius shortens it by `less`.
fn corner(reader: &mut Reader<'_>, table: &Table<'_>, sharp: f64, less: f64, most: f64) -> Option<f64> {
    let key = table.chosen(&["corner", "girth"])?;
    let size = reader.length(table, key)?;
    let radius = if key == "corner" { size } else { (sharp - size) / less };
    // A tape laid round sharp corners reads a hair over: within half a millimetre of radius it is taken as sharp.
    if radius < 0.0 && radius > -0.5 {
        return Some(0.0);
    }
    if radius < 0.0 || radius > most {
        let units = reader.units;
        let message = if key == "corner" {
            format!("`corner` is {}; at most {} is allowed", both_units(radius, units), both_units(most, units))
        } else {
            format!(
                "`girth` is {}; {} to {} is allowed round this section",
                both_units(size, units),
                both_units(sharp - less * most, units),
                both_units(sharp, units)
            )
        };
        let help = if key == "corner" {
            "it is the outside radius, at most half the narrower side"
        } else {
            "lay the tape tight over the corners, once round (a channel from lip to lip)"
        };
        reader.error("bad-value", table.span_of(key), message, help);
        return None;
    }
    Some(radius)
}

fn tube(reader: &mut Reader<'_>, rail: &Table<'_>) -> Option<Section> {
    let table = reader.table(rail, "tube")?;
    let (height, width) = (reader.length(&table, "height"), reader.length(&table, "width"));
    let narrow = height.zip(width).map(|(height, width)| height.min(width));
    let wall = wall(reader, &table, narrow.map(|narrow| narrow / 2.0));
    let (height, width) = (height?, width?);
    // Four quarter arcs of length πr/2 in place of eight legs r.
    let corner = corner(reader, &table, 2.0 * (height + width), 8.0 - 2.0 * PI, height.min(width) / 2.0);
    Some(Section::Tube { height, width, wall: wall?, corner: corner? })
}

fn channel(reader: &mut Reader<'_>, rail: &Table<'_>, along: Option<[Vec3; 2]>, edge: Option<Edge>) -> Option<Section> {
    let table = reader.table(rail, "channel")?;
    let (height, width) = (reader.length(&table, "height"), reader.length(&table, "width"));
    let open = reader.word(&table, "open").and_then(face);
    let upright = matches!(open, Some(Face::Top | Face::Bottom));
    // The web stands opposite the open side; the flanges run from it to the lips.
    let sides = height.zip(width).map(|(height, width)| if upright { (width, height) } else { (height, width) });
    let wall = wall(reader, &table, sides.map(|(web, flange)| flange.min(web / 2.0)));
    let (web, flange) = sides?;
    let corner = corner(reader, &table, web + 2.0 * flange, 4.0 - PI, flange.min(web / 2.0));
    let open = open?;
    if along.is_some_and(|along| is_end(open, along)) {
        let message = format!("the channel is open to the {}, but the rail runs that way", open.word());
        reader.error("bad-edge", table.span_of("open"), message, "name the side you can see into from across the rail");
        return None;
    }
    let named = match edge {
        Some(Edge::Corner(first, second)) => first == open || second == open,
        Some(Edge::Centre) => open == Face::Top,
        None => false,
    };
    if named {
        let word = open.word();
        let message = format!("`edge` counts from the {word} face, but the channel is open there");
        reader.error("bad-edge", rail.span_of("edge"), message, "name the edge at the web or at the back of a flange");
        return None;
    }
    Some(Section::Channel { height: height?, width: width?, wall: wall?, corner: corner?, open })
}

fn pipe(reader: &mut Reader<'_>, rail: &Table<'_>) -> Option<Section> {
    let table = reader.table(rail, "pipe")?;
    let diameter = reader.length(&table, "diameter");
    let wall = wall(reader, &table, diameter.map(|diameter| diameter / 2.0));
    Some(Section::Pipe { diameter: diameter?, wall: wall? })
}

fn marks(reader: &mut Reader<'_>, rail: &Table<'_>) -> (Option<Vec<Mark>>, Vec<Named>) {
    let mut named = Vec::new();
    let mut all = Vec::new();
    for table in reader.tables(rail, "mark") {
        let Some(table) = table else {
            all.push(None);
            continue;
        };
        let name = reader.name(&table, "name");
        let at = reader.length(&table, "at");
        named.push(Named { name: name.clone(), span: table.span_of("name") });
        all.push(name.zip(at).map(|(name, at)| Mark { name, at }));
    }
    unique(reader, &named, "marks of one rail");
    (all.into_iter().collect(), named)
}
