//! Interference fits and heat.

use gudgeon::trade::Word;
use gudgeon::trade::materials::material;

use crate::call::{elastic, growing, near, relative, work};

fn solid_collar(interference: f64, diameter: f64, outside: f64, modulus: f64) -> f64 {
    let steel = elastic(modulus, 0.3);
    work!(
        "contact pressure",
        "interference" = interference,
        "diameter" = diameter,
        "outside" = outside,
        "hub" = steel.clone(),
        "shaft" = steel,
    )
}

/// T. H. Brown Jr, Marks' Calculations for Machine Design (2005), ch. 3, Example 6, p. 136; eq. (3.15), interference and R radial: read, and reproduced.
/// Interference, R, r_o, E; exact; printed with half of its last digit, since the book rounds intermediates. Inches and psi go as well as mm and MPa: the
/// form is of one system.
const MARKS: [([f64; 4], f64, f64, f64); 2] = [
    ([0.0005, 2.0, 3.0, 30e6], 2083.333, 2100.0, 50.0),
    ([0.01, 50.0, 80.0, 207e3], 12.61406, 12.6, 0.05),
];

#[test]
fn the_textbooks_collar() {
    for ([radial, radius, outer, modulus], exact, printed, half) in MARKS {
        let pressure = solid_collar(2.0 * radial, 2.0 * radius, 2.0 * outer, modulus);
        relative(pressure, exact, 1e-6, radius);
        near(pressure, printed, half, radius);
        // The trap: what is radial, given for the diametral, comes to half.
        let trapped = solid_collar(radial, 2.0 * radius, 2.0 * outer, modulus);
        relative(trapped, exact / 2.0, 1e-6, radius);
    }
}

/// Contact, outside, hole, length; hub and shaft (E, ν); interference; friction.
type Inputs = ([f64; 4], [(f64, f64); 2], f64, f64);
/// Pressure, force N, torque N·m, hub hoop and von Mises, hoop stress of the inner part where it is greatest and where the two touch.
type Results = [f64; 7];

const STEEL: (f64, f64) = (207_000.0, 0.29);

/// Worked separately, and by the Lamé constants as a boundary-value system; the form is Shigley's and DIN 7190-1's, from memory. Tolerance 1e-5 relative.
const LAME: [(&str, Inputs, Results); 4] = [
    (
        "A solid pin in steel disc",
        ([22.0, 60.0, 0.0, 18.0], [STEEL, STEEL], 0.060, 0.12),
        [
            244.322_727,
            36_474.569,
            401.2203,
            320.2227,
            490.3814,
            -244.3227,
            -244.3227,
        ],
    ),
    (
        "B hollow pin",
        ([22.0, 60.0, 10.0, 18.0], [STEEL, STEEL], 0.060, 0.12),
        [
            199.381_191,
            29_765.316,
            327.4185,
            261.3199,
            400.1790,
            -502.6068,
            -303.2256,
        ],
    ),
    (
        "C steel ring in aluminium housing",
        ([52.0, 80.0, 40.0, 16.0], [(71_000.0, 0.33), STEEL], 0.040, 0.10),
        [13.549_115, 3_541.475, 92.0783, 33.3742, 41.8283, -66.3710, -52.8219],
    ),
    (
        "D solid steel shaft in grey iron",
        ([25.0, 75.0, 0.0, 30.0], [(110_000.0, 0.26), STEEL], 0.030, 0.12),
        [69.941_383, 19_775.460, 247.1933, 87.4267, 136.5649, -69.9414, -69.9414],
    ),
];

fn pressed(name: &str, ([d, outside, hole, _], [hub, shaft], interference, _): Inputs) -> f64 {
    work!(
        name,
        "interference" = interference,
        "diameter" = d,
        "outside" = outside,
        "hole" = hole,
        "hub" = elastic(hub.0, hub.1),
        "shaft" = elastic(shaft.0, shaft.1),
    )
}

fn moved(name: &str, ([d, outside, hole, length], [hub, shaft], interference, friction): Inputs) -> f64 {
    work!(
        name,
        "interference" = interference,
        "diameter" = d,
        "outside" = outside,
        "length" = length,
        "friction" = friction,
        "hole" = hole,
        "hub" = elastic(hub.0, hub.1),
        "shaft" = elastic(shaft.0, shaft.1),
    )
}

#[test]
fn thick_rings() {
    for (case, inputs, [pressure, force, torque, hoop, mises, inner, contact]) in LAME {
        relative(pressed("contact pressure", inputs), pressure, 1e-5, case);
        relative(moved("press force", inputs), force, 1e-5, case);
        relative(moved("grip torque", inputs) / 1000.0, torque, 1e-5, case);
        relative(pressed("hub hoop stress", inputs), hoop, 1e-5, case);
        relative(pressed("hub stress", inputs), mises, 1e-5, case);
        relative(pressed("shaft hoop stress", inputs), inner, 1e-5, case);
        relative(pressed("shaft contact stress", inputs), contact, 1e-5, case);
    }
}

