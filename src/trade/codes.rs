//! Sizes with their class as the trade writes them: `25 k5`, `25 H7/p6`, `25 bearing/k5`, `52 N7/bearing`.

use super::bearings;
use super::iso286::{self, LETTERS};

/// A tolerance class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// Of a hole, ISO 286: letter in small, grade.
    Hole(&'static str, u8),
    /// Of a shaft, ISO 286.
    Shaft(&'static str, u8),
    /// A rolling bearing's bore, ISO 492 Normal class.
    Bore,
    /// A rolling bearing's outside, ISO 492 Normal class.
    Outside,
}

/// What a class allows on a size: lower and upper deviation, µm.
pub type Deviations = (f64, f64);

impl Class {
    /// Whether it is a hole: what it is paired with goes into it.
    pub fn is_hole(self) -> bool {
        matches!(self, Class::Hole(..) | Class::Bore)
    }

    /// Lower and upper deviation on a size in mm, µm.
    pub fn on(self, size: f64) -> Result<Deviations, String> {
        let found = match self {
            Class::Hole(letter, grade) => iso286::hole(size, letter, grade),
            Class::Shaft(letter, grade) => iso286::shaft(size, letter, grade),
            Class::Bore => bearings::bore(size),
            Class::Outside => bearings::outside(size),
        };
        found.ok_or_else(|| match self {
            Class::Bore => format!("no table here has a bearing of {size} mm bore: they go from 2.5 to 120 mm"),
            Class::Outside => format!("no table here has a bearing of {size} mm outside: they go from 6 to 150 mm"),
            _ if !(1.0..=500.0).contains(&size) => {
                format!("the tables of classes go from 1 to 500 mm, not to {size} mm")
            }
            _ => format!("the tables have no class {} on {size} mm", self.name()),
        })
    }

    /// As it is written.
    pub fn name(self) -> String {
        match self {
            Class::Hole(letter, grade) => {
                let mut letters = letter.chars();
                let first = letters.next().map(|c| c.to_ascii_uppercase());
                let rest: String = letters.map(|c| c.to_ascii_uppercase()).collect();
                format!("{}{rest}{grade}", first.unwrap_or_default())
            }
            Class::Shaft(letter, grade) => format!("{letter}{grade}"),
            Class::Bore => "bearing bore".to_owned(),
            Class::Outside => "bearing outside".to_owned(),
        }
    }

    /// The standard it stands in.
    pub fn source(self) -> &'static str {
        match self {
            Class::Hole(..) | Class::Shaft(..) => "ISO 286-2:2010",
            Class::Bore | Class::Outside => "ISO 492:2014, Normal class",
        }
    }
}

/// A size with a class, as `25 k5`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// Nominal size, mm.
    pub size: f64,
    /// Its class.
    pub class: Class,
}

impl Zone {
    /// Least and greatest size, mm.
    pub fn limits(&self) -> Result<(f64, f64), String> {
        let (low, high) = self.class.on(self.size)?;
        Ok((self.size + low / 1000.0, self.size + high / 1000.0))
    }

    /// As it is written.
    pub fn name(&self) -> String {
        format!("{} {}", self.size, self.class.name())
    }
}

/// Two classes on one size, as `25 H7/p6`: the first less the second is what the fit leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Nominal size, mm.
    pub size: f64,
    /// What stands before the stroke.
    pub first: Class,
    /// What stands behind it.
    pub second: Class,
}

impl Fit {
    /// The first less the second, least and greatest, mm: clearance where the hole stands first, and interference where the shaft does.
    pub fn limits(&self) -> Result<(f64, f64), String> {
        let (low, high) = self.first.on(self.size)?;
        let (other_low, other_high) = self.second.on(self.size)?;
        Ok(((low - other_high) / 1000.0, (high - other_low) / 1000.0))
    }

    /// Least and greatest clearance, mm, whichever stands first; below nothing it is interference.
    pub fn clearance(&self) -> Result<(f64, f64), String> {
        let (low, high) = self.limits()?;
        Ok(if self.first.is_hole() {
            (low, high)
        } else {
            (-high, -low)
        })
    }

