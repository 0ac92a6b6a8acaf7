//! The table of units, built once. Every factor is worked out from exact definitions; none is a rounded figure typed in.
//!
//! Definitions (NIST SP 811:2008, Appendix B; ISO 80000): the inch is 25.4 mm, the pound 0.453 592 37 kg, standard gravity
//! 9.806 65 m/s², the standard atmosphere 101 325 Pa, conventional mercury 13 595.1 kg/m³ and water 1000 kg/m³, the US
//! gallon 231 cu in, the imperial gallon 4.546 09 L.

mod everyday;
mod force;

use std::sync::LazyLock;

use rust_decimal::Decimal;

use super::dimension::Dimension;
use super::unit::Unit;

/// All units. Where a word has two meanings (`kg`, `t`), the one that stands first here is meant first.
pub(super) static UNITS: LazyLock<Vec<Unit>> = LazyLock::new(build);

/// Collects units of one dimension after another.
struct Table {
    units: Vec<Unit>,
    dimension: Dimension,
}

impl Table {
    /// A unit of `factor` base units.
    fn unit(&mut self, symbol: &'static str, factor: Decimal, places: u32, spellings: &'static [&'static str]) {
        self.ratio(symbol, factor, Decimal::ONE, places, spellings);
    }

    /// A unit of `factor / per` base units, for a fraction that has no end in decimals.
    fn ratio(
        &mut self,
        symbol: &'static str,
        factor: Decimal,
        per: Decimal,
        places: u32,
        spellings: &'static [&'static str],
    ) {
        self.units.push(Unit {
            symbol,
            dimension: self.dimension,
            factor: factor.normalize(),
            per: per.normalize(),
            offset: Decimal::ZERO,
            spellings,
            places,
        });
    }

    /// Gives the last unit an offset.
    fn shift(&mut self, offset: Decimal) {
        if let Some(unit) = self.units.last_mut() {
            unit.offset = offset;
        }
    }
}

fn whole(value: i64) -> Decimal {
    Decimal::from(value)
}

fn build() -> Vec<Unit> {
    let mut table = Table {
        units: Vec::with_capacity(128),
        dimension: Dimension::NONE,
    };
    everyday::space(&mut table);
    everyday::time_and_turning(&mut table);
    force::mass_and_force(&mut table);
    force::torque(&mut table);
    force::pressure(&mut table);
    everyday::heat(&mut table);
    everyday::money(&mut table);
    everyday::plain(&mut table);
    table.units
}

fn inch() -> Decimal {
    Decimal::new(254, 1)
}

fn foot() -> Decimal {
    whole(12) * inch()
}
