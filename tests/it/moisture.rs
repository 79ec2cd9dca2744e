//! Special cases of moisture: what a monthly sum leaves out, each with its figure, and the dew rules at their borders.
//!
//! Figures without another source are our own, from a second program (not published).

use crate::physics::{build, build_between, humid, near, spell, winter, year_of};
use dewlap::base::finding::{Finding, Weight};
use dewlap::base::quantity::*;
use dewlap::physics::profile::*;
use dewlap::physics::{air, leak, sun};
use dewlap::review::report::Report;
use dewlap::review::{Input, review};

/// Outdoors of the second program's examples (recalled from the annex of ISO 13788), the room at 20 degC and 50 %.
fn temperate() -> Vec<MonthInput> {
    const T: [f64; 12] = [-1.0, 0.0, 4.0, 9.0, 14.0, 18.0, 19.0, 19.0, 15.0, 10.0, 5.0, 1.0];
    const H: [f64; 12] = [0.85, 0.84, 0.78, 0.72, 0.68, 0.69, 0.73, 0.75, 0.79, 0.83, 0.88, 0.88];
    year_of(|m| (humid(T[m], H[m]), humid(20.0, 0.5)))
}

fn report(text: &str) -> Report {
    let input = Input { name: "case.dew".to_string(), text: text.to_string() };
    let done = review(vec![input], &mut |_, path| Err(format!("nothing to include at {path}")));
    let report = done.reports.into_iter().next().unwrap();
    let unread: Vec<_> = report.findings.iter().filter(|f| f.rule.starts_with("notation/")).collect();
    assert!(unread.is_empty(), "{unread:?}");
    report
}

fn notes(text: &str) -> String {
    report(text).surfaces.iter().flat_map(|s| s.notes.clone()).collect::<Vec<_>>().join("\n")
}

fn of_rule(text: &str, rule: &str) -> Option<Finding> {
    report(text).findings.into_iter().find(|f| f.rule == rule)
}

fn wall(job: &str, layers: &str) -> String {
    format!("job dairy\n{job}\nwall north\n  outdoors\n{layers}\n  indoors\n")
}

const DULUTH: &str = "  place duluth-mn-us\n  heated 68 F 40 %";

#[test]
fn a01_wood_stores_what_settles_at_it() {
    let text = wall(
        "  place oslo-no\n  heated 20 C 50 %",
        "  render: cement-lime-render 10 mm\n  board: wood-fiber-board 60 mm, 160 kg/m3\n  \
         wool: mineral-wool-board 120 mm\n  lining: drywall 13 mm sd 1 m",
    );
    let report = report(&text);
    let peak = report.surfaces[0].paths[0].peak.si();
    assert!(peak > 0.0);
    // 200 g/m2 would be 2.1 % of 60 mm at 160 kg/m3.
    near("the share of the trap", 0.2 / (160.0 * 0.06) * 100.0, 2.1, 0.05);
    let share = format!("({:.1} % of its dry mass)", peak / (160.0 * 0.06) * 100.0);
    let notes = report.surfaces[0].notes.join("\n");
    assert!(notes.contains("`board` takes the water at it up") && notes.contains(&share), "{share}\n{notes}");
}

#[test]
fn a02_a_lining_that_draws_water_is_not_decided() {
    let lined = |inner: &str| {
        let layers = format!(
            "  brick: solid-brick 240 mm\n  silicate: calcium-silicate-board 80 mm, adhered\n{inner}  plaster: lime-plaster 10 mm"
        );
        report(&wall("  place munich-de\n  heated 20 C 50 %", &layers))
    };
    let decided = |r: &Report| r.not_run.iter().any(|n| n.why.contains("a sum of vapor does not decide that"));
    let open = lined("");
    assert!(decided(&open) && !open.findings.iter().any(|f| f.rule == "dew/peak-condensate"), "{:?}", open.not_run);
    assert!(!decided(&lined("  film: poly 0.2 mm, taped\n")));
}

