//! A detail of the shelf where the conditions that its head names do not hold.

use crate::base::finding::{Finding, Weight};
use crate::base::quantity::Temperature;
use crate::base::show::Show;
use crate::base::span::Span;
use crate::catalog::Zone;
use crate::model::Job;
use crate::model::detail::{Cooling, Placed, ZoneMask};
use crate::model::room::{Room, RoomAir, RoomHumidity, Setting};
use crate::model::surface::{SidePlace, Surface};
use crate::rules::facts::Missing;
use crate::rules::{Rule, Run, Sink};
use crate::syntax::ast::{Rain, SurfaceKind};

pub(super) const RULE: Rule = Rule {
    id: "record/outside-conditions",
    summary: "a detail outside the conditions it holds for",
    weight: Weight::Fix,
    page: include_str!("outside_conditions.md"),
    run: Run::Job(run),
};

fn run(job: &Job, sink: &mut Sink) {
    for placed in &job.details {
        let carried = Carried { job, placed };
        carried.zone(sink);
        carried.rain(sink);
        carried.rooms(sink);
        carried.height(sink);
        carried.faces(sink);
    }
}

/// A detail where a job has it.
struct Carried<'a> {
    job: &'a Job,
    placed: &'a Placed,
}

/// One condition that does not hold.
struct Unmet<'s> {
    /// Where the job says what is so here.
    here: Option<Span>,
    /// Where the head says what it holds for.
    head: Span,
    /// What is so here.
    message: String,
    /// What is held for, after "holds".
    held: &'s str,
    /// What to change here.
    instead: &'s str,
}

impl<'a> Carried<'a> {
    fn tell(&self, unmet: Unmet<'_>, sink: &mut Sink) {
        let of_job = unmet.here.or(self.job.place_span).or(self.job.head);
        let primary = self.placed.used.as_ref().map_or(of_job.unwrap_or(unmet.head), |used| used.detail);
        let mut finding = Finding::new(RULE.id, Weight::Fix, primary, unmet.message)
            .label(if self.placed.used.is_some() { "used here" } else { "here" })
            .detail(format!(
                "`{}` holds {}: so its head says, and what was reviewed or seen of it was seen there. Beyond, a detail \
                 that stayed dry proves nothing.",
                self.placed.name, unmet.held
            ))
            .help(format!("{}, or take another detail", unmet.instead))
            .also(unmet.head, "the condition");
        if let (Some(here), Some(_)) = (unmet.here, &self.placed.used) {
            finding = finding.also(here, "here");
        }
        sink.found(finding);
    }

    fn cannot(&self, head: Span, why: &str, sink: &mut Sink) {
        let span = self.placed.used.as_ref().map_or(head, |used| used.detail);
        sink.cannot(&Missing { span, why: format!("`{}` holds for some only: {why}", self.placed.name) });
    }

    fn zone(&self, sink: &mut Sink) {
        let zones = &self.placed.head.holds.zones;
        let Some(first) = zones.first() else { return };
        let Some(zone) = self.job.climate.as_ref().and_then(|c| c.zone) else {
            return self.cannot(first.span, "the climate zone of the job is not known", sink);
        };
        if zones.iter().any(|mask| covers(mask.value, zone)) {
            return;
        }
        let held: Vec<String> = zones.iter().map(|mask| mask.value.to_string()).collect();
        let held = format!("in {} {}", if held.len() == 1 { "zone" } else { "zones" }, held.join(", "));
        let place = self.job.climate.as_ref().and_then(|c| c.key).unwrap_or("PLACE");
        let instead = format!("see what changes: `dewlap shelf carry {} --to {place}`", self.placed.name);
        let message = format!("zone {zone} is not one that this detail holds for");
        let here = self.job.place_span;
        self.tell(Unmet { here, head: first.span, message, held: &held, instead: &instead }, sink);
    }

    fn rain(&self, sink: &mut Sink) {
        let Some(most) = self.placed.head.holds.rain else { return };
        let worst = self.outside().max_by_key(|s| self.rain_on(s));
        let Some((surface, rain)) = worst.map(|s| (s, self.rain_on(s))).filter(|(_, rain)| *rain > most.value) else {
            return;
        };
        let message = format!("`rain {}` is more than this detail holds for", word(rain));
        let here = surface.facts.rain.map(|_| surface.span).or(self.job.head);
        let held = format!("up to `rain {}`", word(most.value));
        self.tell(Unmet { here, head: most.span, message, held: &held, instead: "shelter it from the rain" }, sink);
    }

    /// What is not said counts as normal, as everywhere.
    fn rain_on(&self, surface: &Surface) -> Rain {
        surface.facts.rain.or(self.job.rain).unwrap_or(Rain::Normal)
    }

    fn rooms(&self, sink: &mut Sink) {
        let holds = &self.placed.head.holds;
        if holds.heated.is_none() && holds.cooled.is_none() {
            return;
        }
        for room in self.lived_in() {
            match &room.air {
                RoomAir::Kept { heated, cooled } => {
                    heated.iter().for_each(|s| self.damp(room, s, sink));
                    cooled.iter().for_each(|s| self.cold(s, sink));
                }
                RoomAir::Always(setting) => {
                    self.damp(room, setting, sink);
                    if self.hottest().is_some_and(|out| out > setting.temperature.high()) {
                        self.cold(setting, sink);
                    }
                }
                RoomAir::Unsaid => {
                    let why = format!("what air is kept in `{}` is not said", room.name);
                    self.cannot(self.placed.head.title.span, &why, sink);
                }
                RoomAir::Monthly { .. } => {
                    let why = format!(
                        "the air of `{}` is written by month, and not whether it is heated or cooled",
                        room.name
                    );
                    self.cannot(self.placed.head.title.span, &why, sink);
                }
                RoomAir::Unheated(_) | RoomAir::Open { .. } | RoomAir::Shares { .. } => {}
            }
        }
    }

