//! What would serve in the place of a layer, printed: the slot, those that serve, those of which it can't be told, and
//! those that something stops.
//!
//! Invariant: readable without color at 40 columns; every candidate is named once, or counted with its reason.

use super::clean::{clean_line, one_line};
use super::figure::{Units, count, decimals, line, water_full};
use super::look::{Ink, Look};
use super::wrap::hang;
use crate::base::finding::{Finding, Weight};
use crate::base::quantity::{Length, MoistureMass};
use crate::base::show::Show;
use crate::review::swap::{Figures, From, Slot, Swap, Tried};
use std::io::{Result, Write};

/// What no candidate is judged by.
pub const CAUTIONS: &str = "Not judged: strength, fire, wind, and whether it is safe to use again. Local code and licensed \
    practice decide.";
/// What left-over material can hold.
pub const LEFT_OVER: &str = "Left-over material can hold lead, asbestos or rot: have it looked at before you cut it.";

/// So many of the catalog that lose much are shown.
const FEW: usize = 5;
/// From here up a length is told in inches and not in mils.
const INCHES: Length = Length::new(0.0023);
/// Thicknesses that differ by less are told as the same: half of a sixteenth.
const SAME: f64 = 0.000_8;
/// The same of sheets, as a share of what is drawn.
const SAME_SHEET: f64 = 0.05;

/// Writes it all; at most so many of those that serve in full, those of the yard always.
pub fn write(out: &mut dyn Write, swap: &Swap, limit: Option<usize>, look: &Look) -> Result<()> {
    let page = Page { swap, look, units: Units { metric: swap.metric } };
    page.slot(out)?;
    page.serves(out, limit)?;
    page.loses_much(out, limit)?;
    page.other_kind(out)?;
    page.cannot_tell(out)?;
    page.stopped(out)?;
    page.left_out(out)?;
    writeln!(out)?;
    let all = [&swap.serves, &swap.loses_much, &swap.other_kind, &swap.cannot_tell, &swap.stopped];
    let yard = all.iter().any(|part| part.iter().any(|t| t.from != From::Catalog));
    if yard {
        hang(out, look, "", 0, LEFT_OVER)?;
    }
    hang(out, look, "", 0, CAUTIONS)
}

struct Page<'a> {
    swap: &'a Swap,
    look: &'a Look,
    units: Units,
}

