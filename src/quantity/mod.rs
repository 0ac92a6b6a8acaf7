//! Figures, dimensions, units and bands: what a number in a log or a manual means.
//!
//! A figure is read digit by digit ([`number`], or [`written`] for ratios and fractions), given a unit ([`mod@unit`]) whose dimension ([`dimension`]) says what may be
//! added to what, and turned into a band ([`band`]) that is compared with a limit. Everything here is exact decimal
//! arithmetic, checked: what does not fit is said, never wrapped or rounded to nothing.

pub mod band;
pub mod dimension;
mod extended;
mod lookup;
pub mod number;
mod spelling;
mod table;
mod undefined;
pub mod unit;
mod verdict;
pub mod written;

pub use band::{Band, BandError};
pub use dimension::{Currency, Dimension};
pub use number::NumberError;
pub use unit::Unit;
pub use verdict::{Verdict, verdict};