    fn damp(&self, room: &Room, setting: &Setting, sink: &mut Sink) {
        let Some(most) = self.placed.head.holds.heated else { return };
        let RoomHumidity::Relative(here) = setting.humidity else {
            let why = format!("the humidity of `{}` is a class, not a figure", room.name);
            return self.cannot(most.span, &why, sink);
        };
        // A cap kept by a machine is what the room has.
        let here = room.dehumidified.map_or(here.high(), |cap| here.high().min(cap.high()));
        if here > most.value {
            let show = self.show();
            let message = format!("{} while heated is damper than this detail holds for", show.humidity(here));
            let held = format!("up to {} in the room", show.humidity(most.value));
            let instead = format!("keep `{}` at or below {}", room.name, show.humidity(most.value));
            let here = Some(setting.span);
            self.tell(Unmet { here, head: most.span, message, held: &held, instead: &instead }, sink);
        }
    }

    fn cold(&self, setting: &Setting, sink: &mut Sink) {
        let Some(limit) = self.placed.head.holds.cooled else { return };
        let here = setting.temperature.low();
        let show = self.show();
        let (held, instead) = match limit.value {
            Cooling::Never => ("for rooms that are not cooled".to_owned(), "leave the cooling out".to_owned()),
            Cooling::DownTo(least) if here < least => {
                let least = show.temperature(least);
                (format!("down to {least} in the room"), format!("cool the room to {least} at the lowest"))
            }
            Cooling::DownTo(_) => return,
        };
        let message = format!("cooling to {} is more than this detail holds for", show.temperature(here));
        let here = Some(setting.span);
        self.tell(Unmet { here, head: limit.span, message, held: &held, instead: &instead }, sink);
    }

    fn height(&self, sink: &mut Sink) {
        let Some(most) = self.placed.head.holds.height else { return };
        let Some(here) = self.job.height else {
            return self.cannot(most.span, "how tall the building is is not said: `height 24 ft` in the job", sink);
        };
        if here.value > most.value {
            let show = self.show();
            let message = format!("{} is taller than this detail holds for", show.length(here.value));
            let held = format!("up to {}", show.length(most.value));
            let instead = format!("use it {held} only");
            let here = Some(here.span);
            self.tell(Unmet { here, head: most.span, message, held: &held, instead: &instead }, sink);
        }
    }

    fn faces(&self, sink: &mut Sink) {
        let faces = &self.placed.head.holds.faces;
        let Some(first) = faces.first() else { return };
        for surface in self.outside().filter(|s| s.kind == SurfaceKind::Wall) {
            let Some(here) = &surface.facts.faces else {
                let why = format!("which way `{}` faces is not said: `faces N`", surface.name);
                self.cannot(first.span, &why, sink);
                continue;
            };
            if !faces.iter().any(|f| f.value == *here) {
                let held: Vec<&str> = faces.iter().map(|f| f.value.as_str()).collect();
                let message = format!("{here} is no direction that this detail holds for");
                let held = format!("facing {}", held.join(", "));
                let (here, instead) = (Some(surface.span), "use it on other sides only");
                self.tell(Unmet { here, head: first.span, message, held: &held, instead }, sink);
            }
        }
    }

    /// Its surfaces that see outdoors.
    fn outside(&self) -> impl Iterator<Item = &'a Surface> {
        self.surfaces().filter(|s| [&s.first, &s.last].iter().any(|p| is_outdoors(&p.place)))
    }

    fn surfaces(&self) -> impl Iterator<Item = &'a Surface> {
        let names = &self.placed.surfaces;
        self.job.surfaces.iter().filter(|s| names.contains(&s.name))
    }

    /// The rooms whose air its surfaces keep, each once: the one that another shares is that one.
    fn lived_in(&self) -> Vec<&'a Room> {
        let mut ids: Vec<usize> = Vec::new();
        for side in self.surfaces().flat_map(|s| [&s.first, &s.last]) {
            let SidePlace::Room(mut id) = side.place else { continue };
            if let Some(RoomAir::Shares { room, .. }) = self.job.room(id).map(|r| &r.air) {
                id = *room;
            }
            ids.push(id);
        }
        ids.sort_unstable();
        ids.dedup();
        ids.into_iter().filter_map(|id| self.job.room(id)).collect()
    }

    fn hottest(&self) -> Option<Temperature> {
        let months = &self.job.climate.as_ref()?.months;
        months.iter().map(|m| m.temperature).max_by(|a, b| a.si().total_cmp(&b.si()))
    }

    fn show(&self) -> Show {
        Show { metric: self.job.metric }
    }
}

fn is_outdoors(place: &SidePlace) -> bool {
    matches!(place, SidePlace::Outdoors)
}

fn covers(mask: ZoneMask, zone: Zone) -> bool {
    mask.number == zone.number && mask.letter.is_none_or(|letter| zone.letter == Some(letter))
}

fn word(rain: Rain) -> &'static str {
    crate::syntax::words::RAINS.iter().find(|(_, r)| *r == rain).map_or("", |(word, _)| word)
}