#[test]
fn a03_sun_on_wet_brick_drives_vapor_that_the_month_does_not_show() {
    let layers = [(0.1, 0.5), (0.0, 0.05), (2.5, 0.1), (0.0, 100.0), (0.05, 0.1)];
    let wall = build(&layers);
    let wet = sun::drive(&wall, sun::FACE, humid(24.0, 0.5)).unwrap();
    assert_eq!(wet.iter().map(|w| w.interface).collect::<Vec<_>>(), [3]);
    let grams = wet[0].rate.si() * 3.6e6;
    // Printed 4.5, with an outer film that cools the face; by hand without it: what passes 0.65 m, less what goes on.
    let face = air::saturation_pressure(wet[0].temperature).unwrap().si();
    let drive = air::saturation_pressure(sun::FACE).unwrap().si() - face;
    let on = face - humid(24.0, 0.5).vapor.si();
    near("rate by hand", grams, 2e-10 * (drive / 0.65 - on / 100.1) * 3.6e6, 1e-6);
    let filmed = spell(humid(40.0, 1.0), humid(24.0, 0.5), 1.0 / 24.0);
    let printed = Solver::default().sequence(&build_between(0.04, 0.13, &layers), &[filmed], &[]).unwrap().end().si();
    near("rate with the film", printed * 1000.0, 4.5, 0.06);
    // The same wall month by month, as far as the air is that of a warm summer: nothing.
    let summer = spell(humid(28.0, 0.65), humid(24.0, 0.5), 31.0);
    assert_eq!(Solver::default().sequence(&wall, &[summer], &[]).unwrap().end(), MoistureMass::ZERO);
}

#[test]
fn a04_water_that_is_built_in_stays_or_goes() {
    let after = |outside: f64, inside: f64, years: usize| {
        let wall = build(&[(0.0, outside), (3.0, 0.1), (0.02, inside)]);
        let water = vec![Water { interface: 1, mass: MoistureMass::new(0.25) }];
        Solver::default().years(&wall, &temperate(), &Start { month: Some(0), water }, years).unwrap()
    };
    let closed = after(1000.0, 1000.0, 5);
    near("after a year", closed[0].end().si() * 1000.0, 247.0, 0.1);
    near("after five", closed[4].end().si() * 1000.0, 235.0, 0.5);
    let open: Vec<f64> = after(0.3, 2.0, 1)[0].months.iter().map(|m| m.total().si() * 1000.0).collect();
    near("January", open[0], 228.5, 0.5);
    near("February", open[1], 179.3, 0.5);
    assert!(open[2].abs() < 1e-9);
}

#[test]
fn a05_a_small_leak_brings_more_than_diffusion() {
    let (room, cold) = (humid(20.0, 0.5), Temperature::new(-2.0));
    let grams = |rate: f64| rate * 1000.0 * 86_400.0;
    let by_mass = grams(leak::left_on(leak::STATED_LEAK, room, cold).unwrap().si());
    // The printed 10.8 lets the air shrink as it cools; by mass it is up to 8 % more.
    let held = air::saturation_pressure(cold).unwrap();
    let volume =
        air::vapor_content(room.vapor, room.temperature).unwrap().si() - air::vapor_content(held, cold).unwrap().si();
    near("by volume", grams(volume * leak::STATED_LEAK.si()), 10.8, 0.05);
    assert!(by_mass > 10.8 && by_mass < 10.8 * 1.08, "{by_mass}");
    let diffusion = |sd: f64| grams(2e-10 * (room.vapor - held).si() / sd);
    near("through 2 m", diffusion(2.0), 5.6, 0.05);
    near("through 100 m", diffusion(100.0), 0.11, 0.005);
}

