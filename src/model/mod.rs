//! What logs and manuals mean: names looked up, units resolved, figures as bands. No judgement here.

pub mod acceptance;
pub mod book;
mod conditions;
mod details;
mod hand_sums;
pub mod instruments;
pub mod job;
pub mod limit;
mod lower_job;
mod lower_manual;
pub mod machine;
pub mod manual;
pub mod names;
mod readings;
pub mod stage;
pub mod tools;
pub mod units;

pub use book::Book;
pub use job::Job;
pub use lower_job::lower_job;
pub use lower_manual::lower_manual;
