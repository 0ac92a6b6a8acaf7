//! Bands: what a reading proves is never a point but everything between two ends. Here is their arithmetic.
//!
//! Every operation gives a band that holds each result its operands can give. Ends are rounded to the 28 digits of a
//! [`Decimal`] where they have more. An end that is left out has no bound on that side, and is carried through.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;

use super::extended::{End, square_root, whole_power};

/// A closed or half-open interval, in base units. `lo` is not above `hi`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lower end; `None` is without bound.
    pub lo: Option<Decimal>,
    /// Upper end; `None` is without bound.
    pub hi: Option<Decimal>,
    /// Whether the lower end itself is left out.
    pub lo_open: bool,
    /// Whether the upper end itself is left out.
    pub hi_open: bool,
}

/// Why a band cannot be worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BandError {
    /// A figure grows past what can be reckoned with.
    TooLarge,
    /// The divisor is 0, or may be.
    DivisionByZero,
    /// A square root of what is, or may be, less than 0.
    NegativeRoot,
    /// The result has no bound on either side, and so says nothing.
    Unbounded,
}

impl fmt::Display for BandError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            BandError::TooLarge => "the figure grows too large to reckon with",
            BandError::DivisionByZero => "it is divided by what may be 0",
            BandError::NegativeRoot => "it is the square root of what may be less than 0",
            BandError::Unbounded => "the result has no bound on either side",
        })
    }
}

impl std::error::Error for BandError {}

type Made = Result<Band, BandError>;

/// An end, and whether it is left out.
pub(super) type Edge = (End, bool);

impl Band {
    /// One figure and nothing else.
    pub fn exact(figure: Decimal) -> Band {
        Band::closed(Some(figure), Some(figure))
    }

    /// From the smaller of two figures to the larger, both included.
    pub fn between(a: Decimal, b: Decimal) -> Band {
        Band::closed(Some(a.min(b)), Some(a.max(b)))
    }

    /// The figure and everything above it.
    pub fn at_least(figure: Decimal) -> Band {
        Band::closed(Some(figure), None)
    }

    /// The figure and everything below it.
    pub fn at_most(figure: Decimal) -> Band {
        Band::closed(None, Some(figure))
    }

    /// What two blades prove: the one that goes is included, the one that does not is left out. Blades the wrong way round
    /// are put in order, for the caller to complain of; two of the same size give that size.
    pub fn blades(go: Decimal, no_go: Decimal) -> Band {
        Band {
            lo_open: no_go < go,
            hi_open: go < no_go,
            ..Band::between(go, no_go)
        }
    }

    fn closed(lo: Option<Decimal>, hi: Option<Decimal>) -> Band {
        Band {
            lo,
            hi,
            lo_open: false,
            hi_open: false,
        }
    }

    fn from_edges(lo: Edge, hi: Edge) -> Made {
        let band = Band {
            lo: lo.0.figure(),
            hi: hi.0.figure(),
            lo_open: lo.1,
            hi_open: hi.1,
        };
        if band.lo.is_none() && band.hi.is_none() {
            Err(BandError::Unbounded)
        } else {
            Ok(band)
        }
    }

    pub(super) fn lower(&self) -> Edge {
        (End::lower(self.lo), self.lo_open)
    }

    pub(super) fn upper(&self) -> Edge {
        (End::upper(self.hi), self.hi_open)
    }

    /// Whether it is one figure.
    pub fn is_exact(&self) -> bool {
        self.lo.is_some() && self.lo == self.hi && !self.lo_open && !self.hi_open
    }

    /// Whether a figure lies in it.
    pub fn contains(&self, figure: Decimal) -> bool {
        let above = self.lo.is_none_or(|lo| lo < figure || (lo == figure && !self.lo_open));
        let below = self.hi.is_none_or(|hi| figure < hi || (hi == figure && !self.hi_open));
        above && below
    }

    /// Halfway between the ends; `None` if one is missing or the figures are too large.
    pub fn middle(&self) -> Option<Decimal> {
        let (lo, hi) = (self.lo?, self.hi?);
        if lo == hi {
            Some(lo)
        } else {
            lo.checked_add(hi)?.checked_div(Decimal::TWO)
        }
    }

    /// Upper end less lower end; `None` if one is missing or the figures are too large.
    pub fn width(&self) -> Option<Decimal> {
        self.hi?.checked_sub(self.lo?)
    }

    /// Whether the two have nothing in common.
    pub fn is_apart_from(self, other: Band) -> bool {
        let is_below = |hi: Option<Decimal>, lo: Option<Decimal>| hi.zip(lo).is_some_and(|(hi, lo)| lo > hi);
        is_below(self.hi, other.lo) || is_below(other.hi, self.lo)
    }

