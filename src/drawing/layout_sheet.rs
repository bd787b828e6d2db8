//! Layout sheet: the linkage in three views to scale, its numbers in tables, and what to order.
//!
//! The side view looks from the vehicle's left, forward to the left of the paper; the plan from above; the third view
//! from the rear. They stand as the projection angle asks, so that every point lies on one line with itself.

mod shapes;
mod tight;

use super::layout::{Area, BODY, Note, SMALL, label, text_box, text_width};
use super::mock_up;
use super::record_tables as tables;
use super::sheet::{Anchor, Role, Sheet};
use super::table::{self, Pages, Table};
use super::title_block::{self, Heading};
use super::value;
use crate::geometry::{Path, Vec2, Vec3};
use crate::quantity;
use crate::solve::Solution;
use crate::solve::solution::{End, JointResult, ShaftResult};
use crate::spec::Spec;
use crate::spec::types::{Axes, Joint, Projection, Unit};
use shapes::{Cylinder, cylinder};

/// Scales tried, largest first: of ISO 5455 (from memory) in millimetres, of inch rules (common practice, no source).
pub(super) const SCALES: [[f64; 8]; 2] =
    [[2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0], [2.0, 4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 24.0]];
/// Room round every view for labels (mm).
const MARGIN: f64 = 13.0;
/// Share of the page's height that the views may take, so that the first tables stand under them.
const SHARE: f64 = 0.68;
/// Length of column tube and gear that is drawn (mm on the vehicle).
const STUB: f64 = 90.0;
/// Radius of the dot on a cross (mm on paper).
const DOT: f64 = 0.7;

/// One of the three views.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum View {
    /// From the left.
    Side,
    /// From above.
    Plan,
    /// From the rear.
    Rear,
}

impl View {
    const ALL: [Self; 3] = [Self::Side, Self::Plan, Self::Rear];

    /// Coordinates on paper, still in vehicle millimetres.
    pub(super) const fn flat(self, p: Vec3) -> Vec2 {
        match self {
            Self::Side => Vec2::new(p.x, p.z),
            Self::Plan => Vec2::new(p.x, p.y),
            Self::Rear => Vec2::new(p.y, p.z),
        }
    }

    /// Direction out of the paper.
    pub(super) const fn toward_viewer(self) -> Vec3 {
        match self {
            Self::Side => Vec3::new(0.0, -1.0, 0.0),
            Self::Plan => Vec3::new(0.0, 0.0, 1.0),
            Self::Rear => Vec3::new(1.0, 0.0, 0.0),
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::Side => "side",
            Self::Plan => "plan",
            Self::Rear => "rear",
        }
    }

    const fn title(self, axes: Axes) -> &'static str {
        match (axes, self) {
            (Axes::Vehicle, Self::Side) => "From the left",
            (Axes::Vehicle, Self::Plan) => "From above",
            (Axes::Vehicle, Self::Rear) => "From the rear",
            // Not the vehicle's directions: nothing says how the linkage lies in it.
            (Axes::MockUp, Self::Side) => "Along y",
            (Axes::MockUp, Self::Plan) => "Against z",
            (Axes::MockUp, Self::Rear) => "Against x",
        }
    }
}

/// What is drawn, in vehicle coordinates.
struct Linkage<'a> {
    joints: Vec<(&'a Joint, &'a JointResult, [Vec3; 2])>,
    shafts: &'a [ShaftResult],
    bodies: Vec<Cylinder>,
    /// Column and gear axes: from the outermost cross outward.
    ends: [[Vec3; 2]; 2],
    /// Where the tightest gaps are.
    tight: Vec<Vec3>,
}

/// A view placed on the paper.
struct Placed {
    view: View,
    /// Vehicle millimetres a millimetre of paper.
    over: f64,
    /// Paper place of vehicle (0, 0) of the view.
    origin: Vec2,
    area: Area,
}

impl Placed {
    fn at(&self, p: Vec3) -> Vec2 {
        self.origin + self.view.flat(p) * (1.0 / self.over)
    }
}

/// The layout sheet; tables that find no room under the views run on to further pages.
pub fn sheets(spec: &Spec, solution: &Solution) -> Vec<Sheet> {
    let linkage = linkage(spec, solution);
    table::fewest([(0, false), (0, true), (1, true)], |(smaller, close)| {
        written(spec, solution, &linkage, smaller, close)
    })
}

