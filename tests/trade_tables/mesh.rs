//! Backlash. Left out, since they are sums that a manual writes itself: the valve shim and its published chart row, the published thrust-shim example, the
//! tight clearance, the plain bearing, the shells, the end-float shim.

use crate::call::{prints, work};

/// j ≈ 2·Δa·tan α, first order, circumferential, and its inverse; worked separately, compared after rounding to the digits that are printed.
#[test]
fn backlash_and_centre_distance() {
    let change = work!("backlash change", "move" = 0.050, "pressure angle" = 20.0);
    prints(change, "0.036397", "backlash");
    let apart = work!("move for backlash", "change" = 0.08, "pressure angle" = 20.0);
    prints(apart, "0.109899", "centre distance");
}
