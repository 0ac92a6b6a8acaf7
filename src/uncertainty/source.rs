//! One source of uncertainty: what causes it, whose error it is, and how it is spread.

/// How an error is spread about 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// The normal distribution, or Student's where the degrees of freedom are few.
    Normal,
    /// Anywhere between two ends with equal right (JCGM 100:2008, 4.3.7).
    Rectangular,
    /// Between two ends, most likely in the middle (JCGM 100:2008, 4.3.9).
    Triangular,
    /// Between two ends, level over this share of the width, from 0 to 1 (JCGM 100:2008, 4.3.9).
    Trapezoidal(f64),
    /// To and fro between two ends like a pendulum.
    Arcsine,
}

impl Shape {
    /// The half-width over the standard uncertainty: √3 for a rectangle. `None` for what has no ends.
    pub fn divisor(self) -> Option<f64> {
        match self {
            Shape::Normal => None,
            Shape::Rectangular => Some(3.0_f64.sqrt()),
            Shape::Triangular => Some(6.0_f64.sqrt()),
            Shape::Trapezoidal(top) => Some((6.0 / (1.0 + top * top)).sqrt()),
            Shape::Arcsine => Some(2.0_f64.sqrt()),
        }
    }

    /// The standard uncertainty of an error that is at most `half` either way. For the normal distribution `half` is taken for the standard
    /// uncertainty itself.
    pub fn standard(self, half: f64) -> f64 {
        half.abs() / self.divisor().unwrap_or(1.0)
    }

    /// The word for it, as printed.
    pub fn word(self) -> &'static str {
        match self {
            Shape::Normal => "normal",
            Shape::Rectangular => "rectangular",
            Shape::Triangular => "triangular",
            Shape::Trapezoidal(_) => "trapezoidal",
            Shape::Arcsine => "arcsine",
        }
    }
}

/// What makes a figure uncertain.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Cause {
    /// The last digit that was written, or the tool's smallest step.
    Resolution,
    /// The permissible error of the tool.
    Permissible,
    /// How well the tool repeats, as declared.
    Repeatability,
    /// The scatter of what was read several times (type A).
    Repeats,
    /// How well the tool's zero is known.
    Zero,
    /// The temperature of the part.
    PartTemperature,
    /// The temperature of the tool.
    ToolTemperature,
    /// The part's expansion by heat.
    Expansion,
    /// What the reading itself says behind `±`.
    Stated,
    /// What such a tool is honestly good for in a small shop: a default, where nothing is declared.
    Usual,
}

impl Cause {
    /// The words for it, as printed in a budget.
    pub fn words(self) -> &'static str {
        match self {
            Cause::Resolution => "last digit",
            Cause::Permissible => "permissible error of the tool",
            Cause::Repeatability => "repeatability of the tool",
            Cause::Repeats => "scatter of the repeats",
            Cause::Zero => "zero of the tool",
            Cause::PartTemperature => "temperature of the part",
            Cause::ToolTemperature => "temperature of the tool",
            Cause::Expansion => "expansion of the part",
            Cause::Stated => "as stated behind ±",
            Cause::Usual => "usual for such a tool (default)",
        }
    }
}

/// How far one and the same error reaches. The numbers are the caller's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Scope {
    /// One figure of one reading.
    Point(u32, u32),
    /// Every figure of one reading.
    Reading(u32),
    /// Every figure taken on one line.
    Event(u32),
    /// Every reading of one feature by one tool.
    ToolOn(u32, u32),
    /// Every reading by one tool.
    Tool(u32),
    /// Every reading of one material.
    Material(u32),
}

/// Whose error it is. Two sources of one origin are one error: they add up with their signs, and cancel in a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Origin {
    /// How far it reaches.
    pub scope: Scope,
    /// What causes it.
    pub cause: Cause,
}

/// One source of uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Whose error it is.
    pub origin: Origin,
    /// How it is spread.
    pub shape: Shape,
    /// Its standard uncertainty.
    pub u: f64,
    /// Its degrees of freedom; infinite where it is taken as known.
    pub dof: f64,
}

impl Source {
    /// A source that is at most `half` either way, spread by `shape`.
    pub fn within(origin: Origin, shape: Shape, half: f64) -> Source {
        Source {
            origin,
            shape,
            u: shape.standard(half),
            dof: f64::INFINITY,
        }
    }

    /// A source whose standard uncertainty is known.
    pub fn normal(origin: Origin, u: f64, dof: f64) -> Source {
        Source {
            origin,
            shape: Shape::Normal,
            u: u.abs(),
            dof,
        }
    }

    /// The most it can be off; infinite for what has no ends.
    pub fn half_width(&self) -> f64 {
        self.shape.divisor().map_or(f64::INFINITY, |divisor| divisor * self.u)
    }

    /// Whether it was taken from the table of usual tools, since nothing was declared.
    pub fn is_default(&self) -> bool {
        self.origin.cause == Cause::Usual
    }
}
