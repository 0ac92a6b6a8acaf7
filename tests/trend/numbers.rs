//! Rates, lines, what is left, and outliers, against figures worked by hand and published ones.

use gudgeon::history::{Fit, How, left};
use gudgeon::quantity::Band;
use gudgeon::trade::wear::time_left;
use gudgeon::uncertainty::line::Line;
use gudgeon::uncertainty::outliers::{about_median, grubbs, grubbs_critical, median, modified_z};
use rust_decimal::Decimal;

use super::*;

/// Two readings by a dial that reads to 0.01 mm and is good to 0.01 mm: 0.40 mm at 100 h, 0.50 mm at 200 h, limit up to 0.70 mm.
///
/// Each may be off by half a step, 0.005, and 0.01, both rectangles: u² = 0.005²/3 + 0.01²/3 = 4.16667e-5. Of the difference u² = 8.33333e-5, u = 0.00912871,
/// U = 2u = 0.01825742 (under the 0.03 it can be off at all). Rate 0.1/100 = 0.001 mm/h, from 0.00081743 to 0.00118257.
/// The latest reading: U = 2·0.00645497 = 0.01290994, so from 0.48709006 to 0.51290994.
/// At least (0.70 − 0.51290994) / 0.00118257 = 158.206 h, at most (0.70 − 0.48709006) / 0.00081743 = 260.464 h; looked at again by 358.206 h.
///
/// Where both logs give the dial the same next calibration, its 0.01 is one error for both and cancels: u² = 2·0.005²/3, u = 0.00408248, U = 0.00816497.
#[test]
fn two_readings_by_hand() {
    let with = |due: &str| {
        let tool = format!("tool dial: dial indicator, reads to 0.01 mm, good to 0.01 mm{due}\n");
        let jobs = [
            job(
                "a",
                "100",
                &format!("{tool}2026-01-10 service\nside play = 0.40 mm by dial\n"),
            ),
            job(
                "b",
                "200",
                &format!("{tool}2026-03-10 service\nside play = 0.50 mm by dial\n"),
            ),
        ];
        track(&history(&jobs), "side play").lives.remove(0)
    };
    let life = with("");
    let rate = life.rate.clone().unwrap();
    near(rate.best, 0.001, 1e-12);
    near(rate.low, 0.000_817_426, 1e-9);
    near(rate.high, 0.001_182_574, 1e-9);
    assert_eq!(rate.how, How::Two);
    let left = life.left.unwrap();
    near(left.least, 158.206, 1e-3);
    near(left.most.unwrap(), 260.464, 1e-3);
    near(left.look.unwrap(), 358.206, 1e-3);
    let shared = with(", due 2026-12-31").rate.unwrap();
    near((shared.high - shared.low) / 2.0, 0.008_164_97 / 100.0, 1e-9);
}

/// A dial that was calibrated in between has another error.
#[test]
fn a_calibration_in_between_cancels_nothing() {
    let read = |name, hours, due: &str, date, figure| {
        let tool = format!("tool dial: dial indicator, reads to 0.01 mm, good to 0.01 mm, due {due}\n");
        job(
            name,
            hours,
            &format!("{tool}{date} service\nside play = {figure} mm by dial\n"),
        )
    };
    let jobs = [
        read("a", "100", "2026-02-01", "2026-01-10", "0.40"),
        read("b", "200", "2027-02-01", "2026-03-10", "0.50"),
    ];
    let rate = track(&history(&jobs), "side play").lives[0].rate.clone().unwrap();
    near((rate.high - rate.low) / 2.0, 0.018_257_42 / 100.0, 1e-9);
}

/// Blades leave their whole bands open: from 0.28…0.30 to 0.34…0.36 in 100 h it is 0.04 to 0.08.
#[test]
fn blades_leave_their_bands_open() {
    let jobs = [
        job(
            "a",
            "100",
            "2026-01-10 service\nside play = go 0.28, no-go 0.30 mm by feelers\n",
        ),
        job(
            "b",
            "200",
            "2026-03-10 service\nside play = go 0.34, no-go 0.36 mm by feelers\n",
        ),
        job("c", "300", "2026-05-10 service\nside play = goes 0.35 mm by feelers\n"),
    ];
    let life = track(&history(&jobs), "side play").lives.remove(0);
    let rate = life.rate.clone().unwrap();
    near(rate.low, 0.04 / 100.0, 1e-12);
    near(rate.high, 0.08 / 100.0, 1e-12);
    // One blade alone has no upper end: no line goes through it.
    assert_eq!(
        life.spots.iter().map(|spot| spot.counts).collect::<Vec<_>>(),
        [true, true, false]
    );
}

