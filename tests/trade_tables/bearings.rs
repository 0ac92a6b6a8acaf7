//! Rolling bearings: ISO 5753-1 and ISO 492. Left out: K_ia and K_ea, the run-out of the rings, of which there is no function.

use crate::call::{near, work, worked};
use crate::limits::{deviates, leaves, sizes};

/// Bore over and up to, and least and greatest clearance of C2, CN, C3, C4, C5.
type Row = (f64, f64, [(f64, f64); 5]);

/// ISO 5753-1:2009 (year from memory), radial internal clearance of radial deep-groove ball bearings with a cylindrical bore, µm, before mounting: read in
/// three bearing suppliers' tables. C2 up to 10 mm is printed 7 by two and 8 by the third: 7 from memory.
const CLEARANCES: [Row; 7] = [
    (
        2.5,
        10.0,
        [(0.0, 7.0), (2.0, 13.0), (8.0, 23.0), (14.0, 29.0), (20.0, 37.0)],
    ),
    (
        10.0,
        18.0,
        [(0.0, 9.0), (3.0, 18.0), (11.0, 25.0), (18.0, 33.0), (25.0, 45.0)],
    ),
    (
        18.0,
        24.0,
        [(0.0, 10.0), (5.0, 20.0), (13.0, 28.0), (20.0, 36.0), (28.0, 48.0)],
    ),
    (
        24.0,
        30.0,
        [(1.0, 11.0), (5.0, 20.0), (13.0, 28.0), (23.0, 41.0), (30.0, 53.0)],
    ),
    (
        30.0,
        40.0,
        [(1.0, 11.0), (6.0, 20.0), (15.0, 33.0), (28.0, 46.0), (40.0, 64.0)],
    ),
    (
        40.0,
        50.0,
        [(1.0, 11.0), (6.0, 23.0), (18.0, 36.0), (30.0, 51.0), (45.0, 73.0)],
    ),
    (
        50.0,
        65.0,
        [(1.0, 15.0), (8.0, 28.0), (23.0, 43.0), (38.0, 61.0), (55.0, 90.0)],
    ),
];

#[test]
fn the_clearance_inside_is_that_of_the_table() {
    for (over, to, row) in CLEARANCES {
        for bore in sizes(over, to) {
            for (class, (least, greatest)) in ["C2", "CN", "C3", "C4", "C5"].into_iter().zip(row) {
                let inside = |name| 1000.0 * work!(name, "bore" = bore, "class" = class);
                near(inside("least internal clearance"), least, 1e-9, (bore, class));
                near(inside("greatest internal clearance"), greatest, 1e-9, (bore, class));
            }
        }
    }
}

/// The first row's (2.5) is written with a bracket: that bore is in it.
#[test]
fn the_tables_end_where_the_standard_does() {
    let inside = |bore: f64| worked!("greatest internal clearance", "bore" = bore, "class" = "CN");
    assert_eq!(inside(2.5).map(|mm| (mm * 1000.0).round()), Ok(13.0));
    for bore in [2.4, 65.1] {
        assert_eq!(inside(bore).map_err(|refused| refused.parameter), Err(0), "{bore}");
    }
}

/// ISO 492:2014 Normal class (P0), radial bearings except tapered, Δdmp in µm; the upper is 0: read in three suppliers' tables, which agree.
const BORES: [(f64, f64, i32); 6] = [
    (2.5, 10.0, -8),
    (10.0, 18.0, -8),
    (18.0, 30.0, -10),
    (30.0, 50.0, -12),
    (50.0, 80.0, -15),
    (80.0, 120.0, -20),
];

/// The same, ΔDmp; the first row from memory.
const OUTSIDES: [(f64, f64, i32); 6] = [
    (6.0, 18.0, -8),
    (18.0, 30.0, -9),
    (30.0, 50.0, -11),
    (50.0, 80.0, -13),
    (80.0, 120.0, -15),
    (120.0, 150.0, -18),
];

#[test]
fn bearings_deviate_as_the_table_says() {
    for (class, rows) in [("bearing bore", BORES), ("bearing outside", OUTSIDES)] {
        for (over, to, lower) in rows {
            for size in sizes(over, to) {
                deviates(size, class, 0, lower);
            }
        }
    }
}

/// Worked separately from ISO 492 and ISO 286-2: clearance, µm, below nothing interference.
#[test]
fn the_fits_of_a_bearing() {
    for (fit, least, greatest) in [
        ("20 bearing/k5", -21, -2),
        ("20 bearing/h6", -10, 13),
        ("52 N7/bearing", -39, 4),
        ("52 K7/bearing", -21, 22),
        ("52 H7/bearing", 0, 43),
    ] {
        leaves(fit, least, greatest);
    }
}
