//! Views of a piece of bar with cut ends or a hole: from the side, and from the column's end.

use super::dimension::{self, centre_mark};
use super::layout::{BODY, label};
use super::sheet::{Anchor, Role, Sheet};
use crate::catalog::forms::FormShape;
use crate::geometry::{Path, Piece, Vec2};
use crate::quantity;
use crate::solve::member::{Member, diameter};
use crate::solve::solution::{Dimple, End, Groove, On, SpotWhen};

/// White gap of a broken view (mm on paper).
pub(super) const BREAK: f64 = 7.0;
/// Cosine above which a feature faces the viewer: 17 degrees, under which its rim still looks like itself.
pub(super) const FACING: f64 = 0.3;

/// A side view: +z to the right, seen from +x, so +y points down the paper.
pub(super) struct Side {
    pub(super) scale: f64,
    pub(super) length: f64,
    pub(super) left: f64,
    pub(super) right: f64,
    /// Where the view is broken: right end of the left part, left end of the right part.
    pub(super) parts: Option<(f64, f64)>,
    /// Paper y of the axis.
    pub(super) axis: f64,
}

/// A stretch of one outside section.
struct Stretch {
    from: f64,
    to: f64,
    section: Section,
}

/// A section: radius, half across the flats where it has them, clock of the first (rad).
#[derive(Clone, Copy)]
pub(super) struct Section {
    radius: f64,
    flats: Option<f64>,
    turn: f64,
}

impl Section {
    pub(super) fn of(form: FormShape, clock: f64) -> Self {
        let flats = if let FormShape::DoubleD { flats, .. } = form { Some(flats / 2.0) } else { None };
        Self { radius: diameter(form) / 2.0, flats, turn: clock.to_radians() }
    }

    /// Corners in the shaft's x and y, anticlockwise from the one right of the first flat.
    fn corners(&self) -> Vec<Vec2> {
        let Some(half) = self.flats else { return Vec::new() };
        let chord = (self.radius * self.radius - half * half).max(0.0).sqrt();
        [(half, chord), (-half, chord), (-half, -chord), (half, -chord)]
            .map(|(x, y)| Vec2::new(x, y).turned(self.turn))
            .to_vec()
    }

    /// Half its height in the side view.
    fn half_height(&self) -> f64 {
        let corners = self.corners();
        if corners.is_empty() {
            return self.radius;
        }
        // The round is seen in profile where it takes in a direction square to the view.
        let half = libm::acos((self.flats.unwrap_or(self.radius) / self.radius).min(1.0));
        let from_flat = libm::asin(libm::cos(self.turn).abs().min(1.0));
        if from_flat >= half { self.radius } else { corners.iter().map(|c| c.y).fold(0.0, f64::max) }
    }

    /// Its outline seen along +z, +x up and +y to the right.
    pub(super) fn outline(&self, centre: Vec2, scale: f64) -> Path {
        let Some(half) = self.flats else { return Path::circle(centre, self.radius * scale) };
        let place = |p: Vec2| centre + Vec2::new(p.y, p.x) * scale;
        let corners = self.corners();
        let open = libm::acos((half / self.radius).min(1.0));
        let quarter = std::f64::consts::FRAC_PI_2;
        // On paper a clock runs clockwise from straight up; the round sides lie a quarter turn from each flat.
        let arc = |start_clock: f64| {
            Piece::circle_arc(centre, self.radius * scale, quarter - (self.turn + start_clock), -2.0 * (quarter - open))
        };
        let at = |i: usize| place(corners.get(i).copied().unwrap_or_default());
        Path {
            start: at(0),
            pieces: vec![arc(open), Piece::Line { to: at(2) }, arc(2.0 * quarter + open), Piece::Line { to: at(0) }],
            closed: true,
        }
    }
}

impl Side {
    /// Paper x of a station.
    pub(super) fn x(&self, z: f64) -> f64 {
        let from_left = self.left + z * self.scale;
        let from_right = self.right - (self.length - z) * self.scale;
        match self.parts {
            Some((a, _)) if from_left <= a => from_left,
            Some((a, b)) if from_right < b => 0.5 * (a + b),
            _ => from_right,
        }
    }

