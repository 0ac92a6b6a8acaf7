//! What an editor asks of a log or a manual: pure functions from a page and a byte offset to an answer. No protocol types, no disk, no clock; `server`
//! turns the answers into messages.
//!
//! A [`Page`] is one file, read and judged. An [`Index`] holds the names of every file of a workspace, for what reaches beyond one page.

pub mod actions;
pub mod completion;
pub mod definition;
pub mod folding;
pub mod formatting;
pub mod glance;
pub mod hover;
pub mod index;
pub mod inlay;
pub mod lens;
pub mod links;
pub mod mentions;
mod page;
pub mod references;
pub mod rename;
pub mod search;
pub mod selection;
mod shape;
pub mod symbols;
pub mod tokens;

pub use index::Index;
pub use mentions::{Entity, Mention, mentions};
pub use page::Page;
