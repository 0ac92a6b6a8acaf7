//! What a figure is a measure of: a length, a force, money in one currency. Only like may be added to like.

use std::fmt::Write as _;

/// A currency. Each is a dimension of its own: there is no rate of exchange in a notebook.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Currency {
    /// Euro.
    Eur,
    /// United States dollar.
    Usd,
    /// Pound sterling.
    Gbp,
    /// Polish zloty.
    Pln,
    /// Swiss franc.
    Chf,
    /// Swedish krona.
    Sek,
    /// Czech koruna.
    Czk,
    /// Japanese yen.
    Jpy,
    /// Norwegian krone.
    Nok,
    /// Danish krone.
    Dkk,
    /// Canadian dollar.
    Cad,
    /// Australian dollar.
    Aud,
}

impl Currency {
    /// The three letters of ISO 4217.
    pub fn code(self) -> &'static str {
        match self {
            Currency::Eur => "EUR",
            Currency::Usd => "USD",
            Currency::Gbp => "GBP",
            Currency::Pln => "PLN",
            Currency::Chf => "CHF",
            Currency::Sek => "SEK",
            Currency::Czk => "CZK",
            Currency::Jpy => "JPY",
            Currency::Nok => "NOK",
            Currency::Dkk => "DKK",
            Currency::Cad => "CAD",
            Currency::Aud => "AUD",
        }
    }
}

/// The exponents of length, mass, time, temperature, angle and money that make up a dimension.
///
/// An angle is kept apart from a plain number on purpose: adding degrees to a count is a slip worth showing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dimension {
    length: i8,
    mass: i8,
    time: i8,
    temperature: i8,
    angle: i8,
    money: i8,
    /// `None` exactly when `money` is 0.
    currency: Option<Currency>,
}

/// The dimensions that have a name of their own.
const NAMED: [(Dimension, &str); 18] = [
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::AREA, "an area"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::MASS, "a mass"),
    (Dimension::TIME, "a time"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::ANGLE, "an angle"),
    (Dimension::FORCE, "a force"),
    (Dimension::TORQUE, "a torque"),
    (Dimension::PRESSURE, "a pressure"),
    (Dimension::SPEED, "a speed"),
    (Dimension::FLOW, "a flow"),
    (Dimension::FREQUENCY, "a frequency"),
    (Dimension::DENSITY, "a density"),
    (Dimension::RATE, "a spring rate"),
    (Dimension::POWER, "a power"),
    (Dimension::EXPANSION, "an expansion per degree"),
];

impl Dimension {
    /// A plain number.
    pub const NONE: Dimension = Dimension::of(0, 0, 0);
    /// A length; base unit mm.
    pub const LENGTH: Dimension = Dimension::of(1, 0, 0);
    /// An area; base unit mm².
    pub const AREA: Dimension = Dimension::of(2, 0, 0);
    /// A volume; base unit mm³.
    pub const VOLUME: Dimension = Dimension::of(3, 0, 0);
    /// A mass; base unit kg.
    pub const MASS: Dimension = Dimension::of(0, 1, 0);
    /// A time; base unit s.
    pub const TIME: Dimension = Dimension::of(0, 0, 1);
    /// A temperature; base unit °C.
    pub const TEMPERATURE: Dimension = Dimension {
        temperature: 1,
        ..Dimension::NONE
    };
    /// An angle; base unit degree.
    pub const ANGLE: Dimension = Dimension {
        angle: 1,
        ..Dimension::NONE
    };
    /// A force; base unit kg·mm/s², of which 1000 make 1 N.
    pub const FORCE: Dimension = Dimension::of(1, 1, -2);
    /// A torque (and an energy); base unit kg·mm²/s², of which 1 000 000 make 1 N·m.
    pub const TORQUE: Dimension = Dimension::of(2, 1, -2);
    /// A pressure; base unit kg/(mm·s²), which is 1 kPa.
    pub const PRESSURE: Dimension = Dimension::of(-1, 1, -2);
    /// A speed; base unit mm/s.
    pub const SPEED: Dimension = Dimension::of(1, 0, -1);
    /// A flow; base unit mm³/s.
    pub const FLOW: Dimension = Dimension::of(3, 0, -1);
    /// A frequency or a speed of turning; base unit 1/s.
    pub const FREQUENCY: Dimension = Dimension::of(0, 0, -1);
    /// A density; base unit kg/mm³.
    pub const DENSITY: Dimension = Dimension::of(-3, 1, 0);
    /// A spring rate, force by length; base unit kg/s², of which 1000 make 1 N/mm.
    pub const RATE: Dimension = Dimension::of(0, 1, -2);
    /// A power; base unit kg·mm²/s³, of which 1 000 000 make 1 W.
    pub const POWER: Dimension = Dimension::of(2, 1, -3);
    /// Expansion by heat; base unit 1/°C.
    pub const EXPANSION: Dimension = Dimension {
        temperature: -1,
        ..Dimension::NONE
    };

