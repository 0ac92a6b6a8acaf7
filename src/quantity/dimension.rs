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
/// An angle is kept apart from a plain number on purpose: adding degrees to a count is a slip worth showing. So are what is counted
/// from a zero of its own (a temperature, an absolute pressure) and a difference of two such figures, which has the same exponents.
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
    /// Whether it is counted from a zero of its own, so that two of them cannot be added.
    point: bool,
}

/// The dimensions that have a name of their own.
const NAMED: [(Dimension, &str); 21] = [
    (Dimension::NONE, "a plain number"),
    (Dimension::LENGTH, "a length"),
    (Dimension::AREA, "an area"),
    (Dimension::VOLUME, "a volume"),
    (Dimension::MASS, "a mass"),
    (Dimension::TIME, "a time"),
    (Dimension::TEMPERATURE, "a temperature"),
    (Dimension::TEMPERATURE_DIFFERENCE, "a temperature difference"),
    (Dimension::ANGLE, "an angle"),
    (Dimension::FORCE, "a force"),
    (Dimension::TORQUE, "a torque"),
    (Dimension::PRESSURE, "a pressure"),
    (Dimension::ABSOLUTE_PRESSURE, "an absolute pressure"),
    (Dimension::SPEED, "a speed"),
    (Dimension::ACCELERATION, "an acceleration"),
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
    /// A temperature; base unit °C, counted from the melting of ice.
    pub const TEMPERATURE: Dimension = Dimension {
        point: true,
        ..Dimension::TEMPERATURE_DIFFERENCE
    };
    /// How much hotter one thing is than another; base unit °C, without any zero: 9 °F are 5 °C.
    pub const TEMPERATURE_DIFFERENCE: Dimension = Dimension {
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
    /// A pressure above that of the air, as a gauge shows it, or a difference of two; base unit kg/(mm·s²), which is 1 kPa.
    pub const PRESSURE: Dimension = Dimension::of(-1, 1, -2);
    /// A pressure counted from nothing; base unit as [`Dimension::PRESSURE`].
    pub const ABSOLUTE_PRESSURE: Dimension = Dimension {
        point: true,
        ..Dimension::PRESSURE
    };
    /// A speed; base unit mm/s.
    pub const SPEED: Dimension = Dimension::of(1, 0, -1);
    /// An acceleration; base unit mm/s².
    pub const ACCELERATION: Dimension = Dimension::of(1, 0, -2);
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
            point: false,
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

    /// The exponent of mass: a figure in base units is 1000 to its power times as large as in N, N/mm², N·mm and tonnes.
    pub fn mass(self) -> i32 {
        i32::from(self.mass)
    }

    /// Whether this is a plain number.
    pub fn is_none(self) -> bool {
        self == Dimension::NONE
    }

    /// Whether it is counted from a zero of its own: a temperature, an absolute pressure.
    pub fn is_point(self) -> bool {
        self.point
    }

    /// What a difference of two such figures is: of two temperatures a temperature difference, of two absolute pressures a
    /// pressure, of anything else the same. Tolerances and errors are of this dimension.
    pub fn difference(self) -> Dimension {
        Dimension { point: false, ..self }
    }

    /// The dimension of a sum: like and like, or what is counted from a zero and a difference, either way round. `None` for
    /// anything else: two temperatures cannot be added.
    pub fn plus(self, other: Dimension) -> Option<Dimension> {
        let alike = self.difference() == other.difference();
        (alike && !(self.point && other.point)).then_some(Dimension {
            point: self.point || other.point,
            ..self
        })
    }

    /// The dimension of a difference: like and like, two that are counted from a zero, or one such less a difference. `None` for
    /// anything else: a temperature cannot be taken from a difference.
    pub fn minus(self, other: Dimension) -> Option<Dimension> {
        let alike = self.difference() == other.difference();
        (alike && (self.point || !other.point)).then_some(Dimension {
            point: self.point && !other.point,
            ..self
        })
    }

    /// What stands for it in a product: an absolute pressure is a pressure there (gas law), and a temperature is nothing, since
    /// twice 20 °C is not 40 °C.
    fn as_factor(self) -> Option<Dimension> {
        (self != Dimension::TEMPERATURE).then_some(self.difference())
    }

    /// The dimension of a product; `None` if a temperature or two currencies are in it, or an exponent grows past 127. An absolute
    /// pressure stays one beside a plain number and becomes a pressure beside anything else.
    pub fn times(self, other: Dimension) -> Option<Dimension> {
        let (one, two) = (self.as_factor()?, other.as_factor()?);
        let point = (self.point && two.is_none()) || (other.point && one.is_none());
        Some(Dimension {
            point,
            ..one.product(two)?
        })
    }

    fn product(self, other: Dimension) -> Option<Dimension> {
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
            point: false,
        })
    }

    /// The dimension of a quotient; `None` as for a product. One absolute pressure over another is a plain number.
    pub fn over(self, other: Dimension) -> Option<Dimension> {
        self.times(other.power(-1)?)
    }

    /// The dimension of a whole power; `None` if it is one of a temperature, or an exponent grows past 127.
    pub fn power(self, exponent: i32) -> Option<Dimension> {
        self.as_factor()?
            .map(|e| i8::try_from(i32::from(e).checked_mul(exponent)?).ok())
    }

    /// The dimension of a square root; `None` unless every exponent is even.
    pub fn root(self) -> Option<Dimension> {
        self.as_factor()?.map(|e| (e % 2 == 0).then_some(e / 2))
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
            point: false,
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
        product(&parts)
    }

    /// The base unit in signs: `mm`, `mm^2`, `mm·kg/s^2`; empty for a plain number.
    pub fn base_unit(self) -> String {
        if self == Dimension::NONE {
            return String::new();
        }
        product(&[
            (self.length, "mm"),
            (self.mass, "kg"),
            (self.time, "s"),
            (self.temperature, "°C"),
            (self.angle, "°"),
            (self.money, self.currency.map_or("", Currency::code)),
        ])
    }
}

