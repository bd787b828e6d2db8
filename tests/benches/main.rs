//! Benches; ratios and growth, not absolute times.

fn main() {
    divan::main();
}

/// The roadster from text to package and back: where the time goes.
mod line {
    use yokeline::{audit, pipeline};

    const HERON: &[u8] = include_bytes!("../../examples/heron-roadster/linkage.toml");

    #[divan::bench]
    fn solve() -> usize {
        pipeline::solve("linkage.toml", HERON, &mut |_| ()).map_or(0, |solved| solved.findings.len())
    }

    #[divan::bench]
    fn make(bencher: divan::Bencher) {
        let solved = pipeline::solve("linkage.toml", HERON, &mut |_| ());
        bencher.bench(|| solved.as_ref().map(|solved| pipeline::make(HERON, solved, &mut |_| ())));
    }

    #[divan::bench]
    fn audit(bencher: divan::Bencher) {
        let Ok(solved) = pipeline::solve("linkage.toml", HERON, &mut |_| ()) else { return };
        let Ok(files) = pipeline::make(HERON, &solved, &mut |_| ()) else { return };
        let files = files.into_iter().map(|file| (file.path, file.bytes)).collect();
        bencher.bench(|| audit::audit(&files));
    }
}

/// The roadster's shaft and its plates, built and written as STEP.
mod solid {
    use divan::counter::BytesCount;
    use yokeline::export::step::{self, StepMeta};
    use yokeline::model::{self, Solid};
    use yokeline::pipeline::{self, Solved};
    use yokeline::solve::{liner_part, member};

    const HERON: &[u8] = include_bytes!("../../examples/heron-roadster/linkage.toml");

    fn written(bencher: divan::Bencher, build: impl Fn(&Solved) -> Vec<Solid> + Sync) {
        let Ok(solved) = pipeline::solve("linkage.toml", HERON, &mut |_| ()) else { return };
        let meta = StepMeta {
            path: "part.step".into(),
            name: "part".into(),
            part_number: "part".into(),
            description: String::new(),
            revision: String::new(),
            author: String::new(),
            date: String::new(),
            schema: solved.spec.output.step_schema,
            unit: solved.spec.output.step_unit,
            texts: Vec::new(),
        };
        let bytes = || -> usize {
            let files = build(&solved).into_iter().map(|solid| step::write(&solid, &meta).map_or(0, |file| file.len()));
            files.sum()
        };
        assert!(bytes() > 0, "the roadster has these solids");
        bencher.counter(BytesCount::new(bytes())).bench(bytes);
    }

    #[divan::bench]
    fn shaft(bencher: divan::Bencher) {
        written(bencher, |solved| {
            let members = member::members(&solved.spec, &solved.solution, 0);
            members.iter().filter_map(|member| model::shaft::member(member).ok()).collect()
        });
    }

    /// All solids of the roadster's package: every part's own file, and the assembly.
    #[divan::bench]
    fn package(bencher: divan::Bencher) {
        let Ok(solved) = pipeline::solve("linkage.toml", HERON, &mut |_| ()) else { return };
        let bytes = || -> usize {
            let files = pipeline::solids(&solved).unwrap_or_default();
            files.iter().map(|file| file.bytes.len()).sum()
        };
        assert!(bytes() > 0, "the roadster has solids");
        bencher.counter(BytesCount::new(bytes())).bench(bytes);
    }

    /// The liner, with its fitted edges on the rail's corners.
    #[divan::bench]
    fn liner(bencher: divan::Bencher) {
        written(bencher, |solved| {
            let parts = liner_part::notches(&solved.solution).filter_map(|i| liner_part::of(&solved.solution, i));
            parts.filter_map(|part| model::liner::solid(&part).ok()).collect()
        });
    }

    #[divan::bench]
    fn plates(bencher: divan::Bencher) {
        written(bencher, |solved| {
            solved.solution.plates.iter().filter_map(|plate| model::plate::solid(plate).ok()).collect()
        });
    }
}

