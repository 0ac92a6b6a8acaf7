//! What holds of any bytes at all, one property a file. `tests/fuzz` looks for bytes that break one, and `tests/regress.rs` replays every input that ever did.
//!
//! A property is a plain function from bytes that panics where it does not hold. It may use the library, the standard library and the few crates both of
//! its users have; nothing here knows the fuzzer.
// Every user takes what it needs.
#![allow(dead_code, missing_docs)]

pub mod edits;
pub mod fixes;
pub mod input;
pub mod judge;
pub mod judged;
pub mod manuals;
pub mod page;
pub mod parse;
pub mod plain;
pub mod reckon;
pub mod report;
pub mod rpc;
pub mod tidy;

/// What must hold: panics where it does not.
pub type Property = fn(&[u8]);

/// Every property by its name, which is that of its fuzz target and of the folder in `tests/regress`.
pub const ALL: &[(&str, Property)] = &[
    ("edits", edits::holds),
    ("fixes", fixes::holds),
    ("judge", judge::holds),
    ("manuals", manuals::holds),
    ("parse", parse::holds),
    ("reckon", reckon::holds),
    ("report", report::holds),
    ("rpc", rpc::holds),
    ("tidy", tidy::holds),
];
