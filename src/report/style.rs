//! How figures are written for a reader: the units and the decimal mark of their choice.

use rust_decimal::Decimal;

use crate::judge::words;
use crate::model::limit::Limit;
use crate::quantity::{Band, Unit, number, unit};
use crate::uncertainty::Estimate;

/// Which units figures are shown in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// As they were written in the log and its manuals.
    #[default]
    Written,
    /// mm, N·m, bar, °C and so on.
    Metric,
    /// in, lbf·ft, psi, °F and so on.
    Inch,
}

/// The mark between whole figures and decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DecimalMark {
    /// `0.40`
    #[default]
    Point,
    /// `0,40`
    Comma,
}

/// How figures are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// In which units.
    pub units: Units,
    /// With which decimal mark.
    pub mark: DecimalMark,
}

/// What a figure in the first unit is shown in for a reader of inch units.
const TO_INCH: &[(&str, &str)] = &[
    ("mm", "in"),
    ("cm", "in"),
    ("µm", "thou"),
    ("hundredths", "in"),
    ("m", "ft"),
    ("km", "mile"),
    ("N·m", "lbf·ft"),
    ("kgf·m", "lbf·ft"),
    ("N·cm", "lbf·in"),
    ("bar", "psi"),
    ("mbar", "psi"),
    ("kPa", "psi"),
    ("MPa", "psi"),
    ("kgf/cm²", "psi"),
    ("°C", "°F"),
    ("N", "lbf"),
    ("kN", "lbf"),
    ("kgf", "lbf"),
    ("tf", "lbf"),
    ("g", "oz"),
    ("kg", "lb"),
    ("cm³", "in³"),
    ("L", "US gal"),
    ("km/h", "mph"),
];

/// What a figure in the first unit is shown in for a reader of metric units.
const TO_METRIC: &[(&str, &str)] = &[
    ("in", "mm"),
    ("thou", "mm"),
    ("ft", "m"),
    ("mile", "km"),
    ("lbf·ft", "N·m"),
    ("lbf·in", "N·m"),
    ("psi", "bar"),
    ("inHg", "mbar"),
    ("°F", "°C"),
    ("lbf", "kN"),
    ("ozf", "N"),
    ("oz", "g"),
    ("lb", "kg"),
    ("in³", "cm³"),
    ("US gal", "L"),
    ("imp gal", "L"),
    ("mph", "km/h"),
];