/// The sheets at the largest scale that fits, or one `smaller` by that many steps, with the words `close`.
fn written(spec: &Spec, solution: &Solution, linkage: &Linkage<'_>, smaller: usize, close: bool) -> Vec<Sheet> {
    let size = title_block::upright(spec);
    let body = title_block::room(size).body.without(3.0, 2.0, 3.0, 3.0);
    let mut sheet = Sheet::new("Layout", size, false);
    let (views, bottom) = arrange(spec, linkage, body, smaller);
    // Words of all views: one's may reach into another's.
    let mut taken = Vec::new();
    for view in &views {
        draw(&mut sheet, spec, solution, linkage, view, &mut taken);
    }
    let over = views.first().map_or(1.0, |view| view.over);
    let mut pages = Pages::under(sheet, body, bottom).close(close);
    if spec.axes == Axes::MockUp {
        pages.notes(&[Note::strong(mock_up::ALONE)]);
    }
    pages.section("Joints, from the column");
    pages.table(&joints(spec, solution));
    pages.section("Shafts");
    pages.table(&shafts(spec, solution));
    let bearings = tables::bearings(spec, solution);
    if !bearings.rows.is_empty() {
        pages.section("Support bearings");
        pages.table(&bearings);
    }
    if let Some(legend) = tight::legend(solution) {
        pages.section("Tightest gaps");
        pages.table(&tight::table(spec, solution));
        pages.notes(&[Note::body(legend)]);
    }
    pages.section("Order list");
    pages.table(&tables::order(spec, solution));
    let mut sheets = pages.finish();
    let scale = format!("1:{}", quantity::fixed(over, 0));
    title_block::draw(&mut sheets, spec, &Heading { document: "layout sheet".into(), scale });
    sheets
}

/// The three views on a page of the record, and who is who in them.
pub(super) fn picture(pages: &mut Pages, spec: &Spec, solution: &Solution, path: String, title: String) {
    /// Most and least height of the views (mm): half a page of Letter or A4, and where they get too small to read.
    const MOST: f64 = 140.0;
    const LEAST: f64 = 100.0;
    let mut names: Vec<String> =
        spec.joints.iter().enumerate().map(|(i, j)| format!("J{} {}", i + 1, j.name)).collect();
    names.extend(solution.shafts.iter().enumerate().map(|(i, shaft)| format!("S{} {}", i + 1, shaft.name)));
    names.extend(tight::told(solution));
    pages.notes(&[Note::body(format!("In the views: {}.", names.join("; ")))]);
    let linkage = linkage(spec, solution);
    let height = if pages.left() < LEAST { MOST } else { pages.left().min(MOST) };
    let under = |high: Vec2, width: f64| Area::new(high - Vec2::new(0.0, height / SHARE), high + Vec2::new(width, 0.0));
    let (views, bottom) = arrange(spec, &linkage, under(Vec2::default(), pages.width()), 0);
    let scale = format!("1:{}", quantity::fixed(views.first().map_or(1.0, |view| view.over), 0));
    pages.drawn(path, title, -bottom, |sheet, area| {
        let (views, _) = arrange(spec, &linkage, under(Vec2::new(area.low.x, area.high.y), area.width()), 0);
        let mut taken = Vec::new();
        for view in &views {
            draw(sheet, spec, solution, &linkage, view, &mut taken);
        }
        sheet.text(label(area.high - Vec2::new(1.0, 4.0), Anchor::End, BODY, true, scale.as_str()));
    });
}

