//! What holds of any log and any manual, held against generated ones: bounded here, longer with `PROPTEST_CASES=2000 cargo test --release --test generated`.

mod generate;

#[path = "generated/fixes.rs"]
mod fixes;
#[path = "generated/same_bytes.rs"]
mod same_bytes;
#[path = "generated/shop.rs"]
mod shop;
#[path = "generated/tidy.rs"]
mod tidy;
