//! Where files are: logs and manuals found and read, manuals kept for all logs that name them. The faces go through here; what they get is judged
//! by pure functions.
//!
//! Here alone files are opened and written. No rule of the trade and no word for a reader but why a file could not be had.

pub mod address;
pub mod baseline;
pub mod discover;
mod git;
mod inspected;
mod library;
pub mod marks;
pub mod photos;
mod rivals;
mod roots;
mod settings;
mod start;
mod touched;
pub mod write;

pub use crate::syntax::FileKind as Kind;
pub use inspected::{Inspected, analyse, analyse_manual, analyse_manual_text, inspect};
pub use library::Library;
pub use marks::Marks;
pub use roots::{Placed, Roots};
pub use settings::Gate;
pub use settings::ReportSettings;
pub use start::start;
pub use touched::Touched;
