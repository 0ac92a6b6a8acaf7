//! Units taken for each other: the figure is right and belongs to another scale.

use crate::quantity::{Dimension, Unit, unit};

/// Symbols of units that stand on one tool, one chart or one container, or are written side by side.
const CONFUSED: &[(Dimension, &[&str])] = &[
    (Dimension::LENGTH, &["mm", "in", "thou", "µm", "hundredths"]),
    (
        Dimension::TORQUE,
        &["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm", "N·mm"],
    ),
    (Dimension::PRESSURE, &["bar", "psi", "kPa", "kgf/cm²", "MPa", "mbar"]),
    (Dimension::FORCE, &["tf", "kN", "kgf", "lbf", "N"]),
    (Dimension::TEMPERATURE, &["°C", "°F"]),
    (Dimension::VOLUME, &["L", "US gal", "imp gal", "cm³", "in³"]),
    (Dimension::MASS, &["g", "oz", "kg", "mg", "lb"]),
];

/// The units that one may have been written for.
pub(super) fn confused(of: Option<&'static Unit>) -> Vec<&'static Unit> {
    let Some(own) = of else { return Vec::new() };
    CONFUSED
        .iter()
        .filter(|(dimension, family)| *dimension == own.dimension && family.contains(&own.symbol))
        .flat_map(|(dimension, family)| family.iter().filter_map(|name| unit::find(name, Some(*dimension))))
        .filter(|other| other.dimension == own.dimension && other.symbol != own.symbol)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unit_of_a_family_is_known_by_its_symbol() {
        for (dimension, family) in CONFUSED {
            for name in *family {
                let found = unit::find(name, Some(*dimension));
                assert_eq!(found.map(|u| (u.symbol, u.dimension)), Some((*name, *dimension)));
            }
        }
    }
}
