//! One layer of insulation boards with open joints, where the joints cost a share worth telling.

use super::{TOLD, board, foam, material, parted, total};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, Transmittance};
use crate::base::show::{Show, fixed};
use crate::model::layer::{Body, Layer, Stuff, Treatment};
use crate::model::surface::SidePlace;
use crate::physics::heat::{Fit, joint_correction};
use crate::rules::facts::vent::left_out;
use crate::rules::facts::{Look, Missing, class, label};
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::SurfaceKind;

pub(super) const RULE: Rule = Rule {
    id: "heat/board-gaps",
    summary: "one layer of foam boards with open joints",
    weight: Weight::Watch,
    page: include_str!("board_gaps.md"),
    run: Run::Surface(run),
};

/// Air behind boards moves when it lies thicker than this. Common practice, no source.
const LOOP: Length = Length::new(0.006);

fn run(look: &Look<'_>, sink: &mut Sink) {
    let surface = look.surface;
    if !matches!((&surface.first.place, &surface.last.place), (SidePlace::Outdoors, SidePlace::Room(_))) {
        return;
    }
    for at in left_out(surface, &look.draw)..surface.layers.len() {
        if let Some((layer, stuff)) = surface.layers.get(at).and_then(|l| single(look, at, l).map(|s| (l, s))) {
            sink.take(judge(look, at, layer, stuff));
        }
    }
}

/// Foam boards in one layer, butted, with nothing that closes their joints. Wool gives way and fits: it is not told.
fn single<'a>(look: &Look<'a>, at: usize, layer: &'a Layer) -> Option<&'a Stuff> {
    let stuff = board(layer, &look.draw).filter(|s| s.material.is_some_and(foam))?;
    let open = matches!(layer.seams.treatment, Treatment::Open | Treatment::Partly) && !layer.seams.adhered;
    let beside = || [at.checked_sub(1), Some(at + 1)].into_iter().flatten().filter_map(|i| look.surface.layers.get(i));
    let second = |l: &Layer| board(l, &look.draw).is_some();
    (open && !inverted(look, at) && layer.words.staggered < 2 && !beside().any(|l| second(l) || coat(look, l)))
        .then_some(stuff)
}

/// Boards over the membrane of a roof: rain runs under them, and what that costs is another correction.
fn inverted(look: &Look<'_>, at: usize) -> bool {
    let sheet =
        |l: &Layer| material(l, &look.draw).is_some_and(|m| (class::membrane(m) && !m.air_open()) || class::roofing(m));
    let (over, under) = look.surface.layers.split_at_checked(at).unwrap_or_default();
    look.surface.kind != SurfaceKind::Wall && !over.iter().any(sheet) && under.iter().any(sheet)
}

/// Render on the boards closes their joints.
fn coat(look: &Look<'_>, layer: &Layer) -> bool {
    material(layer, &look.draw).is_some_and(class::plaster)
}

fn judge(look: &Look<'_>, at: usize, layer: &Layer, stuff: &Stuff) -> Result<Option<Finding>, Missing> {
    let Some(boards) = stuff.resistance_at(&look.draw) else { return Ok(None) };
    if !parted(look)? {
        return Ok(None);
    }
    let whole = total(look)?;
    let behind = look.surface.layers.get(at + 1);
    let gap = behind.is_some_and(|l| matches!(&l.body, Body::Gap(g) if g.thickness.at(&look.draw) > LOOP));
    let fit = if gap { Fit::JointsAndGap } else { Fit::Joints };
    let more = joint_correction(fit, boards, whole).map_err(|e| Missing::new(layer.stuff_span, e.to_string()))?;
    let u = whole.transmittance();
    Ok((more > u * TOLD).then(|| tell(look, layer, fit, u, more)))
}

fn tell(look: &Look<'_>, layer: &Layer, fit: Fit, u: Transmittance, more: Transmittance) -> Finding {
    let show = Show { metric: look.job.metric };
    let percent = fixed(more / u * 100.0, 0);
    let message = format!("open joints of `{}` cost {percent} % more heat", label(layer));
    let (level, help) = match fit {
        Fit::Joints => (
            "joints straight through, level 1",
            format!(
                "write `{}: ..., in 2 layers` with staggered joints, or `taped`, or foam the joints: `sealed with foam`",
                layer.label
            ),
        ),
        Fit::JointsAndGap => (
            "joints straight through and air behind the boards, level 2",
            format!(
                "lay `{}` flat against what is behind it, and tape its joints or lay it `in 2 layers`",
                layer.label
            ),
        ),
    };
    Finding::new(RULE.id, Weight::Watch, layer.stuff_span, message)
        .label("one layer, joints open")
        .detail(format!(
            "ISO 6946 Annex F (from memory), {level}: {} becomes {}. Boards never fit all round; gaps over 1/8 in (3 mm) are \
             filled (common practice, no source).",
            show.transmittance(u),
            show.transmittance(u + more)
        ))
        .help(help)
        .number("transmittance", u.si(), "W/(m2.K)")
        .number("transmittance_added", more.si(), "W/(m2.K)")
}
