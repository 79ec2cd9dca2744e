//! What else would serve in the place of one layer: each candidate is put there, the part is reviewed again, and what is
//! new is told.
//!
//! The job is read once. A candidate takes the material and the figures of the layer; words and controls stay as written.
//! Judged are the surface, the joints at it and what is asked of the whole job, by the rules of the review.
//! Not here: where the candidates are written (shelf), how it is shown (output).
//! Invariant: what stood there before the swap stops nobody; the answer does not depend on how the work was shared out.

mod candidates;
mod compare;
mod form;
mod judge;
mod kind;
mod part;
mod rank;
mod slot;

use super::report::NotRun;
use super::{Input, Loader, gather};
use crate::base::finding::Finding;
use crate::base::quantity::{Length, MoistureMass, TemperatureDifference, Transmittance};
use crate::base::source::{Source, Sources};
use crate::base::span::Span;
use crate::model::Lowered;
use crate::shelf::yard::{Row, State};
use candidates::Candidate;
use compare::Change;
use judge::{Bench, State as Judged};
use part::{Bed, Part};
use rayon::prelude::*;

pub use form::Form;
pub use kind::{Kind, Nearness, Thing};

/// So many candidates are tried on one thread before the next takes more.
const ONE_GO: usize = 8;

/// What is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// `SURFACE.LAYER`.
    pub target: &'a str,
    /// What lies in the yard.
    pub yard: &'a [Row],
    /// Every material of the catalog that can lie in a section, too.
    pub all: bool,
}

/// Why nothing could be tried, and a way out (may be empty).
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub way_out: String,
}

/// What came of it.
#[derive(Debug)]
pub struct Swap {
    /// The texts.
    pub sources: Sources,
    /// Something in the text could not be read or resolved.
    pub incomplete: bool,
    /// Figures are shown in metric units.
    pub metric: bool,
    /// The layer as it is drawn.
    pub slot: Slot,
    /// Those that serve, the best first.
    pub serves: Vec<Tried>,
    /// Those that serve but take much of the heat resistance, or bring water where there was none; likewise.
    pub loses_much: Vec<Tried>,
    /// Those that pass the checks and are another kind of thing; likewise.
    pub other_kind: Vec<Tried>,
    /// Those of which it can't be told, in the order of their names.
    pub cannot_tell: Vec<Tried>,
    /// Those that something stops, likewise.
    pub stopped: Vec<Tried>,
    /// Those that were not tried.
    pub left_out: Vec<LeftOut>,
}

/// The layer in whose place others are tried.
#[derive(Debug)]
pub struct Slot {
    /// Its surface.
    pub surface: String,
    /// What sort of surface.
    pub kind: &'static str,
    /// Its label.
    pub layer: String,
    /// Its line.
    pub span: Span,
    /// What it is made of, as written; in a used detail with what its blanks are filled with.
    pub what: String,
    /// The rest of its line, which every candidate keeps: words and controls.
    pub words: String,
    /// What it is laid as.
    pub form: Option<Form>,
    /// What kind of thing it is.
    pub thing: Option<Thing>,
    /// How thick it is.
    pub thickness: Option<Length>,
    /// How near its surface comes to water as drawn.
    pub figures: Figures,
    /// What is found on its line as drawn.
    pub findings: Vec<Finding>,
    /// How many findings of weight `fix` and `stop` the surface and its joints have as drawn.
    pub heavy: usize,
    /// How many checks do not run there as drawn either.
    pub not_run: usize,
}

/// How near a surface comes to water, midway of everything not decided.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figures {
    /// The least temperature above the dew point between layers, over all months and paths.
    pub margin: Option<TemperatureDifference>,
    /// The most water at one time.
    pub peak: Option<MoistureMass>,
    /// Thermal transmittance with members.
    pub u: Option<Transmittance>,
}

/// Where a candidate comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum From {
    /// A row of the yard.
    Yard(Box<Row>),
    /// The catalog.
    Catalog,
}

impl From {
    /// The row of the yard, where it is one.
    pub fn row(&self) -> Option<&Row> {
        if let Self::Yard(row) = self { Some(row) } else { None }
    }

    /// Its state; the catalog's is sound.
    pub fn state(&self) -> State {
        self.row().map_or(State::Sound, |row| row.state)
    }
}

/// A candidate that was put into the slot.
#[derive(Clone, Debug)]
pub struct Tried {
    /// As its row or the catalog names it.
    pub name: String,
    /// Where it comes from.
    pub from: From,
    /// What it is laid as.
    pub form: Option<Form>,
    /// What kind of thing it is.
    pub thing: Option<Thing>,
    /// How near that is to what was there.
    pub nearness: Nearness,
    /// It takes much of the heat resistance, or brings water where there was none.
    pub loses_much: bool,
    /// How thick it is.
    pub thickness: Option<Length>,
    /// How near the surface comes to water with it.
    pub figures: Figures,
    /// What is found with it and was not before, the heaviest first.
    pub new: Vec<Finding>,
    /// What was found before and is not with it.
    pub gone: Vec<Finding>,
    /// What was silent before beside a finding of the same fault, and is told with it.
    pub instead: Vec<Finding>,
    /// What can't be checked with it and could be before.
    pub untold: Vec<NotRun>,
}