#[test]
fn a07_the_sky_cools_a_roof() {
    let roof = build(&[(0.0, 100.0), (5.0, 0.1), (0.0, 5.0)]);
    let grams = |face: f64| {
        let outdoor = Air { temperature: Temperature::new(face), vapor: humid(-5.0, 0.8).vapor };
        let month = spell(outdoor, humid(20.0, 0.5), 90.0);
        Solver::default().sequence(&roof, &[month], &[]).unwrap().end().si() * 1000.0
    };
    assert!(grams(-9.0) > grams(-5.0) * 1.12, "{} {}", grams(-5.0), grams(-9.0));
    let text = "job dairy\n  place duluth-mn-us\n  heated 68 F 40 %\nroof flat\n  slope 2 %\n  outdoors\n  \
                sheet: rubber-membrane 60 mil, welded\n  foam: xps 8 in\n  deck: plywood 3/4 in\n  indoors\n";
    assert!(notes(text).contains("the sky cools this skin"), "{}", notes(text));
    let vented = text.replace("  foam:", "  gap: air 2 in, open both sides\n  foam:");
    assert!(!notes(&vented).contains("the sky cools this skin"));
}

#[test]
fn a09_frost_is_told_and_the_amount_stands() {
    let layers = "  brick: solid-brick 8 in\n  wool: mineral-wool-batt 4 in\n  lining: drywall 1/2 in";
    let notes = notes(&wall(DULUTH, layers));
    assert!(notes.contains("the water at `brick` is below freezing in"), "{notes}");
    let mild = wall("  place seattle-wa-us\n  heated 68 F 60 %", layers);
    assert!(!self::notes(&mild).contains("below freezing"));
}

#[test]
fn a12_wind_in_deep_loose_insulation() {
    let attic = |fill: &str| {
        format!(
            "job dairy\n  place duluth-mn-us\n  heated 68 F 40 %\nroom loft\n  open eave and ridge 1/150\nceiling shop\n  \
             loft\n{fill}  board: drywall 5/8 in, painted\n  indoors\n"
        )
    };
    let says = |fill: &str| notes(&attic(fill)).contains("nothing keeps wind off the outer side of `fill`");
    assert!(says("  fill: glass-blown 101 mm\n") && !says("  fill: glass-blown 100 mm\n"));
    assert!(!says("  wind: housewrap, taped\n  fill: glass-blown 300 mm\n"));
}

#[test]
fn b01_a_margin_too_small_is_called_sensitive() {
    let with = |humidity: u32| {
        let job = format!("  place duluth-mn-us\n  heated 68 F {humidity} %");
        notes(&wall(
            &job,
            "  board: board-sheathing 3/4 in\n  wool: mineral-wool-batt 4 in\n  lining: drywall 1/2 in, 0.5 perm",
        ))
    };
    let said: Vec<bool> = (20..70).map(|h| with(h).contains("sensitive: ")).collect();
    let wet: Vec<bool> = (20..70).map(|h| with(h).contains("points damper")).collect();
    let first = said.iter().position(|s| *s).unwrap();
    assert!(first > 0 && !wet[first], "sensitive before it is wet");
    assert!(said.iter().zip(&wet).all(|(s, w)| !(*s && *w)), "wet is no longer sensitive");
}

#[test]
fn b02_five_points_more_are_run() {
    let text = wall(
        "  place duluth-mn-us\n  heated 68 F 40 %",
        "  skin: sheet-steel 1 mm, seams sealed\n  wool: mineral-wool-batt 6 in\n  lining: drywall 1/2 in",
    );
    let first = report(&text);
    let peak = first.surfaces[0].paths[0].peak.si() * 1000.0;
    let note = first.surfaces[0].notes.iter().find(|n| n.contains("5 points damper")).unwrap().clone();
    assert!(note.ends_with(&format!("instead of {peak:.0} g/m2")), "{note}");
    // The panel wall of the second program: 11.7 g/m2 a point.
    let panel = build_between(0.04, 0.25, &[(0.15, 1.90), (4.0, 0.16), (0.0, 2.0), (0.15, 0.95)]);
    let grams = |h: f64| crate::physics::grams(&mut Solver::default(), &panel, winter(h));
    for (humidity, printed) in [(0.45, 211.0), (0.50, 269.0), (0.55, 328.0), (0.60, 386.0)] {
        near("panel wall", grams(humidity), printed, 0.6);
    }
}