/// A full solution by the count of joints: text to findings.
mod chain {
    use std::fmt::Write as _;

    use yokeline::pipeline;

    /// A line of catalogue joints that goes up and down, a bearing on every shaft but the first.
    fn line(joints: usize) -> String {
        let mut text = String::from(
            "format = 1\n[build]\ntitle = \"line\"\nunits = \"in\"\n[load]\nwheel_torque = \"60 N m\"\n\
             [column]\nend = [0, 0, 0]\nbeyond = [12, 0, 2]\nform = \"dd-3/4\"\nexposed = 2\n",
        );
        let along = 12.0 * (joints - 1) as f64 + 1.2;
        let _ = write!(
            text,
            "[gear]\nend = [{along}, 0, 1]\ntoward = [{}, 0, 2]\nform = \"dd-3/4\"\nexposed = 2\n",
            along + 12.0
        );
        for i in 0..joints {
            let _ = writeln!(text, "[[joint]]\nname = \"j{i}\"\npart = \"single-3/4\"");
            if i > 0 && i + 1 < joints {
                let _ = writeln!(text, "centre = [{}, {}, {}]", 12 * i, i % 3, 2 * (i % 2));
            }
        }
        for i in 1..joints {
            let _ = writeln!(text, "[[shaft]]\nname = \"s{i}\"\nstock = \"dd-3/4\"\nmaterial = \"1018-cold-drawn\"");
            if i > 1 {
                let _ = writeln!(text, "bearing = {{ at = 6, bore = 0.757 }}");
            }
        }
        text
    }

    #[divan::bench(args = [2, 3, 5, 8])]
    fn solved(bencher: divan::Bencher, joints: usize) {
        let text = line(joints);
        let solve =
            || pipeline::solve("linkage.toml", text.as_bytes(), &mut |_| ()).map(|solved| solved.findings.len());
        assert!(solve().is_ok(), "the line of {joints} joints has a solution");
        bencher.bench(solve);
    }
}

/// A survey by the count of its points, six readings each, every point tied to its neighbours: about linear.
mod survey {
    use std::fmt::Write as _;

    use yokeline::check::rules;
    use yokeline::spec::Draft;
    use yokeline::survey;

    /// A frame of that many points beyond the six marks it begins with, five points a station.
    fn frame(points: usize) -> String {
        let at = |i: usize| {
            let (station, k) = ((i / 5) as f64, (i % 5) as f64);
            [900.0 * station + 31.0 * k, 350.0 * k - 90.0 * (k * k - 2.0), 240.0 * ((3.0 * k + station) % 4.0)]
        };
        let apart = |a: [f64; 3], b: [f64; 3]| (0..3).map(|m| (a[m] - b[m]).powi(2)).sum::<f64>().sqrt();
        let mut text = String::from("format = 1\n[build]\ntitle = \"frame\"\nunits = \"mm\"\n[survey]\n");
        for i in 0..6 {
            let _ = writeln!(text, "[[survey.mark]]\nname = \"P{i}\"\nat = {:?}", at(i));
        }
        for i in 6..points + 6 {
            for back in [1, 3, 4, 5, 6] {
                let reads = apart(at(i - back), at(i));
                let _ =
                    writeln!(text, "[[survey.tape]]\nfrom = \"P{}\"\nto = \"P{i}\"\nreads = \"{reads} mm\"", i - back);
            }
            let (along, reads) = (["x", "y", "z"][i % 3], at(i)[i % 3]);
            let _ = writeln!(text, "[[survey.offset]]\nof = \"P{i}\"\nalong = \"{along}\"\nreads = \"{reads} mm\"");
        }
        text
    }

