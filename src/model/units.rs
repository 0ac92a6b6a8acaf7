//! Turning written figures into quantities: the unit that is written, else the one that is meant.

use rust_decimal::Decimal;

use crate::quantity::written::Written;
use crate::quantity::{Dimension, NumberError, Unit, number, unit, written};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, SyntaxError};

/// A figure with its unit.
#[derive(Clone, Copy, Debug)]
pub struct Quantity {
    /// As written, in `unit`.
    pub written: Decimal,
    /// In base units.
    pub base: Decimal,
    /// Half a unit of the last written digit, in base units.
    pub half_step: Decimal,
    /// Its unit; `None` for a plain number.
    pub unit: Option<&'static Unit>,
    /// Where it stands.
    pub span: Span,
}

impl Quantity {
    /// Its dimension.
    pub fn dimension(&self) -> Dimension {
        self.unit.map_or(Dimension::NONE, |unit| unit.dimension)
    }

    /// The same figure below nothing, in its unit: of 18 °C it is -18 °C, whatever the base unit's zero.
    pub fn negative(self) -> Result<Quantity, UnitError> {
        quantity(-self.written, number::half_step(self.written), self.unit, self.span)
    }
}

/// What is known of the unit of a figure that has none.
#[derive(Clone, Copy, Debug, Default)]
pub struct Meant {
    /// The dimension that is wanted; a written unit is read by it (`t` is a force for a press).
    pub dimension: Option<Dimension>,
    /// The unit of a bare figure.
    pub unit: Option<&'static Unit>,
}

/// What to do about a figure of one kind where another is wanted; `None` if the two are no kinds of one quantity.
pub fn kinds_help(wanted: Dimension, got: Dimension) -> Option<&'static str> {
    Some(match (wanted, got) {
        (Dimension::PRESSURE, Dimension::ABSOLUTE_PRESSURE) => {
            "take off the air's pressure of that day and write the rest in `bar`, or write the unit that was meant"
        }
        (Dimension::ABSOLUTE_PRESSURE, Dimension::PRESSURE) => {
            "add the air's pressure of that day and write the sum in `bar abs`, or write the unit that was meant"
        }
        (Dimension::TEMPERATURE, Dimension::TEMPERATURE_DIFFERENCE) => {
            "write the temperature itself in °C or °F; K alone is a difference"
        }
        (Dimension::TEMPERATURE_DIFFERENCE, Dimension::TEMPERATURE) => "write how much hotter it is, in K, not how hot",
        _ => return None,
    })
}

/// Something wrong with a figure or its unit; boxed because it is rare.
pub type UnitError = Box<SyntaxError>;

fn problem(code: &'static str, span: Span, message: String, help: String) -> UnitError {
    Box::new(SyntaxError {
        code,
        span,
        message,
        help,
        suggestion: None,
    })
}

/// Whether a span holds a unit, or a word that can mean more than one and is asked about.
pub fn is_asked_about(span: Span, text: &str, wanted: Option<Dimension>) -> bool {
    let written = span.text(text);
    minutes(written).is_some() || unit::find(written, wanted).is_some() || unit::is_undefined(written).is_some()
}

/// Reads the unit under a span.
pub fn read_unit(span: Span, text: &str, wanted: Option<Dimension>) -> Result<&'static Unit, UnitError> {
    let written = span.text(text);
    let written = if minutes(written).is_some() { "°" } else { written };
    if let Some(unit) = unit::find(written, wanted) {
        return Ok(unit);
    }
    if let Some(question) = unit::is_undefined(written) {
        return Err(problem(
            "unknown.unit",
            span,
            format!("`{written}` can mean more than one unit"),
            question.to_owned(),
        ));
    }
    let mut error = problem(
        "unknown.unit",
        span,
        format!("`{written}` is not a unit that is known here"),
        "write a unit such as mm, µm, thou, N·m, lbf·ft, bar, °C, t or EUR".to_owned(),
    );
    // `.45 ok`: of a word as short as that nearly any unit is one letter away.
    let is_long = written.chars().count() > 2;
    if !is_long {
        error.help.push_str("; a remark stands behind a comma");
    }
    if let Some(near) = unit::nearest(written).filter(|_| is_long) {
        error.help = format!("`{near}` is near");
        error.suggestion = Some((span, near.to_owned()));
    }
    Err(error)
}

/// The minutes behind the degrees of an angle: of `12° 30'`, whose unit is `° 30'`, they are `30`.
fn minutes(unit: &str) -> Option<&str> {
    let minutes = unit.strip_prefix('°')?.trim_start();
    let figure = minutes.strip_suffix(['\'', '\u{2032}', '\u{2019}'])?;
    figure.starts_with(|c: char| c.is_ascii_digit()).then_some(figure)
}

/// Adds the minutes of an angle to its degrees, away from 0; the half step is then half a minute.
fn with_minutes(degrees: &str, figure: Written, minutes: &str) -> Option<Written> {
    let sixty = Decimal::from(60);
    let minutes = number::parse(minutes).ok()?;
    let part = minutes.checked_div(sixty)?;
    let is_negative = degrees.starts_with(['-', '\u{2212}']);
    Some(Written {
        value: figure.value.checked_add(if is_negative { -part } else { part })?,
        half_step: number::half_step(minutes).checked_div(sixty)?,
        ..figure
    })
}

/// Reads a figure in whatever form it is written.
pub fn figure(span: Span, text: &str) -> Result<Written, UnitError> {
    let text = span.text(text);
    written::read(text).map_err(|error| {
        let (code, help) = match error {
            NumberError::NothingBelow | NumberError::NotANumber => ("line.unread", "write it as a decimal figure"),
            _ => ("reading.too-large", "write it with fewer digits"),
        };
        let message = format!("`{text}` cannot be read as a figure: {error}");
        problem(code, span, message, help.to_owned())
    })
}

/// Reads a figure and its unit. A bare figure takes the unit that is meant; with none it is a plain number, and so is a ratio always.
pub fn read(amount: &Amount, text: &str, meant: Meant) -> Result<Quantity, UnitError> {
    let span = amount.span();
    let mut written = figure(amount.number, text)?;
    if let Some(minutes) = amount.unit.and_then(|unit| minutes(unit.text(text))) {
        let whole = with_minutes(amount.number.text(text), written, minutes);
        written = whole.ok_or_else(|| too_large(span))?;
    }
    let unit = match amount.unit {
        Some(unit) => Some(read_unit(unit, text, meant.dimension)?),
        None if written.is_ratio => None,
        None => meant.unit,
    };
    quantity(written.value, written.half_step, unit, span)
}

fn too_large(span: Span) -> UnitError {
    problem(
        "reading.too-large",
        span,
        "this figure is too large to work with".to_owned(),
        "look at the unit and the decimal mark".to_owned(),
    )
}

/// Makes a quantity of a figure already read, with half a unit of its last digit.
fn quantity(written: Decimal, half: Decimal, unit: Option<&'static Unit>, span: Span) -> Result<Quantity, UnitError> {
    let converted = match unit {
        Some(unit) => unit.to_base(written).zip(unit.difference_to_base(half)),
        None => Some((written, half)),
    };
    let Some((base, half_step)) = converted else {
        return Err(too_large(span));
    };
    Ok(Quantity {
        written,
        base,
        half_step,
        unit,
        span,
    })
}