#[test]
fn b06_a_room_never_warmer_is_said() {
    let text = wall("  place honolulu-hi-us\n  cooled 75 F 55 %", "  block: block 8 in\n  lining: drywall 1/2 in");
    assert!(notes(&text).contains("the room face is not judged"), "{}", notes(&text));
}

#[test]
fn b07_mold_inside_needs_no_water() {
    let wall = build(&[(0.3, 2.4), (2.0, 0.1), (0.0, 5.0), (0.05, 0.1)]);
    let month = spell(humid(5.0, 0.85), humid(20.0, 0.5), 31.0);
    let year = Solver::default().sequence(&wall, &[month], &[]).unwrap();
    let at = year.closest().into_iter().find(|c| c.interface == 1).unwrap();
    assert_eq!(year.verdict, Verdict::Dry);
    near("humidity", at.humidity.si() * 100.0, 87.0, 0.6);
    let node = year.nodes.iter().position(|n| n.interface == Some(1)).unwrap();
    near("temperature", year.months[0].temperature[node].si(), 7.0, 0.1);
}

fn roof(gap: &str, slope: &str) -> String {
    format!(
        "job porch\n  place portland-me-us\n  heated 68 F 40 %\nroof main\n  slope {slope}\n  outdoors\n  \
         metal: standing-seam-steel\n  deck: plywood 5/8 in\n  gap: {gap}\n  rafters: 2x10 at 24 in, bays mineral-wool-batt\n  \
         membrane: smart-membrane, taped, edges sealed -> air vapor\n  ceiling: drywall 1/2 in, painted\n  indoors\n"
    )
}

#[test]
fn a_roof_gap_is_told_for_its_ends_or_for_its_depth() {
    let rules = |gap: &str, slope: &str| {
        let found = report(&roof(gap, slope)).findings;
        ["dew/one-ended-roof-gap", "dew/pinched-vent-gap"].map(|rule| found.iter().any(|f| f.rule == rule))
    };
    assert_eq!(rules("air 1 in, open eave and ridge", "6:12"), [false, false]);
    assert_eq!(rules("air 25 mm, open eave and ridge", "6:12"), [false, false]);
    assert_eq!(rules("air 24 mm, open eave and ridge", "6:12"), [false, true]);
    assert_eq!(rules("air 49 mm, open both sides", "8 %"), [false, true]);
    assert_eq!(rules("air 49 mm, open both sides", "9 %"), [false, false]);
    assert_eq!(rules("air 2 in, open ridge", "6:12"), [true, false]);
    assert_eq!(rules("air 2 in, open one side", "6:12"), [true, false]);
    assert_eq!(rules("air 1/2 in, closed", "6:12"), [true, false]);
    // Within the rafters' bays, and over the roof's water layer, where it airs the covering alone.
    let text = roof("air 2 in, open eave and ridge", "6:12");
    let bays = text
        .replace("  gap: air 2 in, open eave and ridge\n", "")
        .replace("bays mineral-wool-batt", "bays air 2 in + mineral-wool-batt, open eave");
    assert!(of_rule(&bays, "dew/one-ended-roof-gap").is_some());
    let covering = text
        .replace("open eave and ridge", "open eave")
        .replace("  rafters:", "  felt: felt, lapped 6 in -> water\n  rafters:");
    assert!(of_rule(&covering, "dew/one-ended-roof-gap").is_none());
    // Nobody said: neither passed nor found fault with.
    let unsaid = report(&roof("air 2 in, open unknown", "6:12"));
    assert!(unsaid.not_run.iter().any(|n| n.rule == "dew/one-ended-roof-gap"));
}