    /// The parts of paper on which bar is drawn, with the stations they show.
    fn shown(&self) -> Vec<[f64; 2]> {
        match self.parts {
            Some((a, b)) => {
                vec![[0.0, (a - self.left) / self.scale], [self.length - (self.right - b) / self.scale, self.length]]
            }
            None => vec![[0.0, self.length]],
        }
    }

    /// The bar with its shoulders, the edges of its flats, its hole, its spots and grooves.
    pub(super) fn draw(&self, sheet: &mut Sheet, member: &Member) {
        let stretches = stretches(member);
        let widest = stretches.iter().map(|s| s.section.half_height()).fold(0.0, f64::max);
        for [low, high] in self.shown() {
            for stretch in &stretches {
                let (from, to) = (stretch.from.max(low), stretch.to.min(high));
                if to <= from {
                    continue;
                }
                // Inside the part of the break, whatever the scale: both ends of one part lie on it.
                let (a, b) = (self.part_x(from, low), self.part_x(to, low));
                let half = stretch.section.half_height();
                self.level(sheet, Role::Outline, [a, b], &[half, -half]);
                let facing = stretch.section.corners();
                let edges: Vec<f64> =
                    facing.iter().filter(|c| c.x > 1e-9 && c.y.abs() < half - 1e-6).map(|c| c.y).collect();
                self.level(sheet, Role::Outline, [a, b], &edges);
            }
            for pair in stretches.windows(2) {
                let [before, after] = pair else { continue };
                if before.to >= low && before.to <= high {
                    let x = self.part_x(before.to, low);
                    let half = before.section.half_height().max(after.section.half_height());
                    self.upright(sheet, Role::Outline, x, half);
                }
            }
            if let Some(hole) = hole(member) {
                let half = hole.half_height();
                let ends = [self.part_x(low, low), self.part_x(high, low)];
                self.level(sheet, Role::Hidden, ends, &[half, -half]);
            }
        }
        for (z, stretch) in [(0.0, stretches.first()), (self.length, stretches.last())] {
            if let Some(stretch) = stretch {
                self.upright(sheet, Role::Outline, self.x(z), stretch.section.half_height());
            }
        }
        let past = 5.0;
        let y = self.axis;
        sheet.line(Role::Centre, Path::line(Vec2::new(self.left - past, y), Vec2::new(self.right + past, y)));
        if let Some((a, b)) = self.parts {
            for x in [a, b] {
                self.break_line(sheet, x, widest * self.scale);
            }
        }
        for dimple in member.dimples.iter().filter(|dimple| dimple.spot != SpotWhen::None) {
            self.dimple(sheet, member, dimple);
        }
        for groove in &member.grooves {
            self.groove(sheet, member, groove);
        }
    }

    /// Paper x of a station of the part that begins at `low`.
    fn part_x(&self, z: f64, low: f64) -> f64 {
        if low <= 0.0 { self.left + z * self.scale } else { self.right - (self.length - z) * self.scale }
    }

    fn level(&self, sheet: &mut Sheet, role: Role, [a, b]: [f64; 2], heights: &[f64]) {
        for y in heights {
            let y = self.axis - y * self.scale;
            sheet.line(role, Path::line(Vec2::new(a, y), Vec2::new(b, y)));
        }
    }

    fn upright(&self, sheet: &mut Sheet, role: Role, x: f64, half: f64) {
        let reach = Vec2::new(0.0, half * self.scale);
        let at = Vec2::new(x, self.axis);
        sheet.line(role, Path::line(at - reach, at + reach));
    }

