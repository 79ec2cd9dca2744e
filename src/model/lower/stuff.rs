//! A material with its figures: the author's own material, the catalog's, or an unknown of a kind.
//!
//! What is written outranks the catalog; what stands on the layer's line outranks the author's own material.
//! Invariant: a stuff that comes out has a thickness wherever its resistance or permeance follows one.

use super::amount::Wanted;
use super::climate::short;
use super::context::Context;
use crate::base::near;
use crate::base::quantity::{Conductivity, Density, Length, Permeance, STILL_AIR, ThermalResistance, VaporThickness};
use crate::base::span::{Span, Spanned};
use crate::base::unit::Dimension;
use crate::catalog::{self, Cup, Lookup};
use crate::model::layer::Stuff;
use crate::model::value::{Origin, Reach, Value};
use crate::syntax::ast::{self, Amount, Build, MaterialRef, Name};

/// How many of the author's own materials may stand on one another.
const MOST_STEPS: usize = 8;
/// Permeances between which a layer of no known kind is judged, kg/(s m2 Pa): a foil to an open paper (catalog's spread).
const ANY_PERMEANCE: (f64, f64) = (0.5e-12, 3000e-12);
/// Thicknesses between which one that nobody knows is judged where the catalog has no usual one, m.
const ANY_THICKNESS: (f64, f64) = (0.003, 0.1);
/// By how much two written figures for one thing may differ.
const AGREE: f64 = 0.01;

/// What a written material turns out to be.
#[allow(clippy::large_enum_variant, reason = "one a layer; a box would cost more time than the bytes are worth")]
pub(super) enum Resolved {
    /// One material.
    Stuff(Stuff),
    /// A factory panel.
    Panel(Vec<Stuff>),
    /// Air, with the thickness written.
    Air(Option<Value<Length>>),
}

