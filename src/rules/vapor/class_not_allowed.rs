//! A retarder on the inner side of a frame wall that the job's code bars in its zone.

use super::wall::{self, Retarder, permission, roman};
use crate::base::finding::{Finding, Weight};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Zone;
use crate::catalog::codes::{Edition, Permission, RetarderRule};
use crate::model::layer::Layer;
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/class-not-allowed",
    summary: "a vapor retarder class that the code bars in this zone",
    weight: Weight::Stop,
    page: include_str!("class_not_allowed.md"),
    run: Run::Surface(run),
};

type Table = (&'static Edition, Zone, &'static RetarderRule);

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(found) => found.iter().for_each(|(retarder, table)| sink.found(tell(look, retarder, table))),
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule tells of a layer.
pub(super) fn speaks_of(look: &Look<'_>, layer: &Layer) -> bool {
    find(look).is_ok_and(|found| found.iter().any(|(r, _)| std::ptr::eq(r.layer, layer)))
}

fn find<'a>(look: &Look<'a>) -> Result<Vec<(Retarder<'a>, Table)>, Missing> {
    let Some(frame) = wall::frame(look)? else { return Ok(Vec::new()) };
    let table = wall::table(look.job)?;
    let inside = frame.inside(&look.draw)?;
    Ok(inside.into_iter().filter(|r| barred(r, table.2)).map(|r| (r, table)).collect())
}

/// One that opens when humid is let off.
pub(super) fn barred(retarder: &Retarder<'_>, row: &RetarderRule) -> bool {
    retarder.class().is_some_and(|c| permission(row, c) == Permission::Barred) && !retarder.opens()
}

fn tell(look: &Look<'_>, retarder: &Retarder<'_>, (edition, zone, row): &Table) -> Finding {
    let show = Show { metric: look.job.metric };
    let class = retarder.class().unwrap_or_default();
    let cited = row.citation();
    let stands = retarder.layer.words.existing || look.surface.facts.existing;
    let allowed = (1..=3).find(|c| permission(row, *c) == Permission::Allowed).unwrap_or(3);
    let least = crate::catalog::codes::CLASS_LIMITS.get(usize::from(allowed).saturating_sub(2)).copied();
    let least = show.permeance(crate::base::quantity::Permeance::new(least.unwrap_or(1.0) * PERM));
    let weight = if stands { Weight::Watch } else { Weight::Stop };
    Finding::new(RULE.id, weight, retarder.span, format!("{} is not allowed inside in zone {zone}", roman(class)))
        .label(format!("{} dry", show.permeance(retarder.dry)))
        .detail(format!(
            "`{}` passes {} in the dry cup{}, which makes it {}; {} bars that on the inner side of frame walls in zone \
             {zone} ({}; {}). In summer vapor comes from outdoors and gathers on its cold outer face.",
            retarder.name,
            show.permeance(retarder.dry),
            retarder.source(),
            roman(class),
            edition.title(),
            cited.source,
            cited.access.words()
        ))
        .help(if stands {
            format!("leave `{}`, and open the wall from outdoors to see whether it is wet", retarder.layer.label)
        } else {
            format!(
                "leave `{}` out, or use one of {} or looser: more than {least} in the dry cup",
                retarder.name,
                roman(allowed)
            )
        })
        .number("permeance_dry", retarder.dry.si(), "kg/(s.m2.Pa)")
        .number("class", f64::from(class), "1")
}