    /// As it is written.
    pub fn name(&self) -> String {
        let short = |class: Class| match class {
            Class::Bore | Class::Outside => "bearing".to_owned(),
            other => other.name(),
        };
        format!("{} {}/{}", self.size, short(self.first), short(self.second))
    }
}

/// Reads a class: `k5`, `H7`, `bearing bore`.
pub fn class(text: &str) -> Result<Class, String> {
    let text = text.trim();
    let lower = text.to_lowercase();
    match lower.split_whitespace().collect::<Vec<_>>().as_slice() {
        ["bearing", "bore"] => return Ok(Class::Bore),
        ["bearing", "outside" | "od" | "o/d"] => return Ok(Class::Outside),
        _ => {}
    }
    let end = text.find(|c: char| !c.is_ascii_alphabetic()).unwrap_or(text.len());
    let (letters, grade) = text.split_at_checked(end).unwrap_or((text, ""));
    let unknown = || {
        format!(
            "`{text}` is no tolerance class that is known here; holes are C to U, shafts c to u (without q), with a grade of 1 to 14: `H7`, `k5`"
        )
    };
    let grade: u8 = grade
        .parse()
        .ok()
        .filter(|grade| (1..=14).contains(grade))
        .ok_or_else(unknown)?;
    let small = letters.to_lowercase();
    let letter = LETTERS
        .iter()
        .copied()
        .find(|known| *known == small)
        .ok_or_else(unknown)?;
    match letters.chars().next() {
        Some(first) if first.is_ascii_uppercase() => Ok(Class::Hole(letter, grade)),
        Some(_) => Ok(Class::Shaft(letter, grade)),
        None => Err(unknown()),
    }
}

/// The size in front, mm, and what stands behind it.
fn sized(text: &str) -> Result<(f64, &str), String> {
    let text = text.trim();
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ','))
        .unwrap_or(text.len());
    let (figure, rest) = text.split_at_checked(end).unwrap_or((text, ""));
    let size: f64 = figure
        .replace(',', ".")
        .parse()
        .map_err(|_| format!("`{text}` does not begin with a size in mm"))?;
    let rest = rest.trim_start();
    Ok((size, rest.strip_prefix("mm").map_or(rest, str::trim_start)))
}

/// Reads a size with its class: `25 k5`, `52 bearing outside`.
pub fn zone(text: &str) -> Result<Zone, String> {
    let (size, rest) = sized(text)?;
    let zone = Zone {
        size,
        class: class(rest)?,
    };
    zone.limits().map(|_| zone)
}

/// Reads a fit: `25 H7/p6`, `25 bearing/k5`, `52 N7/bearing`.
pub fn fit(text: &str) -> Result<Fit, String> {
    let (size, rest) = sized(text)?;
    let Some((first, second)) = rest.split_once('/') else {
        return Err(format!("`{text}` is no fit: write hole and shaft, as `25 H7/p6`"));
    };
    let (first, second) = (first.trim(), second.trim());
    let is_bearing = |word: &str| word.eq_ignore_ascii_case("bearing");
    // A bearing is the hole for a shaft, and the shaft for a hole.
    let beside = |other: Class| if other.is_hole() { Class::Outside } else { Class::Bore };
    let (first, second) = match (is_bearing(first), is_bearing(second)) {
        (true, true) => return Err(format!("`{text}` pairs a bearing with a bearing")),
        (true, false) => {
            let second = class(second)?;
            (beside(second), second)
        }
        (false, true) => {
            let first = class(first)?;
            (first, beside(first))
        }
        (false, false) => (class(first)?, class(second)?),
    };
    if first.is_hole() == second.is_hole() {
        return Err(format!(
            "`{text}` pairs two holes or two shafts: holes are written with a capital, as `25 H7/p6`"
        ));
    }
    let fit = Fit { size, first, second };
    fit.limits().map(|_| fit)
}
