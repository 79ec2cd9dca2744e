//! An adhesive put on below the temperature at which it sticks.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Temperature;
use crate::base::show::Show;
use crate::catalog::{Bond, Material};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "match/too-cold",
    summary: "an adhesive put on below the temperature it sticks at",
    weight: Weight::Stop,
    page: include_str!("too_cold.md"),
    run: Run::Joint(run),
};

/// Below this asphalt loses its bond, degC. A trade journal on cold masonry (read: 50 F).
const ASPHALT_WEAK: Temperature = Temperature::new(10.0);

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let show = Show { metric: look.job.metric };
    for link in &look.joint.links {
        let Some(said) = &link.face.temperature else { continue };
        let with = link.with.as_ref().and_then(|s| s.material);
        let sticks = [look.material(link.subject.thing), with].into_iter().flatten().find(|m| m.bond() != Bond::Loose);
        let Some(material) = sticks else { continue };
        let Some((least, basis)) = least(material) else { continue };
        let day = said.value.low();
        let weak = material.family() == "bitumen" && day < ASPHALT_WEAK;
        if day >= least && !weak {
            continue;
        }
        let weight = if day < least { Weight::Stop } else { Weight::Fix };
        let least = if day < least { least } else { ASPHALT_WEAK };
        let message = format!("{} is too cold for `{}`", show.temperature(day), look.name(link.subject.thing));
        let detail = format!(
            "{} needs a face of {} or more to stick. Source: {basis}. The figure of the product on site is the limit.",
            material.key(),
            show.temperature(least)
        );
        let enough = if material.family() == "bitumen" && least < ASPHALT_WEAK { ASPHALT_WEAK } else { least };
        let help = format!("warm the face to {} or wait, or take a low-temperature grade", show.temperature(enough));
        sink.found(Finding::new(RULE.id, weight, said.span, message).detail(detail).help(help));
    }
}

/// The least temperature of the face, degC, and where it is from.
fn least(m: &Material) -> Option<(Temperature, &'static str)> {
    const PRACTICE: &str = "common practice, no source";
    let (degrees, basis) = match (m.family(), m.bond()) {
        ("bitumen", Bond::SelfAdhered | Bond::Tape) => {
            (4.0, "a trade journal on bonding asphalt to cold masonry (read: 50 F; 40 F: practice)")
        }
        ("butyl", _) => (-6.0, PRACTICE),
        ("acrylic", Bond::Tape | Bond::SelfAdhered) => (-10.0, PRACTICE),
        ("acrylic", Bond::Liquid | Bond::Sealant) => (4.0, PRACTICE),
        ("silyl-polymer", _) => (0.0, PRACTICE),
        ("polyurethane", _) => (4.0, PRACTICE),
        _ => return None,
    };
    Some((Temperature::new(degrees), basis))
}
