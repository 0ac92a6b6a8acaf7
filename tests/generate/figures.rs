//! Figures as they are written: thousandths in, digits out.

/// So many thousandths with that many decimals: `figure(52_030, 2)` is `52.03`. What lies below the last digit is cut off, so callers give whole steps.
pub fn figure(thousandths: i64, decimals: usize) -> String {
    let sign = if thousandths < 0 { "-" } else { "" };
    let all = thousandths.unsigned_abs();
    let (whole, rest) = (all / 1000, all % 1000);
    let rest = format!("{rest:03}");
    match decimals {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{}", &rest[..decimals.min(3)]),
    }
}

/// A length in mm from thousandths, in a manual.
pub fn mm(thousandths: i64) -> String {
    let full = figure(thousandths, 3);
    full.strip_suffix('0').map_or(full.clone(), str::to_owned)
}

/// The nearest whole step.
pub fn stepped(value: i64, step: i64) -> i64 {
    (value + step / 2).div_euclid(step) * step
}
