//! Kinds of instrument, and what each is honestly good for in a small shop where nothing is declared.
//!
//! The figures are common practice, no source: what a careful hand repeats to with such an instrument, division and all. They stand in for
//! what is not declared, are marked as defaults wherever they are used, and give way to the tool's own `reads to`, `good to` and `repeats to`.

use rust_decimal::Decimal;

use crate::quantity::Dimension;

/// How far a reading may be off either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Error {
    /// By this much, base units.
    Of(Decimal),
    /// By this share of the figure.
    Share(Decimal),
}

/// What is known of a kind of instrument.
#[derive(Clone, Copy, Debug)]
pub struct Instrument {
    /// Its name, as printed.
    pub name: &'static str,
    /// Every name it goes by, as keys.
    names: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// What it is good for either way where nothing is declared; digits and scale of the figure.
    usual: Usual,
    /// The same with a division of a thousandth of a millimetre.
    finer: Option<(i64, u32)>,
    /// The finest step that any such instrument has, base units.
    finest: Option<(i64, u32)>,
}

#[derive(Clone, Copy, Debug)]
enum Usual {
    /// A figure in base units: digits and scale.
    Figure(i64, u32),
    /// Of the reading, in per cent.
    PerCent(i64),
}

const LENGTH: Dimension = Dimension::LENGTH;

const fn length(name: &'static str, names: &'static [&'static str], usual: (i64, u32)) -> Instrument {
    Instrument {
        name,
        names,
        dimension: LENGTH,
        usual: Usual::Figure(usual.0, usual.1),
        finer: None,
        finest: None,
    }
}

const fn share(name: &'static str, names: &'static [&'static str], dimension: Dimension, per_cent: i64) -> Instrument {
    Instrument {
        name,
        names,
        dimension,
        usual: Usual::PerCent(per_cent),
        finer: None,
        finest: None,
    }
}

/// Every kind with a usual error. Blades are not among them: they leave a band open and are no distribution.
const INSTRUMENTS: &[Instrument] = &[
    Instrument {
        finest: Some((1, 1)),
        ..length("steel rule", &["rule", "steel rule", "ruler"], (5, 1))
    },
    Instrument {
        finest: Some((1, 2)),
        ..length(
            "calliper",
            &[
                "calliper",
                "caliper",
                "callipers",
                "calipers",
                "vernier",
                "vernier calliper",
                "vernier caliper",
                "digital calliper",
                "digital caliper",
                "depth calliper",
            ],
            (3, 2),
        )
    },
    Instrument {
        finer: Some((3, 3)),
        finest: Some((1, 3)),
        ..length(
            "outside micrometer",
            &[
                "micrometer",
                "mic",
                "outside micrometer",
                "outside mic",
                "digital micrometer",
            ],
            (5, 3),
        )
    },
    length(
        "telescopic gauge",
        &[
            "telescopic gauge",
            "telescopic gauge and mic",
            "snap gauge",
            "small hole gauge",
        ],
        (15, 3),
    ),
    Instrument {
        finest: Some((1, 3)),
        ..length(
            "bore gauge",
            &["bore gauge", "dial bore gauge", "inside micrometer"],
            (4, 3),
        )
    },
    Instrument {
        finest: Some((1, 3)),
        ..length(
            "depth micrometer",
            &["depth micrometer", "depth mic", "depth gauge"],
            (10, 3),
        )
    },
    Instrument {
        finer: Some((5, 3)),
        finest: Some((1, 3)),
        ..length(
            "dial indicator",
            &["dial", "dial indicator", "dial gauge", "clock", "indicator"],
            (75, 4),
        )
    },
    Instrument {
        finer: Some((2, 3)),
        finest: Some((1, 3)),
        ..length(
            "lever dial",
            &["dti", "lever dti", "lever dial", "dial test indicator"],
            (5, 3),
        )
    },
    length("solder", &["solder", "solder wire"], (3, 2)),
    length(
        "plastic gauge strip",
        &["plastic gauge", "plastic gauge strip"],
        (13, 3),
    ),
    Instrument {
        name: "burette",
        names: &["burette"],
        dimension: Dimension::VOLUME,
        usual: Usual::Figure(150, 0),
        finer: None,
        finest: None,
    },
    share("press gauge", &["press gauge", "press"], Dimension::FORCE, 10),
    share(
        "torque wrench",
        &["torque wrench", "click wrench"],
        Dimension::TORQUE,
        4,
    ),
    Instrument {
        name: "infrared thermometer",
        names: &["ir thermometer", "infrared thermometer"],
        dimension: Dimension::TEMPERATURE,
        usual: Usual::Figure(5, 0),
        finer: None,
        finest: None,
    },
    Instrument {
        name: "degree wheel",
        names: &["degree wheel"],
        dimension: Dimension::ANGLE,
        usual: Usual::Figure(5, 1),
        finer: None,
        finest: None,
    },
];

/// The kind of instrument that a name, or a declared kind, stands for; the name is a key.
pub fn instrument(key: &str) -> Option<&'static Instrument> {
    INSTRUMENTS.iter().find(|known| known.names.contains(&key))
}

/// The instruments that measure a dimension, the finest first, with what they are good for.
pub fn finest_first(dimension: Dimension) -> Vec<(&'static Instrument, Decimal)> {
    let mut list: Vec<(&Instrument, Decimal)> = INSTRUMENTS
        .iter()
        .filter(|known| known.dimension == dimension)
        .filter_map(|known| match known.usual {
            Usual::Figure(digits, scale) => {
                let (digits, scale) = known.finer.unwrap_or((digits, scale));
                Some((known, Decimal::new(digits, scale)))
            }
            Usual::PerCent(_) => None,
        })
        .collect();
    list.sort_by_key(|(_, error)| *error);
    list
}

impl Instrument {
    /// What it is honestly good for either way, by its division where that is known; base units.
    pub fn usual(&self, reads_to: Option<Decimal>) -> Error {
        let fine = reads_to.is_some_and(|step| step < Decimal::new(5, 3));
        match (self.usual, self.finer) {
            (_, Some((digits, scale))) if fine => Error::Of(Decimal::new(digits, scale)),
            (Usual::Figure(digits, scale), _) => Error::Of(Decimal::new(digits, scale)),
            (Usual::PerCent(share), _) => Error::Share(Decimal::new(share, 2)),
        }
    }

    /// Whether it is read on a thimble, or with something that is.
    pub fn has_thimble(&self) -> bool {
        matches!(
            self.name,
            "outside micrometer" | "depth micrometer" | "telescopic gauge"
        )
    }

    /// The finest step that any such instrument has, base units.
    pub fn finest(&self) -> Option<Decimal> {
        self.finest.map(|(digits, scale)| Decimal::new(digits, scale))
    }
}