    #[divan::bench(args = [50, 100, 200, 500])]
    fn adjusted(bencher: divan::Bencher, points: usize) {
        let text = frame(points);
        let Ok(draft) = Draft::read_bytes("linkage.toml", text.as_bytes(), &rules::limits()) else { return };
        assert!(survey::adjusted(&draft).is_ok(), "the frame of {points} points adjusts");
        bencher.bench(|| survey::adjusted(&draft).map(|found| found.places.len()));
    }
}

mod notch {
    use yokeline::geometry::{Frame, Vec2, Vec3};
    use yokeline::solve::bodies::{Room, RoomShape};
    use yokeline::solve::notch::WallRule;
    use yokeline::solve::rail::RailShape;
    use yokeline::solve::section::cells::{Cell, Plate, Tube};
    use yokeline::solve::solution::RailVertex;
    use yokeline::spec::types::Body;

    /// A 50 × 100 mm tube with 6 mm corners, 700 mm long, v = 0 in the middle of a corner.
    fn rail() -> Option<RailShape> {
        let frame = Frame::from_x_y(Vec3::default(), Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.0, 0.0, 1.0))?;
        let quarter = 3.0 * std::f64::consts::PI;
        let mut path = Vec::new();
        let mut v = 0.0;
        let mut add = |x: f64, y: f64, centre: Option<(f64, f64)>, length: f64| {
            path.push(RailVertex { v, at: Vec2::new(x, y), centre: centre.map(|(a, b)| Vec2::new(a, b)) });
            v += length;
        };
        let eighth = 6.0 * std::f64::consts::FRAC_1_SQRT_2;
        add(-6.0 + eighth, -6.0 + eighth, Some((-6.0, -6.0)), quarter / 2.0);
        add(0.0, -6.0, None, 88.0);
        add(0.0, -94.0, Some((-6.0, -94.0)), quarter);
        add(-6.0, -100.0, None, 38.0);
        add(-44.0, -100.0, Some((-44.0, -94.0)), quarter);
        add(-50.0, -94.0, None, 88.0);
        add(-50.0, -6.0, Some((-44.0, -6.0)), quarter);
        add(-44.0, 0.0, None, 38.0);
        add(-6.0, 0.0, Some((-6.0, -6.0)), quarter / 2.0);
        Some(RailShape { frame, origin: Vec3::default(), length: 700.0, path, closed: true, girth: v, wall: 3.0 })
    }

    /// A shaft past the named corner and `joints` joints along it, three rooms each.
    fn rooms(joints: usize) -> Vec<Room> {
        let (on, way) = (Vec3::new(350.0, 0.0, 0.0), Vec3::new(0.93, 0.28, -0.24));
        let cylinder =
            |body, from: Vec3, to: Vec3, radius| Room { body, shape: RoomShape::Cylinder { from, to, radius } };
        let mut rooms = vec![cylinder(Body::Shaft(0), on - way * 200.0, on + way * 200.0, 9.5)];
        for i in 0..joints {
            let centre = on + way * (60.0 * i as f64);
            rooms.push(Room { body: Body::Joint(i), shape: RoomShape::Ball { centre, radius: 19.0 } });
            rooms.push(cylinder(Body::Joint(i), centre, centre - way * 40.0, 22.0));
            rooms.push(cylinder(Body::Joint(i), centre, centre + way * 40.0, 22.0));
        }
        rooms
    }

    /// One interval of u of every room at 100 values of v.
    #[divan::bench]
    fn crossings(bencher: divan::Bencher) {
        let rule = rail().map(|rail| WallRule::new(&rail, &rooms(1), 9.5));
        bencher.bench(|| (0..100).map(|i| rule.as_ref().map(|r| r.crossings(f64::from(i) - 50.0))).collect::<Vec<_>>());
    }

    /// The whole notch, by the number of joints on the shaft.
    #[divan::bench(args = [0, 1, 2])]
    fn traced(bencher: divan::Bencher, joints: usize) {
        let Some(rail) = rail() else { return };
        let rooms = rooms(joints);
        bencher.bench(|| WallRule::new(&rail, &rooms, 9.5).trace(&rail, 9.5));
    }

    /// Arcs and cubics along an outline, by its points: grows with them.
    #[divan::bench(args = [250, 1000, 4000])]
    fn fitted(bencher: divan::Bencher, points: u32) {
        let step = std::f64::consts::TAU / f64::from(points);
        let outline: Vec<Vec2> =
            (0..points).map(|k| Vec2::polar(f64::from(k) * step)).map(|p| Vec2::new(p.x * 70.0, p.y * 24.0)).collect();
        bencher.bench(|| yokeline::geometry::hug::along(&outline, &|_, _| false, 9.5));
    }

    /// The outline of the whole notch made curves, by the number of joints on the shaft.
    #[divan::bench(args = [0, 1, 2])]
    fn fitted_notch(bencher: divan::Bencher, joints: usize) {
        let Some(rail) = rail() else { return };
        let Some(trace) = WallRule::new(&rail, &rooms(joints), 9.5).trace(&rail, 9.5) else { return };
        let along = |points: &Vec<Vec2>| yokeline::geometry::hug::along(points, &|_, _| false, 9.5);
        bencher.bench(|| trace.shop.iter().map(along).collect::<Vec<_>>());
    }

    /// Stations of a rail with a liner and two plates; grows with their number.
    #[divan::bench(args = [10, 40, 160])]
    fn section_sweep(bencher: divan::Bencher, stations: usize) {
        let Some(rail) = rail() else { return };
        let tube = Tube {
            base: Vec3::new(350.0, -3.0, -3.0),
            axis: Vec3::new(0.93, -0.24, 0.28),
            outside: 22.0,
            inside: 19.0,
        };
        let cell = Cell::new(&rail);
        let plates = [(12.0, 90.0), (260.0, 280.0)].map(|(from, to)| Plate { from, to, thick: 3.0 });
        let sweep = || {
            (0..stations)
                .map(|k| {
                    cell.made_good(330.0 + 40.0 * k as f64 / stations as f64, &[(-9.0, 9.0)], Some(&tube), &plates)
                })
                .map(|found| found.s_bending)
                .fold(f64::INFINITY, f64::min)
        };
        bencher.bench(sweep);
    }
}