fn linkage<'a>(spec: &'a Spec, solution: &'a Solution) -> Linkage<'a> {
    let (column, gear) = (&spec.column, &spec.gear);
    let mut bodies = Vec::new();
    let joints: Vec<_> = spec
        .joints
        .iter()
        .zip(&solution.joints)
        .map(|(joint, result)| {
            let first = result.crosses.first().copied().unwrap_or(result.centre);
            (joint, result, [first, result.crosses.last().copied().unwrap_or(first)])
        })
        .collect();
    let mut add = |from: Vec3, to: Vec3, diameter: f64| bodies.push(Cylinder { from, to, radius: diameter / 2.0 });
    for (i, (joint, _, [upper, lower])) in joints.iter().enumerate() {
        let above = if i == 0 { column.axis } else { solution.shafts[i - 1].frame.z };
        let below = solution.shafts.get(i).map_or(gear.axis, |shaft| shaft.frame.z);
        // A hub is drawn from the ball its yoke's ears sweep.
        let (ball, hub) = (joint.swing / 2.0, joint.hub / 2.0);
        let from = if hub < ball { (ball * ball - hub * hub).sqrt() } else { ball };
        if from < joint.upper.reach {
            add(*upper - above * from, *upper - above * joint.upper.reach, joint.hub);
        }
        if from < joint.lower.reach {
            add(*lower + below * from, *lower + below * joint.lower.reach, joint.hub);
        }
        if joint.double.is_some() {
            add(*upper, *lower, joint.hub.min(joint.swing));
        }
        if let (Some(shaft), Some((next, _, [far, _]))) = (solution.shafts.get(i), joints.get(i + 1)) {
            let way = shaft.frame.z;
            let (from, to) = (*lower + way * joint.lower.reach, *far - way * next.upper.reach);
            let stock = spec.shafts[i].stock.diameter();
            match spec.shafts[i].slip.as_ref().zip(shaft.members.iter().find(|member| member.name == "outer")) {
                Some((slip, member)) if member.end == End::Lower => {
                    let mouth = shaft.frame.origin + way * member.from;
                    add(from, mouth, stock);
                    add(mouth, to, slip.outer.diameter());
                }
                Some((slip, member)) => {
                    let mouth = shaft.frame.origin + way * (member.from + member.cut_length);
                    add(from, mouth, slip.outer.diameter());
                    add(mouth, to, stock);
                }
                None => add(from, to, stock),
            }
        }
    }
    let ends = joints.first().zip(joints.last()).map_or([[Vec3::default(); 2]; 2], |(first, last)| {
        let (top, foot) = (first.2[0], last.2[1]);
        let mouth = column.end - column.axis * column.exposed;
        add(top - column.axis * first.0.upper.reach, mouth, column.form.diameter());
        let mut up = mouth;
        if let Some(tube) = column.tube {
            up = mouth - column.axis * STUB;
            add(mouth, up, tube);
        }
        let seat = gear.end + gear.axis * gear.exposed;
        add(foot + gear.axis * last.0.lower.reach, seat, gear.form.diameter());
        [[top, up], [foot, seat]]
    });
    // A hub longer than the shaft it takes leaves nothing to draw of it.
    bodies.retain(|body| (body.to - body.from).length() > 0.1);
    Linkage { joints, shafts: &solution.shafts, bodies, ends, tight: tight::places(solution) }
}

impl Linkage<'_> {
    /// Lower left and upper right of everything drawn in a view.
    fn bounds(&self, view: View) -> [Vec2; 2] {
        let balls = self.joints.iter().flat_map(|(joint, _, crosses)| crosses.map(|cross| (cross, joint.swing / 2.0)));
        let ends = self.bodies.iter().flat_map(|body| [(body.from, body.radius), (body.to, body.radius)]);
        let mut low = Vec2::new(f64::INFINITY, f64::INFINITY);
        let mut high = -low;
        for (p, radius) in balls.chain(ends).chain(self.tight.iter().map(|&p| (p, 0.0))) {
            let p = view.flat(p);
            low = Vec2::new(low.x.min(p.x - radius), low.y.min(p.y - radius));
            high = Vec2::new(high.x.max(p.x + radius), high.y.max(p.y + radius));
        }
        [low, high]
    }
}