impl Context<'_> {
    /// Resolves a build of `label`; one problem and none when it can't be.
    pub fn resolve(&mut self, build: &Build, label: &str) -> Option<Resolved> {
        let mut resolved = self.resolve_loose(build, label)?;
        if let Resolved::Stuff(stuff) = &mut resolved {
            self.settle_thickness(stuff)?;
            self.check_factor(stuff);
        }
        Some(resolved)
    }

    /// The same where no thickness is needed: at a joint most things count by what they are, not by how thick.
    pub fn resolve_loose(&mut self, build: &Build, label: &str) -> Option<Resolved> {
        let mut resolved = self.resolve_name(build, label, 0)?;
        self.apply(&mut resolved, &build.amounts, label);
        Some(resolved)
    }

    fn resolve_name(&mut self, build: &Build, label: &str, step: usize) -> Option<Resolved> {
        match &build.material {
            MaterialRef::Named(name) if name.text == "air" => Some(Resolved::Air(None)),
            MaterialRef::Named(name) => match self.materials.get_key_value(name.text.as_str()).map(|(k, v)| (*k, *v)) {
                Some((key, own)) => {
                    self.built.insert(key);
                    self.own_material(name, own, label, step)
                }
                None => self.catalog_material(name).map(Resolved::Stuff),
            },
            MaterialRef::Unknown { kind, span } => {
                self.unknown_material(kind.as_ref(), *span, build, label).map(Resolved::Stuff)
            }
            MaterialRef::Section { species, depth, span, .. } => {
                let mut stuff = match species {
                    Some(name) => self.catalog_material(name)?,
                    None => {
                        let softwood = Name { text: "softwood".to_string(), span: *span };
                        self.catalog_material(&softwood)?
                    }
                };
                stuff.thickness = Some(Value::known(Length::new(*depth), Origin::Written(*span)));
                Some(Resolved::Stuff(stuff))
            }
        }
    }

    fn own_material(&mut self, name: &Name, own: &ast::LayerLine, label: &str, step: usize) -> Option<Resolved> {
        if step >= MOST_STEPS {
            let help = "end the chain at a material of the catalog";
            self.contradiction(
                name.span,
                format!("`{}` is made of itself", short(&name.text)),
                Some(own.label.span),
                help,
            );
            return None;
        }
        match &own.stuff {
            // Reported where it is written.
            ast::Stuff::Hole(_) => None,
            ast::Stuff::One(build) => {
                let mut resolved = self.resolve_name(build, label, step + 1)?;
                self.apply(&mut resolved, &build.amounts, label);
                if let Resolved::Stuff(stuff) = &mut resolved {
                    stuff.name.clone_from(&name.text);
                    stuff.span = name.span;
                }
                Some(resolved)
            }
            ast::Stuff::Choices(_) => {
                let help = "write `A or B` on the layer's own line";
                self.contradiction(name.span, "stand-ins belong on a layer, not in a material", Some(own.span), help);
                None
            }
            ast::Stuff::Parts(parts) => {
                let parts: Option<Vec<Stuff>> = parts
                    .iter()
                    .map(|part| match self.resolve(part, label)? {
                        Resolved::Stuff(stuff) => Some(stuff),
                        Resolved::Panel(_) | Resolved::Air(_) => {
                            let help = "a panel is made of solid parts, outermost first";
                            self.contradiction(part.span, "this can't be part of a panel", None, help);
                            None
                        }
                    })
                    .collect();
                parts.map(Resolved::Panel)
            }
        }
    }

    /// A material of the author's that no layer was made of: the names in it are looked up all the same.
    pub fn idle_material(&mut self, line: &ast::LayerLine) {
        if self.built.contains(line.label.text.as_str()) {
            return;
        }
        let builds = match &line.stuff {
            ast::Stuff::Hole(_) => &[],
            ast::Stuff::One(build) => std::slice::from_ref(build),
            ast::Stuff::Choices(builds) | ast::Stuff::Parts(builds) => builds.as_slice(),
        };
        for build in builds {
            if let MaterialRef::Named(name) = &build.material
                && name.text != "air"
                && !self.materials.contains_key(name.text.as_str())
            {
                drop(self.catalog_material(name));
            }
        }
    }

    /// A material of the catalog, or one problem.
    pub fn catalog_material(&mut self, name: &Name) -> Option<Stuff> {
        if let Some(material) = self.found.get(&name.text) {
            return Some(blank(&name.text, name.span, Some(material)));
        }
        match catalog::material(&name.text) {
            Lookup::Found(material) => {
                self.found.insert(name.text.clone(), material);
                Some(blank(&name.text, name.span, Some(material)))
            }
            Lookup::Ambiguous { choices, why } => {
                let message = format!("`{}` can be one of several things", short(&name.text));
                let list = near::one_of(&choices);
                self.incomplete(name.span, message, format!("{why}: write {list}"));
                None
            }
            Lookup::Unknown { near } => {
                self.unknown(
                    name.span,
                    format!("there is no material `{}`", short(&name.text)),
                    &near,
                    "`dewlap materials WORD` lists what there is; a `material` line makes your own from one of them",
                );
                None
            }
        }
    }

    fn unknown_material(&mut self, kind: Option<&Name>, span: Span, build: &Build, label: &str) -> Option<Stuff> {
        let mut stuff = blank("unknown", span, None);
        let (mut low, mut high) = ANY_PERMEANCE;
        stuff.resistance = Some(Value::known(ThermalResistance::ZERO, Origin::Assumed));
        if let Some(kind) = kind {
            let members = catalog::materials_of_kind(&kind.text);
            if members.is_empty() {
                let kinds: Vec<&str> = catalog::material_kinds().collect();
                let near = near::nearest(&kind.text, kinds.iter().copied());
                self.unknown(
                    kind.span,
                    format!("there is no kind of material `{}`", short(&kind.text)),
                    &near,
                    &format!("kinds are {}", kinds.join(", ")),
                );
                return None;
            }
            let written = build.amounts.iter().find_map(|a| match a {
                Amount::Known(q) | Amount::Range(q, _) if q.dimension == Dimension::Length => Some(Length::new(q.si)),
                _ => None,
            });
            let mut permeances = Vec::new();
            for material in &members {
                let Some(d) = written.or(material.usual_thickness()) else { continue };
                permeances
                    .extend([Cup::Dry, Cup::Wet].iter().filter_map(|c| material.permeance(d, *c)).map(Permeance::si));
            }
            low = permeances.iter().copied().fold(f64::INFINITY, f64::min).max(ANY_PERMEANCE.0);
            high = permeances.iter().copied().fold(low, f64::max);
            let lambdas: Vec<f64> = members.iter().filter_map(|m| m.conductivity()).map(Conductivity::si).collect();
            if !lambdas.is_empty() {
                let mean = lambdas.iter().sum::<f64>() / lambdas.len() as f64;
                stuff.conductivity = Some(Value::known(Conductivity::new(mean), Origin::Assumed));
                stuff.resistance = None;
            }
        }
        if build.amounts.iter().any(of_vapor) {
            return Some(stuff);
        }
        let wanted = Wanted { dimension: Dimension::Permeance, make: Permeance::new, ends: None, by_factor: true };
        stuff.permeance = Some(self.between(low, high, &wanted, format!("permeance of `{label}`"), span));
        Some(stuff)
    }

    fn apply(&mut self, resolved: &mut Resolved, amounts: &[Amount], label: &str) {
        if let Resolved::Stuff(stuff) = resolved
            && amounts.iter().any(of_vapor)
        {
            // These outrank the author's own material and what a kind could be.
            (stuff.permeance, stuff.factor) = (None, None);
        }
        let measures = |amount: &Amount| amount.dimension().unwrap_or(Dimension::Length);
        for (index, amount) in amounts.iter().enumerate() {
            let dimension = measures(amount);
            if let Some(first) = amounts.iter().take(index).find(|a| measures(a) == dimension) {
                let message = format!("`{}` is given {} twice", short(label), dimension.name());
                self.contradiction(amount.span(), message, Some(first.span()), "keep one of the two");
                continue;
            }
            match resolved {
                Resolved::Stuff(stuff) => self.apply_to_stuff(stuff, amount, dimension, label),
                Resolved::Air(thickness) if dimension == Dimension::Length => {
                    *thickness = self.thickness(amount, label, None)
                }
                Resolved::Air(_) => {
                    let message = format!("air takes a thickness, not {}", dimension.name());
                    self.incomplete(amount.span(), message, "write it like `air 1 in`");
                }
                Resolved::Panel(_) => {
                    let help = "change the figure in the panel's own `material` line";
                    self.contradiction(amount.span(), "a panel has its figures already", None, help);
                }
            }
        }
    }

    fn apply_to_stuff(&mut self, stuff: &mut Stuff, amount: &Amount, dimension: Dimension, label: &str) {
        let what = |word: &str| format!("{word} of `{}`", short(label));
        match dimension {
            Dimension::Length => {
                let usual = stuff.material.and_then(|m| m.usual_thickness());
                if let Some(thickness) = self.thickness(amount, label, usual) {
                    stuff.thickness = Some(thickness);
                }
            }
            Dimension::ThermalResistance => {
                let wanted = Wanted { dimension, make: ThermalResistance::new, ends: None, by_factor: false };
                stuff.resistance = self.value(amount, &wanted, || what("resistance"));
                if stuff.resistance.is_some_and(|r| r.low() <= ThermalResistance::ZERO) {
                    let help = "leave the figure out: the catalog knows one";
                    self.contradiction(amount.span(), "no layer has a resistance of 0", None, help);
                    stuff.resistance = None;
                }
            }
            Dimension::Conductivity => {
                let wanted = Wanted { dimension, make: Conductivity::new, ends: None, by_factor: false };
                stuff.conductivity = self.value(amount, &wanted, || what("conductivity"));
            }
            Dimension::Density => {
                let wanted = Wanted { dimension, make: Density::new, ends: None, by_factor: false };
                stuff.density = self.value(amount, &wanted, || what("density"));
            }
            Dimension::Permeance => {
                let wanted = Wanted { dimension, make: Permeance::new, ends: None, by_factor: true };
                let written = self.value(amount, &wanted, || what("permeance"));
                self.set_permeance(stuff, written, amount.span());
            }
            Dimension::VaporThickness => {
                let make = |sd: f64| VaporThickness::new(sd).permeance();
                let wanted = Wanted { dimension, make, ends: None, by_factor: true };
                let written = self.value(amount, &wanted, || what("vapor-equivalent thickness"));
                self.set_permeance(stuff, written, amount.span());
            }
            Dimension::VaporFactor => {
                let mu = self.figure(amount, dimension, "vapor resistance factor");
                if mu.is_some_and(|mu| mu < 1.0) {
                    let help = "still air has `mu 1`, and all else more";
                    self.contradiction(amount.span(), "no material has such a vapor factor", None, help);
                } else if let Some(mu) = mu {
                    stuff.factor = Some(Spanned::new(mu, amount.span()));
                }
            }
            // The gauge of a metal member is read with the member.
            Dimension::Gauge => {}
            _ => self.incomplete(
                amount.span(),
                format!("a material takes no figure that is {}", dimension.name()),
                "a layer takes a thickness, `R-13`, `RSI 2.3`, `0.1 perm`, `sd 100 m`, `mu 50`, `0.04 W/(m.K)`",
            ),
        }
    }

    /// Two written permeances (say perm and sd) that differ by more than 1 % contradict each other.
    fn set_permeance(&mut self, stuff: &mut Stuff, written: Option<Value<Permeance>>, span: Span) {
        let Some(written) = written else { return };
        if let Some(old) = stuff.permeance.filter(|o| matches!(o.origin, Origin::Written(_)))
            && let (Some(a), Some(b)) = (old.sure(), written.sure())
            && ((a.si() - b.si()) / b.si()).abs() > AGREE
            && let Origin::Written(first) = old.origin
        {
            self.disagree(first, span);
            return;
        }
        stuff.permeance = Some(written);
    }

    /// A written thickness.
    pub fn thickness(&mut self, amount: &Amount, label: &str, usual: Option<Length>) -> Option<Value<Length>> {
        let ends = usual.map_or(ANY_THICKNESS, |d| (d.si() / 2.0, d.si() * 2.0));
        let wanted = Wanted { dimension: Dimension::Length, make: Length::new, ends: Some(ends), by_factor: false };
        let value = self.value(amount, &wanted, || format!("thickness of `{}`", short(label)))?;
        if value.low() <= Length::ZERO {
            let help = "leave the layer out, or give it the thickness it has";
            self.contradiction(amount.span(), "a layer can't be 0 thick", None, help);
            return None;
        }
        Some(value)
    }

    /// Gives a stuff the thickness it was not given: from its resistance, else the catalog's usual one.
    fn settle_thickness(&mut self, stuff: &mut Stuff) -> Option<()> {
        if stuff.thickness.is_some() {
            return Some(());
        }
        let Some(material) = stuff.material else { return Some(()) };
        if let (Some(r), Some(lambda)) = (stuff.resistance.and_then(|r| r.sure()), material.conductivity()) {
            stuff.thickness = Some(Value::known(lambda * r, Origin::Assumed));
            return Some(());
        }
        if let Some(usual) = material.usual_thickness() {
            stuff.thickness = Some(Value::known(usual, Origin::Catalog(material.key())));
            self.assume(stuff.span, "the usual thickness of the catalog");
            return Some(());
        }
        if material.resistance_is_fixed() && material.permeance_is_fixed() {
            return Some(());
        }
        let message = format!("`{}` needs a thickness", short(&stuff.name));
        self.incomplete(
            stuff.span,
            message,
            format!("write it behind the name, like {}", Dimension::Length.examples()),
        );
        None
    }

    /// A written factor and a written permeance must agree at the thickness the layer has.
    fn check_factor(&mut self, stuff: &mut Stuff) {
        let (Some(mu), Some(permeance), Some(thickness)) = (stuff.factor, stuff.permeance, stuff.thickness) else {
            return;
        };
        let Origin::Written(written) = permeance.origin else { return };
        if let (Some(permeance), Some(thickness)) = (permeance.sure(), thickness.sure()) {
            let by_factor = STILL_AIR.si() / (mu.value * thickness.si());
            if ((permeance.si() - by_factor) / by_factor).abs() > AGREE {
                self.disagree(mu.span, written);
            }
        }
        stuff.factor = None;
    }

    fn disagree(&mut self, one: Span, other: Span) {
        let (first, second) = if one.start < other.start { (one, other) } else { (other, one) };
        let help = "keep the one that was measured";
        self.contradiction(second, "two figures for one permeance disagree", Some(first), help);
    }

    /// One axis for stand-ins.
    pub fn stand_ins(&mut self, span: Span, label: &str, names: Vec<String>) -> usize {
        self.axis(span, format!("choice for `{}`", short(label)), Reach::OneOf(names))
    }
}

/// Whether a figure says how much vapor passes.
fn of_vapor(amount: &Amount) -> bool {
    use Dimension::{Permeance, VaporFactor, VaporThickness};
    matches!(amount.dimension(), Some(Permeance | VaporFactor | VaporThickness))
}

/// A stuff with nothing written yet.
pub(super) fn blank(name: &str, span: Span, material: Option<&'static catalog::Material>) -> Stuff {
    Stuff {
        name: name.to_string(),
        span,
        material,
        thickness: None,
        resistance: None,
        conductivity: None,
        permeance: None,
        factor: None,
        density: None,
    }
}
