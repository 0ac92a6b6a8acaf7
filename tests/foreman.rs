//! A good job on a pressed crank, judged by the shelf alone, and the same with each step and reading left out, swapped, repeated or badly done: what a
//! foreman would say of it, and nothing else. Facts of the trade here are common practice, no source.

mod support;

use support::{judge, told};

/// The good job. Each line has a mark in front of it by which it is left out or changed.
const GOOD: &str = "\
-   job      bottom end, side play at the limit
-   machine  Marlock 200, engine ML-2071
-   tool press: press, rated 20 t
-   tool heater: heating plate, range 140 to 250 C
-   2026-03-14 as found
W0  web width = 52.030 ± 0.004 mm
S0  side play = go 0.60, no-go 0.65 mm by feelers
-   held on centres
D0  run-out at drive side = 0.022 ± 0.003 mm
F0  run-out at flywheel side = 0.031 ± 0.003 mm
H   did pull inner race, heat 180 C on heater, gloves
O   did press out crankpin, lower web supported and caught, press guarded, force 7 t on press
K   found crankpin: blue, replace
-   2026-03-20 goods in
-   ordered rod kit: number 4471
G   got rod kit: number 4471
-   2026-04-02 build
P   did press in crankpin, from rod kit, web supported, oiled, flush by straight edge, force 5 t on press
T   did press together, web supported, bearing and both sides of the rod oiled, force 6 t on press
C   did check rod turns
S1  side play = go 0.40, no-go 0.45 mm by feelers
W1  web width = 51.990 ± 0.004 mm
-   held on centres
D1  run-out at drive side = 0.080 ± 0.003 mm
F1  run-out at flywheel side = 0.070 ± 0.003 mm
X   did true crank, off the centres, copper hammer
W2  web width = 51.990 ± 0.004 mm
S2  side play = go 0.40, no-go 0.45 mm by feelers
D2  run-out at drive side = 0.012 ± 0.003 mm
F2  run-out at flywheel side = 0.015 ± 0.003 mm
L   did lock crankpin
-   closed 2026-04-03
";

/// The lines with their marks.
fn lines() -> Vec<(&'static str, String)> {
    GOOD.lines()
        .map(|line| (line[..4].trim(), line[4..].to_owned()))
        .collect()
}

fn text(lines: &[(&str, String)]) -> String {
    lines.iter().map(|(_, line)| format!("{line}\n")).collect()
}

/// What is said of a log: the mark of the line, and the code.
#[track_caller]
fn says(what: &str, lines: &[(&str, String)], expected: &[&str]) {
    let inspected = judge("", "", &text(lines));
    let mut said: Vec<String> = inspected
        .findings
        .iter()
        .map(|finding| {
            let line = inspected.source.lines.line_of(finding.span.start);
            format!("{} {}", lines[line].0, finding.code)
        })
        .collect();
    let mut expected: Vec<String> = expected.iter().map(|one| (*one).to_owned()).collect();
    said.sort_unstable();
    expected.sort_unstable();
    assert_eq!(said, expected, "{what}\n{}", told(&inspected));
}

#[track_caller]
fn without(mark: &str, expected: &[&str]) {
    let mut all = lines();
    let before = all.len();
    all.retain(|(own, _)| *own != mark);
    assert_eq!(all.len() + 1, before, "{mark}");
    says(&format!("without {mark}"), &all, expected);
}

#[track_caller]
fn changed(mark: &str, from: &str, to: &str, expected: &[&str]) {
    let mut all = lines();
    for (own, line) in &mut all {
        if *own == mark {
            assert!(line.contains(from), "{line}");
            *line = line.replace(from, to);
        }
    }
    says(&format!("{mark}: `{from}` is `{to}`"), &all, expected);
}

#[track_caller]
fn swapped(one: &str, other: &str, expected: &[&str]) {
    let mut all = lines();
    let place = |mark: &str| all.iter().position(|(own, _)| *own == mark).expect("the mark is there");
    let (a, b) = (place(one), place(other));
    all.swap(a, b);
    says(&format!("{one} and {other} swapped"), &all, expected);
}

