//! A frame wall in a zone that asks for a vapor retarder, and what is inside does not do.

use super::thin_flash_coat;
use super::wall::{self, FrameWall, Retarder, permission, roman};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Permeance, ThermalResistance};
use crate::base::show::Show;
use crate::base::unit::PERM;
use crate::catalog::Zone;
use crate::catalog::codes::{CLASS_LIMITS, ClassThree, Edition, Permission, Sheathing};
use crate::rules::facts::{Look, Missing};
use crate::rules::{Rule, Run, Sink};

pub(super) const RULE: Rule = Rule {
    id: "vapor/class-three-unearned",
    summary: "a wall with less vapor retarder inside than its zone asks for",
    weight: Weight::Fix,
    page: include_str!("class_three_unearned.md"),
    run: Run::Surface(run),
};

/// Members deeper than a 2x6 (5-1/2 in, and a little for metric sizes): the tables have no figure, the share is held.
const TWO_BY_SIX: Length = Length::new(0.15);

/// What falls short.
pub(super) struct Short<'a> {
    pub frame: FrameWall<'a>,
    pub edition: &'static Edition,
    pub zone: Zone,
    /// The tightest layer inside, if it is of class III.
    pub inside: Option<Retarder<'a>>,
    /// What would earn class III here.
    pub condition: Option<Condition>,
}

pub(super) struct Condition {
    pub row: ClassThree,
    /// With this much outboard class III is enough.
    pub least: ThermalResistance,
    pub have: ThermalResistance,
    vented: bool,
    /// Whether the condition is met.
    pub met: bool,
}

fn run(look: &Look<'_>, sink: &mut Sink) {
    match find(look) {
        // A coat of foam that was to earn it is told of by its own rule.
        Ok(Some(short)) if thin_flash_coat::coat(&short).is_none() => sink.found(tell(look, &short)),
        Ok(_) => {}
        Err(missing) => sink.cannot(&missing),
    }
}

/// Whether this rule, or the one on a thin flash coat, tells of the wall.
pub(super) fn speaks(look: &Look<'_>) -> bool {
    find(look).is_ok_and(|short| short.is_some())
}

/// The wall, if it falls short.
///
/// # Errors
/// When the job's table or a layer can't be told.
pub(super) fn find<'a>(look: &Look<'a>) -> Result<Option<Short<'a>>, Missing> {
    let Some(frame) = wall::frame(look)? else { return Ok(None) };
    let (edition, zone, row) = wall::table(look.job)?;
    if !row.needed {
        return Ok(None);
    }
    let inside = frame.inside(&look.draw)?;
    let tightest = inside.into_iter().min_by(|a, b| a.dry.si().total_cmp(&b.dry.si()));
    let class = tightest.and_then(|r| r.class());
    if matches!(class, Some(1 | 2)) || none_needed(&frame, edition, zone, look) {
        return Ok(None);
    }
    let condition = (permission(row, 3) == Permission::Conditional)
        .then(|| edition.class_three_minimum(zone, frame.depth))
        .flatten()
        .map(|row| condition(&frame, row, look));
    let earned = permission(row, 3) == Permission::Allowed || condition.as_ref().is_some_and(|c| c.met);
    if class == Some(3) && earned {
        return Ok(None);
    }
    Ok(Some(Short { frame, edition, zone, inside: tightest.filter(|_| class == Some(3)), condition }))
}

/// 2024: nearly all insulation lies outboard.
fn none_needed(frame: &FrameWall<'_>, edition: &'static Edition, zone: Zone, look: &Look<'_>) -> bool {
    edition
        .none_needed(zone)
        .is_some_and(|n| frame.outboard(&look.draw) >= n.outboard && frame.inboard(&look.draw) <= n.inboard_at_most)
}

