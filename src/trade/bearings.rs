//! Rolling bearings: their own tolerances (ISO 492), their clearance before fitting (ISO 5753-1), and what the fits leave of it.

use super::function::{Example, Function, Given, Gives, Group, Parameter, Refused, Word, Words};
use crate::quantity::Dimension;

/// Single plane mean bore deviation, Normal class, radial bearings but tapered, ISO 492:2014: over, up to and including, lower deviation in µm; the
/// upper is 0.
const BORES: &[(f64, f64, f64)] = &[
    (2.5, 10.0, -8.0),
    (10.0, 18.0, -8.0),
    (18.0, 30.0, -10.0),
    (30.0, 50.0, -12.0),
    (50.0, 80.0, -15.0),
    (80.0, 120.0, -20.0),
];

/// The same of the outside. The first row is a value from memory.
const OUTSIDES: &[(f64, f64, f64)] = &[
    (6.0, 18.0, -8.0),
    (18.0, 30.0, -9.0),
    (30.0, 50.0, -11.0),
    (50.0, 80.0, -13.0),
    (80.0, 120.0, -15.0),
    (120.0, 150.0, -18.0),
];

/// A row: bore over, up to and including, and the least and greatest clearance of each class.
type Row = (f64, f64, [(f64, f64); 5]);

/// Radial internal clearance of deep-groove ball bearings with a straight bore, not mounted, ISO 5753-1:2009, µm: C2, CN, C3, C4, C5.
const CLEARANCES: &[Row] = &[
    (
        2.5,
        10.0,
        [(0.0, 7.0), (2.0, 13.0), (8.0, 23.0), (14.0, 29.0), (20.0, 37.0)],
    ),
    (
        10.0,
        18.0,
        [(0.0, 9.0), (3.0, 18.0), (11.0, 25.0), (18.0, 33.0), (25.0, 45.0)],
    ),
    (
        18.0,
        24.0,
        [(0.0, 10.0), (5.0, 20.0), (13.0, 28.0), (20.0, 36.0), (28.0, 48.0)],
    ),
    (
        24.0,
        30.0,
        [(1.0, 11.0), (5.0, 20.0), (13.0, 28.0), (23.0, 41.0), (30.0, 53.0)],
    ),
    (
        30.0,
        40.0,
        [(1.0, 11.0), (6.0, 20.0), (15.0, 33.0), (28.0, 46.0), (40.0, 64.0)],
    ),
    (
        40.0,
        50.0,
        [(1.0, 11.0), (6.0, 23.0), (18.0, 36.0), (30.0, 51.0), (45.0, 73.0)],
    ),
    (
        50.0,
        65.0,
        [(1.0, 15.0), (8.0, 28.0), (23.0, 43.0), (38.0, 61.0), (55.0, 90.0)],
    ),
];

/// A class of internal clearance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Clearance {
    C2,
    CN,
    C3,
    C4,
    C5,
}