/// Scale and places of the views; how far down the body they reach.
fn arrange(spec: &Spec, linkage: &Linkage<'_>, body: Area, smaller: usize) -> (Vec<Placed>, f64) {
    let [side, plan, rear] = View::ALL.map(|view| linkage.bounds(view));
    let extent = |[low, high]: [Vec2; 2]| high - low;
    let wide = extent(side).x.max(extent(plan).x);
    let tall = extent(side).y.max(extent(rear).y);
    let sum = Vec2::new(wide + extent(rear).x, tall + extent(plan).y);
    let room = Vec2::new(body.width() - 4.0 * MARGIN, SHARE * body.height() - 4.0 * MARGIN);
    let scales = SCALES[usize::from(spec.build.units == Unit::Inch)];
    let fits = |over: &f64| sum.x / over <= room.x && sum.y / over <= room.y;
    // A linkage of the 100 m a point may lie at still has a drawing, at whatever scale it fits.
    let least = (sum.x / room.x).max(sum.y / room.y).ceil();
    let over = scales.into_iter().filter(fits).nth(smaller).unwrap_or(least);
    let third = spec.output.projection == Projection::Third;
    let (wide, tall) = (wide / over + 2.0 * MARGIN, tall / over + 2.0 * MARGIN);
    let (deep, rear_wide) = (extent(plan).y / over + 2.0 * MARGIN, extent(rear).x / over + 2.0 * MARGIN);
    let spare = ((body.width() - wide - rear_wide) / 2.0).max(0.0);
    // Third angle: plan over the side view, rear view on its right. First angle: plan under it, rear view on its left.
    let (side_x, rear_x) = if third {
        (body.low.x + spare, body.low.x + spare + wide)
    } else {
        (body.low.x + spare + rear_wide, body.low.x + spare)
    };
    let (side_top, plan_top) =
        if third { (body.high.y - deep, body.high.y) } else { (body.high.y, body.high.y - tall) };
    let place = |view: View, bounds: [Vec2; 2], left: f64, top: f64, width: f64, height: f64| {
        let middle = Vec2::new(left + width / 2.0, top - height / 2.0);
        let centre = (bounds[0] + bounds[1]) * (0.5 / over);
        let area = Area::new(Vec2::new(left, top - height), Vec2::new(left + width, top));
        Placed { view, over, origin: middle - centre, area }
    };
    // Side and plan share their x, side and rear view their z, so each is placed by what they have in common.
    let joined_x = [Vec2::new(side[0].x.min(plan[0].x), 0.0), Vec2::new(side[1].x.max(plan[1].x), 0.0)];
    let joined_z = [side[0].y.min(rear[0].y), side[1].y.max(rear[1].y)];
    let side = [Vec2::new(joined_x[0].x, joined_z[0]), Vec2::new(joined_x[1].x, joined_z[1])];
    let plan = [Vec2::new(joined_x[0].x, plan[0].y), Vec2::new(joined_x[1].x, plan[1].y)];
    let rear = [Vec2::new(rear[0].x, joined_z[0]), Vec2::new(rear[1].x, joined_z[1])];
    let views = vec![
        place(View::Side, side, side_x, side_top, wide, tall),
        place(View::Plan, plan, side_x, plan_top, wide, deep),
        place(View::Rear, rear, rear_x, side_top, rear_wide, tall),
    ];
    (views, body.high.y - tall - deep)
}

