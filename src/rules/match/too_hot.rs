//! A sheet that softens in the heat under a metal skin.

use super::about;
use super::contact::{self, Site};
use crate::base::finding::Weight;
use crate::base::quantity::Temperature;
use crate::base::show::Show;
use crate::model::Job;
use crate::rules::facts::class;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "match/too-hot",
    summary: "a standard sheet under hot metal",
    weight: Weight::Fix,
    page: include_str!("too_hot.md"),
    run: Run::Job(run),
};

/// What a sheet under a metal roof has to stand, degC: 240 F. Common practice, no source.
const UNDER_METAL: Temperature = Temperature::new(115.0);
/// What rubberized asphalt stands where the catalog gives no figure, degC: 180 F. Common practice, no source.
const ASPHALT: Temperature = Temperature::new(82.0);

fn run(job: &Job, sink: &mut Sink) {
    let show = Show { metric: job.metric };
    for contact in contact::all(job) {
        let Site::Surface(surface) = contact.site else { continue };
        let roof = surface.kind == SurfaceKind::Roof;
        let (skin, sheet) = (contact.a.material, contact.b.material);
        let soft = sheet.family() == "bitumen" && class::self_adhered(sheet);
        if !roof || !class::metal(skin) || !soft {
            continue;
        }
        let stands = sheet.service_temperatures().1.unwrap_or(ASPHALT);
        if stands >= UNDER_METAL {
            continue;
        }
        let message = format!("`{}` runs under hot `{}`", contact.name(&contact.b), contact.name(&contact.a));
        let detail = format!(
            "{} stands about {}; under a metal roof in the sun {} must be reckoned with. It flows, glues the metal down and \
             leaks at the screws. Source: common practice, no source.",
            sheet.key(),
            show.temperature(stands),
            show.temperature(UNDER_METAL)
        );
        let help = "use `self-adhered-high-temp`, or an underlay that is not glued";
        sink.found(about(&contact, &RULE, Weight::Fix, message).detail(detail).help(help));
    }
}
