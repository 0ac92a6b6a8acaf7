//! What is known of a figure: the best value, what blades leave open, and how far it may be off.

use std::cell::RefCell;
use std::num::NonZeroUsize;

use lru::LruCache;
use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive as _;
use rustc_hash::FxBuildHasher;

use super::budget::{Budget, Combined};
use crate::quantity::Band;
use crate::quantity::number::significant;

/// How the uncertainty was worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// First order by sensitivities (JCGM 100:2008).
    FirstOrder,
    /// Drawn, since the sum is bent or has corners where the figures lie (JCGM 101:2008).
    Drawn,
}

/// What is known of a figure, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// The best single value, corrected.
    pub best: Decimal,
    /// What blades or a range leave open: not a distribution, every value in it is alike. `None` for a single value.
    pub between: Option<Band>,
    /// Standard uncertainty, degrees of freedom, bound.
    pub combined: Combined,
    /// Expanded uncertainty downwards, for 95.45 %; 0 if nothing is uncertain.
    pub below: Decimal,
    /// The same upwards.
    pub above: Decimal,
    /// How it was worked out.
    pub method: Method,
}

impl Estimate {
    /// A figure with its budget. `None` if the figures grow too large.
    pub fn new(best: Decimal, between: Option<Band>, budget: &Budget) -> Option<Estimate> {
        Estimate::from_combined(best, between, budget.combined())
    }

    /// A figure with what its budget came to. `None` if the figures grow too large.
    pub fn from_combined(best: Decimal, between: Option<Band>, combined: Combined) -> Option<Estimate> {
        let expanded = decimal(combined.expanded())?;
        Some(Estimate {
            best,
            between,
            combined,
            below: expanded,
            above: expanded,
            method: Method::FirstOrder,
        })
    }

    /// What it is without the uncertainty: one value, or what the blades leave open.
    pub fn bare(&self) -> Band {
        self.between.unwrap_or(Band::exact(self.best))
    }

    /// Everything the figure may be: [`Estimate::bare`], wider by the expanded uncertainty. `None` if it grows too large.
    pub fn reach(&self) -> Option<Band> {
        let bare = self.bare();
        let lo = match bare.lo {
            Some(lo) => Some(lo.checked_sub(self.below)?),
            None => None,
        };
        let hi = match bare.hi {
            Some(hi) => Some(hi.checked_add(self.above)?),
            None => None,
        };
        Some(Band { lo, hi, ..bare })
    }

    /// Whether a distribution stands behind it, so that probabilities mean something.
    pub fn has_distribution(&self) -> bool {
        self.between.is_none() && self.combined.u > 0.0
    }
}

/// Figures whose decimals are kept, for each thread.
const MOST_KEPT: NonZeroUsize = NonZeroUsize::new(1024).expect("not zero");

thread_local! {
    /// Decimals by the bits of the floating figure. Uncertainties come from the tools, so the same few are asked for again and again, and a conversion is slow.
    static KEPT: RefCell<LruCache<u64, Option<Decimal>, FxBuildHasher>> =
        RefCell::new(LruCache::with_hasher(MOST_KEPT, FxBuildHasher));
}

/// A floating figure as a decimal, to twelve digits: no uncertainty is known better, and the noise of floating point is gone.
pub fn decimal(value: f64) -> Option<Decimal> {
    if value == 0.0 {
        return Some(Decimal::ZERO);
    }
    KEPT.with_borrow_mut(|kept| {
        *kept.get_or_insert(value.to_bits(), || {
            Decimal::from_f64(value).map(|figure| significant(figure, 12))
        })
    })
}
