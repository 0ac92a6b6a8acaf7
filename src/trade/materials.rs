//! Materials: how much they grow by heat, and how stiff they are.

/// A material of engines: what it grows by heat, in parts of its length for one degree, and how it gives under load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Its name, as a key; `None` where a manual gives a coefficient of its own.
    pub name: Option<&'static str>,
    /// Coefficient of expansion, 1/°C.
    pub expansion: f64,
    /// How far the alloys of that name lie apart, either way, 1/°C.
    pub spread: f64,
    /// Modulus of elasticity in N/mm² and Poisson's ratio; `None` where only the expansion is known.
    pub elastic: Option<(f64, f64)>,
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

/// A row: names, expansion and how far the alloys lie apart, modulus and Poisson's ratio.
type Row = (&'static [&'static str], f64, f64, (f64, f64));

/// Mean coefficients between 20 and 100 °C, common practice: the ranges of steel, iron and aluminium are those that workshop and materials handbooks give for
/// the alloys of engines (Callister, *Fundamentals of Materials Science and Engineering*, 3rd edition, table B.6 lies within them), the others are values from
/// memory. Of the moduli, steel, iron and aluminium are those of the worked cases in the tests; the others are values from memory.
const MATERIALS: &[Row] = &[
    (
        &["steel", "forged steel", "hardened steel"],
        11.5e-6,
        0.8e-6,
        (207_000.0, 0.29),
    ),
    (&["cast iron", "iron", "grey iron"], 10.8e-6, 0.6e-6, (110_000.0, 0.26)),
    (
        &["aluminium", "aluminum", "alloy", "aluminium alloy", "light alloy"],
        23.0e-6,
        2.0e-6,
        (71_000.0, 0.33),
    ),
    (&["stainless steel", "stainless"], 16.0e-6, 1.5e-6, (193_000.0, 0.29)),
    (&["bronze", "phosphor bronze"], 17.5e-6, 1.0e-6, (105_000.0, 0.34)),
    (&["brass"], 19.0e-6, 1.5e-6, (100_000.0, 0.34)),
    (&["copper"], 16.7e-6, 0.5e-6, (117_000.0, 0.34)),
    (&["magnesium"], 26.0e-6, 1.0e-6, (45_000.0, 0.35)),
    (&["titanium"], 8.8e-6, 0.6e-6, (110_000.0, 0.34)),
];

/// A material by its name; the name is a key.
pub fn material(key: &str) -> Option<Material> {
    MATERIALS.iter().find_map(|(names, expansion, spread, elastic)| {
        let name = names.iter().find(|name| **name == key)?;
        Some(Material {
            name: Some(name),
            expansion: *expansion,
            spread: *spread,
            elastic: Some(*elastic),
        })
    })
}

/// Every name of a material, for suggestions.
pub fn names() -> impl Iterator<Item = &'static str> {
    MATERIALS.iter().flat_map(|(names, ..)| names.iter().copied())
}