impl Clearance {
    /// All, with their names.
    pub const ALL: [(Clearance, &'static str); 5] = [
        (Clearance::C2, "C2"),
        (Clearance::CN, "CN"),
        (Clearance::C3, "C3"),
        (Clearance::C4, "C4"),
        (Clearance::C5, "C5"),
    ];

    /// Reads one; `C0` and nothing at all are CN in the trade, but are asked about here.
    pub fn read(text: &str) -> Result<Clearance, String> {
        Self::ALL
            .iter()
            .find(|(_, name)| name.eq_ignore_ascii_case(text))
            .map(|(class, _)| *class)
            .ok_or_else(|| format!("`{text}` is no clearance class: there are C2, CN, C3, C4 and C5"))
    }

    /// Least and greatest radial clearance of a bearing of this bore, µm, before it is fitted.
    pub fn on(self, bore: f64) -> Option<(f64, f64)> {
        let (.., classes) = CLEARANCES.iter().find(|(over, to, _)| in_row(*over, *to, bore))?;
        let place = Self::ALL.iter().position(|(class, _)| *class == self)?;
        classes.get(place).copied()
    }
}

/// Over the one, up to and including the other; the least end of a table belongs to its first row.
fn in_row(over: f64, to: f64, size: f64) -> bool {
    (over < size || size == 2.5 || size == 6.0) && over <= size && size <= to
}

fn deviation(table: &[(f64, f64, f64)], size: f64) -> Option<(f64, f64)> {
    let (.., low) = table.iter().find(|(over, to, _)| in_row(*over, *to, size))?;
    Some((*low, 0.0))
}

/// Lower and upper deviation of a bearing's bore, µm. `None` outside the table.
pub fn bore(size: f64) -> Option<(f64, f64)> {
    deviation(BORES, size)
}

/// The same of its outside.
pub fn outside(size: f64) -> Option<(f64, f64)> {
    deviation(OUTSIDES, size)
}

const LENGTH: Dimension = Dimension::LENGTH;
const NONE: Dimension = Dimension::NONE;

const INTERNAL: &[Parameter] = &[
    Parameter::within("bore", LENGTH, 2.5, 65.0, "the bearing's bore"),
    Parameter::word("class", Words::Clearance, "its clearance class"),
];

fn internal(given: &Given<'_>) -> Result<(f64, f64), Refused> {
    let Some(Word::Clearance(class)) = given.word(1) else {
        return Err(Refused::new(1, "the clearance class is not known"));
    };
    let found = class.on(given.figure(0));
    found.ok_or_else(|| Refused::new(0, "the tables here go from 2.5 to 65 mm of bore"))
}

/// The functions of this chapter.
pub(super) const FUNCTIONS: &[Function] = &[
    Function {
        name: "least internal clearance",
        group: Group::Bearings,
        says: "The least radial clearance inside a deep-groove ball bearing of a class, before it is fitted.",
        parameters: INTERNAL,
        gives: Gives::Of(LENGTH),
        holds: "Straight bores of 2.5 to 65 mm; not mounted, not loaded, not warm.",
        source: "ISO 5753-1:2009, radial deep-groove ball bearings",
        example: Example {
            call: "least internal clearance(25 mm, C3)",
            gives: "0.013 mm",
            source: "ISO 5753-1:2009, row 24 to 30 mm",
        },
        work: |given| Ok(internal(given)?.0 / 1000.0),
        is_range: false,
    },
    Function {
        name: "greatest internal clearance",
        group: Group::Bearings,
        says: "The greatest radial clearance inside a deep-groove ball bearing of a class, before it is fitted.",
        parameters: INTERNAL,
        gives: Gives::Of(LENGTH),
        holds: "Straight bores of 2.5 to 65 mm; not mounted, not loaded, not warm.",
        source: "ISO 5753-1:2009, radial deep-groove ball bearings",
        example: Example {
            call: "greatest internal clearance(25 mm, C3)",
            gives: "0.028 mm",
            source: "ISO 5753-1:2009, row 24 to 30 mm",
        },
        work: |given| Ok(internal(given)?.1 / 1000.0),
        is_range: false,
    },
    Function {
        name: "clearance left",
        group: Group::Bearings,
        says: "What the fits leave of a bearing's internal clearance: each grip takes its share, and a loose fit takes nothing.",
        parameters: &[
            Parameter::figure("internal", LENGTH, "radial internal clearance before fitting"),
            Parameter::figure(
                "shaft grip",
                LENGTH,
                "interference of the shaft in the bearing; below nothing it is loose",
            ),
            Parameter::figure("housing grip", LENGTH, "interference of the bearing in its housing"),
            Parameter::within("share", NONE, 0.0, 1.0, "how much of a grip reaches the race").or(0.7),
            Parameter::figure(
                "inner hotter by",
                Dimension::TEMPERATURE_DIFFERENCE,
                "how much hotter the inner ring runs than the outer",
            )
            .or(0.0),
            Parameter::within(
                "mean diameter",
                LENGTH,
                0.0,
                1000.0,
                "middle between bore and outside, for the heat",
            )
            .or(0.0),
        ],
        gives: Gives::Of(LENGTH),
        holds: "Solid shafts and thick housings; 0.6 to 0.8 of each grip is an estimate. Steel rings, 12 ppm/K.",
        source: "common practice, no source",
        example: Example {
            call: "clearance left(0.020 mm, 0.010 mm, 0.010 mm)",
            gives: "0.006 mm",
            source: "0.020 - 0.7 × (0.010 + 0.010), arithmetic",
        },
        work: |given| {
            let grips = given.figure(1).max(0.0) + given.figure(2).max(0.0);
            let heat = 12e-6 * given.figure(4) * given.figure(5);
            Ok(given.figure(0) - given.figure(3) * grips - heat)
        },
        is_range: false,
    },
];