    const fn of(length: i8, mass: i8, time: i8) -> Dimension {
        Dimension {
            length,
            mass,
            time,
            temperature: 0,
            angle: 0,
            money: 0,
            currency: None,
        }
    }

    /// Money in one currency; base unit one of that currency.
    pub const fn money(currency: Currency) -> Dimension {
        Dimension {
            money: 1,
            currency: Some(currency),
            ..Dimension::NONE
        }
    }

    /// The currency, if there is money in it.
    pub fn currency(self) -> Option<Currency> {
        self.currency
    }

    /// Whether this is a plain number.
    pub fn is_none(self) -> bool {
        self == Dimension::NONE
    }

    /// The dimension of a product; `None` if two currencies meet or an exponent grows past 127.
    pub fn times(self, other: Dimension) -> Option<Dimension> {
        let currency = match (self.currency, other.currency) {
            (Some(a), Some(b)) if a != b => return None,
            (a, b) => a.or(b),
        };
        let money = self.money.checked_add(other.money)?;
        Some(Dimension {
            length: self.length.checked_add(other.length)?,
            mass: self.mass.checked_add(other.mass)?,
            time: self.time.checked_add(other.time)?,
            temperature: self.temperature.checked_add(other.temperature)?,
            angle: self.angle.checked_add(other.angle)?,
            money,
            currency: currency.filter(|_| money != 0),
        })
    }

    /// The dimension of a quotient; `None` if two currencies meet or an exponent grows past 127.
    pub fn over(self, other: Dimension) -> Option<Dimension> {
        self.times(other.power(-1)?)
    }

    /// The dimension of a whole power; `None` if an exponent grows past 127.
    pub fn power(self, exponent: i32) -> Option<Dimension> {
        self.map(|e| i8::try_from(i32::from(e).checked_mul(exponent)?).ok())
    }

    /// The dimension of a square root; `None` unless every exponent is even.
    pub fn root(self) -> Option<Dimension> {
        self.map(|e| (e % 2 == 0).then_some(e / 2))
    }

    fn map(self, change: impl Fn(i8) -> Option<i8>) -> Option<Dimension> {
        let money = change(self.money)?;
        Some(Dimension {
            length: change(self.length)?,
            mass: change(self.mass)?,
            time: change(self.time)?,
            temperature: change(self.temperature)?,
            angle: change(self.angle)?,
            money,
            currency: self.currency.filter(|_| money != 0),
        })
    }

    /// What it is in words: `a torque`, `a plain number`, `money in EUR`, or `length^2·mass/time` where there is no word.
    pub fn name(self) -> String {
        if let Some((_, name)) = NAMED.iter().find(|(known, _)| *known == self) {
            return (*name).to_owned();
        }
        let money = self.currency.map_or("money", Currency::code);
        if self
            == (Dimension {
                money: 1,
                currency: self.currency,
                ..Dimension::NONE
            })
        {
            return format!("money in {money}");
        }
        let parts = [
            (self.length, "length"),
            (self.mass, "mass"),
            (self.time, "time"),
            (self.temperature, "temperature"),
            (self.angle, "angle"),
            (self.money, money),
        ];
        let mut text = String::new();
        for (exponent, word) in parts.iter().filter(|(e, _)| *e > 0) {
            push_part(&mut text, "·", word, i32::from(*exponent));
        }
        if text.is_empty() {
            text.push('1');
        }
        for (exponent, word) in parts.iter().filter(|(e, _)| *e < 0) {
            push_part(&mut text, "/", word, -i32::from(*exponent));
        }
        text
    }
}

