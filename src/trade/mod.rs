//! The trade's calculations: fits, crankshafts, cylinders, shims, fasteners, leaks and wear, as functions that the sums of a manual may call.
//!
//! This floor is arithmetic. It knows neither logs nor manuals: figures come in and one goes out, in mm, N, N/mm², s, °C, degrees and tonnes (so
//! that one N is one t·mm/s²). Each function says what it takes, where it holds, where it comes from, and has an example that is run as a test.
//! Uncertainty, units and the place of a bad figure are the affair of `calc`, which calls these.

pub mod bearings;
pub mod codes;
pub mod crank;
pub mod cylinder;
pub mod fasteners;
pub mod fits;
pub mod function;
pub mod iso286;
pub mod joint;
pub mod leaks;
pub mod materials;
pub mod mesh;
pub mod pattern;
pub mod slider;
pub mod wear;

pub use function::{Example, Function, Given, Gives, Group, Kind, Parameter, Refused, Word, Words, all, named, names};
