//! Something that water harms, with little way out for vapor to either side.

use super::skin::{self, harmed, lapped, perms, series, stands};
use super::{class_not_allowed, double_barrier, thin_foam_behind_kraft, tight_finish, wall, wet_cladding_drive};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{MoistureMass, Permeance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Cup;
use crate::model::layer::{Body, Layer};
use crate::model::surface::Surface;
use crate::physics::profile::Water;
use crate::rules::facts::path::{Part, Path};
use crate::rules::facts::{Look, Missing, label};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/snug-both-sides",
    summary: "something moisture-sensitive with less than 1 perm to either side",
    weight: Weight::Stop,
    page: include_str!("snug_both_sides.md"),
    run: Run::Surface(run),
};

/// Less than this to each side, perm, dries slowly (common practice, no source).
const SNUG: f64 = 1.0;
/// Less than this to each side, perm, has to be shown to dry (common practice, no source).
const TIGHT: f64 = 0.5;
/// Water that a closed wall of wood is to lose in a year over what it gains (DIN 68800-2:2012, from memory).
const RESERVE: MoistureMass = MoistureMass::new(0.1);

/// A layer that is shut in.
struct Snug<'a> {
    layer: &'a Layer,
    what: &'static str,
    outward: Permeance,
    inward: Permeance,
    /// The tightest layer to each side.
    tightest: [Option<&'a Layer>; 2],
    /// The first part of the path that belongs to the layer, and the last.
    parts: (usize, usize),
}

impl Snug<'_> {
    /// What passes to the side that passes more, perm.
    fn surest(&self) -> f64 {
        self.outward.max(self.inward).si() / PERM
    }
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        Ok(Some(snug)) => sink.take(tell(look, &snug).map(Some)),
        Ok(None) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

fn find<'a>(look: &Look<'a>) -> Result<Option<Snug<'a>>, Missing> {
    if !wall::outside_wall(look) {
        return Ok(None);
    }
    let Some(path) = skin::between(look)? else { return Ok(None) };
    let all = look.surface.layers.iter().enumerate().skip(path.left_out);
    let snug = all.filter_map(|(index, layer)| judge(path, look, index, layer));
    let worst = snug.min_by(|a, b| a.outward.max(a.inward).si().total_cmp(&b.outward.max(b.inward).si()));
    Ok(worst.filter(|snug| !told(look, snug)))
}

/// Rules that tell the same two layers, or the inner one, and say more of it.
fn told(look: &Look<'_>, snug: &Snug<'_>) -> bool {
    let [_, innermost] = snug.tightest;
    let inner = |speaks: fn(&Look<'_>, &Layer) -> bool| innermost.is_some_and(|l| speaks(look, l));
    double_barrier::speaks(look)
        || tight_finish::speaks(look)
        || inner(class_not_allowed::speaks_of)
        || inner(wet_cladding_drive::speaks_of)
        // What has to be shown to dry is told here, whatever the table says.
        || (snug.surest() >= TIGHT && thin_foam_behind_kraft::speaks(look))
}

fn judge<'a>(path: &Path<'a>, look: &Look<'a>, index: usize, layer: &'a Layer) -> Option<Snug<'a>> {
    let first = path.parts.iter().position(|p| p.layer == index)?;
    let last = path.parts.iter().rposition(|p| p.layer == index)?;
    // Of a panel or a painted board the harmed part lies within: its own face counts as one side.
    let hurt =
        path.parts.iter().enumerate().take(last + 1).skip(first).find_map(|(at, p)| Some((at, harmed(layer, p)?)));
    let (at, what) = hurt?;
    let (before, after) = if matches!(layer.body, Body::Members(_)) { (first, last + 1) } else { (at, at + 1) };
    // What faces the weather or the room itself is dried by it.
    let outer = path.parts.iter().take(before).filter(|p| !lapped(p));
    let inner = path.parts.iter().skip(after);
    let (outward, inward) = (series(outer.clone(), Cup::Wet), series(inner.clone(), Cup::Wet));
    let snug = |p: Permeance| p.si() / PERM < SNUG;
    if !snug(outward) || !snug(inward) {
        return None;
    }
    let sides = [tightest(look, outer), tightest(look, inner)];
    Some(Snug { layer, what, outward, inward, tightest: sides, parts: (before, after) })
}