    /// A free-hand break line in two soft waves.
    fn break_line(&self, sheet: &mut Sheet, x: f64, half: f64) {
        let at = |dx: f64, y: f64| Vec2::new(x + dx, self.axis + y);
        let third = half / 3.0;
        let wave = Path {
            start: at(0.0, -half - 1.0),
            pieces: vec![
                Piece::Cubic { c1: at(1.6, -half + third), c2: at(1.6, -third), to: at(0.0, 0.0) },
                Piece::Cubic { c1: at(-1.6, third), c2: at(-1.6, half - third), to: at(0.0, half + 1.0) },
            ],
            closed: false,
        };
        sheet.line(Role::Dimension, wave);
    }

    /// Where a spot is seen, for its leader.
    pub(super) fn spot(&self, member: &Member, dimple: &Dimple) -> Vec2 {
        let crest = crest(member, dimple.end, dimple.on);
        let y = crest * libm::sin(dimple.clock.to_radians());
        Vec2::new(self.x(dimple.z), self.axis - y * self.scale)
    }

    fn dimple(&self, sheet: &mut Sheet, member: &Member, dimple: &Dimple) {
        let (sine, cosine) = libm::sincos(dimple.clock.to_radians());
        let at = self.spot(member, dimple);
        let radius = 0.5 * dimple.diameter * self.scale;
        if cosine.abs() > FACING {
            let (along, across) = (Vec2::new(radius, 0.0), Vec2::new(0.0, radius * cosine.abs()));
            let role = if cosine > 0.0 { Role::Outline } else { Role::Hidden };
            sheet.line(role, Path::ellipse(at, along, across));
            centre_mark(sheet, at, 0.6 * radius);
            return;
        }
        // Seen from its side: mouth, cone, tip toward the axis.
        let inward = Vec2::new(0.0, sine.signum() * dimple.depth * self.scale);
        let wide = Vec2::new(radius, 0.0);
        if let Some(path) = Path::polyline(&[at - wide, at + inward, at + wide], false) {
            sheet.line(Role::Hidden, path);
        }
        let past = Vec2::new(0.0, sine.signum() * 3.0);
        sheet.line(Role::Centre, Path::line(at - past, at + inward + past));
    }

    fn groove(&self, sheet: &mut Sheet, member: &Member, groove: &Groove) {
        let z = groove_z(member, groove);
        let (sine, cosine) = libm::sincos(groove.clock.to_radians());
        let radius = 0.5 * groove.diameter;
        if sine.abs() > 0.98 {
            // Seen along the bolt.
            let at = Vec2::new(self.x(z), self.axis - sine.signum() * groove.offset * self.scale);
            sheet.line(Role::Hidden, Path::circle(at, radius * self.scale));
            centre_mark(sheet, at, 1.0);
            return;
        }
        let crest = crest(member, groove.end, On::Flat);
        let over = (groove.offset - crest).max(0.0);
        let half = (radius * radius - over * over).max(0.0).sqrt() * self.scale;
        let role = if cosine > 0.0 { Role::Outline } else { Role::Hidden };
        let section = Section::of(member.section_at(groove.end).0, member.section_at(groove.end).1);
        for x in [self.x(z) - half, self.x(z) + half] {
            self.upright(sheet, role, x, section.half_height());
        }
    }
}

/// Station of a groove's bolt from the upper end.
pub(super) fn groove_z(member: &Member, groove: &Groove) -> f64 {
    match groove.end {
        End::Upper => groove.station,
        End::Lower => member.length - groove.station,
    }
}

/// From the axis to the flat or crest at an end.
fn crest(member: &Member, end: End, on: On) -> f64 {
    match (member.section_at(end).0, on) {
        (FormShape::DoubleD { flats, .. }, On::Flat) => flats / 2.0,
        (form, _) => diameter(form) / 2.0,
    }
}

