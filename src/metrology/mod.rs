//! What a reading proves: its figure corrected for the tool's zero and the part's temperature, with everything it may be off by.
//!
//! Between the model, which says what was written, and the sums, which are worked from what is known. No limit and no verdict here.

pub mod better;
pub mod measured;
pub mod sources;

pub use measured::{Correction, Measured, Which, measure};
