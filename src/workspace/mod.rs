//! Where files are: logs and manuals found and read, manuals kept for all logs that name them. The faces go through here; what they get is judged
//! by pure functions.

pub mod discover;
mod inspected;
mod library;
pub mod photos;
mod rivals;
mod settings;
mod start;
pub mod write;

pub use crate::syntax::FileKind as Kind;
pub use inspected::{Inspected, analyse, analyse_manual, analyse_manual_text, inspect};
pub use library::Library;
pub use settings::ReportSettings;
pub use start::start;
