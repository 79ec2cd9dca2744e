//! Figures of materials as they reach the reader: at which thickness, temperature and humidity they hold, how far off they
//! may be, and which of them nobody looked up.

use crate::physics::near;
use assert_cmd::Command;
use dewlap::base::unit::R_VALUE;
use dewlap::catalog::{self, Property};
use dewlap::review::report::Report;
use dewlap::review::{Input, review};

fn reviewed(place: &str, layers: &str) -> Report {
    let text = format!(
        "job creamery\n  place {place}\n  heated 20 C 50 %\n  units metric\n\nwall north\n  outdoors\n{layers}  indoors\n"
    );
    let root = Input { name: "figures.dew".to_string(), text };
    review(vec![root], &mut |_, _| Err("no such file".to_string())).reports.remove(0)
}

#[test]
fn sprayed_foam_stops_air_from_its_thickness() {
    let leaks = |foam: &str, control: &str| {
        let report = reviewed(
            "duluth-mn-us",
            &format!("  sheath: wood-fiber-sheathing 35 mm\n  foam: {foam}{control}\n  lining: drywall 12.5 mm\n"),
        );
        report.findings.iter().any(|f| f.rule == "air/thin-foam")
    };
    for (foam, tight, thin) in [("spf-open", "76 mm", "75 mm"), ("spf-closed", "38 mm", "37 mm")] {
        assert!(!leaks(&format!("{foam} {tight}"), " -> air"), "{foam} {tight}");
        assert!(leaks(&format!("{foam} {thin}"), " -> air"), "{foam} {thin}");
    }
    // 3 in is a rounding more than 76 mm, and so is 1-1/2 in than 38.
    assert!(!leaks("spf-open 3 in", " -> air") && !leaks("spf-closed 1-1/2 in", " -> air"));
}

#[test]
fn the_u_value_says_at_which_mean_temperature_foam_is_taken() {
    let of = |place: &str, foam: &str| {
        let report =
            reviewed(place, &format!("  foam: {foam}\n  sheath: plywood 12.7 mm\n  lining: drywall 12.5 mm\n"));
        let surface = &report.surfaces[0];
        (1.0 / surface.u_value.unwrap().si(), surface.u_note.clone())
    };
    let (cold, note) = of("duluth-mn-us", "polyiso-glass 100 mm");
    assert!(note.contains("`foam` at its mean of ") && note.ends_with(" while heated"), "{note}");
    let label = 0.1 / 0.0255;
    let others = of("duluth-mn-us", "eps 100 mm, RSI 0.001").0 - 0.001;
    // Between the 4 C and the 24 C of the catalog's points: a tenth or so less than its label.
    let worth = cold - others;
    assert!((0.86..0.97).contains(&(worth / label)), "{}", worth / label);
    // What is not known to follow says nothing.
    assert!(!of("duluth-mn-us", "mineral-wool-board 100 mm").1.contains("mean"));
    // A written resistance of what cold makes better stays as it is; of what it makes worse it is that of 24 C.
    near("eps, written", of("duluth-mn-us", "eps 100 mm, RSI 3").0 - others, 3.0, 1e-9);
    assert!(of("duluth-mn-us", "polyiso-glass 100 mm, RSI 4").0 - others < 3.9);
}

#[test]
fn a_finding_says_which_permeances_are_from_memory() {
    let detail = |paint: &str, skin: &str| {
        let layers = format!("  skin: {skin}\n  wool: mineral-wool-board 140 mm\n  lining: drywall 12.5 mm{paint}\n");
        let report = reviewed("duluth-mn-us", &layers);
        let dew: Vec<String> =
            report.findings.iter().filter(|f| f.rule.starts_with("dew/")).map(|f| f.detail.clone()).collect();
        assert!(!dew.is_empty(), "{skin}");
        dew.join(" ")
    };
    assert!(detail("", "osb 11 mm").contains("The permeance of `skin` is a generic figure from memory."));
    assert!(!detail("", "osb 11 mm, 45 ng").contains("from memory."), "{}", detail("", "osb 11 mm, 45 ng"));
}

#[test]
fn what_is_known_of_a_material_comes_with_its_spread() {
    let known = |name: &str| {
        let run = Command::cargo_bin("dewlap").unwrap().args(["materials", name, "--width", "120"]).output().unwrap();
        String::from_utf8(run.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for (name, kind) in [("osb", "wood-panel"), ("eps", "board-insulation"), ("concrete", "concrete")] {
        let text = known(name);
        for property in [Property::Conductivity, Property::Permeance, Property::Density, Property::WaterContent] {
            let words = catalog::spread(kind, property).unwrap().apart.words().unwrap();
            assert!(text.contains(&words), "{name}: no `{words}` in {text}");
        }
    }
    let osb = known("osb");
    for words in ["0.524 at 10 %", "4.54 at 90 %", "50 % interpolated", "from memory", "stores a little water"] {
        assert!(osb.contains(words), "{words}: {osb}");
    }
    let foam = known("polyiso-foil");
    for words in ["0.0300 at -4 C (25 F)", "in service down to -40 C", "emittance 0.05 clean, a factor of 2.0 each way"]
    {
        assert!(foam.contains(words), "{words}: {foam}");
    }
    assert!(known("spf-open").contains("tight enough for an air barrier from 2.99 in (76 mm)"));
    // A resistance as built says so.
    let r = format!("R-{:.2}", 0.11 / R_VALUE);
    assert!(known("vinyl-siding").contains(&format!("{r}, RSI 0.110 as built")), "{}", known("vinyl-siding"));
}