/// A drawing on tiles: how time and bytes grow with the sheets.
mod tiles {
    use divan::counter::BytesCount;
    use yokeline::drawing::tile::{self, Grid, Job};
    use yokeline::drawing::title_block::Heading;
    use yokeline::drawing::{Role, Sheet};
    use yokeline::export::{PaperMeta, pdf};
    use yokeline::geometry::{Path, Vec2};
    use yokeline::spec::{self, Source, Spec};

    const HERON: &str = include_str!("../../examples/heron-roadster/linkage.toml");

    fn heron() -> Option<Spec> {
        let limits = yokeline::check::rules::limits();
        spec::read(Source { name: "linkage.toml", text: HERON }, &limits).ok().map(|(spec, _)| spec)
    }

    /// A panel of that many columns and rows of tiles, with a hole every 40 mm.
    fn book(spec: &Spec, [columns, rows]: [usize; 2]) -> Vec<Sheet> {
        // Letter leaves 178.9 by 219.4 mm a tile, 15 mm less from the second on.
        let size = [163.0 * columns as f64 + 15.0, 204.0 * rows as f64 + 15.0];
        let mut drawing = Sheet::new("Panel", size, true);
        drawing.keyed(Role::Cut, "outline", Path::rectangle(Vec2::new(3.0, 3.0), size[0] - 6.0, size[1] - 6.0, 20.0));
        let mut number = 0;
        for x in 1..(size[0] / 40.0) as u32 {
            for y in 1..(size[1] / 40.0) as u32 {
                number += 1;
                let centre = Vec2::new(40.0 * f64::from(x), 40.0 * f64::from(y));
                drawing.keyed(Role::Drill, format!("hole.{number}"), Path::circle(centre, 4.0));
            }
        }
        let heading = Heading { document: "plate template".into(), scale: "1:1".into() };
        let job = Job { title: "Panel", alt: "A panel.", heading: &heading, told: None, after: 0 };
        tile::sheets(spec, &Grid::of(spec.output.sheet, size), drawing, &job).sheets
    }