/// 0.40, 0.46 and 0.50 mm at 0, 100 and 200 h. Slope (0.50 − 0.40)/200 = 0.0005 mm/h; left over −1/300, 2/300, −1/300, their squares 6.66667e-5 with one degree
/// of freedom; standard error √6.66667e-5 / √20000 = 5.7735e-5. Student's t for one degree of freedom is tan(0.475 π) = 12.7062, so ± 7.33593e-4.
#[test]
fn a_line_by_hand() {
    let fit = Fit::through(&[(0.0, 0.40), (100.0, 0.46), (200.0, 0.50)]).unwrap();
    near(fit.slope, 0.0005, 1e-15);
    near(fit.at(0.0), 0.40 + 1.0 / 300.0, 1e-12);
    near(fit.u_slope, 5.773_50e-5, 1e-9);
    near(
        fit.half_slope(),
        (0.475 * std::f64::consts::PI).tan() * fit.u_slope,
        1e-12,
    );
    near(fit.half_slope(), 7.335_93e-4, 1e-8);
    // At the middle the band is t s / √3.
    near(fit.half_at(100.0), 12.706_2 * (6.666_67e-5_f64 / 3.0).sqrt(), 1e-6);
    assert_eq!(Fit::through(&[(0.0, 1.0), (1.0, 2.0)]), None);
    assert_eq!(Fit::through(&[(5.0, 1.0), (5.0, 2.0), (5.0, 3.0)]), None);
}

/// Three readings that lie in line to the last digit prove no more than they may themselves be off: their scatter is nothing, their doubt is not.
#[test]
fn readings_in_line_keep_their_own_doubt() {
    let read = |name, hours, date, figure| {
        job(
            name,
            hours,
            &format!("{date} service\nside play = {figure} ± 0.01 mm\n"),
        )
    };
    let jobs = [
        read("a", "0", "2026-01-10", "0.40"),
        read("b", "100", "2026-02-10", "0.45"),
        read("c", "200", "2026-03-10", "0.50"),
    ];
    let rate = track(&history(&jobs), "side play").lives[0].rate.clone().unwrap();
    assert!(matches!(rate.how, How::Line(_)));
    // The slope follows the first and the last by 1/200 each, the middle one not at all: 2·√2·(0.01/√3)/200.
    near(
        (rate.high - rate.low) / 2.0,
        2.0 * 2.0_f64.sqrt() * 0.01 / 3.0_f64.sqrt() / 200.0,
        1e-9,
    );
}

/// NIST StRD, Norris: the certified values as in tests/uncertainty/nist.rs.
#[test]
fn the_line_agrees_with_nist() {
    let points: Vec<(f64, f64)> = include_str!("../data/strd/Norris.txt")
        .lines()
        .filter_map(|line| line.split_once(' '))
        .map(|(y, x)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    let fit = Fit::through(&points).unwrap();
    let agrees = |got: f64, certified: f64| near(got / certified, 1.0, 1e-11);
    agrees(fit.slope, 1.002_116_818_020_45);
    agrees(fit.at(0.0), -0.262_323_073_774_029);
    agrees(fit.u_slope, 0.429_796_848_199_937e-3);
    agrees(fit.residual, 0.884_796_396_144_373);
    assert_eq!(fit.dof(), 34.0);
}

/// Anscombe 1973, the first of his four sets: y = 3.00 + 0.500 x, standard error of the slope 0.118, squares left over 13.75. Values from memory.
#[test]
fn the_line_agrees_with_anscombe() {
    let x = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0];
    let y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
    let fit = Fit::through(&x.into_iter().zip(y).collect::<Vec<_>>()).unwrap();
    near(fit.slope, 0.500, 0.000_5);
    near(fit.at(0.0), 3.00, 0.005);
    near(fit.u_slope, 0.118, 0.000_5);
    near(fit.residual.powi(2) * fit.dof(), 13.75, 0.05);
    // The same by the closed formulas.
    let line = Line::through(&x.into_iter().zip(y).collect::<Vec<_>>()).unwrap();
    near(fit.slope, line.slope, 1e-13);
}

#[test]
fn all_at_one_meter_reading_is_refused_in_words() {
    let jobs = [
        job("a", "100", "2026-01-10 service\nside play = 0.40 mm\n"),
        job("b", "100", "2026-01-12 service\nside play = 0.42 mm\n"),
    ];
    let rate = track(&history(&jobs), "side play").lives[0].rate.clone();
    assert_eq!(rate.unwrap_err(), "2 readings, all at 100 h: no rate can be told");
}

#[test]
fn what_is_past_its_limit_has_nothing_left_without_any_rate() {
    let jobs = [job("a", "100", "2026-01-10 service\nside play = 0.75 mm\n")];
    let left = track(&history(&jobs), "side play").lives[0].left.unwrap();
    assert!(left.is_past && left.most == Some(0.0) && left.least == 0.0 && left.look.is_none());
}

#[test]
fn where_no_wear_is_proven_there_is_no_upper_end() {
    let jobs = [
        job("a", "100", "2026-01-10 service\nside play = 0.40 ± 0.05 mm\n"),
        job("b", "200", "2026-03-10 service\nside play = 0.41 ± 0.05 mm\n"),
    ];
    let life = track(&history(&jobs), "side play").lives.remove(0);
    assert!(!life.rate.unwrap().is_proven());
    let left = life.left.unwrap();
    assert!(left.most.is_none() && left.least > 0.0 && left.look.is_some());
}

