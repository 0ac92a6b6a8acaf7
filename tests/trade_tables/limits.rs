//! ISO 286-1 and ISO 286-2:2010: grades, deviations, fits.

use crate::call::{near, work};

/// Lower and upper deviation, µm.
pub fn deviations(size: f64, class: &str) -> (f64, f64) {
    let lower = work!("lower deviation", "size" = size, "class" = class);
    let upper = work!("upper deviation", "size" = size, "class" = class);
    (lower * 1000.0, upper * 1000.0)
}

#[track_caller]
pub fn deviates(size: f64, class: &str, upper: i32, lower: i32) {
    let (low, high) = deviations(size, class);
    near(low, lower.into(), 1e-9, ("lower", size, class));
    near(high, upper.into(), 1e-9, ("upper", size, class));
}

/// The tolerance of a grade, µm.
fn tolerance(size: f64, grade: u8) -> f64 {
    let (low, high) = deviations(size, &format!("H{grade}"));
    high - low
}

/// The least size over the one end, one between, and the other end, which is included.
pub fn sizes(over: f64, to: f64) -> [f64; 3] {
    [over.next_up(), f64::midpoint(over, to), to]
}

const MAIN: [(f64, f64); 7] = [
    (3.0, 6.0),
    (6.0, 10.0),
    (10.0, 18.0),
    (18.0, 30.0),
    (30.0, 50.0),
    (50.0, 80.0),
    (80.0, 120.0),
];

/// Standard tolerance unit i = 0.45·D^(1/3) + 0.001·D, D the geometric mean of the range: formula read, columns worked separately. D, i, and 7, 10, 16, 25,
/// 40 of it for IT5 to IT9, µm.
const UNITS: [(f64, f64, [f64; 5]); 7] = [
    (4.2426, 0.7327, [5.13, 7.33, 11.72, 18.32, 29.31]),
    (7.7460, 0.8981, [6.29, 8.98, 14.37, 22.45, 35.92]),
    (13.4164, 1.0827, [7.58, 10.83, 17.32, 27.07, 43.31]),
    (23.2379, 1.3074, [9.15, 13.07, 20.92, 32.68, 52.30]),
    (38.7298, 1.5612, [10.93, 15.61, 24.98, 39.03, 62.45]),
    (63.2456, 1.8561, [12.99, 18.56, 29.70, 46.40, 74.25]),
    (97.9796, 2.1725, [15.21, 21.73, 34.76, 54.31, 86.90]),
];

/// The tables win over the formula: they lie within 0.7 µm of it here. D and i have no function, and only choose the row.
#[test]
fn the_grades_lie_by_the_formula() {
    for ((over, to), (mean, unit, multiples)) in MAIN.into_iter().zip(UNITS) {
        for (grade, multiple) in (5..=9).zip(multiples) {
            near(tolerance(mean, grade), multiple, 0.7, (over, to, unit, grade));
        }
    }
}

/// ISO 286-1:2010 Table 1, IT5 to IT9, µm: read in several independent reprints, incl. JIS B 0401 h5–h9 shaft columns, and a PyPI ISO 286 package.
const GRADES: [[f64; 5]; 7] = [
    [5.0, 8.0, 12.0, 18.0, 30.0],
    [6.0, 9.0, 15.0, 22.0, 36.0],
    [8.0, 11.0, 18.0, 27.0, 43.0],
    [9.0, 13.0, 21.0, 33.0, 52.0],
    [11.0, 16.0, 25.0, 39.0, 62.0],
    [13.0, 19.0, 30.0, 46.0, 74.0],
    [15.0, 22.0, 35.0, 54.0, 87.0],
];

#[test]
fn the_grades_are_those_of_the_table() {
    for ((over, to), row) in MAIN.into_iter().zip(GRADES) {
        for size in sizes(over, to) {
            for (grade, expected) in (5..=9).zip(row) {
                near(tolerance(size, grade), expected, 1e-9, (size, grade));
            }
        }
    }
}

/// A range is over its one end, up to and including the other: 18.000 belongs to 10–18, 30.000 to 18–30, 50.000 to 30–50.
#[test]
fn a_range_includes_its_upper_end_alone() {
    for (end, below, above) in [(18.0, 18.0, 21.0), (30.0, 21.0, 25.0), (50.0, 25.0, 30.0)] {
        near(tolerance(end, 7), below, 1e-9, end);
        near(tolerance(end + 0.001, 7), above, 1e-9, end + 0.001);
    }
}

const SPLIT: [(f64, f64); 5] = [(10.0, 18.0), (18.0, 30.0), (30.0, 50.0), (50.0, 65.0), (65.0, 80.0)];

