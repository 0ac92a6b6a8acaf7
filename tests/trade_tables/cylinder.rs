//! Slider-crank, timing, speeds, compression; all worked separately from geometry.

use gudgeon::trade::slider::{Slider, fastest};

use crate::call::{near, prints, relative, work};

fn drop(angle: f64, stroke: f64, rod: f64, offset: f64) -> f64 {
    work!(
        "piston drop",
        "angle" = angle,
        "stroke" = stroke,
        "rod" = rod,
        "offset" = offset
    )
}

const ANGLES: [f64; 8] = [10.0, 15.0, 20.0, 30.0, 60.0, 90.0, 120.0, 150.0];

/// Stroke, rod, and how far the piston stands below its top, mm; the formula is any IC-engine text's (Heywood ch. 2, from memory). Tolerance 1e-6 mm.
const DROPS: [(f64, f64, [f64; 8]); 5] = [
    (
        54.0,
        105.0,
        [
            0.514919, 1.152802, 2.035168, 4.488788, 16.136676, 30.530793, 43.136676, 51.254160,
        ],
    ),
    (
        54.0,
        110.0,
        [
            0.510154, 1.142199, 2.016606, 4.448866, 16.013954, 30.365109, 43.013954, 51.214238,
        ],
    ),
    (
        43.0,
        85.0,
        [
            0.408664, 0.914937, 1.615282, 3.562973, 12.814408, 24.264059, 34.314408, 40.802066,
        ],
    ),
    (
        39.2,
        75.0,
        [
            0.375033, 0.839609, 1.482213, 3.268925, 11.746047, 22.206354, 31.346047, 37.217121,
        ],
    ),
    (
        57.0,
        100.9,
        [
            0.554421, 1.241101, 2.190702, 4.829600, 17.315331, 32.608678, 45.815331, 54.193048,
        ],
    ),
];

#[test]
fn the_piston_stands_where_the_table_says() {
    for (stroke, rod, row) in DROPS {
        for (angle, expected) in ANGLES.into_iter().zip(row) {
            near(drop(angle, stroke, rod, 0.0), expected, 1e-6, (stroke, rod, angle));
            near(drop(-angle, stroke, rod, 0.0), expected, 1e-6, (stroke, rod, -angle));
        }
    }
}

/// A stroke of 50 mm with a rod without end. The function takes no such rod; a thousand kilometres of it are off by 3e-7 mm.
#[test]
fn a_rod_without_end_makes_a_cosine() {
    let slider = Slider {
        throw: 25.0,
        rod: 1e9,
        offset: 0.0,
    };
    let row = [0.379806, 0.851854, 1.507685, 3.349365, 12.5, 25.0, 37.5, 46.650635];
    for (angle, expected) in ANGLES.into_iter().zip(row) {
        near(slider.drop(angle.to_radians()), expected, 1e-6, angle);
    }
}

/// Offset 1, throw 27, rod 105. The table counts from the crank's vertical, the function from top dead centre, where the crank stands asin(e/(r + L)) past
/// it.
#[test]
fn a_pin_off_the_middle() {
    let top = (1.0_f64 / 132.0).asin().to_degrees();
    let from_vertical = |angle: f64| drop(angle - top, 54.0, 105.0, 1.0);
    near(from_vertical(20.0), 1.947_903, 1e-6, 20.0);
    near(from_vertical(-20.0), 2.124_492, 1e-6, -20.0);
    // The true stroke, where crank and rod lie over each other at the bottom.
    let bottom = 180.0 + (1.0_f64 / 78.0).asin().to_degrees();
    near(from_vertical(bottom), 54.002_623, 1e-6, "stroke");
    near(
        from_vertical(bottom),
        (132.0_f64.powi(2) - 1.0).sqrt() - (78.0_f64.powi(2) - 1.0).sqrt(),
        1e-9,
        "by roots",
    );
}

/// Stroke, rod, mm before top dead centre, degrees. Tolerance 1e-6 deg.
const SPARKS: [(f64, f64, f64, f64); 6] = [
    (54.0, 105.0, 1.5, 17.133795),
    (54.0, 105.0, 2.0, 19.823671),
    (54.0, 110.0, 2.0, 19.916167),
    (43.0, 85.0, 1.8, 21.132150),
    (39.2, 75.0, 1.4, 19.428657),
    (57.0, 100.9, 2.3, 20.501333),
];

#[test]
fn the_spark_comes_where_the_table_says() {
    for (stroke, rod, drop, angle) in SPARKS {
        let got = work!("ignition angle", "drop" = drop, "stroke" = stroke, "rod" = rod);
        near(got, angle, 1e-6, (stroke, rod, drop));
        // The angle is rounded to 5e-7 deg, a few nanometres here.
        let back = work!("ignition drop", "angle" = angle, "stroke" = stroke, "rod" = rod);
        near(back, drop, 1e-6, (stroke, rod, angle));
    }
}

/// Depth, opens, open for.
type Port = (f64, f64, f64);

/// Stroke, rod, exhaust, transfer, blowdown. Tolerance 1e-6 deg.
const PORTS: [(f64, f64, Port, Port, f64); 4] = [
    (
        54.0,
        105.0,
        (27.0, 82.612952, 194.774097),
        (40.5, 112.913704, 134.172593),
        30.300752,
    ),
    (
        54.0,
        110.0,
        (25.5, 79.848120, 200.303760),
        (42.0, 117.213659, 125.572683),
        37.365539,
    ),
    (
        43.0,
        85.0,
        (23.0, 86.654982, 186.690036),
        (33.5, 117.177830, 125.644340),
        30.522848,
    ),
    (
        39.2,
        75.0,
        (22.5, 90.860183, 178.279635),
        (31.0, 118.663986, 122.672028),
        27.803803,
    ),
];

