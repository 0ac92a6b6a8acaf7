//! Single figures for the ends of bands: decimals with the two infinities, and a square root that always ends.

use rust_decimal::Decimal;
use rust_decimal::prelude::{FromPrimitive as _, ToPrimitive as _};

/// An end of a band. The order of the variants is the order of size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum End {
    /// Without bound below.
    Low,
    /// A figure.
    At(Decimal),
    /// Without bound above.
    High,
}

impl End {
    /// The lower end that a band's `lo` stands for.
    pub(super) fn lower(lo: Option<Decimal>) -> End {
        lo.map_or(End::Low, End::At)
    }

    /// The upper end that a band's `hi` stands for.
    pub(super) fn upper(hi: Option<Decimal>) -> End {
        hi.map_or(End::High, End::At)
    }

    /// The figure, if it is one.
    pub(super) fn figure(self) -> Option<Decimal> {
        match self {
            End::At(figure) => Some(figure),
            End::Low | End::High => None,
        }
    }

    /// -1, 0 or 1.
    fn sign(self) -> i8 {
        match self {
            End::Low => -1,
            End::High => 1,
            End::At(d) if d.is_zero() => 0,
            End::At(d) if d.is_sign_negative() => -1,
            End::At(_) => 1,
        }
    }

    fn infinite(sign: i8) -> End {
        match sign {
            ..0 => End::Low,
            0 => End::At(Decimal::ZERO),
            1.. => End::High,
        }
    }

    /// The product, where nothing times no bound is nothing; `None` if it grows too large.
    pub(super) fn times(self, other: End) -> Option<End> {
        match (self, other) {
            (End::At(a), End::At(b)) => a.checked_mul(b).map(End::At),
            _ => Some(End::infinite(self.sign() * other.sign())),
        }
    }

    /// The quotient, where anything over no bound is nothing; `None` if it grows too large. The divisor is not 0.
    pub(super) fn over(self, other: End) -> Option<End> {
        match (self, other) {
            (End::At(a), End::At(b)) => a.checked_div(b).map(End::At),
            (_, End::Low | End::High) => Some(End::At(Decimal::ZERO)),
            _ => Some(End::infinite(self.sign() * other.sign())),
        }
    }
}

/// A whole power by repeated squaring; `None` if it grows too large.
pub(super) fn whole_power(base: Decimal, mut exponent: u32) -> Option<Decimal> {
    let mut result = Decimal::ONE;
    let mut square = base;
    loop {
        if exponent & 1 == 1 {
            result = result.checked_mul(square)?;
        }
        exponent >>= 1;
        if exponent == 0 {
            return Some(result);
        }
        square = square.checked_mul(square)?;
    }
}

/// The square root, good to about 26 digits, and exact where the root is a short decimal; `None` for a negative figure.
///
/// The library's own root gives up with a panic if its steps do not settle; this one takes a fixed number of steps from a
/// floating-point guess, each of which doubles the 15 digits it starts with.
pub(super) fn square_root(value: Decimal) -> Option<Decimal> {
    if value.is_zero() {
        return Some(Decimal::ZERO);
    }
    if value.is_sign_negative() {
        return None;
    }
    let mut root = Decimal::from_f64(value.to_f64()?.sqrt())?;
    for _ in 0..3 {
        root = root.checked_add(value.checked_div(root)?)?.checked_div(Decimal::TWO)?;
    }
    Some(root.normalize())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn whole_roots_are_exact() {
        for (value, scale, root, root_scale) in [(4, 0, 2, 0), (225, 2, 15, 1), (1, 28, 1, 14), (144, 0, 12, 0)] {
            let found = square_root(Decimal::new(value, scale));
            assert_eq!(found, Some(Decimal::new(root, root_scale)), "{value}e-{scale}");
        }
        assert_eq!(square_root(Decimal::ZERO), Some(Decimal::ZERO));
        assert_eq!(square_root(Decimal::NEGATIVE_ONE), None);
        assert!(square_root(Decimal::MAX).is_some());
        // Outside figure: the root of 2, OEIS A002193, to 25 decimals.
        let two = square_root(Decimal::TWO).map(|d| d.round_dp(25).to_string());
        assert_eq!(two.as_deref(), Some("1.4142135623730950488016887"));
    }

    #[test]
    fn powers() {
        assert_eq!(whole_power(Decimal::new(15, 1), 3), Some(Decimal::new(3375, 3)));
        assert_eq!(whole_power(Decimal::new(-2, 0), 5), Some(Decimal::new(-32, 0)));
        assert_eq!(whole_power(Decimal::TEN, 0), Some(Decimal::ONE));
        assert_eq!(whole_power(Decimal::TEN, 29), None);
        assert_eq!(whole_power(Decimal::TEN, u32::MAX), None);
        assert_eq!(
            whole_power(Decimal::NEGATIVE_ONE, u32::MAX),
            Some(Decimal::NEGATIVE_ONE)
        );
    }

    proptest! {
        #[test]
        fn a_root_squared_is_the_figure(mantissa in 1i64.., scale in 0u32..12) {
            let value = Decimal::new(mantissa, scale);
            let root = square_root(value).expect("positive");
            let back = root * root;
            prop_assert!((back - value).abs() <= value * Decimal::new(1, 18) + Decimal::new(1, 24));
        }

        #[test]
        fn root_never_panics(parts in any::<[u32; 3]>(), scale in 0u32..=28, negative: bool) {
            let value = Decimal::from_parts(parts[0], parts[1], parts[2], negative, scale);
            prop_assert_eq!(square_root(value).is_none(), value < Decimal::ZERO);
        }
    }
}
