//! Turning written figures into quantities: the unit that is written, else the one that is meant.

use rust_decimal::Decimal;

use crate::quantity::{Dimension, Unit, number, unit};
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
}

/// What is known of the unit of a figure that has none.
#[derive(Clone, Copy, Debug, Default)]
pub struct Meant {
    /// The dimension that is wanted; a written unit is read by it (`t` is a force for a press).
    pub dimension: Option<Dimension>,
    /// The unit of a bare figure.
    pub unit: Option<&'static Unit>,
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

/// Reads the unit under a span.
pub fn read_unit(span: Span, text: &str, wanted: Option<Dimension>) -> Result<&'static Unit, UnitError> {
    let written = span.text(text);
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
    if let Some(near) = unit::nearest(written) {
        error.help = format!("`{near}` is near");
        error.suggestion = Some((span, near.to_owned()));
    }
    Err(error)
}

/// Reads a figure and its unit. A bare figure takes the unit that is meant; with none it is a plain number.
pub fn read(amount: &Amount, text: &str, meant: Meant) -> Result<Quantity, UnitError> {
    let span = amount.span();
    let written = number::parse(amount.number.text(text)).map_err(|error| {
        problem(
            "reading.too-large",
            amount.number,
            format!("`{}` cannot be read as a figure: {error}", amount.number.text(text)),
            "write it with fewer digits".to_owned(),
        )
    })?;
    let unit = match amount.unit {
        Some(unit) => Some(read_unit(unit, text, meant.dimension)?),
        None => meant.unit,
    };
    quantity(written, unit, span)
}

/// Makes a quantity of a figure already read.
pub fn quantity(written: Decimal, unit: Option<&'static Unit>, span: Span) -> Result<Quantity, UnitError> {
    let half = number::half_step(written);
    let converted = match unit {
        Some(unit) => unit.to_base(written).zip(unit.difference_to_base(half)),
        None => Some((written, half)),
    };
    let Some((base, half_step)) = converted else {
        return Err(problem(
            "reading.too-large",
            span,
            "this figure is too large to work with".to_owned(),
            "look at the unit and the decimal mark".to_owned(),
        ));
    };
    Ok(Quantity {
        written,
        base,
        half_step,
        unit,
        span,
    })
}
