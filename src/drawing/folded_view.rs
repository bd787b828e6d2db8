//! A bent plate as it stands folded, seen along its bends: what the press brake has to make of the flat pattern.

use super::dimension::arrow;
use super::layout::{Area, BODY, LARGE, label, text_width};
use super::layout_sheet::SCALES;
use super::outline;
use super::plate::bend_word;
use super::sheet::{Anchor, Role, Sheet};
use super::table::{Pages, Table};
use super::taken::Taken;
use super::value;
use crate::geometry::{Path, Piece, Vec2};
use crate::quantity;
use crate::solve::profile::{Arc, Profile, lengths, profiles};
use crate::solve::solution::PlateResult;
use crate::spec::Spec;
use crate::spec::types::Unit;

/// Room for words round the view (mm).
const ROUND: Vec2 = Vec2::new(46.0, 15.0);
/// Height of the view itself at most (mm).
const TALL: f64 = 62.0;
/// Two places of the view nearer than this are one (mm on the plate).
const SAME: f64 = 1e-6;

/// The views and the lengths of the flanges.
pub(super) fn set(pages: &mut Pages, spec: &Spec, plate: &PlateResult) {
    let all = profiles(plate);
    for (number, profile) in all.iter().enumerate() {
        let Some((low, high)) = bounds(profile, plate.thick) else { continue };
        let size = high - low;
        let wide = pages.width() - 2.0 * ROUND.x;
        let steps = SCALES[usize::from(spec.build.units == Unit::Inch)];
        let fits = |over: &f64| size.x <= wide * over && size.y <= TALL * over;
        let least = (size.x / wide).max(size.y / TALL).ceil();
        let over = std::iter::once(1.0).chain(steps).find(fits).unwrap_or(least);
        let stays = profile.bends.first().map_or(0, |arc| carrier(plate, arc.bend));
        let which = if all.len() > 1 { format!(" {}", number + 1) } else { String::new() };
        pages.heading(format!(
            "Folded view{which}, 1:{}, seen from the {} of the flat pattern, drawn face of {} up",
            quantity::fixed(over, 0),
            side_words(profile.from),
            letter(stays)
        ));
        pages.figure(size.y / over + 2.0 * ROUND.y, |sheet, area| {
            let middle = area.centre() - (low + high) * (0.5 / over);
            View { profile, over, zero: middle, number: number + 1 }.draw(sheet, spec, plate, area);
        });
    }
    pages.table(&flanges(spec, plate));
}

/// The flange a bend begins on.
fn carrier(plate: &PlateResult, bend: usize) -> usize {
    let folded = crate::solve::folded::folded(plate);
    let flanges = folded.as_ref().map_or(&[][..], |folded| &folded.flanges);
    flanges.iter().position(|flange| flange.before.contains(&bend)).unwrap_or(0)
}

/// `A` stays, `B` begins at the first bend.
fn letter(flange: usize) -> String {
    let of = |n: usize| char::from(b'A' + (n % 26) as u8);
    if flange < 26 { of(flange).to_string() } else { format!("{}{}", of(flange / 26 - 1), of(flange)) }
}

const fn side_words(from: Vec2) -> &'static str {
    if from.x.abs() > from.y.abs() {
        if from.x > 0.0 { "right edge" } else { "left edge" }
    } else if from.y > 0.0 {
        "upper edge"
    } else {
        "lower edge"
    }
}

fn flanges(spec: &Spec, plate: &PlateResult) -> Table {
    let columns = [
        ("flange", 16.0),
        ("begins at", 40.0),
        ("straight", 36.0),
        ("drawn face, to where faces meet", 42.0),
        ("outside, to where they meet", 42.0),
    ];
    let mut table = Table::new(&columns);
    let build = &spec.build;
    let meeting =
        |length: Option<f64>| length.map_or_else(|| "too sharp a bend".to_owned(), |mm| value::two_lines(build, mm));
    for (n, lengths) in lengths(plate).into_iter().enumerate() {
        let bend = n.checked_sub(1).and_then(|bend| plate.bends.get(bend));
        table.row([
            letter(n),
            bend.map_or_else(|| "stays".to_owned(), bend_word),
            value::two_lines(build, lengths.straight),
            meeting(lengths.drawn),
            meeting(lengths.outside),
        ]);
    }
    table
}

fn arc_path(arc: &Arc, radius: f64) -> Path {
    let piece = Piece::circle_arc(arc.centre, radius, arc.turn[0], arc.turn[1]);
    Path { start: arc.centre + Vec2::polar(arc.turn[0]) * radius, pieces: vec![piece], closed: false }
}

fn bounds(profile: &Profile, thick: f64) -> Option<(Vec2, Vec2)> {
    let mut paths: Vec<Path> = Vec::new();
    for edge in &profile.flanges {
        let [a, b] = edge.ends;
        paths.extend(Path::polyline(&[a, b, b + edge.back * thick, a + edge.back * thick], true));
    }
    for arc in &profile.bends {
        paths.extend(arc.radii.into_iter().filter(|radius| *radius > SAME).map(|radius| arc_path(arc, radius)));
    }
    paths.extend(profile.others.iter().filter_map(|points| Path::polyline(points, true)));
    outline::bounds(paths.iter())
}

struct View<'a> {
    profile: &'a Profile,
    /// Millimetres of plate a millimetre of paper.
    over: f64,
    /// Paper place of the view's zero.
    zero: Vec2,
    number: usize,
}