impl Style {
    /// The unit that a figure of this one is shown in.
    pub fn unit(&self, own: Option<&'static Unit>) -> Option<&'static Unit> {
        let own = own?;
        let table = match self.units {
            Units::Written => &[][..],
            Units::Metric => TO_METRIC,
            Units::Inch => TO_INCH,
        };
        let wanted = table.iter().find(|(from, _)| *from == own.symbol).map(|(_, to)| *to);
        let other = wanted.and_then(|symbol| unit::find(symbol, Some(own.dimension)));
        other.filter(|other| other.dimension == own.dimension).or(Some(own))
    }

    /// A text that was put together from figures and units alone, with the decimal mark of the reader's choice.
    fn marked(&self, figures: String) -> String {
        match self.mark {
            DecimalMark::Point => figures,
            DecimalMark::Comma => figures.replace('.', ","),
        }
    }

    /// A figure in base units: `0.045 mm`.
    pub fn figure(&self, base: Decimal, own: Option<&'static Unit>) -> String {
        self.marked(words::figure(base, self.unit(own)))
    }

    /// A figure without its unit.
    pub fn bare(&self, base: Decimal, own: Option<&'static Unit>) -> String {
        let label = self.label(own);
        let text = self.figure(base, own);
        text.strip_suffix(label).unwrap_or(&text).trim_end().to_owned()
    }

    /// Several figures of one thing without their unit, all with as many decimals as the one that has most: `52.02 52.01 52.00`.
    pub fn alike(&self, bases: impl IntoIterator<Item = Decimal>, own: Option<&'static Unit>) -> Vec<String> {
        let plain = Style {
            mark: DecimalMark::Point,
            ..*self
        };
        let figures: Vec<String> = bases.into_iter().map(|base| plain.bare(base, own)).collect();
        let decimals = |text: &String| text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
        let most = figures.iter().map(decimals).max().unwrap_or(0);
        let padded = figures.into_iter().map(|text| {
            let lacking = most - decimals(&text);
            let dot = if most > 0 && !text.contains('.') { "." } else { "" };
            self.marked(format!("{text}{dot}{}", "0".repeat(lacking)))
        });
        padded.collect()
    }

    /// What is printed behind a figure of this unit; empty for a plain number.
    pub fn label(&self, own: Option<&'static Unit>) -> &'static str {
        self.unit(own).map_or("", Unit::label)
    }

    /// A difference in base units: no offset, so that 10 °C more is 18 °F more.
    pub fn difference(&self, base: Decimal, own: Option<&'static Unit>) -> String {
        self.marked(words::difference(base, self.unit(own)))
    }

    /// What is known of a figure: `52.045 ± 0.012 mm`.
    pub fn known(&self, estimate: &Estimate, own: Option<&'static Unit>) -> String {
        match plainly_open(estimate) {
            Some(band) => self.marked(open(&band, self.unit(own))),
            None => self.marked(words::known(estimate, self.unit(own))),
        }
    }

    /// A band in base units: `6.2 to 9.8 kN`.
    pub fn band(&self, band: &Band, own: Option<&'static Unit>) -> String {
        self.marked(words::band(band, self.unit(own)))
    }

    /// A limit: `0.35 to 0.50 mm`, `up to 0.03 mm`; in its own unit unless the reader wants another.
    pub fn limit(&self, limit: &Limit) -> String {
        match self.unit(Some(limit.unit)) {
            Some(wanted) if wanted.symbol != limit.unit.symbol => match (limit.band.lo, limit.band.hi) {
                (None, Some(hi)) => self.marked(format!("up to {}", words::figure(hi, Some(wanted)))),
                _ => self.marked(words::band(&limit.band, Some(wanted))),
            },
            _ => self.marked(limit.words()),
        }
    }

    /// The two ends of a limit without their unit, as they are written; empty where there is none. `own` is the unit of the figure that is held against it.
    pub fn ends(&self, limit: &Limit, own: Option<&'static Unit>) -> (String, String) {
        let unit = own.unwrap_or(limit.unit);
        let is_written = self
            .unit(Some(unit))
            .is_some_and(|shown| shown.symbol == limit.unit.symbol);
        let text = if is_written { limit.words() } else { String::new() };
        let figures = text.trim_end_matches(limit.unit.label()).trim_end();
        let end = |end: Option<Decimal>| end.map_or_else(String::new, |end| self.bare(end, Some(unit)));
        match (limit.band.lo, limit.band.hi, figures.split_once(" to ")) {
            (Some(_), Some(_), Some((lo, hi))) => (self.marked(lo.to_owned()), self.marked(hi.to_owned())),
            (lo, hi, _) => (end(lo), end(hi)),
        }
    }

    /// A figure that is in its unit already: `5.5 h`.
    pub fn plain(&self, figure: Decimal, label: &str) -> String {
        self.marked(format!("{} {label}", figure.normalize()).trim_end().to_owned())
    }

    /// Money: always with the minor unit of its currency, never changed into another.
    pub fn money(&self, amount: Decimal, currency: &'static Unit) -> String {
        let places = currency.decimals();
        let text = number::padded(number::rounded(amount, places), places);
        self.marked(format!("{text} {}", currency.label()))
    }
}

/// What blades or a range leave open, where that is all: the rest of what the figure may be off by is less than a hundredth of it.
fn plainly_open(estimate: &Estimate) -> Option<Band> {
    let band = estimate.between?;
    let width = band.width().filter(|width| *width > Decimal::ZERO)?;
    let rest = estimate.below.max(estimate.above).checked_mul(Decimal::ONE_HUNDRED)?;
    (rest < width).then_some(band)
}

/// A band with as many decimals as its width makes sense of: `0.0041 to 0.0049`.
fn open(band: &Band, unit: Option<&'static Unit>) -> String {
    let (Some(lo), Some(hi), Some(width)) = (band.lo, band.hi, band.width()) else {
        return words::band(band, unit);
    };
    let difference = unit.and_then(|unit| unit.difference_from_base(width)).unwrap_or(width);
    let decimals = number::significant(difference, 2).normalize().scale();
    let shown = |base: Decimal| {
        let value = unit.and_then(|unit| unit.from_base(base)).unwrap_or(base);
        number::padded(number::rounded(value, decimals), decimals)
    };
    format!("{} to {} {}", shown(lo), shown(hi), unit.map_or("", Unit::label))
        .trim_end()
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Dimension;

    fn of(symbol: &str) -> &'static Unit {
        unit::find(symbol, None).expect("a unit")
    }

    fn style(units: Units, mark: DecimalMark) -> Style {
        Style { units, mark }
    }

    #[test]
    fn every_unit_of_the_tables_is_known_and_each_pair_of_one_kind() {
        for (from, to) in TO_INCH.iter().chain(TO_METRIC) {
            let kinds = [from, to].map(|symbol| {
                let known: Vec<Dimension> = unit::all()
                    .filter(|unit| unit.symbol == *symbol)
                    .map(|unit| unit.dimension)
                    .collect();
                assert!(!known.is_empty(), "no unit {symbol}");
                known
            });
            let [own, other] = kinds;
            assert!(own.iter().any(|kind| other.contains(kind)), "{from} and {to}");
        }
    }

    /// 25.4 mm are an inch by definition; 1 lbf·ft is 1.355 817 948 N·m (NIST SP 811, B.8).
    #[test]
    fn figures_are_shown_in_the_units_of_the_reader() {
        let inch = style(Units::Inch, DecimalMark::Point);
        assert_eq!(inch.figure(Decimal::new(254, 1), Some(of("mm"))), "1 in");
        assert_eq!(inch.figure(Decimal::new(20, 0), Some(of("°C"))), "68 °F");
        assert_eq!(inch.label(Some(of("N·m"))), "lbf·ft");
        let metric = style(Units::Metric, DecimalMark::Comma);
        assert_eq!(metric.figure(Decimal::new(254, 2), Some(of("thou"))), "2,54 mm");
        assert_eq!(metric.label(Some(of("mm"))), "mm");
        assert_eq!(metric.label(Some(of("psi"))), "bar");
    }

    #[test]
    fn money_keeps_its_currency_and_its_minor_unit() {
        let metric = style(Units::Inch, DecimalMark::Comma);
        assert_eq!(metric.money(Decimal::new(1285, 1), of("EUR")), "128,50 EUR");
    }
}
