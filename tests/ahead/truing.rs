//! A crank out of true: where to strike, what to wedge, what no blow cures, and when nothing can be said.

use super::{of_kind, todo};
use crate::support::check;
use gudgeon::judge::next::Kind;

const CRANK: &str = "manual m\nsource page 1\nextends pressed crank\nfeature run-out at left, right\n  build up to 0.03 mm, source page 2\n";

/// A crank with a throw of 27 mm, on its supports, with these run-outs.
fn log(held: &str, left: &str, right: &str) -> String {
    format!(
        "job x\nmanual m\ntool dial: dial indicator, reads to 0.001 mm, good to 0.002 mm\n2026-03-14 truing\nstroke = 54.0 mm\n{held}\n\
         run-out at left = {left} by dial\nrun-out at right = {right} by dial\n"
    )
}

const INBOARD: &str = "held on centres, supports 150 mm apart, dials 40 mm inboard";
const OUTBOARD: &str = "held on main journals, supports 70 mm apart, dials 50 mm outboard";

/// What is to be done first, and all that is said with it.
fn advice(held: &str, left: &str, right: &str) -> (String, String) {
    let list = todo(CRANK, &log(held, left, right));
    match of_kind(&list, Kind::TrueUp).as_slice() {
        [] => (String::new(), String::new()),
        [one] => (one.what.clone(), one.more.join("\n")),
        more => panic!("{more:#?}"),
    }
}

/// Common practice: equal swings a half turn apart, a quarter turn from the pin, are twist; the web that reads high is struck on its high side.
#[test]
fn pure_twist_is_struck_where_it_reads_high() {
    let (what, more) = advice(INBOARD, "0.060 mm high at 90°", "0.050 mm high at 270°");
    assert_eq!(what, "strike the rim of the web at left at 90°");
    assert!(more.contains("the web at right struck at 270° does the same"), "{more}");
    assert!(!more.contains("wedge"), "{more}");
    let (what, _) = advice(INBOARD, "0.050 mm high at 270°", "0.060 mm high at 90°");
    assert_eq!(what, "strike the rim of the web at right at 90°");
    // As it is jotted down.
    let (what, _) = advice(INBOARD, ".06 @ 90", "0,05 high 270");
    assert_eq!(what, "strike the rim of the web at left at 90°");
}

/// Common practice: both high at the pin, read inboard of the supports, are webs too wide at the pin; the other way round too close there.
#[test]
fn pinch_is_wedged_and_spread_is_squeezed() {
    let (what, more) = advice(INBOARD, "0.060 mm high at 0°", "0.060 mm high at 0°");
    assert_eq!(what, "drive a wedge between the webs opposite the pin, at 180°");
    // 0.060 over 40 mm, on 100 mm of web.
    assert!(more.contains("by 0.150 ± "), "{more}");
    let (what, _) = advice(INBOARD, "0.060 mm high at 180°", "0.060 mm high at 180°");
    assert_eq!(what, "squeeze the webs together opposite the pin, at 180°");
}

/// Outboard of the supports the sign turns round: the same readings, the other cure.
#[test]
fn how_it_was_held_turns_the_cure_round() {
    let (what, _) = advice(OUTBOARD, "0.060 mm high at 0°", "0.060 mm high at 0°");
    assert_eq!(what, "squeeze the webs together opposite the pin, at 180°");
    let (what, _) = advice(OUTBOARD, "0.060 mm high at 180°", "0.060 mm high at 180°");
    assert_eq!(what, "drive a wedge between the webs opposite the pin, at 180°");
    // Twist too: what stands off is struck back, wherever the dial reads it.
    let (what, _) = advice(OUTBOARD, "0.060 mm high at 90°", "0.050 mm high at 270°");
    assert_eq!(what, "strike the rim of the web at left at 270°");
}

