//! Networks and errors made up by chance, always the same chance.

use super::*;

/// xorshift64* (Vigna 2016, from memory) and Box-Muller.
struct Chance(u64);

impl Chance {
    fn unit(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        let (a, b) = (self.unit().max(1e-300), self.unit());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    fn place(&mut self, size: f64) -> Vec3 {
        Vec3::new(self.unit(), self.unit(), self.unit()) * size
    }
}

/// A chassis with five marks, not in one plane, and `count` points; tapes from the marks and among the points, and
/// some heights and slopes. Its readings are exact.
fn network(chance: &mut Chance, count: usize) -> (Survey, Vec<Vec3>) {
    let marks = [[0.0; 3], [2000.0, 0.0, 50.0], [2000.0, 900.0, 0.0], [0.0, 900.0, 30.0], [1000.0, 450.0, 1100.0]];
    let mut text = "[survey]\ntape_sigma = \"1.5 mm\"\n".to_owned();
    let mut truth: BTreeMap<String, Vec3> = BTreeMap::new();
    for (i, at) in marks.iter().enumerate() {
        text += &mark(&format!("M{i}"), *at);
        truth.insert(format!("M{i}"), Vec3::from(*at));
    }
    for n in 0..count {
        let at = chance.place(1000.0) + Vec3::new(400.0, -100.0, 150.0);
        truth.insert(format!("P{n}"), at);
        let skip = (chance.unit() * 5.0) as usize;
        for i in (0..5).filter(|i| *i != skip) {
            text += &tape(&format!("M{i}"), &format!("P{n}"), (at - truth[&format!("M{i}")]).length());
        }
        for other in 0..n {
            if chance.unit() < 0.5 {
                let other = format!("P{other}");
                text += &tape(&format!("P{n}"), &other, (at - truth[&other]).length());
            }
        }
    }
    for n in (0..count).step_by(2) {
        let name = format!("P{n}");
        text += &offset(&name, "z", truth[&name].z);
    }
    if count > 1 {
        let span = truth["P1"] - truth["P0"];
        let angle = span.z.abs().atan2(span.x.abs()).to_degrees();
        let _ = writeln!(text, "[[survey.slope]]\nfrom = \"P0\"\nto = \"P1\"\nview = \"side\"\nreads = {angle:?}");
    }
    let survey = read(&text).unwrap();
    let places = survey.points.iter().map(|point| truth[&point.name]).collect();
    (survey, places)
}

fn noisy(survey: &Survey, chance: &mut Chance) -> Survey {
    let mut survey = survey.clone();
    for reading in &mut survey.readings {
        reading.reads = reading.reads.map(|reads| reads + reading.sigma * chance.normal());
    }
    survey
}

#[test]
fn exact_readings_give_exact_points() {
    let mut chance = Chance(7);
    for count in [1, 2, 3, 5, 8, 12] {
        for _ in 0..5 {
            let (survey, truth) = network(&mut chance, count);
            let found = adjust(&survey, WORDS).unwrap();
            for (place, truth) in found.places.iter().zip(&truth) {
                assert!((*place - *truth).length() < 1e-6, "{place:?} for {truth:?}");
            }
            assert!(found.suspects.is_empty());
        }
    }
}

/// 3/4 in in one reading that others check to three tenths or more, the rest with errors of their own sigma.
#[test]
fn a_blunder_of_three_quarters_is_named() {
    let mut chance = Chance(11);
    let (mut tried, mut named) = (0, 0);
    while tried < 100 {
        let (survey, _) = network(&mut chance, 5);
        let mut survey = noisy(&survey, &mut chance);
        let pick = (chance.unit() * survey.readings.len() as f64) as usize;
        let clean = adjust(&survey, WORDS).unwrap();
        if survey.readings[pick].what.is_angle() || clean.checked[pick].redundancy <= 0.3 {
            continue;
        }
        drop(clean);
        tried += 1;
        let by = if chance.unit() < 0.5 { 19.05 } else { -19.05 };
        survey.readings[pick].reads = survey.readings[pick].reads.map(|reads| reads + by);
        let Ok(found) = adjust(&survey, WORDS) else { continue };
        if found.suspects.first().is_some_and(|suspect| suspect.reading == pick) {
            named += 1;
            let wants = found.suspects[0].wants;
            assert!((survey.readings[pick].reads.unwrap() - by - wants).abs() < 10.0);
        }
    }
    assert!(named >= 95, "{named} of 100 were named");
}

/// Predicted sigmas of points and of a length between two points against 10 000 draws.
#[test]
fn sigmas_are_what_ten_thousand_draws_show() {
    let mut chance = Chance(13);
    let (survey, truth) = network(&mut chance, 3);
    let exact = adjust(&survey, WORDS).unwrap();
    let points: Vec<usize> = (0..truth.len()).filter(|&i| survey.points[i].fixed.is_none()).collect();
    let (a, b) = (points[0], points[1]);
    let along = (truth[b] - truth[a]).unit().unwrap();
    let length = exact.sigma(&[(a, -along), (b, along)]);
    let draws = 10_000;
    let mut sums = vec![0.0; 3 * points.len()];
    let mut of_length = 0.0;
    for _ in 0..draws {
        let drawn = noisy(&survey, &mut chance);
        let Ok(found) = adjust(&drawn, WORDS) else { panic!("a draw did not adjust") };
        for (k, &i) in points.iter().enumerate() {
            let off: [f64; 3] = (found.places[i] - truth[i]).into();
            off.iter().enumerate().for_each(|(m, off)| sums[3 * k + m] += off * off);
        }
        let off = (found.places[b] - found.places[a]).length() - (truth[b] - truth[a]).length();
        of_length += off * off;
    }
    let close = |drawn: f64, predicted: f64| {
        let ratio = (drawn / f64::from(draws)).sqrt() / predicted;
        assert!((ratio - 1.0).abs() < 0.05, "drawn over predicted is {ratio}");
    };
    for (k, &i) in points.iter().enumerate() {
        let covariance = exact.covariance(i);
        (0..3).for_each(|m| close(sums[3 * k + m], covariance[m][m].sqrt()));
    }
    close(of_length, length);
}

/// Points along the centre line of the roadster's header, its corner rounded to 3 in, about half a millimetre apart.
fn header_line() -> Vec<Vec3> {
    let [p, corner, q] = [[13.0, -4.0, 9.0], [12.5, -7.0, 8.5], [11.5, -9.0, 0.0]].map(|p| Vec3::from(p) * 25.4);
    let (radius, steps) = (3.0 * 25.4, 200);
    let (a, b) = ((p - corner).unit().unwrap(), (q - corner).unit().unwrap());
    let half = a.angle_to(b) / 2.0;
    let (start, end) = (corner + a * (radius / half.tan()), corner + b * (radius / half.tan()));
    let centre = corner + (a + b).unit().unwrap() * (radius / half.sin());
    let share = |step: i32| f64::from(step) / f64::from(steps);
    let straight = |from: Vec3, to: Vec3| (0..=steps).map(move |step| from + (to - from) * share(step));
    let arc = (0..=steps).map(|step| {
        let chord = start + (end - start) * share(step) - centre;
        centre + chord.unit().unwrap() * radius
    });
    straight(p, start).chain(arc).chain(straight(end, q)).collect()
}

/// Gap (mm) of the roadster's shaft, its axis from there to there, to the header of that centre line.
fn to_header(line: &[Vec3], from: Vec3, to: Vec3) -> f64 {
    let span = to - from;
    let off = |p: &Vec3| {
        let share = ((*p - from).dot(span) / span.dot(span)).clamp(0.0, 1.0);
        (*p - from - span * share).length()
    };
    line.iter().map(off).fold(f64::INFINITY, f64::min) - 1.1875 * 25.4
}

/// The roadster's own figures, draft to cut length and joint angle, against draws of its readings.
#[test]
fn the_errors_travel_as_draws_do() {
    let draft = Draft::read_bytes("linkage.toml", HERON.as_bytes(), &rules::limits()).unwrap();
    let layout = survey::place(&draft).unwrap();
    let (solution, _) = solve::solve_placed(&layout).unwrap();
    let found = layout.adjustment.as_ref().unwrap();
    let mut exact = found.survey.clone();
    for (reading, checked) in exact.readings.iter_mut().zip(&found.checked) {
        reading.reads = Some(checked.computed);
    }
    let mut chance = Chance(17);
    let draws = 10_000;
    let mut squares = [0.0; 6];
    let shaft = &solution.shafts[0];
    let row = |obstacle: &str| {
        let rows = solution.clearances.iter().filter(|row| row.part == "intermediate" && row.obstacle == obstacle);
        rows.min_by(|a, b| a.gap.total_cmp(&b.gap)).unwrap()
    };
    let (header, wall) = (row("header, third tube"), row("left rail"));
    let passing = |lower: Vec3, axis: Vec3| {
        // Where the line of the shaft passes that along the rail through the nearest metal: two lines in space.
        let rail = Vec3::new(-1.0, 0.0, 0.0);
        let (off, cosine) = (lower - wall.point, axis.dot(rail));
        let along = (off.dot(rail) - off.dot(axis) * cosine) / (1.0 - cosine * cosine);
        (along, off.dot(rail.cross(axis).unit().unwrap()))
    };
    let line = header_line();
    let (along, across) = {
        let exact = |name: &str| found.places[exact.points.iter().position(|point| point.name == name).unwrap()];
        let into = (exact("rack shaft end") - exact("tube tip")).unit().unwrap();
        let down = (exact("column end") - exact("wheel nut")).unit().unwrap();
        let lower = exact("rack shaft end") - into * (0.65 * 25.4);
        let axis = (lower - exact("column end") - down * (0.60 * 25.4)).unit().unwrap();
        // Points half a millimetre apart miss the least of 40 mm by under 1e-3.
        let gap = to_header(&line, lower - axis * 400.0, lower);
        assert!((gap - header.gap).abs() < 1e-3, "{gap} {}", header.gap);
        passing(lower, axis)
    };
    for _ in 0..draws {
        let drawn = noisy(&exact, &mut chance);
        let places = adjust(&drawn, WORDS).unwrap().places;
        let at = |name: &str| places[exact.points.iter().position(|point| point.name == name).unwrap()];
        // Gap of each hub 0.60 in, of the pinched one 0.65 in: reach less what is in it.
        let (end, nut) = (at("column end"), at("wheel nut"));
        let (rack, tip) = (at("rack shaft end"), at("tube tip"));
        let down = (end - nut).unit().unwrap();
        let into = (rack - tip).unit().unwrap();
        let upper = end + down * (0.60 * 25.4);
        let lower = rack - into * (0.65 * 25.4);
        let cut = (lower - upper).length() - 1.2 * 25.4;
        let axis = (lower - upper).unit().unwrap();
        squares[0] += (cut - shaft.cut_length).powi(2);
        squares[1] += (down.angle_to(axis).to_degrees() - solution.joints[0].angle).powi(2);
        squares[2] += (axis.angle_to(into).to_degrees() - solution.joints[1].angle).powi(2);
        squares[3] += (to_header(&line, upper, lower) - header.gap).powi(2);
        let passed = passing(lower, axis);
        squares[4] += (passed.0 - along).powi(2);
        squares[5] += (passed.1 - across).powi(2);
    }
    let notch = solution.notches[0].place_sigma.as_ref().unwrap();
    let predicted = [
        shaft.cut_length_sigma,
        solution.joints[0].angle_sigma,
        solution.joints[1].angle_sigma,
        header.gap_sigma,
        Some(notch.along),
        Some(notch.across),
    ];
    for (square, predicted) in squares.into_iter().zip(predicted) {
        let ratio = (square / f64::from(draws)).sqrt() / predicted.unwrap();
        assert!((ratio - 1.0).abs() < 0.05, "drawn over predicted is {ratio}");
    }
}

/// A frame 100 m long, five points a station, each taped to its neighbours: `count` points, about six readings each.
pub fn long_frame(count: usize) -> Survey {
    let at = |i: usize| {
        let (station, k) = ((i / 5) as f64, (i % 5) as f64);
        Vec3::new(900.0 * station + 31.0 * k, 350.0 * k - 90.0 * (k * k - 2.0), 240.0 * ((3.0 * k + station) % 4.0))
    };
    let mut text = "[survey]\n".to_owned();
    for i in 0..6 {
        text += &mark(&format!("P{i}"), at(i).into());
    }
    for i in 6..count + 6 {
        for back in [1, 3, 4, 5, 6] {
            text += &tape(&format!("P{}", i - back), &format!("P{i}"), (at(i) - at(i - back)).length());
        }
        text += &offset(&format!("P{i}"), ["x", "y", "z"][i % 3], <[f64; 3]>::from(at(i))[i % 3]);
    }
    read(&text).unwrap()
}

/// Five hundred points, three thousand readings: exact readings leave nothing. Its time is the bench's.
#[test]
fn a_long_frame_adjusts() {
    let survey = long_frame(500);
    assert_eq!(survey.readings.len(), 3000);
    let found = adjust(&survey, WORDS).unwrap();
    assert!(found.checked.iter().all(|checked| checked.residual.abs() < 1e-6));
}
