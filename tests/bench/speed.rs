//! How fast the parts are. `tests/bench/run` runs this and puts the figures beside those of other ways.
//!
//! Names of benches are `module::function`; the table of `tests/bench/run` refers to them.
//! Invariant: inputs are made before the clock runs, and every result is used.

#![allow(clippy::expect_used, reason = "a bench whose input cannot be read has to stop")]

mod joints;

/// With `write FILE JOINTS` writes the job of joints, for a whole process to read.
fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.as_slice() {
        [word, file, count, ..] if word == "write" => {
            let text = joints::text(count.parse().expect("how many joints"));
            std::fs::write(file, text).expect("the job of joints can be written");
        }
        _ => divan::main(),
    }
}

/// One year's profile of a ten-layer wall, `tests/bench/ten-layers.json`.
mod profile {
    use dewlap::base::quantity::{
        Duration, Pressure, RelativeHumidity, Temperature, ThermalResistance, VaporThickness,
    };
    use dewlap::physics::air;
    use dewlap::physics::profile::{Air, Build, Layer, MonthInput, Solver};
    use divan::{Bencher, black_box};
    use serde::Deserialize;

    #[derive(Deserialize)]
    struct Wall {
        outer_film: f64,
        inner_film: f64,
        layers: Vec<(f64, f64)>,
        outdoors: Vec<f64>,
        outdoor_humidity: Vec<f64>,
        indoors: f64,
        indoor_humidity: f64,
        days: Vec<f64>,
    }

    fn input() -> (Build, Vec<MonthInput>) {
        let wall: Wall =
            serde_json::from_str(include_str!("ten-layers.json")).expect("the wall of the bench is readable");
        let layer = |&(r, sd): &(f64, f64)| Layer::plain(ThermalResistance::new(r), VaporThickness::new(sd));
        let build = Build {
            outer_film: ThermalResistance::new(wall.outer_film),
            inner_film: ThermalResistance::new(wall.inner_film),
            layers: wall.layers.iter().map(layer).collect(),
        };
        let humid = |celsius: f64, humidity: f64| {
            let temperature = Temperature::new(celsius);
            let vapor = air::vapor_pressure(temperature, RelativeHumidity::new(humidity)).expect("an ordinary climate");
            Air { temperature, vapor }
        };
        let months = wall.outdoors.iter().zip(&wall.outdoor_humidity).zip(&wall.days);
        let month = |((t, humidity), days): ((&f64, &f64), &f64)| MonthInput {
            outdoor: humid(*t, *humidity),
            indoor: humid(wall.indoors, wall.indoor_humidity),
            duration: Duration::new(days * 86_400.0),
        };
        (build, months.map(month).collect())
    }

    /// Input in, year out: validation, slices, starting month, twelve months with memory, result.
    #[divan::bench]
    fn year(bencher: Bencher<'_, '_>) {
        let (build, months) = input();
        let mut solver = Solver::default();
        bencher.bench_local(|| solver.year(black_box(&build), black_box(&months)));
    }

    /// The floor: as many saturation pressures as the year needs, one for each node and month, and nothing else.
    #[divan::bench]
    fn saturation(bencher: Bencher<'_, '_>) {
        let (build, months) = input();
        let year = Solver::default().year(&build, &months).expect("an ordinary wall");
        let temperatures: Vec<Temperature> = year.months.iter().flat_map(|m| m.temperature.iter().copied()).collect();
        bencher.bench_local(|| -> Pressure {
            let all = black_box(&temperatures).iter();
            all.filter_map(|t| air::saturation_pressure(*t).ok()).sum()
        });
    }
}

/// Reading and lowering a large text of our own; the second size is four times the first, and the rate must hold.
mod reading {
    use dewlap::base::span::FileId;
    use dewlap::{model, syntax};
    use divan::counter::BytesCount;
    use divan::{Bencher, black_box};

    const SIZES: [usize; 2] = [1_000_000, 4_000_000];

    fn text(bytes: usize) -> String {
        let head = "job smithy\n  place albany-ny-us\n  code irc-2021\n  heated 68 F 40 %\n  cooled 75 F 55 %\n\n";
        let wall = |number: usize| {
            format!(
                "wall w{number} \"bay {number} of the long side\"\n  faces W\n  outdoors\n  boards:    wood-lap-siding 3/4 in\n  \
                 gap:       air 3/4 in, open top and bottom\n  outboard:  mineral-wool-board 2 in\n  \
                 membrane:  liquid-membrane-open 40 mil                     -> water air\n  \
                 sheathing: plywood 1/2 in, taped\n  studs:     2x6 at 16 in, bays mineral-wool-batt\n  \
                 lining:    drywall 1/2 in, edges sealed, painted\n  indoors\n\n"
            )
        };
        let mut text = head.to_string();
        (0..).map(wall).find(|w| {
            text.push_str(w);
            text.len() >= bytes
        });
        text
    }

    #[divan::bench(args = SIZES, sample_count = 20)]
    fn parse(bencher: Bencher<'_, '_>, bytes: usize) {
        let text = text(bytes);
        bencher.counter(BytesCount::of_str(&text)).bench_local(|| syntax::parse(FileId(0), black_box(&text)));
    }

    #[divan::bench(args = SIZES, sample_count = 20)]
    fn parse_and_lower(bencher: Bencher<'_, '_>, bytes: usize) {
        let text = text(bytes);
        bencher.counter(BytesCount::of_str(&text)).bench_local(|| {
            let trees = [syntax::parse(FileId(0), black_box(&text)).tree];
            let lowered = model::lower(&trees);
            // Both are handed out, so that freeing them is not timed.
            (trees, lowered)
        });
    }
}

/// Printing many findings of one text; the target is a second.
mod printing {
    use dewlap::base::finding::{Finding, Weight};
    use dewlap::base::source::{Source, Sources};
    use dewlap::base::span::{FileId, Span};
    use dewlap::output::look::Look;
    use dewlap::output::terminal;
    use divan::{Bencher, black_box};

    const LINE: &str = "  layer: plywood 1/2 in, sealed -> water air\n";

    #[divan::bench(args = [5_000, 20_000], sample_count = 10)]
    fn findings(bencher: Bencher<'_, '_>, count: usize) {
        let mut sources = Sources::default();
        sources.add(Source::new("big.dew", LINE.repeat(count)));
        let span = |line: usize, from: usize, to: usize| {
            Span::new(FileId(0), line * LINE.len() + from, line * LINE.len() + to)
        };
        let finding = |line: usize| {
            Finding::new("air/x", Weight::Fix, span(line, 9, 16), "something is open")
                .label("here")
                .also(span(line, 2, 7), "and here")
        };
        let findings: Vec<Finding> = (0..count).map(finding).collect();
        bencher.bench_local(|| {
            let mut out = Vec::new();
            terminal::findings(&mut out, &sources, black_box(&findings), &Look::default()).map(|()| out.len())
        });
    }
}