/// A candidate that was not tried.
#[derive(Clone, Debug)]
pub struct LeftOut {
    /// As its row or the catalog names it.
    pub name: String,
    /// Where it comes from.
    pub from: From,
    /// One clause.
    pub why: String,
}

/// Tries each candidate in the place of a layer.
///
/// # Errors
/// When there is no such layer, or none that could be swapped.
pub fn swap(root: Input, load: &mut Loader<'_>, asked: &Asked<'_>) -> Result<Swap, Refusal> {
    let mut sources = Sources::default();
    let file = sources.add(Source::new(root.name, root.text));
    let gathered = gather::gather(file, &mut sources, load);
    let lowered = gathered.lower();
    let place = slot::find(&gathered.trees, &lowered.job, asked.target)?;
    let bench = Bench::new(&gathered, &sources, &lowered.job, &place);
    let metric = lowered.job.metric;
    let incomplete = !gathered.problems.is_empty() || !lowered.problems.is_empty();
    let part = Part::new(&gathered.trees, &gathered.weather, &lowered.job, &place);
    let drawn = Drawn::new(&bench, &lowered, &part);
    let slot = bench.slot(&place, &drawn.whole);
    let tried: Vec<Result<Tried, LeftOut>> = candidates::all(asked)
        .into_par_iter()
        .with_min_len(ONE_GO)
        .map_init(
            || part.bed(&lowered),
            |bed, wanted| {
                let candidate = candidates::of(wanted, &place)?;
                one(&bench, (&part, bed), (&slot, &drawn), candidate)
            },
        )
        .collect();
    let mut out = Swap {
        incomplete,
        metric,
        slot,
        serves: Vec::new(),
        loses_much: Vec::new(),
        other_kind: Vec::new(),
        cannot_tell: Vec::new(),
        stopped: Vec::new(),
        left_out: Vec::new(),
        sources,
    };
    for done in tried {
        match done {
            Err(left) => out.left_out.push(left),
            Ok(tried) if compare::stops(&tried.new) => out.stopped.push(tried),
            Ok(tried) if !tried.untold.is_empty() => out.cannot_tell.push(tried),
            Ok(tried) if tried.nearness == Nearness::Other => out.other_kind.push(tried),
            Ok(tried) if tried.loses_much => out.loses_much.push(tried),
            Ok(tried) => out.serves.push(tried),
        }
    }
    for list in [&mut out.serves, &mut out.loses_much, &mut out.other_kind] {
        list.sort_by(|a, b| rank::order(&out.slot, a, b));
    }
    Ok(out)
}

/// What is said of the part as drawn, without its joints and with them.
struct Drawn {
    part: Judged,
    whole: Judged,
}

impl Drawn {
    fn new(bench: &Bench<'_>, lowered: &Lowered, cut: &Part<'_>) -> Self {
        let mut part = bench.surface(lowered);
        part.problems.extend(cut.problems.iter().cloned());
        let mut whole = part.clone();
        bench.joints(lowered, &mut whole);
        Self { part, whole }
    }
}

fn one(
    bench: &Bench<'_>,
    (part, bed): (&Part<'_>, &mut Bed),
    (slot, drawn): (&Slot, &Drawn),
    candidate: Candidate,
) -> Result<Tried, LeftOut> {
    let Candidate { name, from, build } = candidate;
    let lowered = part.with(bed, build);
    let mut with = bench.surface(lowered);
    let mut change = compare::change(&drawn.part, &with);
    // One reason is enough for a material of the catalog; of what lies in the yard all are told. What a rule on the whole
    // job says of a joint waits for those of the joint.
    let reason = change.new.iter().filter(|f| f.joint.is_none()).any(compare::is_heavy);
    if change.unclear.is_none() && (from != From::Catalog || !reason) {
        bench.joints(lowered, &mut with);
        change = compare::change(&drawn.whole, &with);
    }
    let Change { new, gone, instead, untold, unclear } = change;
    if let Some(why) = unclear {
        return Err(LeftOut { name, from, why });
    }
    Ok(Tried {
        name,
        from,
        form: with.form,
        thing: with.thing,
        nearness: Thing::nearness(slot.thing, with.thing),
        loses_much: rank::loses_much(&slot.figures, &with.figures),
        thickness: with.thickness,
        figures: with.figures,
        new,
        gone,
        instead,
        untold,
    })
}
