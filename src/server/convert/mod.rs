//! Answers of `editor` as the protocol has them, one file for each family.

pub mod completion;
pub mod edits;
pub mod findings;
pub mod places;
mod plain;
pub mod shown;
pub mod symbols;
pub mod tokens;