fn stretches(member: &Member) -> Vec<Stretch> {
    let [upper, lower] = member.ends;
    let first = upper.map_or(0.0, |end| end.length);
    let last = member.length - lower.map_or(0.0, |end| end.length);
    let mut all = Vec::new();
    all.extend(upper.map(|end| Stretch { from: 0.0, to: first, section: Section::of(end.form, end.clock) }));
    let bar = |from: f64, to: f64| Stretch { from, to, section: Section::of(member.bar, member.bar_clock) };
    match member.journal {
        None => all.push(bar(first, last)),
        Some(seat) => all.extend([
            bar(first, seat.from),
            Stretch {
                from: seat.from,
                to: seat.to,
                section: Section { radius: seat.diameter / 2.0, flats: None, turn: 0.0 },
            },
            bar(seat.to, last),
        ]),
    }
    all.extend(lower.map(|end| Stretch { from: last, to: member.length, section: Section::of(end.form, end.clock) }));
    all
}

/// The hole or bore.
pub(super) fn hole(member: &Member) -> Option<Section> {
    match (member.hole, member.bar) {
        (Some(hole), _) => Some(Section::of(hole.form, hole.clock)),
        (None, FormShape::DoubleD { bore, .. } | FormShape::Round { bore, .. }) => {
            bore.map(|bore| Section { radius: bore / 2.0, flats: None, turn: 0.0 })
        }
        (None, FormShape::Serrated { .. }) => None,
    }
}

/// The view from the column's end: the upper section full, the lower one behind it dashed, the twist between them.
pub(super) fn end_view(sheet: &mut Sheet, member: &Member, centre: Vec2, scale: f64) {
    let [upper, lower] = [End::Upper, End::Lower].map(|end| member.section_at(end));
    let bar = Section::of(member.bar, member.bar_clock);
    let radius = diameter(member.bar) * 0.5 * scale;
    let front = Section::of(upper.0, upper.1);
    sheet.line(Role::Outline, front.outline(centre, scale));
    if member.ends[0].is_some() && (front.flats.is_some() || front.radius < bar.radius) {
        sheet.line(Role::Outline, Path::circle(centre, radius));
    }
    if member.ends[1].is_some() {
        sheet.line(Role::Hidden, Section::of(lower.0, lower.1).outline(centre, scale));
    }
    if let Some(hole) = hole(member) {
        sheet.line(Role::Outline, hole.outline(centre, scale));
    }
    centre_mark(sheet, centre, radius);
    let paper = |clock: f64| std::f64::consts::FRAC_PI_2 - clock.to_radians();
    let ray = |sheet: &mut Sheet, clock: f64, reach: f64| {
        let way = Vec2::polar(paper(clock));
        sheet.line(Role::Centre, Path::line(centre, centre + way * reach));
    };
    let out = radius + 9.0;
    if front.flats.is_some() {
        ray(sheet, upper.1, out + 2.0);
        let at = centre + Vec2::polar(paper(upper.1)) * (out + 3.5);
        sheet.text(label(at, Anchor::Middle, BODY, true, "flat A"));
    }
    if let (true, Some(twist)) = (member.is_twisted(), member.twist()) {
        ray(sheet, lower.1, out + 2.0);
        let words = quantity::degrees(twist, 1);
        if twist > 1e-6 {
            dimension::angle(sheet, centre, out, paper(upper.1), -twist.to_radians(), &words);
        }
    }
    // Marks of the spots round the section.
    let spots = member.dimples.iter().enumerate().filter(|(_, dimple)| dimple.spot != SpotWhen::None);
    let mut seen: Vec<(f64, String)> = Vec::new();
    for (number, dimple) in spots {
        match seen.iter_mut().find(|(clock, _)| (clock - dimple.clock).abs() < 0.05) {
            Some((_, words)) => *words = format!("{words} D{}", number + 1),
            None => seen.push((dimple.clock, format!("D{}", number + 1))),
        }
    }
    for (clock, words) in seen {
        let way = Vec2::polar(paper(clock));
        // Beside the ray a clock may have, not on it.
        let aside = way.left() * -3.0;
        let at = centre + way * (radius + 3.2) + aside - Vec2::new(0.0, 0.5 * BODY);
        let anchor = if way.x > 0.3 {
            Anchor::Start
        } else if way.x < -0.3 {
            Anchor::End
        } else {
            Anchor::Middle
        };
        sheet.text(label(at, anchor, BODY, false, words));
    }
}
