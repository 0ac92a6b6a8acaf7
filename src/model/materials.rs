//! Materials and how much they grow by heat.

/// How much a material grows, in parts of its length for one degree.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Its name, as a key; `None` where a manual gives a coefficient of its own.
    pub name: Option<&'static str>,
    /// Coefficient of expansion, 1/°C.
    pub expansion: f64,
    /// How far the alloys of that name lie apart, either way, 1/°C.
    pub spread: f64,
}

impl Material {
    /// How it is called in messages: its name, or its coefficient.
    pub fn words(&self) -> String {
        match self.name {
            Some(name) => name.to_owned(),
            None => format!("{:.1} ± {:.1} ppm/K", self.expansion * 1e6, self.spread * 1e6),
        }
    }
}

/// Mean coefficients between 20 and 100 °C. Common practice; the ranges of steel, iron and aluminium are those that workshop and materials
/// handbooks give for the alloys of engines, the others are values from memory.
const MATERIALS: &[(&[&str], f64, f64)] = &[
    (&["steel", "forged steel", "hardened steel"], 11.5e-6, 0.8e-6),
    (&["cast iron", "iron", "grey iron"], 10.8e-6, 0.6e-6),
    (
        &["aluminium", "aluminum", "alloy", "aluminium alloy", "light alloy"],
        23.0e-6,
        2.0e-6,
    ),
    (&["stainless steel", "stainless"], 16.0e-6, 1.5e-6),
    (&["bronze", "phosphor bronze"], 17.5e-6, 1.0e-6),
    (&["brass"], 19.0e-6, 1.0e-6),
    (&["copper"], 16.7e-6, 0.5e-6),
    (&["magnesium"], 26.0e-6, 1.0e-6),
    (&["titanium"], 8.8e-6, 0.6e-6),
];

/// A material by its name; the name is a key.
pub fn material(key: &str) -> Option<Material> {
    MATERIALS.iter().find_map(|(names, expansion, spread)| {
        let name = names.iter().find(|name| **name == key)?;
        Some(Material {
            name: Some(name),
            expansion: *expansion,
            spread: *spread,
        })
    })
}

/// Every name of a material, for suggestions.
pub fn names() -> impl Iterator<Item = &'static str> {
    MATERIALS.iter().flat_map(|(names, ..)| names.iter().copied())
}
