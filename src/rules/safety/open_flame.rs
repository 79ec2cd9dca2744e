//! Something bonded with a torch where something burns.

use crate::base::finding::{Finding, Weight};
use crate::catalog::Material;
use crate::rules::facts::JointLook;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "safety/open-flame",
    summary: "an open flame at something that burns",
    weight: Weight::Stop,
    page: include_str!("open_flame.md"),
    run: Run::Joint(run),
};

fn run(look: &JointLook<'_>, sink: &mut Sink) {
    for link in look.joint.links.iter().filter(|l| l.hold.torched) {
        let burns = look.joint.ends.iter().enumerate().find_map(|(index, _)| {
            let surface = look.joint.surface(look.job, index)?;
            (0..surface.layers.len()).find_map(|layer| {
                let thing = crate::model::joint::Thing::Layer { end: index, layer, half: None, part: None };
                look.material(thing).filter(|m| burns(m)).map(|_| look.name(thing))
            })
        });
        let Some(name) = burns else { continue };
        let detail = "A flame at the edge of wood, foam or an old void lights what nobody sees, and it smolders for hours. Hot \
                      work needs a permit, 35 ft (11 m) cleared or shielded, and a watch after it: 30 min in the 2009 text \
                      (quoted), 60 min in newer ones (from memory), 2 h on torched roofs (practice). Source: NFPA 51B. Ask the \
                      fire authority.";
        sink.found(
            Finding::new(RULE.id, Weight::Stop, link.verb_span, format!("an open flame beside `{name}`, which burns"))
                .detail(detail)
                .help("take a self-adhered sheet or cold adhesive here, and leave `torched` out"),
        );
    }
}

fn burns(m: &Material) -> bool {
    class::wood(m)
        || matches!(m.family(), "polystyrene" | "polyurethane" | "polyiso" | "paper" | "cellulose" | "straw" | "cork")
}