impl View<'_> {
    fn at(&self, p: Vec2) -> Vec2 {
        self.zero + p * (1.0 / self.over)
    }

    fn path(&self, path: &Path) -> Path {
        let unit = 1.0 / self.over;
        path.carried(self.zero, Vec2::new(unit, 0.0), Vec2::new(0.0, unit))
    }

    fn draw(&self, sheet: &mut Sheet, spec: &Spec, plate: &PlateResult, area: Area) {
        let mut words = Words { taken: Taken::default(), leaders: Vec::new(), area };
        let mut add = |sheet: &mut Sheet, role: Role, key: String, path: &Path| {
            let path = self.path(path);
            words.taken.path(&path);
            if key.is_empty() { sheet.line(role, path) } else { sheet.keyed(role, key, path) }
        };
        for points in &self.profile.others {
            if let Some(path) = Path::polyline(points, true) {
                add(sheet, Role::Dimension, String::new(), &path);
            }
        }
        let number = self.number;
        for edge in &self.profile.flanges {
            let [a, b] = edge.ends;
            let through = edge.back * plate.thick;
            add(sheet, Role::Outline, format!("folded.{number}.{}", edge.flange + 1), &Path::line(a, b));
            add(sheet, Role::Outline, String::new(), &Path::line(a + through, b + through));
            for end in [a, b] {
                let role = if self.is_bent(end) { Role::Dimension } else { Role::Outline };
                add(sheet, role, String::new(), &Path::line(end, end + through));
            }
            for &hole in &edge.holes {
                let past = edge.back * (1.8 * self.over);
                add(sheet, Role::Centre, String::new(), &Path::line(hole - past, hole + through + past));
            }
        }
        for arc in &self.profile.bends {
            for (side, radius) in arc.radii.into_iter().enumerate().filter(|(_, radius)| *radius > SAME) {
                let key = if side == 0 { format!("folded.{number}.bend.{}", arc.bend + 1) } else { String::new() };
                add(sheet, Role::Outline, key, &arc_path(arc, radius));
            }
        }
        for arc in &self.profile.bends {
            let Some(bend) = plate.bends.get(arc.bend) else { continue };
            let radius = arc.radii[0].max(arc.radii[1]);
            let way = Vec2::polar(arc.turn[0] + 0.5 * arc.turn[1]);
            let lines = [bend_word(bend), format!("inside radius {}", value::both(&spec.build, bend.inside))];
            words.set(sheet, self.at(arc.centre + way * radius), way, &lines, (BODY, false));
        }
        for edge in &self.profile.flanges {
            let middle = self.at((edge.ends[0] + edge.ends[1]) * 0.5);
            words.set(sheet, middle, -edge.back, &[letter(edge.flange)], (LARGE, true));
        }
    }

    /// Whether a flange goes over into a bend there.
    fn is_bent(&self, end: Vec2) -> bool {
        self.profile.bends.iter().any(|arc| {
            [0.0, arc.turn[1]].into_iter().any(|turn| {
                let at = arc.centre + Vec2::polar(arc.turn[0] + turn) * arc.radii[0];
                (at - end).length() < 1e-3
            })
        })
    }
}

/// Words with leaders round a view.
struct Words {
    taken: Taken,
    /// Boxes of the words and the leaders set.
    leaders: Vec<[Vec2; 2]>,
    area: Area,
}

impl Words {
    /// Words near a place, on the side of `way` where there is room, with a leader where they stand off.
    fn set(&mut self, sheet: &mut Sheet, tip: Vec2, way: Vec2, lines: &[String], (height, bold): (f64, bool)) {
        let wide = lines.iter().map(|line| text_width(line, height, bold)).fold(0.0, f64::max);
        let tall = 1.6 * height * (lines.len() as f64 - 1.0) + height;
        let turns = [0.0, 0.5, -0.5, 1.0, -1.0, 1.6, -1.6, 2.3, -2.3, 3.1];
        let reaches = [2.0, 4.0, 6.0, 9.0, 13.0, 18.0, 24.0];
        let places = reaches.into_iter().flat_map(|reach| turns.into_iter().map(move |turn| (reach, way.turned(turn))));
        for (reach, way) in places {
            // The box's side or corner toward the tip stands off it by `reach`.
            let near = tip + way * reach;
            let side = |w: f64| {
                if w > 0.35 {
                    0.0
                } else if w < -0.35 {
                    -1.0
                } else {
                    -0.5
                }
            };
            let low = near + Vec2::new(side(way.x) * wide, side(way.y) * tall);
            let own = [low, low + Vec2::new(wide, tall)];
            let inside = own[0].x > self.area.low.x
                && own[0].y > self.area.low.y
                && own[1].x < self.area.high.x
                && own[1].y < self.area.high.y;
            let led = reach > 4.5;
            let end = near - way * 0.8;
            let crossed = |&[a, b]: &[Vec2; 2]| {
                (0..=8)
                    .map(|i| tip + (end - tip) * (f64::from(i) / 8.0))
                    .any(|p| p.x > a.x - 0.5 && p.x < b.x + 0.5 && p.y > a.y - 0.5 && p.y < b.y + 0.5)
            };
            if !inside || !self.taken.is_free(own) || (led && self.leaders.iter().any(crossed)) {
                continue;
            }
            for (row, line) in lines.iter().enumerate() {
                let at = Vec2::new(own[0].x, own[1].y - height - 1.6 * height * row as f64);
                sheet.text(label(at, Anchor::Start, height, bold, line.clone()));
            }
            self.taken.area(own);
            self.leaders.push(own);
            if led {
                let path = Path::line(tip, end);
                self.taken.path(&path);
                sheet.line(Role::Dimension, path);
                arrow(sheet, tip, -way);
            }
            return;
        }
    }
}
