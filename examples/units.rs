//! Prints every unit as a line of JSON, for checks from outside (`tests/outside/units.py`): `cargo run --example units`.
//!
//! A value goes to the base unit as `(value + offset) * factor / per`; figures are texts, so that no digit is lost.

use std::io::Write as _;

use gudgeon::quantity::unit;

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for unit in unit::all() {
        let line = serde_json::json!({
            "symbol": unit.symbol,
            "dimension": unit.dimension.name(),
            "factor": unit.factor.to_string(),
            "per": unit.per.to_string(),
            "offset": unit.offset.to_string(),
        });
        writeln!(out, "{line}")?;
    }
    Ok(())
}
