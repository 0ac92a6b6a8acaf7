//! Leaks and premix. Left out: the vacuum drop in inHg, which is units alone; the crankcase's leak in cm³/min, of which the table's last digit is off
//! (350 × 6 / 360 × 60 / 101.325 is 3.454231, printed 3.454232).

use crate::call::{prints, relative, work};

/// Throughput in Pa·m³/s of a volume in L, pressures in kPa over the air's, s.
fn throughput(volume: f64, before: f64, after: f64, time: f64) -> f64 {
    let got = work!(
        "leak throughput",
        "volume" = volume * 1e6,
        "before" = before / 1000.0,
        "after" = after / 1000.0,
        "time" = time,
    );
    got / 1000.0
}

/// 40 CFR 1065.644's example of a vacuum that decays, V 0.002 m³, 25 300 to 50 600 Pa in 70 s at 293.15 K: inputs read, result worked separately (printed
/// 0.00030, from memory). At one temperature n = Q/(RT); pressures against an air of 101.325 kPa, which drops out.
#[test]
fn a_vacuum_that_decays() {
    let got = throughput(2.0, 25.3 - 101.325, 50.6 - 101.325, 70.0) / (8.314472 * 293.15);
    relative(got, 2.965_705e-4, 2e-7, "mol/s");
    prints(got, "0.00030", "mol/s");
}

/// Q = V·Δp/t. The first read and reproduced: 5 L, 2 mbar, 30 s; the second worked separately: a crankcase of 350 cm³. 1 mbar·L = 0.1 Pa·m³.
#[test]
fn pressure_lost_in_a_time() {
    prints(throughput(5.0, 0.2, 0.0, 30.0) / 0.1, "0.333333", "5 L");
    prints(
        throughput(0.350, 50.0, 44.0, 360.0) / 0.1,
        "0.058333",
        "crankcase, mbar·L/s",
    );
    prints(
        throughput(0.350, 50.0, 44.0, 360.0) * 1000.0,
        "5.8333",
        "crankcase, 1e-3 Pa·m³/s",
    );
}

/// The same crankcase, worked separately: share, time of decay.
#[test]
fn a_crankcase_on_test() {
    let share = work!("share lost", "before" = 0.050, "after" = 0.044);
    prints(share * 100.0, "12.0", "share");
    let time = work!("decay time", "before" = 0.050, "after" = 0.044, "time" = 360.0);
    prints(time, "2816.166", "decay");
}

/// The same as a flow of air: what is lost, over the air's own pressure.
#[test]
fn a_flow_is_a_throughput_of_the_airs_pressure() {
    for air in [0.095, 0.101_325] {
        let flow = work!(
            "leak flow",
            "volume" = 350_000.0,
            "before" = 0.050,
            "after" = 0.044,
            "time" = 360.0,
            "air" = air
        );
        relative(flow * air / 1000.0, throughput(0.350, 50.0, 44.0, 360.0), 1e-12, air);
    }
}

/// Isochoric, 151.325 kPa absolute, 20 to 19 °C; worked separately. The function counts a loss as above nothing.
#[test]
fn a_drop_that_is_no_leak() {
    let drop = work!(
        "drop by cooling",
        "before" = 0.151_325,
        "warm before" = 20.0,
        "warm after" = 19.0
    );
    prints(drop * 1000.0, "0.516203", "kPa");
}

/// 100(1 − p₂/p₁); worked separately.
#[test]
fn leak_down() {
    for (supply, held, expected) in [(80.0, 62.0, "22.5"), (100.0, 90.0, "10.0")] {
        let share = work!("leak-down", "supply" = supply, "held" = held);
        prints(share * 100.0, expected, supply);
    }
}

fn premix(fuel: f64, ratio: f64) -> f64 {
    work!("premix oil", "fuel" = fuel, "ratio" = ratio)
}

fn mixed(mixture: f64, ratio: f64) -> f64 {
    work!("oil in mixture", "mixture" = mixture, "ratio" = ratio)
}

/// Ratio; mL of oil per 1 L and per 5 L of fuel, % of fuel, % of mixture; worked separately.
const PREMIX: [(f64, [&str; 4]); 7] = [
    (16.0, ["62.5", "312.5", "6.25", "5.882353"]),
    (20.0, ["50.0", "250.0", "5.00", "4.761905"]),
    (25.0, ["40.0", "200.0", "4.00", "3.846154"]),
    (32.0, ["31.25", "156.25", "3.125", "3.030303"]),
    (40.0, ["25.0", "125.0", "2.50", "2.439024"]),
    (50.0, ["20.0", "100.0", "2.00", "1.960784"]),
    (100.0, ["10.0", "50.0", "1.00", "0.990099"]),
];

#[test]
fn oil_for_fuel() {
    for (ratio, [one, five, of_fuel, of_mixture]) in PREMIX {
        prints(premix(1e6, ratio) / 1000.0, one, ratio);
        prints(premix(5e6, ratio) / 1000.0, five, ratio);
        prints(premix(100.0, ratio), of_fuel, ratio);
        prints(mixed(100.0, ratio), of_mixture, ratio);
    }
}

/// Worked separately; 1 US gal is 3.785 411 784 L, of 128 fl oz, 1 imp gal 4.546 09 L, exactly.
#[test]
fn oil_for_gallons_and_for_what_is_mixed() {
    let us = 3_785_411.784;
    prints(premix(us, 50.0) / 1000.0, "75.708236", "1 US gal at 50:1");
    prints(premix(us, 50.0) / (us / 128.0), "2.56", "US fl oz");
    prints(premix(4_546_090.0, 25.0) / 1000.0, "181.8436", "1 imp gal at 25:1");
    prints(mixed(5e6, 25.0) / 1000.0, "192.307692", "5 L of 25:1");
    prints(
        (premix(3e6, 32.0) - premix(3e6, 50.0)) / 1000.0,
        "33.75",
        "3 L of fuel, 50:1 to 32:1",
    );
    let more = work!("oil to add", "mixture" = 3e6, "from" = 50.0, "to" = 32.0);
    prints(more / 1000.0, "33.088235", "3 L of mixture, 50:1 to 32:1");
}