/// A line more, behind a mark.
#[track_caller]
fn with(mark: &str, more: &[(&'static str, &str)], expected: &[&str]) {
    let mut all = lines();
    let at = all.iter().position(|(own, _)| *own == mark).expect("the mark is there");
    for (number, (own, line)) in more.iter().enumerate() {
        all.insert(at + 1 + number, (own, (*line).to_owned()));
    }
    says(&format!("more behind {mark}"), &all, expected);
}

#[test]
fn of_the_good_job_nothing_is_said() {
    says("as it is", &lines(), &[]);
}

#[test]
fn what_was_not_read_before_the_pin_came_out() {
    without("W0", &["O step.order"]);
    without("S0", &["O step.order"]);
    swapped("S0", "O", &["O step.order"]);
}

#[test]
fn what_was_left_out() {
    without("O", &["P step.missing"]);
    without("P", &["T step.missing"]);
    // Said once, where it is first missed.
    without("T", &["C step.missing"]);
    without("C", &["T step.follow"]);
    without("X", &["D2 reading.differs", "F2 reading.differs"]);
    without("L", &[]);
    without("H", &[]);
    without("G", &["- part.waiting"]);
}

#[test]
fn what_was_not_read_again() {
    without("W2", &["W1 reading.stale"]);
    without("S2", &["S1 reading.stale"]);
    without("D2", &["D1 reading.stale", "L step.order"]);
    without("F2", &["F1 reading.stale", "L step.order"]);
    // The readings before the truing are for the truing; the last ones count.
    without("W1", &[]);
    without("S1", &[]);
    without("D1", &[]);
}

#[test]
fn what_its_line_does_not_say() {
    changed(
        "O",
        "lower web supported and caught, ",
        "",
        &["O danger.precaution", "O step.need"],
    );
    changed("O", " and caught", "", &["O step.need"]);
    changed("O", "press guarded, ", "", &["O danger.precaution"]);
    changed("P", "oiled, ", "", &["P step.need"]);
    changed("P", "flush by straight edge, ", "", &["P step.need"]);
    changed("P", "web supported, ", "", &["P danger.precaution"]);
    changed("T", "bearing and both sides of the rod oiled, ", "", &["T step.need"]);
    changed("T", "web supported, ", "", &["T danger.precaution"]);
    changed("H", ", gloves", "", &["H danger.precaution"]);
}

#[test]
fn what_was_done_in_a_way_that_hurts() {
    changed("O", "force 7 t", "on the shaft end, force 7 t", &["O danger.never"]);
    changed("X", "off the centres", "on centres", &["X danger.never"]);
    changed("X", "copper hammer", "steel hammer", &["X danger.never"]);
    changed("O", "force 7 t", "force 24 t", &["O danger.over-rating"]);
    changed("H", "180 C", "120 C", &["H tool.range"]);
}

#[test]
fn what_was_done_in_the_wrong_order() {
    swapped("P", "T", &["T step.order"]);
    swapped("T", "C", &["C step.order", "T step.follow"]);
    // What was read before the blow is stale, and what differs from the reading before it differs with nothing done in between.
    let after_all = [
        "D2 reading.differs",
        "D2 reading.stale",
        "F2 reading.differs",
        "F2 reading.stale",
        "L step.order",
        "S2 reading.stale",
        "W2 reading.stale",
    ];
    swapped("X", "L", &after_all);
}

#[test]
fn what_was_done_once_more() {
    with(
        "F2",
        &[("Y", "did true crank, off the centres, one more light tap")],
        &[
            "D2 reading.stale",
            "F2 reading.stale",
            "L step.order",
            "S2 reading.stale",
            "W2 reading.stale",
        ],
    );
    // Pressed together again: everything behind it is read again anyway.
    with(
        "T",
        &[("Y", "did press together, web supported, oiled, force 6 t on press")],
        &[],
    );
    with(
        "F2",
        &[("Y", "did press together, web supported, oiled, force 6 t on press")],
        &[
            "D2 reading.stale",
            "F2 reading.stale",
            "L step.order",
            "S2 reading.stale",
            "W2 reading.stale",
            "Y step.follow",
        ],
    );
}

#[test]
fn a_play_that_is_too_small_is_eased_out_and_everything_is_read_again() {
    let mut tight = lines();
    for (own, line) in &mut tight {
        if matches!(*own, "S1" | "S2") {
            *line = line.replace("go 0.40, no-go 0.45", "go 0.15, no-go 0.20");
        }
    }
    says("too tight to the end", &tight, &["S2 limit.out"]);
    let at = tight
        .iter()
        .position(|(own, _)| *own == "S1")
        .expect("the mark is there");
    let eased = [
        ("E", "did ease crankpin, web supported, force 3 t on press"),
        ("C2", "did check rod turns"),
        ("S3", "side play = go 0.40, no-go 0.45 mm by feelers"),
    ];
    for (number, (own, line)) in eased.iter().enumerate() {
        tight.insert(at + 1 + number, (own, (*line).to_owned()));
    }
    for (own, line) in &mut tight {
        if *own == "S2" {
            *line = line.replace("go 0.15, no-go 0.20", "go 0.40, no-go 0.45");
        }
    }
    says("eased out", &tight, &[]);
    tight.retain(|(own, _)| *own != "C2");
    says("eased out, and the rod not tried", &tight, &["E step.follow"]);
}

/// With nothing but `job` and readings, the shelf still judges.
#[test]
fn bare_readings_of_a_crank_are_judged_from_the_shelf() {
    let log = "job  bottom end\nside play = go 0.80, no-go 0.85 mm by feelers\nweb width = 52.06 51.99 51.98 52.05 at 0 90 180 270 mm by mic\n\
               run-out at drive side = 0.07 mm by dial, on centres\npin seat at left = 22.030 ± 0.001 mm\nweb hole at left = 22.004 ± 0.001 mm\n";
    let inspected = judge("", "", log);
    let codes: Vec<&str> = inspected.findings.iter().map(|f| f.code).collect();
    assert_eq!(
        codes,
        ["limit.out", "limit.out", "limit.out", "limit.out"],
        "{}",
        told(&inspected)
    );
    assert!(
        inspected
            .findings
            .iter()
            .all(|f| f.severity == gudgeon::judge::Severity::Doubt),
        "rules of thumb are advisory"
    );
}
