//! Movement at a seam against what a sealant can follow.
//!
//! Width for opening or closing: movement over capability. For sliding: d over the root of (S squared plus 2 S), so that
//! the stretched bead is no longer than (1 + S) of its width. Both at once: the root of ((W + dL)^2 + d^2) may not be more
//! than W (1 + S). The idea of ASTM C1472 (not read); the forms are geometry.
//! Invariant: lengths in metres; capability as a share of the installed width.

use crate::base::quantity::Length;
use crate::catalog::Material;

/// Movement capability by family: classes of ASTM C920 (from memory) as usual for the family (common practice, no source);
/// the lower where a family has several.
pub fn capability(m: &Material) -> Option<f64> {
    Some(match m.family() {
        "silicone" => 0.50,
        "silyl-polymer" | "polyurethane" if m.key() != "gun-foam" => 0.25,
        "polysulfide" => 0.125,
        "acrylic" | "butyl" => 0.075,
        _ => return None,
    })
}

/// The width that a bead of this capability needs for movement across and along its seam.
pub fn width(across: Length, along: Length, capability: f64) -> Length {
    let (l, d, s) = (across.si(), along.si(), capability);
    if s <= 0.0 {
        return Length::ZERO;
    }
    // (W + l)^2 + d^2 = W^2 (1 + s)^2 solved for W: a W^2 - 2 l W - (l^2 + d^2) = 0 with a = s^2 + 2 s.
    let a = s * s + 2.0 * s;
    let opening = (l + (l * l + a * (l * l + d * d)).sqrt()) / a;
    Length::new(opening.max(l / s))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The four figures of a worked table: a seam that slides 6 mm, by class. From the formula's own derivation.
    #[test]
    fn a_slide_of_six_millimetres_by_class() {
        let of = |s: f64| width(Length::ZERO, Length::new(0.006), s).si() * 1000.0;
        for (class, printed) in [(0.125, 11.6), (0.25, 8.0), (0.35, 6.6), (0.50, 5.4)] {
            assert!((of(class) - printed).abs() < 0.05, "class {class}: {}", of(class));
        }
    }

    /// 12 mm that open 2 mm and slide 6 mm stretch by 27 per cent: class 25 fails, class 35 passes.
    #[test]
    fn both_at_once() {
        let needs = |s: f64| width(Length::new(0.002), Length::new(0.006), s).si();
        assert!(needs(0.25) > 0.012 && needs(0.35) < 0.012);
    }

    /// Aluminum trim against concrete, 2.94 mm, class 25: 11.8 mm before tolerance.
    #[test]
    fn opening_alone() {
        assert!((width(Length::new(0.00294), Length::ZERO, 0.25).si() * 1000.0 - 11.76).abs() < 0.01);
    }
}