    fn meta() -> PaperMeta {
        PaperMeta {
            title: "Panel".into(),
            author: String::new(),
            subject: String::new(),
            date: String::new(),
            language: "en".into(),
            print_correction: [1.0, 1.0],
            parts: Vec::new(),
        }
    }

    /// Drawn and written, by columns and rows: 3, 11 and 41 sheets with the map.
    #[divan::bench(args = [[2, 1], [5, 2], [8, 5]])]
    fn written(bencher: divan::Bencher, count: [usize; 2]) {
        let Some(spec) = heron() else { return };
        let bytes = pdf::write(&book(&spec, count), &meta()).map_or(0, |bytes| bytes.len());
        let sheets = book(&spec, count).len();
        bencher
            .counter(BytesCount::new(bytes / sheets))
            .bench(|| pdf::write(&book(&spec, count), &meta()).map_or(0, |bytes| bytes.len()));
    }
}

/// Certified gaps of the roadster over motions: growth with obstacles and with motions.
mod travel {
    use std::fmt::Write as _;

    use yokeline::check::rules;
    use yokeline::solve::solve;
    use yokeline::spec::{self, Source, Spec};

    const HERON: &str = include_str!("../../examples/heron-roadster/linkage.toml");

    /// That many bars about the shaft, each moved by all of the motions.
    fn crowded(obstacles: usize, motions: usize) -> Option<Spec> {
        let mut text = HERON.to_owned();
        let names: Vec<String> = (0..obstacles).map(|i| format!("\"bar {i}\"")).collect();
        for (i, name) in names.iter().enumerate() {
            let turn = std::f64::consts::TAU * i as f64 / obstacles as f64;
            let (y, z) = (-11.5 + 7.0 * libm::cos(turn), 7.0 + 7.0 * libm::sin(turn));
            let _ = write!(
                text,
                "[[obstacle]]\nname = {name}\nkind = \"engine\"\n\
                 tube = {{ path = [[8.0, {y:.3}, {z:.3}], [20.0, {:.3}, {:.3}]], diameter = \"1 in\" }}\n",
                y - 1.0,
                z + 2.0,
            );
        }
        let all = [
            "turn = { about = [[0, 0, 6], [20, 0, 7]], from = \"-3 deg\", to = \"3 deg\" }",
            "shift = { along = [0, 1, 0], from = \"-1/4 in\", to = \"1/4 in\" }",
            "shift = { along = [0, 0, 1], from = \"-1/2 in\", to = \"1/2 in\" }",
        ];
        for (i, motion) in all.iter().take(motions).enumerate() {
            let _ = write!(text, "[[motion]]\nname = \"motion {i}\"\n{motion}\nmoves = [{}]\n", names.join(", "));
        }
        spec::read(Source { name: "linkage.toml", text: &text }, &rules::limits()).ok().map(|(spec, _)| spec)
    }

    fn solved(bencher: divan::Bencher, obstacles: usize, motions: usize) {
        let Some(spec) = crowded(obstacles, motions) else { return };
        assert_eq!(spec.motions.len(), motions, "the spec is as asked");
        bencher.bench(|| solve(&spec).map_or(0, |(solution, _)| solution.clearances.len()));
    }

    #[divan::bench(args = [5, 10, 20, 40])]
    fn obstacles_with_three_motions(bencher: divan::Bencher, obstacles: usize) {
        solved(bencher, obstacles, 3);
    }

    #[divan::bench(args = [0, 1, 2, 3])]
    fn motions_of_twenty_obstacles(bencher: divan::Bencher, motions: usize) {
        solved(bencher, 20, motions);
    }
}
