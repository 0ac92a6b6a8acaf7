//! The functions an expression may call.

/// A function of an expression. The first six take every reading of a feature, the others plain values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Function {
    /// `smallest(a)`: the least of all readings.
    Smallest,
    /// `largest(a)`: the greatest of all readings.
    Largest,
    /// `mean(a)`: their arithmetic mean.
    Mean,
    /// `spread(a)`: greatest less least.
    Spread,
    /// `total(a)`: their sum.
    Total,
    /// `count(a)`: how many there are; a plain number.
    Count,
    /// `abs(a)`: without its sign.
    Abs,
    /// `sqrt(a)`: square root; the dimension must have one.
    Sqrt,
    /// `min(a, b, …)`
    Min,
    /// `max(a, b, …)`
    Max,
    /// `round(a, step)`: to the nearest whole step.
    Round,
}

impl Function {
    /// Every function with its names; the first is the one shown.
    pub const ALL: &'static [(Function, &'static [&'static str])] = &[
        (Function::Smallest, &["smallest", "least"]),
        (Function::Largest, &["largest", "greatest"]),
        (Function::Mean, &["mean", "average"]),
        (Function::Spread, &["spread"]),
        (Function::Total, &["total", "sum"]),
        (Function::Count, &["count"]),
        (Function::Abs, &["abs"]),
        (Function::Sqrt, &["sqrt"]),
        (Function::Min, &["min"]),
        (Function::Max, &["max"]),
        (Function::Round, &["round"]),
    ];

    /// A function by its name, in any case.
    pub fn named(name: &str) -> Option<Function> {
        Self::ALL
            .iter()
            .find(|(_, names)| names.iter().any(|n| n.eq_ignore_ascii_case(name)))
            .map(|(function, _)| *function)
    }

    /// Whether it takes every reading of a feature, over parts, places and rings.
    pub fn gathers(self) -> bool {
        matches!(
            self,
            Function::Smallest
                | Function::Largest
                | Function::Mean
                | Function::Spread
                | Function::Total
                | Function::Count
        )
    }
}
