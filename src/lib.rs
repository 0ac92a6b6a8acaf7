//! Gudgeon reads rebuild logs (`.rebuild`) and the manuals they are judged by (`.manual`), works every derived figure again, and says what is out of
//! limit, stale, missing, contradictory or dangerous.
//!
//! Data flows one way, and each module knows only those above it in this list:
//! [`syntax`] (text to tree) → [`quantity`] (figures, units, bands) → [`uncertainty`] (budgets, estimates, decisions) and [`trade`] (fits, cranks,
//! cylinders, bolts: arithmetic that knows no log) → [`model`] (what logs and manuals mean) →
//! [`order`] (patterns of steps over a finite log, knowing neither) and [`metrology`] (what a reading proves) → [`calc`] (derived features) →
//! [`judge`] (rules and findings) → [`history`] (machines over several jobs) → [`shelf`] and [`workspace`] (where texts come from) → the faces [`report`], [`editor`] with [`server`] over it, and [`cli`].
//! Only [`cli`] prints, and nothing before [`workspace`] touches the disk, a clock or the environment; `tests/layers.rs` holds the house to it.

/// Version of the program; of a release build with the commit it is built from: `0.1.0 (1f2e3d4c5b6a 2026-03-14)`.
pub const VERSION: &str = env!("GUDGEON_VERSION");

pub mod calc;
pub mod cli;
pub mod editor;
pub mod history;
pub mod judge;
pub mod metrology;
pub mod model;
pub mod order;
pub mod quantity;
pub mod report;
pub mod server;
pub mod shelf;
pub mod syntax;
pub mod trade;
pub mod uncertainty;
pub mod workspace;