/// Words with their exponents, as a product over what it is divided by; `1` where nothing stands above.
fn product(parts: &[(i8, &str)]) -> String {
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
    fn a_temperature_is_no_difference() {
        let (t, d) = (Dimension::TEMPERATURE, Dimension::TEMPERATURE_DIFFERENCE);
        assert_eq!(t.minus(t), Some(d));
        assert_eq!((t.plus(d), t.minus(d), d.plus(t)), (Some(t), Some(t), Some(t)));
        assert_eq!((d.plus(d), d.minus(d)), (Some(d), Some(d)));
        assert_eq!((t.plus(t), d.minus(t)), (None, None));
        for other in [Dimension::NONE, Dimension::LENGTH, d, t] {
            assert_eq!((t.times(other), other.times(t)), (None, None));
            assert_eq!((t.over(other), other.over(t)), (None, None));
        }
        assert_eq!((t.power(1), t.power(0), t.root()), (None, None, None));
        assert_eq!(Dimension::EXPANSION.times(d), Some(Dimension::NONE));
        assert_eq!(d.power(-1), Some(Dimension::EXPANSION));
        assert_eq!((t.difference(), d.difference()), (d, d));
        assert_eq!(
            (t.name(), d.name()),
            ("a temperature".to_owned(), "a temperature difference".to_owned())
        );
    }

    #[test]
    fn an_absolute_pressure_is_a_pressure_in_a_product_only() {
        let (a, g) = (Dimension::ABSOLUTE_PRESSURE, Dimension::PRESSURE);
        assert_eq!(a.minus(a), Some(g));
        assert_eq!((a.plus(g), a.minus(g), g.plus(a)), (Some(a), Some(a), Some(a)));
        assert_eq!((a.plus(a), g.minus(a)), (None, None));
        assert_eq!(a.over(a), Some(Dimension::NONE));
        // p1·V1: what a gauge pressure would give; a ratio leaves it what it is.
        assert_eq!(a.times(Dimension::VOLUME), g.times(Dimension::VOLUME));
        assert_eq!(a.times(Dimension::AREA), Some(Dimension::FORCE));
        assert_eq!((a.times(Dimension::NONE), Dimension::NONE.times(a)), (Some(a), Some(a)));
        assert_eq!(a.over(Dimension::NONE), Some(a));
        assert_eq!(a.name(), "an absolute pressure");
    }

    #[test]
    fn unlike_is_not_added() {
        assert_eq!(Dimension::LENGTH.plus(Dimension::TORQUE), None);
        assert_eq!(Dimension::LENGTH.minus(Dimension::NONE), None);
        assert_eq!(Dimension::TEMPERATURE.plus(Dimension::PRESSURE), None);
        assert_eq!(EUR.plus(EUR), Some(EUR));
        assert_eq!(EUR.plus(USD), None);
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

    #[test]
    fn the_base_unit_in_signs() {
        let signs = |d: Dimension| d.base_unit();
        assert_eq!(
            (signs(Dimension::LENGTH), signs(Dimension::NONE)),
            ("mm".into(), String::new())
        );
        assert_eq!(signs(Dimension::TORQUE), "mm^2·kg/s^2");
        assert_eq!((signs(Dimension::FREQUENCY), signs(EUR)), ("1/s".into(), "EUR".into()));
        assert_eq!(signs(Dimension::ABSOLUTE_PRESSURE), signs(Dimension::PRESSURE));
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