/// Upper and lower deviation by range of a class.
type Row = (&'static str, [(i32, i32); 5]);

/// ISO 286-2:2010, es/ei of shafts in µm: read in the JIS B 0401 reprint, which carries the ISO 286 figures; ei for m to s also seen in a machine-drawing
/// textbook's Table 15.2. s6 of 65–80: ei seen, plus IT6.
const SHAFTS: [Row; 11] = [
    ("g6", [(-6, -17), (-7, -20), (-9, -25), (-10, -29), (-10, -29)]),
    ("h6", [(0, -11), (0, -13), (0, -16), (0, -19), (0, -19)]),
    ("h7", [(0, -18), (0, -21), (0, -25), (0, -30), (0, -30)]),
    ("k5", [(9, 1), (11, 2), (13, 2), (15, 2), (15, 2)]),
    ("k6", [(12, 1), (15, 2), (18, 2), (21, 2), (21, 2)]),
    ("m5", [(15, 7), (17, 8), (20, 9), (24, 11), (24, 11)]),
    ("m6", [(18, 7), (21, 8), (25, 9), (30, 11), (30, 11)]),
    ("n6", [(23, 12), (28, 15), (33, 17), (39, 20), (39, 20)]),
    ("p6", [(29, 18), (35, 22), (42, 26), (51, 32), (51, 32)]),
    ("r6", [(34, 23), (41, 28), (50, 34), (60, 41), (62, 43)]),
    ("s6", [(39, 28), (48, 35), (59, 43), (72, 53), (78, 59)]),
];

/// The same, ES/EI of holes: read in the JIS B 0401 hole reprint, and worked separately with the Δ rule; P7 of 50–80 by the rule alone.
const HOLES: [Row; 7] = [
    ("H6", [(11, 0), (13, 0), (16, 0), (19, 0), (19, 0)]),
    ("H7", [(18, 0), (21, 0), (25, 0), (30, 0), (30, 0)]),
    ("H8", [(27, 0), (33, 0), (39, 0), (46, 0), (46, 0)]),
    ("K7", [(6, -12), (6, -15), (7, -18), (9, -21), (9, -21)]),
    ("M7", [(0, -18), (0, -21), (0, -25), (0, -30), (0, -30)]),
    ("N7", [(-5, -23), (-7, -28), (-8, -33), (-9, -39), (-9, -39)]),
    ("P7", [(-11, -29), (-14, -35), (-17, -42), (-21, -51), (-21, -51)]),
];

#[test]
fn shafts_and_holes_deviate_as_the_tables_say() {
    for (class, row) in SHAFTS.into_iter().chain(HOLES) {
        for ((over, to), (upper, lower)) in SPLIT.into_iter().zip(row) {
            for size in sizes(over, to) {
                deviates(size, class, upper, lower);
            }
        }
    }
}

/// ES = −ei + Δ, Δ = ITn − IT(n−1): ISO 286-1:2010, hole-deviation rule, clause from memory. Δ7 worked separately.
#[test]
fn holes_follow_the_rule_of_the_difference() {
    for ((over, to), delta) in SPLIT.into_iter().zip([7.0, 8.0, 9.0, 11.0, 11.0]) {
        for size in sizes(over, to) {
            near(tolerance(size, 7) - tolerance(size, 6), delta, 1e-9, size);
            for (hole, shaft) in [("K7", "k6"), ("M7", "m6"), ("N7", "n6"), ("P7", "p6")] {
                let ((_, es), (ei, _)) = (deviations(size, hole), deviations(size, shaft));
                near(es, -ei + delta, 1e-9, (size, hole));
            }
        }
    }
}

/// Least and greatest clearance of H7 with a shaft, µm, below nothing interference: read, and reproduced by PyPI `pressfit` 0.1.0.
const FITS: [(f64, [(i32, i32); 7]); 5] = [
    (
        20.0,
        [(7, 41), (0, 34), (-15, 19), (-21, 13), (-28, 6), (-35, -1), (-48, -14)],
    ),
    (
        25.0,
        [(7, 41), (0, 34), (-15, 19), (-21, 13), (-28, 6), (-35, -1), (-48, -14)],
    ),
    (
        40.0,
        [(9, 50), (0, 41), (-18, 23), (-25, 16), (-33, 8), (-42, -1), (-59, -18)],
    ),
    (
        60.0,
        [
            (10, 59),
            (0, 49),
            (-21, 28),
            (-30, 19),
            (-39, 10),
            (-51, -2),
            (-72, -23),
        ],
    ),
    (
        12.0,
        [(6, 35), (0, 29), (-12, 17), (-18, 11), (-23, 6), (-29, 0), (-39, -10)],
    ),
];

#[track_caller]
pub fn leaves(fit: &str, least: i32, greatest: i32) {
    let clearance = |name| 1000.0 * work!(name, "code" = fit);
    near(clearance("least clearance"), least.into(), 1e-9, fit);
    near(clearance("greatest clearance"), greatest.into(), 1e-9, fit);
}

#[test]
fn fits_leave_what_the_table_says() {
    for (size, row) in FITS {
        for (shaft, (least, greatest)) in ["g6", "h6", "k6", "m6", "n6", "p6", "s6"].into_iter().zip(row) {
            leaves(&format!("{size} H7/{shaft}"), least, greatest);
        }
    }
}

/// 25 H7/p6 in sizes, mm; source as for the fits.
#[test]
fn a_press_fit_in_sizes() {
    for (zone, least, greatest) in [("25 H7", 25.000, 25.021), ("25 p6", 25.022, 25.035)] {
        near(work!("least size", "code" = zone), least, 1e-9, zone);
        near(work!("greatest size", "code" = zone), greatest, 1e-9, zone);
    }
}
