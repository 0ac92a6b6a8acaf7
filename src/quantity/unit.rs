//! Units: what one is, how a value goes to the base unit and back, and how one is found by its written name.
//!
//! The base system is mm, kg, s, °C, degree and one of each currency. So the base of force is kg·mm/s² (1 N is 1000), of
//! pressure kg/(mm·s²) (1 Pa is 0.001), of torque kg·mm²/s² (1 N·m is 1 000 000), of volume mm³.

use rust_decimal::Decimal;

use super::dimension::Dimension;

pub use super::lookup::{all, find, is_undefined, meanings, nearest, usual};

/// A unit. A value goes to the base unit as `(value + offset) * factor / per`.
///
/// The factor is a fraction of two exact decimals, so that a unit such as km/h or psi loses nothing in its definition.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unit {
    /// How it is shown: `mm`, `N·m`, `°C`.
    pub symbol: &'static str,
    /// What it is a measure of.
    pub dimension: Dimension,
    /// Upper part of the fraction that leads to the base unit.
    pub factor: Decimal,
    /// Lower part of it; never 0.
    pub per: Decimal,
    /// Added to a value before it is multiplied; 0 for all but the temperatures °F and K.
    pub offset: Decimal,
    /// Every other way it is written; a `·` stands for any mark between the words of a compound, or none.
    pub spellings: &'static [&'static str],
    pub(super) places: u32,
}

impl Unit {
    /// What is printed behind a figure: the symbol, but nothing for a plain number, and `t` for a tonne-force.
    pub fn label(&self) -> &'static str {
        match self.symbol {
            "plain" => "",
            // As it is written on a press.
            "tf" => "t",
            symbol => symbol,
        }
    }

    /// The unit of this name for another kind of the same quantity: °C of a difference for °C of a temperature. `None` if the two are no
    /// kinds of one quantity, or if the unit has no such twin.
    pub fn twin(&self, kind: Dimension) -> Option<&'static Unit> {
        let alike = self.dimension.difference() == kind.difference();
        find(self.symbol, Some(kind)).filter(|twin| alike && twin.dimension == kind)
    }

    /// A value in this unit, in the base unit; `None` if it grows too large.
    pub fn to_base(&self, value: Decimal) -> Option<Decimal> {
        if self.offset.is_zero() {
            self.difference_to_base(value)
        } else {
            self.difference_to_base(value.checked_add(self.offset)?)
        }
    }

    /// A value in the base unit, in this unit; `None` if it grows too large.
    pub fn from_base(&self, value: Decimal) -> Option<Decimal> {
        let scaled = self.difference_from_base(value)?;
        if self.offset.is_zero() {
            Some(scaled)
        } else {
            scaled.checked_sub(self.offset)
        }
    }

    /// A difference, a tolerance or a half step in this unit, in the base unit: as [`Unit::to_base`] without the offset, so
    /// that a difference of 9 °F is one of 5 °C. `None` if it grows too large.
    pub fn difference_to_base(&self, value: Decimal) -> Option<Decimal> {
        ratio(value, self.factor, self.per)
    }

    /// A difference in the base unit, in this unit: the way back from [`Unit::difference_to_base`].
    pub fn difference_from_base(&self, value: Decimal) -> Option<Decimal> {
        ratio(value, self.per, self.factor)
    }

    /// How many decimals it makes sense to show in this unit: 3 for mm, 1 for N·m, 0 for °C.
    pub fn decimals(&self) -> u32 {
        self.places
    }
}