    /// How far the two lie apart; `None` if they have something in common.
    pub fn gap(self, other: Band) -> Option<Decimal> {
        let between = |hi: Option<Decimal>, lo: Option<Decimal>| lo?.checked_sub(hi?).filter(|d| *d > Decimal::ZERO);
        between(self.hi, other.lo).or_else(|| between(other.hi, self.lo))
    }

    /// Wider by this much on both sides; its sign does not matter. `None` if the figures grow too large.
    pub fn widen(self, half_width: Decimal) -> Option<Band> {
        let half = half_width.abs();
        Some(Band {
            lo: checked(self.lo, |lo| lo.checked_sub(half))?,
            hi: checked(self.hi, |hi| hi.checked_add(half))?,
            ..self
        })
    }

    /// The smallest band that holds both.
    pub fn hull(self, other: Band) -> Band {
        let (lo, lo_open) = smaller(self.lower(), other.lower(), false);
        let (hi, hi_open) = larger(self.upper(), other.upper(), false);
        Band {
            lo: lo.figure(),
            hi: hi.figure(),
            lo_open,
            hi_open,
        }
    }

    /// The sum. An end is left out if either operand leaves its own out.
    ///
    /// # Errors
    /// [`BandError::TooLarge`], [`BandError::Unbounded`].
    #[expect(clippy::should_implement_trait, reason = "an operator cannot say that it failed")]
    pub fn add(self, other: Band) -> Made {
        let sum = |a: Option<Decimal>, b: Option<Decimal>| match (a, b) {
            (Some(a), Some(b)) => a.checked_add(b).map(Some).ok_or(BandError::TooLarge),
            _ => Ok(None),
        };
        Band::from_edges(
            (End::lower(sum(self.lo, other.lo)?), self.lo_open || other.lo_open),
            (End::upper(sum(self.hi, other.hi)?), self.hi_open || other.hi_open),
        )
    }

    /// The difference, taken as if the two had nothing to do with one another.
    ///
    /// # Errors
    /// [`BandError::TooLarge`], [`BandError::Unbounded`].
    #[expect(clippy::should_implement_trait, reason = "an operator cannot say that it failed")]
    pub fn sub(self, other: Band) -> Made {
        self.add(other.mirror())
    }

    /// The negative.
    ///
    /// # Errors
    /// [`BandError::Unbounded`].
    #[expect(clippy::should_implement_trait, reason = "an operator cannot say that it failed")]
    pub fn neg(self) -> Made {
        let mirror = self.mirror();
        Band::from_edges(mirror.lower(), mirror.upper())
    }

    fn mirror(self) -> Band {
        Band {
            lo: self.hi.map(|d| -d),
            hi: self.lo.map(|d| -d),
            lo_open: self.hi_open,
            hi_open: self.lo_open,
        }
    }

    /// The band times one figure; open ends stay open.
    ///
    /// # Errors
    /// [`BandError::TooLarge`], [`BandError::Unbounded`].
    pub fn scale(self, by: Decimal) -> Made {
        if by.is_zero() {
            return Ok(Band::exact(Decimal::ZERO));
        }
        self.rescale(by.is_sign_negative(), |d| d.checked_mul(by))
    }

    /// Changes both ends by a multiplication or division, and swaps them if that turns them round.
    fn rescale(self, turned: bool, change: impl Fn(Decimal) -> Option<Decimal>) -> Made {
        let lo = checked(self.lo, &change).ok_or(BandError::TooLarge)?;
        let hi = checked(self.hi, &change).ok_or(BandError::TooLarge)?;
        let band = if turned {
            Band {
                lo: hi,
                hi: lo,
                lo_open: self.hi_open,
                hi_open: self.lo_open,
            }
        } else {
            Band { lo, hi, ..self }
        };
        Band::from_edges(band.lower(), band.upper())
    }

    /// The product. Open ends stay open beside an exact factor, and are else counted in.
    ///
    /// # Errors
    /// [`BandError::TooLarge`], [`BandError::Unbounded`].
    #[expect(clippy::should_implement_trait, reason = "an operator cannot say that it failed")]
    pub fn mul(self, other: Band) -> Made {
        match (self.lo, other.lo) {
            (_, Some(by)) if other.is_exact() => self.scale(by),
            (Some(by), _) if self.is_exact() => other.scale(by),
            _ => self.corners(other, End::times),
        }
    }

