//! Two blades written the wrong way round.

use rust_decimal::Decimal;

use crate::quantity::Band;

/// Whether go and no-go were written for each other: the blade that is said to go is the thicker one, and the band between them the other way
/// round is plausible. Both in base units.
pub fn are_exchanged(go: Decimal, no_go: Decimal, plausible: impl Fn(&Band) -> bool) -> bool {
    no_go < go && plausible(&Band::blades(no_go, go))
}