fn draw(
    sheet: &mut Sheet,
    spec: &Spec,
    solution: &Solution,
    linkage: &Linkage<'_>,
    placed: &Placed,
    taken: &mut Vec<[Vec2; 2]>,
) {
    let view = placed.view;
    let key = |what: &str, i: usize| format!("{}.{what}.{}", view.key(), i + 1);
    let title = Vec2::new(placed.area.low.x + 2.0, placed.area.high.y - 4.0);
    sheet.text(label(title, Anchor::Start, BODY, true, view.title(spec.axes)));
    for body in &linkage.bodies {
        let place = |p: Vec3| placed.at(p);
        for path in cylinder(view, body, placed.over, place) {
            sheet.line(Role::Outline, path);
        }
    }
    let strip =
        |body: &Cylinder| Strip { ends: [placed.at(body.from), placed.at(body.to)], half: body.radius / placed.over };
    let mut strips: Vec<Strip> = linkage.bodies.iter().map(strip).collect();
    for end in &linkage.ends {
        let line = end.map(|p| placed.at(p));
        sheet.line(Role::Centre, Path::line(line[0], line[1]));
    }
    for (i, (joint, _, crosses)) in linkage.joints.iter().enumerate() {
        let places = crosses.map(|cross| placed.at(cross));
        let count = if joint.double.is_some() { 2 } else { 1 };
        for &place in places.iter().take(count) {
            sheet.line(Role::Outline, Path::circle(place, joint.swing / 2.0 / placed.over));
            sheet.fill(Role::Outline, Path::circle(place, DOT));
            strips.push(Strip { ends: [place; 2], half: joint.swing / 2.0 / placed.over });
        }
        if joint.double.is_some() {
            sheet.keyed(Role::Centre, key("housing", i), Path::line(places[0], places[1]));
        }
        if let Some((_, _, next)) = linkage.joints.get(i + 1) {
            let line = [places[1], placed.at(next[0])];
            sheet.keyed(Role::Centre, key("axis", i), Path::line(line[0], line[1]));
        }
    }
    let mut eyes = Vec::new();
    for (shaft, result) in spec.shafts.iter().zip(linkage.shafts) {
        let eye = result
            .bearing
            .as_ref()
            .map(|bearing| (placed.at(bearing.centre), half_side(shaft.diameter() / placed.over)));
        if let Some((place, half)) = eye {
            bearing_sign(sheet, place, half);
            strips.push(Strip { ends: [place; 2], half: 1.5 * half });
        }
        eyes.push(eye);
    }
    tight::marks(sheet, solution, placed, &mut strips);
    // Names last, each where it is clear of every axis and of the names before it.
    for (i, (joint, result, crosses)) in linkage.joints.iter().enumerate() {
        let middle = (placed.at(crosses[0]) + placed.at(crosses[1])) * 0.5;
        let words = format!("J{} {}", i + 1, quantity::degrees(result.angle, 1));
        let radius = joint.swing.max(joint.hub) / 2.0 / placed.over;
        name(sheet, placed.area, (middle, radius), &words, &mut strips, taken);
    }
    for (i, shaft) in linkage.shafts.iter().enumerate() {
        let (from, to) = (placed.at(linkage.joints[i].2[1]), placed.at(linkage.joints[i + 1].2[0]));
        let [length, _] = value::pair(&spec.build, shaft.cut_length);
        let radius = spec.shafts[i].diameter() / 2.0 / placed.over;
        // Well off a bearing, which has its own name.
        let share = shaft.bearing.as_ref().map_or(0.5, |bearing| {
            let half = 0.5 * bearing.station / shaft.centre_distance;
            if half < 0.25 { half + 0.5 } else { half }
        });
        let middle = from + (to - from) * share;
        name(sheet, placed.area, (middle, radius), &format!("S{} {length}", i + 1), &mut strips, taken);
        if let Some((place, eye)) = eyes[i] {
            name(sheet, placed.area, (place, eye), &format!("B{}", i + 1), &mut strips, taken);
        }
    }
    tight::names(sheet, solution, placed, &mut strips, taken);
}

/// Half the side (mm on paper) of a bearing's sign: over the bar, and never too small to see.
fn half_side(bar: f64) -> f64 {
    (0.55 * bar + 1.5).max(2.0)
}

/// A crossed square, as a bearing is drawn where its kind is left open (ISO 8826-1, from memory).
fn bearing_sign(sheet: &mut Sheet, place: Vec2, half: f64) {
    sheet.line(Role::Outline, Path::rectangle(place - Vec2::new(half, half), 2.0 * half, 2.0 * half, 0.0));
    for across in [Vec2::new(half, half), Vec2::new(half, -half)] {
        sheet.line(Role::Outline, Path::line(place - across, place + across));
    }
}

/// Words beside a place, joined to it by a thin line, where both meet no axis, no other words and no other such line.
fn name(
    sheet: &mut Sheet,
    within: Area,
    (place, radius): (Vec2, f64),
    words: &str,
    strips: &mut Vec<Strip>,
    taken: &mut Vec<[Vec2; 2]>,
) {
    /// Directions tried, eighths and sixteenths of a turn: upward first, where the eye looks.
    const TURNS: [f64; 12] = [2.0, 6.0, 1.0, 3.0, 5.0, 7.0, 0.0, 4.0, 1.5, 2.5, 5.5, 6.5];
    /// Paper between the thing and its name (mm), nearest first.
    const AWAY: [f64; 7] = [3.0, 6.0, 10.0, 15.0, 20.0, 26.0, 33.0];
    /// From here on a name stays in its own view (mm).
    const FAR: f64 = 16.0;
    /// Half the width that a joining line is taken to have (mm).
    const THIN: f64 = 0.4;
    let mut best: Option<(f64, [Vec2; 2], [Vec2; 2])> = None;
    for (rank, (away, turn)) in AWAY.iter().flat_map(|away| TURNS.iter().map(move |turn| (away, turn))).enumerate() {
        let way = Vec2::polar(turn * std::f64::consts::FRAC_PI_4);
        let tip = place + way * (radius + away);
        let width = text_width(words, BODY, false);
        let left = tip.x - 0.5 * width * (1.0 - way.x);
        let low = tip.y - 0.5 * BODY * (1.0 - way.y);
        let text = label(Vec2::new(left, low), Anchor::Start, BODY, false, words);
        let corners = text_box(&text);
        let pad = Vec2::new(0.8, 0.8);
        let area = [corners[0] - pad, corners[2] + pad];
        let inside = within.low.x <= area[0].x
            && within.low.y <= area[0].y
            && area[1].x <= within.high.x
            && area[1].y <= within.high.y;
        if *away > FAR && !inside {
            continue;
        }
        let near = place + way * radius;
        let join = [near, Vec2::new(near.x.clamp(area[0].x, area[1].x), near.y.clamp(area[0].y, area[1].y))];
        let line = Strip { ends: join, half: THIN };
        let hits = taken.iter().filter(|other| overlap(&area, other) || line.meets(other)).count() * 4
            + strips.iter().filter(|strip| strip.meets(&area)).count();
        let cost = hits as f64 * 1000.0 + rank as f64;
        if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
            best = Some((cost, join, area));
        }
    }
    let Some((_, join, area)) = best else { return };
    let at = area[0] + Vec2::new(0.8, 0.8 + 0.32 * BODY);
    sheet.text(label(at, Anchor::Start, BODY, false, words));
    if (join[1] - join[0]).length() > SMALL {
        sheet.line(Role::Dimension, Path::line(join[0], join[1]));
        strips.push(Strip { ends: join, half: THIN });
    }
    taken.push(area);
}