#[test]
fn a_roof_with_insulation_outside_of_the_gap_is_not_asked() {
    let text = roof("air 2 in, closed", "6:12").replace("  deck:", "  foam: xps 3 in\n  deck:");
    assert!(of_rule(&text, "dew/one-ended-roof-gap").is_none());
}

#[test]
fn roof_vents_at_their_ratios() {
    let small = |place: &str, open: &str, ceiling: &str| {
        let text = format!(
            "job bakery\n  place {place}\n  code irc-2021\n  heated 68 F 40 %\nroom loft\n  open {open}\nceiling shop\n  loft\n  \
             fill: glass-blown R-49\n{ceiling}  board: drywall 5/8 in\n  indoors\n"
        );
        of_rule(&text, "dew/small-roof-vents").is_some()
    };
    let film = "  film: smart-membrane, taped\n";
    assert!(!small("portland-me-us", "gables 1/150", ""));
    assert!(small("portland-me-us", "gables 1/151", film));
    assert!(!small("portland-me-us", "eave and ridge 1/300", film));
    assert!(small("portland-me-us", "eave and ridge 1/301", film));
    // From zone 6 on the ceiling needs a retarder; Portland lies in zone 6, Philadelphia in 4.
    assert!(small("portland-me-us", "eave and ridge 1/300", ""));
    assert!(!small("philadelphia-pa-us", "eave and ridge 1/300", ""));
}

#[test]
fn frost_asks_for_cold_rain_and_insulation() {
    let weight = |place: &str, rain: &str, brick: &str, wool: &str| {
        let layers = format!(
            "  brick: solid-brick 12 in, existing{brick}\n  wool: mineral-wool-board {wool}\n  lining: cement-board 1/2 in"
        );
        let job = format!("  place {place}\n  rain {rain}\n  heated 68 F 30 %");
        of_rule(&wall(&job, &layers), "dew/frost-in-masonry").map(|f| f.weight)
    };
    let cold = "portland-me-us";
    assert_eq!(weight(cold, "normal", "", "2 in"), Some(Weight::Watch));
    assert_eq!(weight(cold, "severe", "", "2 in"), Some(Weight::Fix));
    assert_eq!(weight(cold, "normal", ", catches water", "2 in"), Some(Weight::Fix));
    assert_eq!(weight(cold, "sheltered", ", catches water", "2 in"), Some(Weight::Fix));
    assert_eq!(weight(cold, "sheltered", "", "2 in"), None);
    assert_eq!(weight(cold, "severe", ", frost tested", "2 in"), None);
    assert_eq!(weight(cold, "severe", "", "RSI 0.34"), None);
    assert_eq!(weight(cold, "severe", "", "RSI 0.36"), Some(Weight::Fix));
    assert_eq!(weight("philadelphia-pa-us", "severe", "", "2 in"), None);
    // The strip of a foundation that stands above grade.
    let cellar = "job dairy\n  place portland-me-us\n  rain severe\n  heated 68 F 30 %\nwall cellar\n  ground 6 ft, 1 ft above grade\n  \
                  block: block 8 in\n  foam: xps 2 in\n  lining: cement-board 1/2 in\n  indoors\n";
    assert!(of_rule(cellar, "dew/frost-in-masonry").is_none());
    // Marine 4.
    assert_eq!(weight("seattle-wa-us", "severe", "", "2 in"), Some(Weight::Fix));
}