/// A thing that shrinks wears to the lower end of its limit: from 1.00 at −0.01 by the hour to 0.90 it is 10 h.
#[test]
fn it_wears_to_the_end_it_goes_to() {
    let band = Band::between(Decimal::new(90, 2), Decimal::new(200, 2));
    let rate = gudgeon::history::Rate {
        best: -0.01,
        low: -0.01,
        high: -0.01,
        how: How::Two,
    };
    let left = left((1.0, 1.0), (1.0, 1.0), 50.0, &band, Some(&rate)).unwrap();
    near(left.least, 10.0, 1e-9);
    near(left.most.unwrap(), 10.0, 1e-9);
    near(left.look.unwrap(), 60.0, 1e-9);
    assert_eq!(time_left(1.0, 0.0, 1.0), f64::INFINITY);
    assert_eq!(time_left(0.0, 1.0, 1.0), 0.0);
}

/// NIST/SEMATECH e-Handbook, 1.3.5.17.1: eight mass spectrometer measurements of a uranium isotope; G = 2.4687, critical value for the greatest at 5 %
/// 2.032. Values from memory. By the formula G comes to 2.46876, so that the last published digit is cut off and not rounded.
const URANIUM: [f64; 8] = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];

#[test]
fn grubbs_test_agrees_with_the_handbook() {
    let test = grubbs(&URANIUM, 0.05).unwrap();
    assert_eq!(test.at, 7);
    near(test.g, 2.468_7, 1e-4);
    near(grubbs_critical(8, 0.05), 2.032, 5e-4);
    // To either side: 2.126 of the tables of Grubbs and Beck 1972, value from memory.
    near(test.critical, 2.126, 1e-3);
    assert!(grubbs(&[1.0, 2.0], 0.05).is_none() && grubbs(&[1.0, 1.0, 1.0], 0.05).is_none());
}

/// The same figures by hand: median (200.82 + 201.92)/2 = 201.37; off it by 2.06, 1.84, 1.18, 0.55, 0.55, 0.58, 0.81, 44.20, the median of which is
/// (0.81 + 1.18)/2 = 0.995; so 0.6745 · 44.20 / 0.995 = 29.963.
#[test]
fn the_modified_z_score_by_hand() {
    let (middle, deviation) = about_median(&URANIUM).unwrap();
    near(middle, 201.37, 1e-9);
    near(deviation, 0.995, 1e-9);
    let scores = modified_z(&URANIUM).unwrap();
    near(scores[7], 29.963, 1e-3);
    assert!(scores[..7].iter().all(|score| score.abs() < 3.5));
    assert_eq!(median(&[]), None);
    assert_eq!(median(&[3.0, 1.0, 2.0]), Some(2.0));
    assert_eq!(modified_z(&[1.0, 1.0, 1.0, 9.0]), None);
}

/// The samples: three machines of a model, one of which drew dust; and a ring gap read from the wrong blade.
#[test]
fn the_samples_have_one_machine_and_one_reading_that_stand_out() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/history");
    let found = gudgeon::workspace::discover::discover(std::slice::from_ref(&folder));
    let library = Library::new();
    let logs: Vec<Logged> = found
        .files
        .iter()
        .filter(|file| file.kind == gudgeon::workspace::Kind::Log)
        .map(|file| {
            logged(&analyse(
                &file.name,
                &folder,
                std::fs::read(&file.path).unwrap(),
                &library,
            ))
        })
        .collect();
    let history = history(&logs);
    assert_eq!(history.machines.len(), 3);
    let clearance = history
        .shop
        .iter()
        .find(|spread| spread.feature == "piston clearance")
        .unwrap();
    assert_eq!(clearance.lives.len(), 4);
    let outliers = clearance.outliers.as_ref().unwrap();
    let [outlier] = outliers.as_slice() else {
        panic!("{outliers:?}")
    };
    let among = clearance.lives[outlier.at];
    assert_eq!(
        history.machines[among.machine].name,
        "Wethermoor 200 trail, frame WM-0057"
    );
    assert!(outlier.by_grubbs && outlier.score > 3.5);
    // Side play wears alike in all of them.
    let side_play = history
        .shop
        .iter()
        .find(|spread| spread.feature == "side play")
        .unwrap();
    assert_eq!(side_play.outliers, Ok(Vec::new()));
    let strays: Vec<String> = history
        .machines
        .iter()
        .flat_map(|machine| &machine.tracks)
        .flat_map(|track| track.lives.iter().map(move |life| (track, life)))
        .flat_map(|(track, life)| {
            life.spots
                .iter()
                .filter(|s| s.is_stray)
                .map(|s| format!("{} {}", track.name(), s.point.best))
        })
        .collect();
    assert_eq!(strays, ["ring gap 0.55"]);
}