/// The layer of the tightest of some parts.
fn tightest<'p, 'a: 'p>(look: &Look<'a>, parts: impl Iterator<Item = &'p Part<'a>>) -> Option<&'a Layer> {
    let surface: &'a Surface = look.surface;
    let part = parts.min_by(|a, b| perms(a, Cup::Wet).total_cmp(&perms(b, Cup::Wet)))?;
    surface.layers.get(part.layer)
}

/// Whether the reserve, put at the layer, is gone after a year.
fn dries(look: &Look<'_>, snug: &Snug<'_>) -> Result<bool, Missing> {
    let months = look.months().map_err(Clone::clone)?;
    let years = look.years().map_err(Clone::clone)?;
    let Some(of) = years.first() else { return Ok(false) };
    let interface = if snug.parts.0 > 0 { snug.parts.0 } else { snug.parts.1 };
    let water = [Water { interface, mass: RESERVE }];
    let mut solver = look.solver()?;
    let year = solver.sequence(&of.path.build(), months, &water);
    let year = year.map_err(|e| Missing::new(look.surface.span, e.to_string()))?;
    Ok(year.months.iter().any(|m| m.total() <= crate::physics::profile::NO_WATER))
}

fn tell(look: &Look<'_>, snug: &Snug<'_>) -> Result<Finding, Missing> {
    let show = Show { metric: look.job.metric };
    let surest = snug.surest();
    let stood = snug.tightest.iter().flatten().all(|l| stands(look, l));
    let reserve = show.water(RESERVE);
    let (weight, dries) = match (stood, surest < TIGHT) {
        (true, _) => (Weight::Watch, String::new()),
        (false, false) => (Weight::Fix, String::new()),
        (false, true) if dries(look, snug)? => (
            Weight::Fix,
            format!(" The year's sum shows that {reserve} there would dry (the reserve of DIN 68800-2, from memory)."),
        ),
        (false, true) => (
            Weight::Stop,
            format!(
                " The year's sum shows that {reserve} there would not dry (the reserve of DIN 68800-2, from memory)."
            ),
        ),
    };
    let [outer, inner] = snug.tightest;
    let name = |l: Option<&Layer>| l.map_or("the face".to_string(), |l| format!("`{}`", l.label));
    let change = inner.filter(|l| !stands(look, l)).or(outer.filter(|l| !stands(look, l)));
    let least = show.permeance(Permeance::new(SNUG * PERM));
    let help = match change {
        Some(layer) => format!("put in place of `{}` what passes over {least} in the wet cup", layer.label),
        None => format!("measure the moisture of `{}` in spring, before it is covered again", snug.layer.label),
    };
    let finding = Finding::new(
        RULE.id,
        weight,
        change.unwrap_or(snug.layer).stuff_span,
        format!("`{}` can dry only slowly to either side", label(snug.layer)),
    )
    .label("tight to one side")
    .also(snug.layer.stuff_span, snug.what)
    .detail(format!(
        "In the wet cup {} pass to the outside ({} most of all) and {} to the inside ({}). `{}` {}, and a leak or built-in \
         water leaves slowly under {least} both ways, hardly under {} (common practice, no source).{dries}",
        show.permeance(snug.outward),
        name(outer),
        show.permeance(snug.inward),
        name(inner),
        snug.layer.label,
        snug.what,
        show.permeance(Permeance::new(TIGHT * PERM)),
    ))
    .help(help)
    .number("permeance_outward", snug.outward.si(), "kg/(s.m2.Pa)")
    .number("permeance_inward", snug.inward.si(), "kg/(s.m2.Pa)");
    let other = outer.filter(|l| change.is_some_and(|c| !std::ptr::eq(c, *l)));
    Ok(other.into_iter().fold(finding, |f, l| f.also(l.stuff_span, "tight to the other")))
}