fn push_part(text: &mut String, mark: &str, word: &str, exponent: i32) {
    if !text.is_empty() {
        text.push_str(mark);
    }
    text.push_str(word);
    if exponent != 1 {
        // Writing to a String cannot fail.
        let _ = write!(text, "^{exponent}");
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const EUR: Dimension = Dimension::money(Currency::Eur);
    const USD: Dimension = Dimension::money(Currency::Usd);

    #[test]
    fn products_and_quotients() {
        let d = |x: Option<Dimension>| x.expect("fits");
        assert_eq!(Dimension::LENGTH.power(3), Some(Dimension::VOLUME));
        assert_eq!(Dimension::FORCE.times(Dimension::LENGTH), Some(Dimension::TORQUE));
        assert_eq!(Dimension::FORCE.over(Dimension::AREA), Some(Dimension::PRESSURE));
        assert_eq!(Dimension::FORCE.over(Dimension::LENGTH), Some(Dimension::RATE));
        assert_eq!(Dimension::VOLUME.over(Dimension::TIME), Some(Dimension::FLOW));
        assert_eq!(Dimension::TORQUE.times(Dimension::FREQUENCY), Some(Dimension::POWER));
        assert_eq!(d(Dimension::TIME.power(-1)), Dimension::FREQUENCY);
        assert!(d(Dimension::LENGTH.over(Dimension::LENGTH)).is_none());
        assert!(!Dimension::ANGLE.is_none());
        assert_eq!(Dimension::LENGTH.power(0), Some(Dimension::NONE));
    }

    #[test]
    fn roots_only_of_even_exponents() {
        assert_eq!(Dimension::AREA.root(), Some(Dimension::LENGTH));
        assert_eq!(Dimension::NONE.root(), Some(Dimension::NONE));
        assert_eq!(Dimension::LENGTH.root(), None);
        assert_eq!(Dimension::VOLUME.root(), None);
        assert_eq!(
            Dimension::TIME.power(-2).and_then(Dimension::root),
            Some(Dimension::FREQUENCY)
        );
    }

    #[test]
    fn currencies_never_mix() {
        assert_ne!(EUR, USD);
        assert_eq!(EUR.times(USD), None);
        assert_eq!(EUR.over(USD), None);
        assert_eq!(EUR.over(EUR), Some(Dimension::NONE));
        assert_eq!(EUR.power(0), Some(Dimension::NONE));
        // What is left over from one currency does not keep its tag.
        assert_eq!(EUR.over(EUR).and_then(|d| d.times(USD)), Some(USD));
    }

    #[test]
    fn overflow_is_said() {
        assert_eq!(
            Dimension::LENGTH.power(127).and_then(|d| d.times(Dimension::LENGTH)),
            None
        );
        assert_eq!(Dimension::LENGTH.power(128), None);
        assert_eq!(Dimension::LENGTH.power(i32::MIN), None);
        assert_eq!(Dimension::AREA.power(i32::MAX), None);
    }

    #[test]
    fn names_in_words() {
        assert_eq!(Dimension::TORQUE.name(), "a torque");
        assert_eq!(Dimension::NONE.name(), "a plain number");
        assert_eq!(EUR.name(), "money in EUR");
        let odd = |d: Option<Dimension>| d.map(Dimension::name).unwrap_or_default();
        assert_eq!(odd(EUR.over(Dimension::TIME)), "EUR/time");
        assert_eq!(
            odd(Dimension::AREA
                .times(Dimension::MASS)
                .and_then(|d| d.over(Dimension::TIME))),
            "length^2·mass/time"
        );
        assert_eq!(odd(Dimension::AREA.power(-1)), "1/length^2");
        assert_eq!(odd(EUR.power(2)), "EUR^2");
        assert_eq!(odd(Dimension::LENGTH.power(-128)), "1/length^128");
    }

    fn any_dimension() -> impl Strategy<Value = Dimension> {
        (-9i32..9, -9i32..9, -9i32..9, -9i32..9, -9i32..9).prop_map(|(l, m, t, a, e)| {
            [
                (Dimension::LENGTH, l),
                (Dimension::MASS, m),
                (Dimension::TIME, t),
                (Dimension::ANGLE, a),
                (EUR, e),
            ]
            .into_iter()
            .try_fold(Dimension::NONE, |sum, (d, e)| sum.times(d.power(e)?))
            .expect("small exponents")
        })
    }

    proptest! {
        #[test]
        fn over_undoes_times(a in any_dimension(), b in any_dimension()) {
            prop_assert_eq!(a.times(b).and_then(|d| d.over(b)), Some(a));
            prop_assert_eq!(a.times(b), b.times(a));
        }

        #[test]
        fn root_undoes_square(a in any_dimension()) {
            prop_assert_eq!(a.power(2).and_then(Dimension::root), Some(a));
        }
    }
}