    /// The quotient. Open ends stay open over an exact divisor, and are else counted in.
    ///
    /// # Errors
    /// [`BandError::DivisionByZero`] if 0 is in the divisor or at an end of it, [`BandError::TooLarge`],
    /// [`BandError::Unbounded`].
    #[expect(clippy::should_implement_trait, reason = "an operator cannot say that it failed")]
    pub fn div(self, other: Band) -> Made {
        if Band::closed(other.lo, other.hi).contains(Decimal::ZERO) {
            return Err(BandError::DivisionByZero);
        }
        match other.lo {
            Some(by) if other.is_exact() => self.rescale(by.is_sign_negative(), |d| d.checked_div(by)),
            _ => self.corners(other, End::over),
        }
    }

    /// The smallest and the largest of the four results that two pairs of ends can give.
    fn corners(self, other: Band, op: impl Fn(End, End) -> Option<End>) -> Made {
        let (a, b) = (self.lower().0, self.upper().0);
        let (c, d) = (other.lower().0, other.upper().0);
        let first = op(a, c).ok_or(BandError::TooLarge)?;
        let (mut lo, mut hi) = (first, first);
        for (x, y) in [(a, d), (b, c), (b, d)] {
            let corner = op(x, y).ok_or(BandError::TooLarge)?;
            lo = lo.min(corner);
            hi = hi.max(corner);
        }
        Band::from_edges((lo, false), (hi, false))
    }

    /// A whole power. The power 0 is exactly 1.
    ///
    /// # Errors
    /// [`BandError::DivisionByZero`] for a negative power of what may be 0, [`BandError::TooLarge`],
    /// [`BandError::Unbounded`].
    pub fn power(self, exponent: i32) -> Made {
        if exponent < 0 {
            return Band::exact(Decimal::ONE).div(self.power_up(exponent.unsigned_abs())?);
        }
        self.power_up(exponent.unsigned_abs())
    }

    fn power_up(self, exponent: u32) -> Made {
        if exponent == 0 {
            return Ok(Band::exact(Decimal::ONE));
        }
        // An even power takes no notice of the sign; above 0 every power keeps the order.
        let base = if exponent.is_multiple_of(2) { self.abs()? } else { self };
        base.rescale(false, |d| whole_power(d, exponent))
    }

    /// The square root.
    ///
    /// # Errors
    /// [`BandError::NegativeRoot`] if any of the band is below 0.
    pub fn sqrt(self) -> Made {
        if self.lo.is_none_or(|lo| lo < Decimal::ZERO) {
            return Err(BandError::NegativeRoot);
        }
        self.rescale(false, square_root)
    }

    /// The size without the sign.
    ///
    /// # Errors
    /// None: even of a band without ends the size is at least 0. It is a result to be chained like the rest.
    pub fn abs(self) -> Made {
        if self.lo.is_some_and(|lo| lo >= Decimal::ZERO) {
            return Ok(self);
        }
        if self.hi.is_some_and(|hi| hi <= Decimal::ZERO) {
            return Ok(self.mirror());
        }
        Band::from_edges(
            (End::At(Decimal::ZERO), false),
            larger(self.upper(), self.mirror().upper(), false),
        )
    }

    /// The smaller of two.
    ///
    /// # Errors
    /// [`BandError::Unbounded`].
    pub fn min(self, other: Band) -> Made {
        Band::from_edges(
            smaller(self.lower(), other.lower(), false),
            smaller(self.upper(), other.upper(), true),
        )
    }

    /// The larger of two.
    ///
    /// # Errors
    /// [`BandError::Unbounded`].
    pub fn max(self, other: Band) -> Made {
        Band::from_edges(
            larger(self.lower(), other.lower(), true),
            larger(self.upper(), other.upper(), false),
        )
    }
}

/// `None` if there is an end and the change fails.
fn checked(end: Option<Decimal>, change: impl Fn(Decimal) -> Option<Decimal>) -> Option<Option<Decimal>> {
    end.map_or(Some(None), |end| change(end).map(Some))
}

/// The smaller edge. Of equal ones, it is left out if both are, or with `either` if one is.
fn smaller(a: Edge, b: Edge, either: bool) -> Edge {
    match a.0.cmp(&b.0) {
        Ordering::Less => a,
        Ordering::Greater => b,
        Ordering::Equal => (a.0, if either { a.1 || b.1 } else { a.1 && b.1 }),
    }
}

/// The larger edge; equal ones as in [`smaller`].
fn larger(a: Edge, b: Edge, either: bool) -> Edge {
    match a.0.cmp(&b.0) {
        Ordering::Less => b,
        Ordering::Greater => a,
        Ordering::Equal => smaller(a, b, either),
    }
}

#[cfg(test)]
mod tests;
