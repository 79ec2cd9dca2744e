//! A detail reviewed again: where its job stands, at the places its head names, or at a place it is carried to.
//!
//! Not here: whether what was found is told (output, cli). Invariant: only the place changes; the section, the joints and
//! the rooms stay as written.

use super::gather::{self, Gathered};
use super::report::{Report, SurfaceReport};
use super::{Ask, Input, report_of};
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::MoistureMass;
use crate::base::source::{Source, Sources};
use crate::base::span::Span;
use crate::catalog::{self, Lookup};
use crate::syntax::ast::{Fact, Name, Stanza, Statement};

/// A detail at some places.
#[derive(Debug)]
pub struct Again {
    /// Its text.
    pub sources: Sources,
    /// At the place its job names, first; then where it was asked for.
    pub at: Vec<Here>,
}

/// A detail at one place.
#[derive(Debug)]
pub struct Here {
    /// The place, as the catalog calls it; none for the job's own.
    pub place: Option<String>,
    /// The code edition of the job was left out, for the place lies in another country.
    pub without_code: bool,
    /// What came of it.
    pub report: Report,
}

/// Reviews a detail where its job stands, and at the further places its head names.
pub fn check(input: Input) -> Again {
    let (mut again, gathered) = begin(input);
    let places = gathered.details.first().map_or_else(Vec::new, |d| d.head.places.clone());
    for place in places {
        again.review_at(&gathered, Some(&place.value));
    }
    again
}

/// Reviews a detail where its job stands, and at a place it is carried to.
pub fn carry(input: Input, place: &str) -> Again {
    let (mut again, gathered) = begin(input);
    again.review_at(&gathered, Some(place));
    again
}

fn begin(input: Input) -> (Again, Gathered) {
    let mut again = Again { sources: Sources::default(), at: Vec::new() };
    let file = again.sources.add(Source::new(input.name, input.text));
    let alone = &mut |_: &str, ask: Ask<'_>| Err(format!("a detail on a shelf stands by itself: write {ask} into it"));
    let gathered = gather::gather(file, &mut again.sources, alone);
    again.review_at(&gathered, None);
    (again, gathered)
}

impl Again {
    fn review_at(&mut self, gathered: &Gathered, place: Option<&str>) {
        let Some(file) = gathered.trees.first().map(|t| t.file) else { return };
        let mut here = gathered.clone();
        let without_code = place.is_some_and(|place| here.move_to(place));
        let report = report_of(file, here, &self.sources);
        self.at.push(Here { place: place.map(ToString::to_string), without_code, report });
    }

    /// Whether the text could be read in full.
    pub fn whole(&self) -> bool {
        let unread = |f: &Finding| f.weight == Weight::Stop && f.rule.starts_with("notation/");
        !self.at.iter().flat_map(|h| &h.report.findings).any(unread)
    }

    /// What is found at the last place and not at home, and the other way round. What is asked of the place alone (its
    /// zone, its country) is told there.
    pub fn changes(&self) -> Changes<'_> {
        let key = |f: &Finding| -> (&'static str, Span, Weight) { (f.rule, f.primary.span, f.weight) };
        let (home, there) = (|| self.at.first(), || self.at.last());
        let unlike = |of: &Finding, others: Option<&Here>| !findings(others).any(|o| key(o) == key(of));
        let wetter = |surface: &SurfaceReport| {
            let before = home().and_then(|h| h.report.surfaces.iter().find(|s| s.name == surface.name));
            worst(surface) > before.map_or(MoistureMass::ZERO, worst) + NOTHING
        };
        let reports = || there().map_or(&[][..], |h| h.report.surfaces.as_slice());
        let reasons =
            |here: Option<&Here>| here.map_or(Vec::new(), |h| h.report.not_run.iter().map(|n| n.why.clone()).collect());
        let (before, after) = (reasons(home()), reasons(there()));
        Changes {
            wetter: reports().iter().filter(|s| wetter(s)).map(|s| s.name.clone()).collect(),
            unjudged: after.into_iter().filter(|why| !before.contains(why)).collect(),
            new: findings(there()).filter(|f| unlike(f, home())).collect(),
            gone: findings(home()).filter(|f| unlike(f, there())).collect(),
        }
    }
}

fn findings(here: Option<&Here>) -> impl Iterator<Item = &Finding> {
    here.into_iter().flat_map(|h| &h.report.findings)
}

/// What is found elsewhere, compared with home.
#[derive(Debug)]
pub struct Changes<'a> {
    /// Only there.
    pub new: Vec<&'a Finding>,
    /// Only at home.
    pub gone: Vec<&'a Finding>,
    /// Surfaces that hold more water there, or are left with more, than at home.
    pub wetter: Vec<String>,
    /// Why checks could not be run there that could at home.
    pub unjudged: Vec<String>,
}

/// Water that is no more than rounding. Our own choice.
const NOTHING: MoistureMass = MoistureMass::new(0.001);

/// The most water of a surface's paths at one time.
fn worst(surface: &SurfaceReport) -> MoistureMass {
    surface.paths.iter().map(|p| p.peak).fold(MoistureMass::ZERO, |a, b| if b > a { b } else { a })
}

impl Gathered {
    /// Puts the job at a place of the catalog; whether its code edition had to be left out.
    fn move_to(&mut self, place: &str) -> bool {
        let Lookup::Found(there) = catalog::place(place) else { return false };
        let mut foreign = false;
        for tree in &mut self.trees {
            tree.stanzas.retain(|s| !matches!(s, Stanza::Climate(_)));
            let jobs = tree.stanzas.iter_mut().filter_map(|s| if let Stanza::Job(b) = s { Some(b) } else { None });
            for job in jobs {
                let (key, span) = (there.key.to_owned(), job.head);
                let mut named = false;
                for statement in &mut job.statements {
                    let Fact::Place(name) = &mut statement.fact else { continue };
                    named = true;
                    let country = match catalog::place(&name.text) {
                        Lookup::Found(home) => home.country,
                        Lookup::Ambiguous { .. } | Lookup::Unknown { .. } => there.country,
                    };
                    foreign = country != there.country;
                    name.text.clone_from(&key);
                }
                if !named {
                    let fact = Fact::Place(Name { text: key, span });
                    job.statements.push(Statement { span, fact, note: None });
                }
                let coded = job.statements.len();
                job.statements.retain(|s| !foreign || !matches!(s.fact, Fact::Code(_)));
                foreign = job.statements.len() < coded;
            }
        }
        foreign
    }
}
