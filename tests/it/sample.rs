//! A report made by hand: the figures are invented, chosen so that every part of an output has something to show.

use dewlap::base::finding::{Finding, Weight};
use dewlap::base::quantity::{
    Fraction, MoistureMass, Pressure, RelativeHumidity, Temperature, TemperatureDifference, Transmittance,
};
use dewlap::base::source::{Source, Sources};
use dewlap::base::span::{FileId, Span};
use dewlap::review::report::{
    Accepted, AirLine, Assumed, InterfaceLine, JobLine, MonthLine, NotRun, PathReport, PointLine, Report, SurfaceReport,
};

pub const TEXT: &str = "job press-room \"Cider press room on the barn's east side\"
  place    alder-ferry
  code     irc-2021
  heated   62 F 55 %

wall east \"2x4 wall, mineral wool in and out\"
  outdoors
  boards:    larch 7/8 in
  gap:       air 1 in, open top and bottom
  outboard:  mineral-wool-board 2 in
  membrane:  liquid-membrane-open 40 mil                     -> water air
  sheathing: plywood 1/2 in, sealed
  studs:     2x4 at 16 in, bays mineral-wool-batt
  lining:    drywall 1/2 in, painted
  indoors

wall barn \"24 in fieldstone\"
  existing
  outdoors
  stone:     fieldstone 24 in                                -> water air
  room barn
";

/// The span of the first place where `words` stand.
pub fn span(text: &str, words: &str) -> Span {
    let at = text.find(words).unwrap_or_else(|| panic!("`{words}` is not in the text"));
    Span::new(FileId(0), at, at + words.len())
}

pub fn sources() -> Sources {
    let mut sources = Sources::default();
    sources.add(Source::new("jobs/press-room.dew", TEXT));
    sources
}

pub fn report(metric: bool) -> Report {
    let at = |words| span(TEXT, words);
    Report {
        file: FileId(0),
        job: Some(JobLine {
            name: "press-room".into(),
            title: Some("Cider press room on the barn's east side".into()),
            place: "Alder Ferry, like Roanoke, Virginia".into(),
            zone: Some("4A (county list, IECC 2021)".into()),
            code: Some("irc-2021".into()),
            climate: "mean year of 2003 to 2021".into(),
            year: Some("mean"),
            notes: vec!["no design year: one in ten is colder and damper".into()],
            credits: vec!["Data of a weather service, averaged".into()],
            metric,
        }),
        details: Vec::new(),
        findings: findings(),
        accepted: vec![Accepted {
            finding: Finding::new("water/one-line", Weight::Watch, at("stone:"), "`stone` is the only line of defense"),
            because: "the eave stands 4 ft out, dry since 1911".into(),
            span: at("wall barn"),
        }],
        not_run: vec![
            NotRun {
                rule: "air/leak-path",
                surface: Some("barn".into()),
                joint: None,
                span: Some(at("room barn")),
                why: "no joint is drawn between `barn` and `east`".into(),
            },
            NotRun {
                rule: "water/defense-depth",
                surface: None,
                joint: Some("barn-tie".into()),
                span: None,
                why: "no joint is drawn between `barn` and `east`".into(),
            },
        ],
        assumed: vec![
            Assumed { surface: Some("east".into()), span: at("lining:"), what: "lining: seams taped".into() },
            Assumed { surface: None, span: at("job press-room"), what: "rain: normal".into() },
        ],
        unknown: 1,
        surfaces: vec![surface(), barn()],
    }
}

fn findings() -> Vec<Finding> {
    let at = |words| span(TEXT, words);
    vec![
        Finding::new(
            "air/open-edge",
            Weight::Fix,
            at("sheathing"),
            "`sheathing` is relied on for air, its edge is open",
        )
        .label("edge not sealed")
        .also(at("lining"), "no help from here")
        .surface("east")
        .detail("Room air at 62 F and 55 % has its dew point at 46 F; what leaks past the edge meets colder wood.")
        .help("seal the edge of `sheathing`, or write `edges sealed` where it is"),
        Finding::new(
            "dew/wet-interface",
            Weight::Stop,
            at("membrane"),
            "water lies between `membrane` and `sheathing`",
        )
        .label("wet Dec to Mar")
        .also(at("sheathing"), "takes it up")
        .surface("east")
        .detail("At most 210 g/m2 in February, over the limit of 200 g/m2 of ISO 13788. It is dry again in May.")
        .help("put at least 3.1 in of mineral wool outboard of `membrane`")
        .number("peak", 0.21, "kg/m2"),
        Finding::new("match/sun-days", Weight::Watch, at("-> water air"), "cover `membrane` within 60 days")
            .surface("east"),
    ]
}