/// What the row of the table asks of a wall, and what is there.
pub(super) fn condition(frame: &FrameWall<'_>, row: ClassThree, look: &Look<'_>) -> Condition {
    let have = frame.outboard(&look.draw);
    let share = row.share.si();
    let by_share = ThermalResistance::new(frame.inboard(&look.draw).si() * share / (1.0 - share));
    let least = if frame.depth > TWO_BY_SIX && by_share > row.outboard { by_share } else { row.outboard };
    let over = frame.sheathing(&look.draw).is_some_and(|s| row.vented_over.contains(&s));
    let vented = frame.vented_cladding(&look.draw);
    // A board sold as may come out a hair below it from its thickness.
    Condition { row, least, have, vented, met: have.si() >= least.si() * 0.998 || (vented && over) }
}

fn tell(look: &Look<'_>, short: &Short<'_>) -> Finding {
    let show = Show { metric: look.job.metric };
    let stands = look.surface.facts.existing;
    let weight = if stands { Weight::Watch } else { Weight::Fix };
    let (span, message, label) = match &short.inside {
        Some(r) => (r.span, format!("class III inside is not earned in zone {}", short.zone), show.permeance(r.dry)),
        None => (
            short.frame.surface.layers.last().map_or(short.frame.surface.span, |l| l.stuff_span),
            format!("no vapor retarder inside, and zone {} asks for one", short.zone),
            format!("over {}", show.permeance(loosest())),
        ),
    };
    let finding = Finding::new(RULE.id, weight, span, message)
        .label(label)
        .detail(why(short, show))
        .help(if stands { in_place(short, show) } else { order(short, show) })
        .number("framing_depth", short.frame.depth.si(), "m");
    match &short.condition {
        Some(c) => finding.number("outboard_resistance", c.have.si(), "m2.K/W").number(
            "outboard_resistance_least",
            c.least.si(),
            "m2.K/W",
        ),
        None => finding,
    }
}

fn why(short: &Short<'_>, show: Show) -> String {
    let inside = match &short.inside {
        Some(r) => format!("`{}` passes {} dry{}: {}", r.name, show.permeance(r.dry), r.source(), roman(3)),
        None => format!("no layer or paint passes {} or less", show.permeance(loosest())),
    };
    let asks = match &short.condition {
        None => format!("{} asks for class I or II here", short.edition.title()),
        Some(c) => {
            let over = match names(c.row.vented_over) {
                names if names.is_empty() => String::new(),
                names => format!(", or vented cladding over {names}"),
            };
            let cladding = if c.vented { "vented" } else { "not vented" };
            format!(
                "{} lets class III do with {} of insulation outboard of {} studs{over} ({}; {}); outboard are {}, the \
                 cladding is {cladding}",
                short.edition.title(),
                show.resistance(c.least),
                show.length(short.frame.depth),
                c.row.citation.source,
                c.row.citation.access.words(),
                show.resistance(c.have)
            )
        }
    };
    format!("Inside of the studs, {inside}. {asks}. In winter room vapor reaches the cold sheathing.")
}

/// The upper limit of class III.
fn loosest() -> Permeance {
    Permeance::new(CLASS_LIMITS.last().copied().unwrap_or_default() * PERM)
}

fn names(sheathings: &[Sheathing]) -> String {
    let name = |s: &Sheathing| match s {
        Sheathing::WoodPanel => "wood panels",
        Sheathing::Fiberboard => "fiberboard",
        Sheathing::Gypsum => "gypsum sheathing",
    };
    sheathings.iter().map(name).collect::<Vec<_>>().join(" or ")
}

fn order(short: &Short<'_>, show: Show) -> String {
    match &short.condition {
        Some(c) if c.met => "paint the inside with two coats of latex (class III): it is earned here".to_string(),
        Some(c) if short.inside.is_some() => {
            let more = ThermalResistance::new(c.least.si() - c.have.si());
            format!("add {} of insulation outboard, or a class II layer inside the studs", show.resistance(more))
        }
        _ => "put a class II layer, such as kraft or a film that opens when humid, inside the studs".to_string(),
    }
}

fn in_place(short: &Short<'_>, show: Show) -> String {
    match &short.condition {
        Some(c) if !c.met => {
            let more = ThermalResistance::new(c.least.si() - c.have.si());
            format!("open one bay in late winter and look; later siding may take {} outboard", show.resistance(more))
        }
        _ => "open one bay in late winter, and look for damp sheathing".to_string(),
    }
}