#[test]
fn leaking_air_needs_a_way_a_cold_face_and_three_months() {
    let with = |humidity: u32, lining: &str| {
        let layers = format!(
            "  siding: wood-lap-siding 3/4 in\n  gap: air 3/4 in, open top and bottom\n  sheath: board-sheathing 3/4 in\n  \
             wool: mineral-wool-batt 6 in\n  lining: drywall 1/2 in{lining}"
        );
        let job = format!("  place chicago-il-us\n  heated 68 F {humidity} %");
        of_rule(&wall(&job, &layers), "dew/leaking-air")
    };
    assert!(with(40, ", taped, edges sealed -> air").is_none());
    assert_eq!(with(45, "").map(|f| f.weight), Some(Weight::Fix));
    let months = |f: &Finding| f.numbers.iter().find(|n| n.name == "months").unwrap().value;
    let driest: Vec<Finding> = (10..45).filter_map(|h| with(h, "")).collect();
    assert!(driest.iter().all(|f| (f.weight == Weight::Fix) == (months(f) >= 3.0)));
    assert!(driest.iter().any(|f| f.weight == Weight::Watch) && with(10, "").is_none());
}

#[test]
fn wood_may_be_closed_in_at_nineteen_percent() {
    let of = |words: &str| {
        let layers = format!(
            "  siding: wood-lap-siding 3/4 in\n  gap: air 3/4 in, open top and bottom\n  wrap: housewrap, lapped 6 in\n  \
             studs: 2x6 at 16 in, bays mineral-wool-batt{words}\n  lining: drywall 1/2 in, painted"
        );
        of_rule(&wall(DULUTH, &layers), "dew/wet-when-covered")
    };
    assert!(of(", at 19 %").is_none());
    assert_eq!(of(", at 20 %").map(|f| f.weight), Some(Weight::Fix));
    assert!(of("").is_none());
}

#[test]
fn the_drying_reserve_is_asked_where_it_is_the_trades_rule() {
    let of = |place: &str, heated: &str, film: &str| {
        let layers = format!(
            "  boards: larch 21 mm\n  gap: air 30 mm, open top and bottom\n  foam: xps 100 mm\n  panel: osb 18 mm\n  \
             studs: 60x160 mm at 625 mm, bays mineral-wool-batt\n  film: {film}\n  lining: gypsum-fiber-board 12.5 mm"
        );
        of_rule(&wall(&format!("  place {place}\n  {heated}"), &layers), "dew/thin-drying-reserve")
    };
    let heated = "heated 20 C 40 %";
    let thin = of("munich-de", heated, "poly 0.2 mm").unwrap();
    assert_eq!(thin.weight, Weight::Watch);
    // By hand: 500 Pa over the two sides of the panel's inner face for 90 days; nothing settles in winter.
    let reserve = thin.numbers.iter().find(|n| n.name == "drying_reserve").unwrap().value;
    assert!(reserve > 2e-10 * 500.0 / 20.0 * 7_776_000.0 && reserve < 0.1, "{reserve}");
    assert!(of("zurich-ch", heated, "poly 0.2 mm").is_some() && of("vienna-at", heated, "poly 0.2 mm").is_some());
    assert!(of("strasbourg-fr", heated, "poly 0.2 mm").is_none());
    assert!(of("munich-de", heated, "smart-membrane").is_none());
    assert!(of("munich-de", "heated 20 C 60 %, held", "poly 0.2 mm").is_none());
    assert!(of("munich-de", "heated 20 C 40 %\n  cooled 25 C 55 %", "poly 0.2 mm").is_none());
}

#[test]
fn metal_sweats_from_a_humidity_on() {
    let of = |humidity: u32, across: &str| {
        let layers = format!(
            "  siding: fiber-cement-siding\n  gap: air 3/4 in, open top and bottom\n{across}  sheath: gypsum-sheathing 1/2 in, taped\n  \
             steel: steel-stud 3-5/8 in 20 ga at 16 in, bays mineral-wool-batt\n  lining: cement-board 1/2 in"
        );
        let job = format!("  place duluth-mn-us\n  heated 68 F {humidity} %");
        of_rule(&wall(&job, &layers), "dew/metal-bridge-sweats")
    };
    let first = (30..80).find(|h| of(*h, "").is_some()).unwrap();
    assert!((50..70).contains(&first), "{first}");
    // What the help says the room may have is where it turns.
    let help = of(first, "").unwrap().help;
    assert!(help.ends_with(&format!("at or below {} %", first - 1)), "{help}");
    assert!(of(first, "  boards: mineral-wool-board R-2\n").is_none());
    let wood = "  studs: 2x4 at 16 in, bays mineral-wool-batt\n  lining: cement-board 1/2 in";
    assert!(of_rule(&wall("  place duluth-mn-us\n  heated 68 F 75 %", wood), "dew/metal-bridge-sweats").is_none());
}

