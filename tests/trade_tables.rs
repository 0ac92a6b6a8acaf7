//! The trade's arithmetic against tables from outside, each with its source beside it: standards as reprints give them, a textbook, and cases that were
//! worked separately.
//!
//! "worked separately" beside a table: worked out in Python from the definitions, not by this program; it checks arithmetic, not engineering truth.
//! "From memory" says that no print was at hand. Rows that are plain arithmetic have no function of their own; each file says which it leaves out.

#[path = "trade_tables/bearings.rs"]
mod bearings;
#[path = "trade_tables/bolts.rs"]
mod bolts;
#[path = "trade_tables/call.rs"]
mod call;
#[path = "trade_tables/crank.rs"]
mod crank;
#[path = "trade_tables/cylinder.rs"]
mod cylinder;
#[path = "trade_tables/leaks.rs"]
mod leaks;
#[path = "trade_tables/limits.rs"]
mod limits;
#[path = "trade_tables/mesh.rs"]
mod mesh;
#[path = "trade_tables/presses.rs"]
mod presses;