/// Both ends high on the pin's line, but opposite each other: the throws differ, and no blow cures that.
#[test]
fn an_unequal_throw_is_not_struck() {
    let (what, more) = advice(INBOARD, "0.080 mm high at 180°", "0.080 mm high at 0°");
    assert!(what.starts_with("the readings do not tell twist from pinch"), "{what}");
    assert!(more.contains("no blow cures it"), "{more}");
    assert!(more.contains("part the crank"), "{more}");
}

#[test]
fn without_angle_or_support_nothing_is_guessed() {
    let (what, more) = advice(INBOARD, "0.060 mm", "0.050 mm high at 270°");
    assert_eq!(what, "where to strike cannot be said yet");
    assert!(more.contains("`high at 80°`) of run-out at left"), "{more}");
    let (what, more) = advice("held on centres", "0.060 mm high at 90°", "0.050 mm high at 270°");
    assert_eq!(what, "where to strike cannot be said yet");
    assert!(more.contains("the distance of the support"), "{more}");
    let (_, more) = advice(
        "held on centres, supports 150 mm apart",
        "0.060 mm high at 90°",
        "0.050 mm high at 270°",
    );
    assert!(more.contains("the distance of the dial"), "{more}");
}

#[test]
fn a_true_crank_and_one_just_struck_are_left_alone() {
    assert_eq!(advice(INBOARD, "0.010 mm high at 90°", "0.012 mm high at 270°").0, "");
    let struck = format!(
        "{}did true crank, off centres, copper hammer, left rim\n",
        log(INBOARD, "0.060 mm high at 90°", "0.050 mm high at 270°")
    );
    assert!(of_kind(&todo(CRANK, &struck), Kind::TrueUp).is_empty());
}

/// A dial over its support sees nothing of the crank: said at the run-out it was read with.
#[test]
fn a_dial_over_its_support_is_impossible() {
    let held = "held on centres, support 75 mm, dial 75 mm";
    let log = log(held, "0.010 mm high at 90°", "0.010 mm high at 270°");
    let said = crate::support::told(&crate::support::judge("m.manual", CRANK, &log));
    assert!(said.contains("stands over the support"), "{said}");
}

/// The sample crank of the brief: 0.14 at 60° and 0.13 at 300° are mostly twist, some pinch; the ring of widths, 0.09 wider at the pin on 100 mm of web, says the
/// same pinch as the 0.0675 mm of run-out on the pin's line, read 75 mm inboard of the centres.
#[test]
fn widths_and_run_out_tell_one_story() {
    let ring = |widths: &str| {
        format!(
            "job x\nmanual m\ntool dial: dial indicator, reads to 0.01 mm, good to 0.003 mm\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm\n\
             2026-03-14 truing\nstroke = 61.0 mm\nweb diameter = 100 mm\nheld on centres, supports 200 mm apart, dials 75 mm inboard\n\
             run-out at left = 0.07 mm high at 20° by dial, because it is not done yet\nrun-out at right = 0.06 mm high at 340° by dial, because it is not done yet\n\
             web width = {widths} mm at 0 90 180 270 by mic\n"
        )
    };
    let contradicts = |widths: &str| {
        let inspected = crate::support::judge("m.manual", CRANK, &ring(widths));
        inspected
            .findings
            .iter()
            .any(|finding| finding.code == "calc.contradicts")
    };
    assert!(!contradicts("54.08 54.03 53.99 54.04"));
    assert!(contradicts("54.03 54.03 54.03 54.03"));
    assert!(contradicts("53.99 54.03 54.08 54.04"));
}

/// A figure that no crank has is placed at the figure, and nothing follows from it.
#[test]
fn the_throw_written_for_the_stroke_is_seen() {
    check(
        "m.manual",
        "manual m\nsource page 1\nextends two-stroke top end\ncalc duration = port duration(exhaust port height, stroke, rod = rod length)\n  build 170 to 200 deg\n",
        "job x\nmanual m\nprocedure barrel and head work\n2026-03-14 build\nstroke = 27 mm  # finds calc.impossible\nrod length = 105 mm\nexhaust port height = 27.0 mm, from deck\n",
    );
}