/// One path with seven interfaces; water between `membrane` and `sheathing` from December to March.
fn surface() -> SurfaceReport {
    let labels = ["boards", "gap", "outboard", "membrane", "sheathing", "studs", "lining"];
    let mut interfaces = vec![InterfaceLine { outside: None, inside: Some("outboard".into()), within: false }];
    interfaces.extend(labels.windows(2).skip(2).map(|pair| InterfaceLine {
        outside: Some(pair[0].into()),
        inside: Some(pair[1].into()),
        within: false,
    }));
    interfaces.push(InterfaceLine { outside: Some("lining".into()), inside: None, within: false });
    let water = [0.15, 0.21, 0.09, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.08];
    let outdoor = [2.0, 3.5, 8.0, 13.5, 18.0, 22.5, 24.5, 24.0, 20.0, 14.0, 8.5, 3.5];
    let count = interfaces.len();
    let months = (0..12)
        .map(|m| MonthLine {
            month: m as u8 + 1,
            outdoor: air(outdoor[m], 650.0 + 70.0 * outdoor[m]),
            indoor: air(20.0, 1285.0),
            points: (0..count)
                .map(|i| {
                    let part = i as f64 / (count - 1) as f64;
                    let wet = i == 2 && water[m] > 0.0;
                    let t = outdoor[m] + (20.0 - outdoor[m]) * part;
                    let humidity = if wet { 1.0 } else { 0.86 - 0.35 * part };
                    PointLine {
                        temperature: Temperature::new(t),
                        saturation: Pressure::new(1000.0 + 60.0 * t),
                        vapor: Pressure::new((1000.0 + 60.0 * t) * humidity),
                        humidity: RelativeHumidity::new(humidity),
                        margin: TemperatureDifference::new(if wet { 0.0 } else { 2.4 + 8.0 * part }),
                        water: MoistureMass::new(if i == 2 { water[m] } else { 0.0 }),
                    }
                })
                .collect(),
        })
        .collect();
    let path = PathReport {
        name: "between members",
        share: Fraction::new(0.84),
        interfaces,
        months,
        first_month: Some(12),
        peak: MoistureMass::new(0.21),
        peak_month: Some(2),
        left: MoistureMass::new(0.0),
    };
    let mut dry = path.clone();
    dry.name = "through members";
    dry.share = Fraction::new(0.16);
    dry.peak = MoistureMass::new(0.0);
    (dry.first_month, dry.peak_month) = (None, None);
    for point in dry.months.iter_mut().flat_map(|m| m.points.iter_mut()) {
        point.water = MoistureMass::new(0.0);
        point.humidity = RelativeHumidity::new(point.humidity.si().min(0.86));
    }
    SurfaceReport {
        name: "east".into(),
        span: span(TEXT, "wall east"),
        kind: "wall",
        u_value: Some(Transmittance::new(0.25)),
        u_note: "mean of the upper and lower limit, ISO 6946".into(),
        paths: vec![path, dry],
        no_profile: None,
        notes: vec!["the gap is vented: what lies outside of it is left out of the vapor sum".into()],
    }
}

fn barn() -> SurfaceReport {
    SurfaceReport {
        name: "barn".into(),
        span: span(TEXT, "wall barn"),
        kind: "wall",
        u_value: None,
        u_note: "`fieldstone` has no conductivity of its own here".into(),
        paths: Vec::new(),
        no_profile: Some("the air of room `barn` is not described".into()),
        notes: Vec::new(),
    }
}

fn air(temperature: f64, vapor: f64) -> AirLine {
    AirLine { temperature: Temperature::new(temperature), vapor: Pressure::new(vapor), capped: false }
}