/// `value * over / under`. The common case of 1 is passed by, which also keeps the written decimals.
fn ratio(value: Decimal, over: Decimal, under: Decimal) -> Option<Decimal> {
    let product = if over == Decimal::ONE {
        value
    } else {
        value.checked_mul(over)?
    };
    if under == Decimal::ONE {
        Some(product)
    } else {
        product.checked_div(under)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::number::{self, parse};
    use crate::quantity::table::UNITS;

    fn unit(name: &str, dimension: Dimension) -> &'static Unit {
        let found = find(name, Some(dimension)).unwrap_or_else(|| panic!("no unit {name}"));
        assert_eq!(found.dimension, dimension, "{name}");
        found
    }

    fn dec(text: &str) -> Decimal {
        parse(text).expect("a figure")
    }

    const FORCE: Dimension = Dimension::FORCE;
    const LENGTH: Dimension = Dimension::LENGTH;
    const TEMPERATURE: Dimension = Dimension::TEMPERATURE;
    const TORQUE: Dimension = Dimension::TORQUE;

    /// What the definitions make whole comes out whole, without a tail of nines.
    #[test]
    fn exact_where_the_definition_is_exact() {
        for (value, from, expected, to, dimension) in [
            ("36", "km/h", "10", "m/s", Dimension::SPEED),
            ("600", "rpm", "10", "Hz", Dimension::FREQUENCY),
            ("6", "L/min", "100000", "mm³/s", Dimension::FLOW),
            ("1000", "cc/min", "1", "L/min", Dimension::FLOW),
            ("-40", "°F", "-40", "°C", TEMPERATURE),
            ("0", "K", "-273.15", "°C", TEMPERATURE),
            ("1", "turn", "360", "°", Dimension::ANGLE),
            ("7.8", "g/cm³", "0.0000078", "kg/mm³", Dimension::DENSITY),
            ("12", "µm", "0.012", "mm", LENGTH),
            ("5", "hundredths", "0.05", "mm", LENGTH),
            ("1", "mile", "1.609344", "km", LENGTH),
            ("5", "%", "50", "‰", Dimension::NONE),
            ("1", "kN", "1000", "N", FORCE),
            ("1", "kN·m", "1000", "N·m", TORQUE),
        ] {
            let base = unit(from, dimension).to_base(dec(value)).expect("fits");
            let got = match to {
                "mm³/s" | "kg/mm³" => base,
                _ => unit(to, dimension).from_base(base).expect("fits"),
            };
            assert_eq!(got, dec(expected), "{value} {from}");
        }
    }

    #[test]
    fn a_difference_of_temperature_has_no_offset() {
        let f = unit("°F", TEMPERATURE);
        let k = unit("K", TEMPERATURE);
        assert_eq!(f.difference_to_base(dec("9")), Some(dec("5")));
        assert_eq!(f.difference_from_base(dec("5")), Some(dec("9")));
        assert_eq!(k.difference_to_base(dec("60")), Some(dec("60")));
        let (t, d) = (TEMPERATURE, Dimension::TEMPERATURE_DIFFERENCE);
        let twin = f.twin(d).expect("a difference in °F");
        assert_eq!((twin.dimension, twin.to_base(dec("9"))), (d, Some(dec("5"))));
        assert_eq!(twin.twin(t), Some(f));
        // A gauge pressure is not read as an absolute one by its name, and a length is no temperature.
        assert_eq!(
            unit("bar", Dimension::PRESSURE).twin(Dimension::ABSOLUTE_PRESSURE),
            None
        );
        assert_eq!(f.twin(LENGTH), None);
        assert_eq!(
            f.to_base(dec("9")).map(|d| number::show(d, 2)),
            Some("-12.78".to_owned())
        );
    }

    #[test]
    fn shown_to_sensible_decimals() {
        assert_eq!(unit("mm", LENGTH).decimals(), 3);
        assert_eq!(unit("°C", TEMPERATURE).decimals(), 0);
    }

    #[test]
    fn too_large_is_said() {
        assert_eq!(unit("km", LENGTH).to_base(Decimal::MAX), None);
        assert_eq!(unit("°F", TEMPERATURE).to_base(Decimal::MIN), None);
        assert_eq!(unit("mil", LENGTH).from_base(Decimal::MAX), None);
    }

    proptest! {
        /// To the base and back is the same value, to 1 part in 10^18 of the larger of it and the offset.
        #[test]
        fn there_and_back(mantissa in -10_000_000_000i64..10_000_000_000, scale in 0u32..7, pick in any::<prop::sample::Index>()) {
            let unit = pick.get(&UNITS);
            let value = Decimal::new(mantissa, scale);
            let back = unit.to_base(value).and_then(|b| unit.from_base(b)).expect("fits");
            let weight = value.abs().max(unit.offset.abs()).max(Decimal::ONE);
            prop_assert!((back - value).abs() <= weight * Decimal::new(1, 18), "{value} {} came back as {back}", unit.symbol);
        }

        /// More stays more in every unit.
        #[test]
        fn order_is_kept(a in -1_000_000i64..1_000_000, b in -1_000_000i64..1_000_000, pick in any::<prop::sample::Index>()) {
            let unit = pick.get(&UNITS);
            let (a, b) = (Decimal::new(a, 3), Decimal::new(b, 3));
            prop_assert_eq!(a.cmp(&b), unit.to_base(a).cmp(&unit.to_base(b)));
        }

        #[test]
        fn never_panics(value in any::<[u32; 3]>(), scale in 0u32..=28, negative: bool, pick in any::<prop::sample::Index>()) {
            let unit = pick.get(&UNITS);
            let value = Decimal::from_parts(value[0], value[1], value[2], negative, scale);
            let _ = (unit.to_base(value), unit.from_base(value));
        }
    }
}
