//! Uncertainty: what a figure may be off by, how that is put together, and what is decided by it.
//!
//! Pure arithmetic in floating point, in the base units of the figure; nothing here knows a log or a manual.
//! Sources of uncertainty ([`source`]) with their sensitivities make a budget ([`budget`]), which is combined by the GUM
//! (JCGM 100:2008), or, where first order does not do, by drawing ([`sampling`], JCGM 101:2008). The result is an
//! [`Estimate`], and [`decision`] holds it against a limit (JCGM 106:2012, ISO 14253-1).

pub mod budget;
pub mod decision;
pub mod distribution;
pub mod estimate;
pub mod line;
pub mod outliers;
pub mod repeats;
pub mod sampling;
pub mod source;

pub use budget::{Budget, Combined, Share};
pub use decision::{Acceptance, Decision, decide};
pub use estimate::{Estimate, Method};
pub use source::{Cause, Origin, Scope, Shape, Source};