fn overlap(a: &[Vec2; 2], b: &[Vec2; 2]) -> bool {
    a[0].x < b[1].x && b[0].x < a[1].x && a[0].y < b[1].y && b[0].y < a[1].y
}

/// Paper that a drawn body covers.
struct Strip {
    ends: [Vec2; 2],
    /// Half its width (mm).
    half: f64,
}

impl Strip {
    /// Whether it comes into a box: sampled each millimetre, finer than any letter.
    fn meets(&self, area: &[Vec2; 2]) -> bool {
        let way = self.ends[1] - self.ends[0];
        let steps = way.length().ceil().max(1.0) as u32;
        (0..=steps).any(|i| {
            let p = self.ends[0] + way * (f64::from(i) / f64::from(steps));
            let nearest = Vec2::new(p.x.clamp(area[0].x, area[1].x), p.y.clamp(area[0].y, area[1].y));
            (nearest - p).length() < self.half
        })
    }
}

fn joints(spec: &Spec, solution: &Solution) -> Table {
    let mut table =
        Table::new(&[("", 9.0), ("joint", 36.0), ("cross centre", 58.0), ("angle, limit", 24.0), ("bores", 63.0)]);
    let units = spec.build.units;
    for (i, (joint, result)) in spec.joints.iter().zip(&solution.joints).enumerate() {
        let bores = [&joint.upper, &joint.lower].map(|hub| hub.fits.words(units));
        let kind = joint.double.map_or_else(String::new, |span| {
            format!("\ndouble, {} between crosses", quantity::both_units(span, units))
        });
        table.row([
            format!("J{}", i + 1),
            format!("{}{kind}", joint.name),
            tables::crosses(spec, result),
            format!("{}\n{}", quantity::degrees(result.angle, 1), quantity::degrees(result.limit, 1)),
            if bores[0] == bores[1] { format!("both {}", bores[0]) } else { bores.join("\n") },
        ]);
    }
    table
}

fn shafts(spec: &Spec, solution: &Solution) -> Table {
    let build = &spec.build;
    let mut table = Table::new(&[
        ("", 9.0),
        ("shaft", 40.0),
        ("stock", 48.0),
        ("between crosses", 30.0),
        ("finished length", 32.0),
        ("yoke phase", 31.0),
    ]);
    for (i, shaft) in solution.shafts.iter().enumerate() {
        let twist = &shaft.twist;
        let wanted =
            twist.wanted.map_or_else(|| "any does".into(), |wanted| format!("best {}", quantity::degrees(wanted, 1)));
        table.row([
            format!("S{}", i + 1),
            shaft.name.clone(),
            format!("{}\n{}", shaft.stock, spec.shafts.get(i).map_or("", |shaft| shaft.material.title.as_str())),
            value::two_lines(build, shaft.centre_distance),
            value::two_lines(build, shaft.cut_length),
            format!("{}\n{wanted}", quantity::degrees(twist.set, 1)),
        ]);
    }
    table
}