#[test]
fn concrete_has_less_to_lose_the_later_it_is_covered() {
    let of = |words: &str, floor: &str| {
        let text = format!(
            "job dairy\n  place oslo-no\n  heated 18 C 50 %\nslab floor\n  indoors\n{floor}  pour: concrete 100 mm{words}\n  \
             sheet: poly-10-mil, lapped 150 mm, taped -> air vapor\n  foam: xps 100 mm\n  ground\n"
        );
        of_rule(&text, "dew/wet-when-covered")
    };
    let wood = "  finish: vinyl-floor 3 mm\n  boards: plywood 18 mm\n";
    let water = |days: u32| {
        let found = of(&format!(", covered at {days} days"), wood)?;
        found.numbers.iter().find(|n| n.name == "water").map(|n| n.value)
    };
    // 70 kg/m3 of 100 mm; a month more is 25 mm less; four months more and nothing is left.
    near("at 28 days", water(28).unwrap(), 7.0, 1e-9);
    near("at 58 days", water(58).unwrap(), 5.25, 1e-9);
    assert_eq!(water(148), None);
    assert_eq!(of(", covered at 28 days", wood).map(|f| f.weight), Some(Weight::Stop));
    // Bare to the room it dries by itself, and a sheet keeps it off the wood.
    assert!(of(", covered at 28 days", "").is_none() && of("", wood).is_none());
    let kept =
        of(", covered at 28 days", "  finish: vinyl-floor 3 mm\n  boards: plywood 18 mm\n  film: poly 0.2 mm, taped\n");
    assert!(kept.is_none());
    // Foam is not wood: what it would have to lose is not known.
    let foam = wall(DULUTH, "  foam: xps 2 in, at 22 %\n  block: block 8 in");
    assert!(report(&foam).not_run.iter().any(|n| n.rule == "dew/wet-when-covered"));
}

#[test]
fn a_cold_room_chills_the_far_face_until_it_is_insulated_as_told() {
    let of = |shop: u32, foam: &str| {
        let text = format!(
            "job butter\n  place strasbourg-fr\n  units metric\n  always 2 C 80 %, held\nroom shop\n  always 24 C {shop} %\n\
             wall between\n  shop\n  pour: concrete 100 mm\n{foam}  indoors\n"
        );
        of_rule(&text, "dew/cooled-room-surface")
    };
    // Film over all: the face is at 24 - 22 x 0.13/(0.13 + 0.1/lambda + 0.13), and 24 C has its dew point there at some humidity.
    let first = (30..90).find(|h| of(*h, "").is_some()).unwrap();
    let found = of(first, "").unwrap();
    let figure = |name: &str| found.numbers.iter().find(|n| n.name == name).unwrap().value;
    assert!(figure("face") < figure("dew_point") && figure("dew_point") - figure("face") < 0.3);
    assert_eq!((found.weight, figure("months") as u32), (Weight::Fix, 12));
    // What is told to be added, rounded up to a tenth, is enough.
    let help = of(75, "").unwrap().help;
    let rsi: f64 = help.split("RSI ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!(of(75, &format!("  foam: xps RSI {rsi:.2}\n")).is_none(), "{help}");
    assert!(of(75, &format!("  foam: xps RSI {:.2}\n", rsi - 0.11)).is_some(), "{help}");
}