#[test]
fn ports_open_when_the_table_says() {
    for (stroke, rod, exhaust, transfer, blowdown) in PORTS {
        for (depth, opens, duration) in [exhaust, transfer] {
            let angle = work!("crank angle", "drop" = depth, "stroke" = stroke, "rod" = rod);
            near(angle, opens, 1e-6, (stroke, rod, depth));
            let open = work!("port duration", "height" = depth, "stroke" = stroke, "rod" = rod);
            near(open, duration, 1e-6, (stroke, rod, depth));
        }
        let before = work!(
            "port blowdown",
            "exhaust" = exhaust.0,
            "transfer" = transfer.0,
            "stroke" = stroke,
            "rod" = rod
        );
        near(before, blowdown, 1e-6, (stroke, rod));
    }
}

#[test]
fn ports_stand_where_their_durations_say() {
    for (stroke, rod, duration, height) in [
        (54.0, 105.0, 190.0, 28.150304),
        (54.0, 105.0, 126.0, 42.050834),
        (43.0, 85.0, 160.0, 27.912791),
    ] {
        let got = work!("port height", "duration" = duration, "stroke" = stroke, "rod" = rod);
        near(got, height, 1e-6, (stroke, rod, duration));
    }
}

/// Stroke, rpm, m/s: compared after rounding to the digits that are printed, as are the other speeds.
#[test]
fn mean_speeds() {
    for (stroke, turns, speed) in [
        (54.0, 11_000.0, "19.800000"),
        (43.0, 7_500.0, "10.750000"),
        (39.2, 8_000.0, "10.453333"),
        (100.0, 3_000.0, "10.000000"),
    ] {
        let got = work!("mean piston speed", "stroke" = stroke, "speed" = turns / 60.0);
        prints(got / 1000.0, speed, stroke);
    }
}

#[test]
fn greatest_speeds_and_where() {
    for (stroke, rod, turns, speed, angle) in [
        (54.0, 105.0, 11_000.0, "32.117459", "76.396"),
        (43.0, 85.0, 7_500.0, "17.419785", "76.587"),
    ] {
        let turns = turns / 60.0;
        let got = work!("greatest piston speed", "stroke" = stroke, "rod" = rod, "speed" = turns);
        prints(got / 1000.0, speed, stroke);
        let slider = Slider {
            throw: stroke / 2.0,
            rod,
            offset: 0.0,
        };
        prints(fastest(&slider, turns).1, angle, stroke);
    }
}

/// rω²(1 + r/L), m/s².
#[test]
fn acceleration_at_the_top() {
    let got = work!(
        "piston acceleration",
        "stroke" = 54.0,
        "rod" = 105.0,
        "speed" = 11_000.0 / 60.0
    );
    prints(got / 1000.0, "45039.235", "54/105 at 11 000");
}

/// rω²(1 - r/L), m/s².
#[test]
fn acceleration_at_the_bottom() {
    let got = work!(
        "piston acceleration at bottom",
        "stroke" = 54.0,
        "rod" = 105.0,
        "speed" = 11_000.0 / 60.0
    );
    prints(got / 1000.0, "26614.093", "54/105 at 11 000");
}

/// cm³.
fn volume(bore: f64, height: f64) -> f64 {
    work!("cylinder volume", "bore" = bore, "height" = height) / 1000.0
}

fn ratio(swept: f64, chamber: f64) -> f64 {
    work!(
        "ratio of compression",
        "swept" = swept * 1000.0,
        "chamber" = chamber * 1000.0
    )
}

/// Bore, stroke, cylinders, cm³.
const SWEPT: [(f64, f64, f64, &str); 6] = [
    (54.0, 54.0, 1.0, "123.671936"),
    (56.0, 50.7, 1.0, "124.874538"),
    (38.0, 43.0, 1.0, "48.766943"),
    (40.0, 39.2, 1.0, "49.260173"),
    (66.4, 72.0, 1.0, "249.320814"),
    (70.0, 70.0, 2.0, "538.783140"),
];

/// Chamber, cm³; travel to the exhaust's edge; geometric ratio, and that from there: of the first four above.
const RATIOS: [(f64, f64, &str, &str); 4] = [
    (11.0, 27.0, "12.242903", "6.621452"),
    (9.2, 26.0, "14.573319", "7.960677"),
    (5.6, 23.0, "9.708383", "5.657972"),
    (6.2, 22.5, "8.945189", "5.560376"),
];

#[test]
fn pistons_sweep_what_the_table_says() {
    for (bore, stroke, cylinders, swept) in SWEPT {
        let got = work!(
            "displacement",
            "bore" = bore,
            "stroke" = stroke,
            "cylinders" = cylinders
        );
        prints(got / 1000.0, swept, (bore, stroke));
    }
    for ((bore, stroke, ..), (chamber, travel, geometric, closed)) in SWEPT.into_iter().zip(RATIOS) {
        prints(ratio(volume(bore, stroke), chamber), geometric, (bore, stroke));
        prints(ratio(volume(bore, travel), chamber), closed, (bore, stroke));
    }
}

#[test]
fn chambers_gaskets_and_what_is_cut_off() {
    let chamber = work!("chamber for ratio", "swept" = 123_671.936, "ratio" = 12.5);
    prints(chamber / 1000.0, "10.754081", "chamber");
    prints(volume(56.0, 0.5), "1.231504", "gasket");
    prints(volume(54.0, -0.2), "-0.458044", "cut");
    prints(
        ratio(volume(54.0, 54.0), 11.0 + volume(54.0, -0.2)),
        "12.731403",
        "after the cut",
    );
    // The chamber for a ratio gives that ratio.
    relative(ratio(123.671_936, chamber / 1000.0), 12.5, 1e-12, "back");
}
