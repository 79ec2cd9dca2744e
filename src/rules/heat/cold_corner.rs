//! A stated surface temperature factor below what dwellings have to keep.

use crate::base::finding::{Finding, Weight};
use crate::rules::facts::JointLook;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "heat/cold-corner",
    summary: "a joint whose inner face gets too cold",
    weight: Weight::Fix,
    page: include_str!("cold_corner.md"),
    run: Run::Joint(run),
};

/// DIN 4108-2, as a page on it quotes it.
const LEAST: f64 = 0.70;
/// United Kingdom, dwellings: BRE IP 1/06, from memory.
const BETTER: f64 = 0.75;

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    let Some(factor) = look.joint.factor else { return };
    let (weight, limit, source) = match factor.value {
        f if f < LEAST => (Weight::Fix, LEAST, "DIN 4108-2, quoted on a page about it"),
        f if f < BETTER => (Weight::Watch, BETTER, "dwellings in the United Kingdom, BRE IP 1/06, from memory"),
        _ => return,
    };
    // Outdoors -5 C and 20 C inside are the pair with which the German figure is worked out.
    let face = -5.0 + factor.value * 25.0;
    sink.found(
        Finding::new(RULE.id, weight, factor.span, format!("fRsi {} is below {limit:.2}", factor.value))
            .label("the inner face is too cold")
            .detail(format!(
                "At -5 C outdoors and 20 C inside the face is at {face:.1} C; with room air of 50 % it is at 80 % from \
                 12.6 C down, and mold grows there in time ({limit:.2}: {source})."
            ))
            .help("insulate the face back from the joint for 24 in (600 mm), or lap insulation over it outside")
            .number("temperature_factor", factor.value, "1")
            .number("temperature_factor_limit", limit, "1"),
    );
}