/// The materials of the cases, by their names.
#[test]
fn the_cases_have_materials_of_the_list() {
    for (name, expected) in [
        ("steel", STEEL),
        ("aluminium", (71_000.0, 0.33)),
        ("cast iron", (110_000.0, 0.26)),
    ] {
        assert_eq!(material(name).and_then(|found| found.elastic), Some(expected), "{name}");
    }
}

/// Case E, worked separately: one material and a solid shaft, p = E·δ·(1 − (d/D)²)/(2d) = 33.6 exactly, whatever ν. An answer to the same inputs that is
/// in circulation has a factor of (1 − ν²) too much.
#[test]
fn one_material_and_a_solid_shaft() {
    for ratio in [0.0, 0.292, 0.4] {
        let inputs = ([60.0, 100.0, 0.0, 1.0], [(210_000.0, ratio); 2], 0.030, 0.0);
        let pressure = pressed("contact pressure", inputs);
        relative(pressure, 33.6, 1e-5, ratio);
        if ratio > 0.0 {
            let wrong = 33.6 * (1.0 - ratio * ratio);
            assert!((pressure - wrong).abs() > 1.0, "{ratio}");
        }
    }
}

/// Worked separately: F(s) = F·s/L while the one goes into the other.
#[test]
fn the_force_rises_with_what_has_gone_in() {
    let (_, (sizes, materials, interference, friction), results) = LAME[0];
    let [d, outside, hole, length] = sizes;
    for part in [0.25, 0.5, 0.75] {
        let inputs = ([d, outside, hole, length * part], materials, interference, friction);
        relative(moved("press force", inputs), results[1] * part, 1e-5, part);
    }
}

/// Callister, Fundamentals of Materials Science and Engineering 3e, Appendix B, Table B.6, pp. 815–816: read, 10⁻⁶/°C near room temperature. The list here
/// has one figure for a material and says how far its alloys lie apart: each must lie within.
const CALLISTER: [(&str, &[f64]); 7] = [
    ("steel", &[11.7, 11.3, 12.3]),
    ("stainless steel", &[17.2]),
    ("cast iron", &[11.4, 11.2, 10.6]),
    ("aluminium", &[23.6, 22.9, 23.4, 21.5]),
    ("brass", &[19.9, 20.5]),
    ("bronze", &[18.0]),
    ("magnesium", &[26.0]),
];

#[test]
fn materials_grow_as_the_handbook_says() {
    for (name, coefficients) in CALLISTER {
        let own = material(name).unwrap_or_else(|| panic!("no {name}"));
        for coefficient in coefficients {
            near(
                own.expansion,
                coefficient * 1e-6,
                own.spread + 1e-12,
                (name, coefficient),
            );
        }
    }
}

/// Gauge steel 11.5e-6: the GUM H.1 value, also in gauge-block data; read. Steel without more is that here.
#[test]
fn steel_grows_as_gauges_do() {
    let steel = material("steel").expect("steel is known");
    near(steel.expansion, 11.5e-6, 1e-15, "steel");
}

fn grown(size: f64, expansion: f64, warmer: f64) -> f64 {
    work!(
        "growth",
        "size" = size,
        "material" = growing(expansion),
        "warmer" = warmer
    )
}

/// How much warmer than the shop a part must be.
fn warmer(interference: f64, room: f64, diameter: f64, material: Word) -> f64 {
    let heat = work!(
        "heat for fit",
        "interference" = interference,
        "room" = room,
        "diameter" = diameter,
        "material" = material,
        "shop" = 20.0,
    );
    heat - 20.0
}

/// Worked separately, ΔD = α·D·ΔT, with the coefficients of Callister and of gauge steel; tolerance 1e-6, or the digits that are printed.
#[test]
fn heat_and_growth() {
    near(grown(52.0, 23.6, 100.0), 0.122_720, 1e-6, "52 mm bore");
    near(grown(22.0, 11.7, 130.0), 0.033_462, 1e-6, "22 mm bore");
    near(warmer(0.040, 0.020, 52.0, growing(21.5)), 53.667, 5e-4, "52 mm Al 356");
    near(warmer(0.060, 0.0, 62.0, growing(23.6)), 41.006, 5e-4, "62 mm Al 6061");
    let loss = |hub: f64, shaft: f64| grown(52.0, hub, 80.0) - grown(52.0, shaft, 80.0);
    near(loss(21.5, 12.3), 0.038_272, 1e-6, "Al 356 vs 4140");
    near(loss(23.6, 11.7), 0.049_504, 1e-6, "Al 6061 vs 1020");
    // Part and micrometer both at 30 °C.
    let over = grown(25.0, 23.6, 10.0) - grown(25.0, 11.5, 10.0);
    near(over, 0.003_025, 1e-6, "25 mm Al 6061");
}