impl Page<'_> {
    fn show(&self) -> Show {
        Show { metric: self.swap.metric }
    }

    /// A heading; in plain form a sentence.
    fn head(&self, out: &mut dyn Write, text: &str) -> Result<()> {
        if self.look.plain {
            return self.item(out, 0, text);
        }
        writeln!(out)?;
        hang(out, self.look, "", 0, text)
    }

    /// A line so deep below a heading; in plain form a sentence.
    fn item(&self, out: &mut dyn Write, depth: usize, text: &str) -> Result<()> {
        if self.look.plain {
            let mut first = text.chars();
            let capital: String = first.next().into_iter().flat_map(char::to_uppercase).chain(first).collect();
            return hang(out, self.look, "", 0, &format!("{}.", capital.trim_end_matches(':')));
        }
        hang(out, self.look, &" ".repeat(depth), depth + 2, text)
    }

    fn slot(&self, out: &mut dyn Write) -> Result<()> {
        let Slot { surface, layer, what, .. } = &self.swap.slot;
        let slot = &self.swap.slot;
        let place = line(&self.swap.sources, slot.span);
        let title = format!("{}.{}: {} ({place})", clean_line(surface), clean_line(layer), one_line(what));
        if self.look.plain {
            self.item(out, 0, &format!("The slot is {title}"))?;
        } else {
            hang(out, self.look, "", 2, &title)?;
        }
        if !slot.words.is_empty() {
            self.item(out, 2, &format!("kept for every candidate: {}", one_line(&slot.words)))?;
        }
        let mut parts: Vec<String> =
            slot.thickness.map(|t| format!("{} thick", self.show().length(t))).into_iter().collect();
        parts.extend(self.figures(&slot.figures));
        parts.extend(slot.figures.u.map(|u| format!("{} for the {}", self.units.resistance(u), slot.kind)));
        self.item(out, 2, &format!("as drawn: {}", parts.join("; ")))?;
        for finding in &slot.findings {
            self.finding(out, 2, "", finding)?;
        }
        if slot.heavy > 0 {
            let told = count(slot.heavy, "finding", "findings");
            let text = format!(
                "as drawn this {} and its joints have {told} to fix or stop, which stop nobody here",
                slot.kind
            );
            self.item(out, 2, &text)?;
        }
        if slot.not_run > 0 {
            let checks = count(slot.not_run, "check does", "checks do");
            self.item(out, 2, &format!("{checks} not run here as drawn either (`dewlap review` says why)"))?;
        }
        Ok(())
    }

    /// How near to water, in words.
    fn figures(&self, of: &Figures) -> Vec<String> {
        let water = of.peak.filter(|p| *p > MoistureMass::ZERO).map(|p| match water_full(p) {
            little if little.starts_with('<') => format!("under {} of water", little.trim_start_matches('<')),
            told => format!("at most {told} of water"),
        });
        match (of.margin, water) {
            (None, _) => vec!["no moisture figures".to_owned()],
            (_, Some(water)) => vec![water],
            (Some(margin), None) => {
                vec![format!("at least {} above the dew point", self.units.difference_full(margin))]
            }
        }
    }

    fn serves(&self, out: &mut dyn Write, limit: Option<usize>) -> Result<()> {
        match (self.swap.serves.is_empty(), self.swap.loses_much.is_empty()) {
            (true, true) => self.head(out, "nothing serves"),
            (true, false) => Ok(()),
            (false, _) => self.ranked(out, "serves", &self.swap.serves, limit),
        }
    }

    fn loses_much(&self, out: &mut dyn Write, limit: Option<usize>) -> Result<()> {
        let few = limit.map(|limit| limit.min(FEW));
        self.ranked(out, "serves, but loses much", &self.swap.loses_much, few)
    }

    /// A list by rank: so many of it, and all of the yard.
    fn ranked(&self, out: &mut dyn Write, title: &str, list: &[Tried], limit: Option<usize>) -> Result<()> {
        if list.is_empty() {
            return Ok(());
        }
        let how = if self.swap.slot.heavy > 0 { ", with nothing new to fix or stop" } else { "" };
        self.head(out, &format!("{title}{how}: {}", list.len()))?;
        let limit = limit.unwrap_or(list.len());
        let shown = |(index, t): &(usize, &Tried)| *index < limit || t.from != From::Catalog;
        let all: Vec<(usize, &Tried)> = list.iter().enumerate().filter(shown).collect();
        let hidden = list.len() - all.len();
        for (index, tried) in all {
            self.tried(out, index + 1, tried)?;
        }
        if hidden > 0 {
            self.item(out, 2, &format!("and {hidden} more of the catalog that rank lower (`--json` has them)"))?;
        }
        Ok(())
    }

    /// Names alone, by kind; those that end a fault, bring something to watch or lose much stand apart.
    fn other_kind(&self, out: &mut dyn Write) -> Result<()> {
        let all = &self.swap.other_kind;
        if all.is_empty() {
            return Ok(());
        }
        self.head(out, &format!("passes the checks, but is another kind of thing: {}", all.len()))?;
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        // The better first, and what lies in the yard; else by rank.
        let mut all: Vec<&Tried> = all.iter().collect();
        all.sort_by_key(|t| (t.loses_much, !t.new.is_empty(), !ends(t), t.from == From::Catalog));
        for tried in all {
            let kind = tried.thing.map_or("unknown", |t| t.kind.words());
            let marks = [
                (ends(tried), ", ending a fault"),
                (!tried.new.is_empty(), ", with something new to watch"),
                (tried.loses_much, ", losing much"),
            ];
            let marks: String = marks.iter().filter(|(is, _)| *is).map(|(_, words)| *words).collect();
            put(&mut groups, format!("{kind}{marks}"), self.name(&tried.name, &tried.from));
        }
        self.groups(out, &groups)
    }

    fn tried(&self, out: &mut dyn Write, number: usize, tried: &Tried) -> Result<()> {
        let mut title = clean_line(&tried.name).into_owned();
        if let (From::Catalog, Some(thickness)) = (&tried.from, tried.thickness) {
            title = format!("{title} {}", self.show().length(thickness));
        }
        let title = format!("{title} ({})", self.whence(&tried.from));
        let (lead, deep) = if self.look.plain { (format!("{number}. "), 0) } else { (format!("{number:>4}. "), 6) };
        let end = if self.look.plain { "." } else { "" };
        hang(out, self.look, &self.look.paint(Ink::Head, &lead), deep, &format!("{title}{end}"))?;
        self.item(out, 6, &self.differs(tried).join("; "))?;
        tried.new.iter().try_for_each(|f| self.finding(out, 6, "new: ", f))?;
        tried.instead.iter().try_for_each(|f| self.finding(out, 6, "instead: ", f))?;
        tried.gone.iter().try_for_each(|f| self.finding(out, 6, "no more: ", f))?;
        if let Some(caution) = tried.from.state().caution() {
            self.item(out, 6, &format!("{}: {caution}", tried.from.state().word()))?;
        }
        if let Some(note) = tried.from.row().and_then(|r| r.note.as_ref()) {
            self.item(out, 6, &format!("\"{}\"", one_line(note)))?;
        }
        Ok(())
    }

    /// "yard, 340 ft2, weathered".
    fn whence(&self, from: &From) -> String {
        let Some(row) = from.row() else { return "catalog".to_owned() };
        let mut parts = vec!["yard".to_owned()];
        parts.extend(row.covers.map(|area| self.units.area(area)));
        parts.extend(row.amount.as_ref().map(|a| one_line(a)));
        parts.push(row.state.word().to_owned());
        parts.join(", ")
    }

    /// What is not as drawn: thickness, margin, water.
    fn differs(&self, tried: &Tried) -> Vec<String> {
        let mut parts = Vec::new();
        if let Some(form) = tried.form.filter(|f| Some(*f) != self.swap.slot.form) {
            parts.push(form.words().to_owned());
        }
        if let Some((own, slot)) = tried.thickness.zip(self.swap.slot.thickness) {
            // A board is told in sixteenths, however little it differs.
            let fine = own.max(slot) < INCHES;
            let by = |d: Length| self.show().length(if fine || self.swap.metric { d } else { d.max(INCHES) });
            parts.push(match (own - slot).si() {
                d if d.abs() < if fine { SAME_SHEET * slot.si() } else { SAME } => "as thick".to_owned(),
                d if d > 0.0 => format!("{} thicker", by(own - slot)),
                _ => format!("{} thinner", by(slot - own)),
            });
        }
        let mut figures = self.figures(&tried.figures);
        if let (Some(own), Some(drawn), [only]) =
            (tried.figures.margin, self.swap.slot.figures.margin, &mut figures[..])
        {
            let change = own - drawn;
            let wet = tried.figures.peak.is_some_and(|p| p > MoistureMass::ZERO);
            let told = self.units.difference(if change.si() < 0.0 { -change } else { change });
            let sign = self.units.difference_word();
            match told.chars().any(|c| ('1'..='9').contains(&c)) {
                _ if wet => {}
                false => only.push_str(", as drawn"),
                true if change.si() > 0.0 => *only = format!("{only}, {told} {sign} more"),
                true => *only = format!("{only}, {told} {sign} less"),
            }
        }
        parts.extend(figures);
        parts.extend(self.heat(tried));
        parts
    }

    /// What it does to the heat the surface keeps; nothing where that is hardly anything.
    fn heat(&self, tried: &Tried) -> Option<String> {
        let (own, drawn) = tried.figures.u.zip(self.swap.slot.figures.u)?;
        let change = own.resistance().si() / drawn.resistance().si() - 1.0;
        let word = if change < 0.0 { "less" } else { "more" };
        let told = (change.abs() * 100.0).round();
        (told >= 1.0).then(|| format!("{}, {} % {word}", self.units.resistance(own), decimals(told, 0)))
    }

    /// `watch dew/damp-layer: ...` with the joint it is at.
    fn finding(&self, out: &mut dyn Write, depth: usize, before: &str, f: &Finding) -> Result<()> {
        let at = f.joint.as_ref().map_or_else(String::new, |j| format!(" (at {})", clean_line(j)));
        let words = format!("{} {}: {}{at}", f.weight.word(), f.rule, one_line(&f.message));
        if self.look.plain {
            return self.item(out, depth, &format!("{before}{words}"));
        }
        let mut lines = Vec::new();
        hang(&mut lines, self.look, &" ".repeat(depth), depth + 2, &format!("{before}{words}"))?;
        // Painted when it is broken into lines: color takes no columns. The weight is the first such word there.
        let painted = self.look.paint(Ink::Weight(f.weight), f.weight.word());
        out.write_all(String::from_utf8_lossy(&lines).replacen(f.weight.word(), &painted, 1).as_bytes())
    }

    fn cannot_tell(&self, out: &mut dyn Write) -> Result<()> {
        let all = &self.swap.cannot_tell;
        if all.is_empty() {
            return Ok(());
        }
        self.head(out, &format!("can't tell: {}", all.len()))?;
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for tried in all {
            let Some(first) = tried.untold.first() else { continue };
            let more = tried.untold.len() - 1;
            let more = if more == 0 { String::new() } else { format!(", and {} more", count(more, "check", "checks")) };
            let why = format!("{} can't run: {}{more}", first.rule, one_line(&first.why));
            put(&mut groups, why, self.name(&tried.name, &tried.from));
        }
        self.groups(out, &groups)
    }

    /// By the heaviest finding that stops them.
    fn stopped(&self, out: &mut dyn Write) -> Result<()> {
        let all = &self.swap.stopped;
        if all.is_empty() {
            return Ok(());
        }
        self.head(out, &format!("stopped: {}", all.len()))?;
        let mut groups: Vec<(&Finding, Vec<String>)> = Vec::new();
        for tried in all {
            let Some(first) = tried.new.first() else { continue };
            let name = self.name(&tried.name, &tried.from);
            let same = |f: &Finding| (f.rule, f.weight) == (first.rule, first.weight);
            match groups.iter_mut().find(|(f, _)| same(f)) {
                Some((_, names)) => names.push(name),
                None => groups.push((first, vec![name])),
            }
        }
        groups.sort_by_key(|(f, _)| (std::cmp::Reverse(f.weight), crate::rules::family_rank(f.rule), f.rule));
        for (finding, names) in &groups {
            self.finding(out, 2, "", finding)?;
            self.item(out, 6, &names.join(", "))?;
        }
        Ok(())
    }

    fn left_out(&self, out: &mut dyn Write) -> Result<()> {
        let all = &self.swap.left_out;
        if all.is_empty() {
            return Ok(());
        }
        self.head(out, &format!("not tried: {}", all.len()))?;
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        let (yard, catalog): (Vec<_>, Vec<_>) = all.iter().partition(|l| l.from != From::Catalog);
        yard.iter().for_each(|l| put(&mut groups, one_line(&l.why), clean_line(&l.name).into_owned()));
        let mut counts: Vec<(&str, usize)> = Vec::new();
        for left in catalog {
            match counts.iter_mut().find(|(why, _)| *why == left.why) {
                Some((_, n)) => *n += 1,
                None => counts.push((&left.why, 1)),
            }
        }
        for (why, n) in counts {
            put(&mut groups, why.to_owned(), format!("{n} of the catalog"));
        }
        self.groups(out, &groups)
    }

    fn name(&self, name: &str, from: &From) -> String {
        let name = clean_line(name);
        if from.row().is_some() { format!("{name} (yard)") } else { name.into_owned() }
    }

    fn groups(&self, out: &mut dyn Write, groups: &[(String, Vec<String>)]) -> Result<()> {
        for (why, names) in groups {
            self.item(out, 2, &format!("{why}: {}", names.join(", ")))?;
        }
        Ok(())
    }
}

/// Whether something to fix or stop is no more.
fn ends(tried: &Tried) -> bool {
    tried.gone.iter().any(|f| f.weight > Weight::Watch)
}

fn put(groups: &mut Vec<(String, Vec<String>)>, why: String, name: String) {
    match groups.iter_mut().find(|(known, _)| *known == why) {
        Some((_, names)) => names.push(name),
        None => groups.push((why, vec![name])),
    }
}
