//! Order, evidence and danger: what is said of a line, and just as much, what is not. `# finds CODE …` stands behind the lines that something is to
//! be said of; nothing else may be said. Facts of the trade here are common practice, no source.

mod support;

use gudgeon::judge::Severity;
use support::{judge, told};

const MANUAL: &str = "\
manual bench
source page 1
units mm, N·m
feature bore at top, bottom
  build 53.99 to 54.04 mm
feature piston size
  unit mm
calc piston clearance = smallest(bore) - largest(piston size)
  build 0.04 to 0.08 mm
feature body depth
  unit mm
feature gear width
  unit mm
calc end clearance = body depth - gear width
  build 0.03 to 0.08 mm
feature run-out at left, right
  build up to 0.03 mm
feature crank length
  unit mm
feature fixture inside
  unit mm
calc fixture room = fixture inside - crank length
  build at least 0.2 mm
precaution web supported
  because an unsupported web bends the shaft
precaution needles
  because a loose needle locks the gears and throws parts
precaution pressure
  because plugs fly
procedure top end
  step hone barrel   optional; disturbs bore
  step fit piston    optional; renews circlips
  step take rod off  optional; takes out needles
  step put rod on    optional; after take rod off; puts in needles
procedure pump
  step lap cover     optional; disturbs end clearance
  step leak test     optional; pressure up to 0.6 bar; lasts at least 5 min
  step torque head   optional; torque 18 to 22 N·m; stages at least 3
procedure crank
  step press in pin  optional; needs web supported; given fixture room; disturbs run-out
    force up to rating of press
  step true crank    optional; after press in pin; disturbs run-out; until run-out
  step close cases   optional; after true crank; then fill oil
  step fill oil      optional
  step run engine    optional; after close cases
  never run engine before fill oil because dry bearings are gone in seconds
  never hammer shaft end because it mushrooms the thread
";

#[track_caller]
fn check(log: &str) {
    support::check("bench.manual", MANUAL, &format!("job x\nmanual bench\n{log}"));
}

#[test]
fn what_was_measured_of_a_sum_is_overtaken_with_what_it_rests_on() {
    check(
        "2026-03-14 build\npiston clearance = go 0.05, no-go 0.06 mm by feelers # finds reading.stale\ndid hone barrel\n",
    );
    check(
        "2026-03-14 build\npiston clearance = go 0.05, no-go 0.06 mm by feelers\ndid hone barrel\npiston clearance = go 0.05, no-go 0.06 mm by feelers\n",
    );
}

#[test]
fn the_chain_is_shown_from_the_reading_to_what_is_to_be_read_again() {
    let log = "job x\nmanual bench\n2026-03-14 build\nbore at top = 54.010 ± 0.002 mm\nbore at bottom = 54.012 ± 0.002 mm\npiston size = 53.955 ± 0.002 mm\ndid hone barrel\nbore at top = 54.015 ± 0.002 mm\n";
    let inspected = judge("bench.manual", MANUAL, log);
    let [stale] = inspected.findings.as_slice() else {
        panic!("{}", told(&inspected))
    };
    assert_eq!(
        stale.message,
        "bore at bottom (54.012 ± 0.002 mm) was read before `hone barrel` on line 7, which disturbs it: it proves nothing any more"
    );
    assert_eq!(
        stale.help,
        "read it again and write it below line 7: `bore at bottom = …`; piston clearance rests on it"
    );
    let seen: Vec<&str> = stale.related.iter().map(|related| related.message.as_str()).collect();
    assert_eq!(
        seen,
        ["this came after the reading", "the manual says here what it disturbs"]
    );
}

#[test]
fn a_step_that_disturbs_a_sum_overtakes_what_it_was_worked_from() {
    check("2026-03-14 build\nbody depth = 25.06 mm\ngear width = 25.01 mm # finds reading.stale\ndid lap cover\n");
    check("2026-03-14 build\nbody depth = 25.06 mm\ngear width = 25.01 mm\ndid lap cover\nbody depth = 25.05 mm\n");
}

#[test]
fn a_step_of_measuring_that_is_to_follow_is_read_after_it() {
    let manual = "manual bench\nsource page 1\nfeature lever play\n  build 1 to 3 mm\nprocedure clutch\n  step set cable  optional; then read play\n  step read play  reads lever play\n";
    let check = |log: &str| {
        support::check(
            "bench.manual",
            manual,
            &format!("job x\nmanual bench\n2026-03-14 build\n{log}"),
        )
    };
    check("did set cable\nlever play = 2.0 ± 0.1 mm\n");
    check("lever play = 2.0 ± 0.1 mm\ndid set cable # finds step.follow\n");
}

/// `only if` looks at what stands above the step: a sum that comes out wrong only later does not allow it.
#[test]
fn a_condition_on_a_sum_is_asked_of_what_stands_above() {
    let manual = "manual bench\nsource page 1\nfeature bore\n  unit mm\nfeature piston size\n  unit mm\ncalc piston clearance = bore - piston size\n  build 0.04 to 0.08 mm\n\
                  procedure barrel\n  step hone barrel  only if piston clearance out; disturbs bore\n";
    let check = |log: &str| {
        support::check(
            "bench.manual",
            manual,
            &format!("job x\nmanual bench\n2026-03-14 build\n{log}"),
        )
    };
    let piston = "piston size = 53.950 ± 0.001 mm\n";
    check(&format!(
        "{piston}bore = 53.960 ± 0.001 mm\ndid hone barrel\nbore = 54.010 ± 0.001 mm\n"
    ));
    check(&format!(
        "{piston}bore = 54.010 ± 0.001 mm\ndid hone barrel # finds step.condition\nbore = 54.060 ± 0.001 mm # finds limit.out\n"
    ));
}

#[test]
fn a_tick_with_a_slip_in_it_is_pointed_to() {
    let log = "job x\n2026-03-14 build\ndid heat case, glovs, heat 100 C\n";
    let said = told(&judge("", "", log));
    assert!(
        said.contains("`heat case` does not say `gloves`; `glovs` is near"),
        "{said}"
    );
}

#[test]
fn truing_goes_on_until_it_is_in_and_is_read_after_the_last_blow() {
    let ready = "tool press: press, rated 20 t\n2026-03-14 build\nfixture inside = 181.0 mm\ncrank length = 180.2 mm\ndid press in pin, web supported, force 7 t on press\n";
    let read = |left: &str, right: &str| {
        format!("run-out at left = {left} ± 0.001 mm\nrun-out at right = {right} ± 0.001 mm\n")
    };
    let good = read("0.010", "0.020");
    check(&format!("{ready}did true crank\n{good}did close cases\ndid fill oil\n"));
    // Out on one side, and closed all the same: mended afterwards, it is still out of order.
    check(&format!(
        "{ready}did true crank\n{}did close cases # finds step.order\ndid true crank\ndid fill oil\n{good}",
        read("0.010", "0.050")
    ));
    // One more light tap.
    check(&format!(
        "{ready}did true crank\nrun-out at left = 0.010 ± 0.001 mm # finds reading.stale\nrun-out at right = 0.020 ± 0.001 mm # finds reading.stale\n\
         did true crank, one light tap\ndid close cases # finds step.order\ndid fill oil\n"
    ));
}

#[test]
fn a_fixture_is_measured_before_the_day_it_is_needed() {
    let press = "tool press: press, rated 20 t\n2026-03-14 build\n";
    let done = "did press in pin, web supported, force 7 t on press";
    check(&format!(
        "{press}crank length = 180.2 mm\n{done} # finds step.given\nfixture inside = 181.0 mm\n"
    ));
    check(&format!(
        "{press}fixture inside = 180.3 mm\ncrank length = 180.2 mm # finds limit.out\n{done} # finds step.given\n"
    ));
}

#[test]
fn the_weakest_of_ram_frame_and_tooling_counts() {
    let log = |tools: &str, force: &str| {
        format!(
            "{tools}2026-03-14 build\nfixture inside = 181.0 mm\ncrank length = 180.2 mm\ndid press in pin, web supported, {force}\n"
        )
    };
    // A 20 t press and 7 t recorded is within rating (common practice).
    check(&log("tool press: press, rated 20 t\n", "force 7 t on press"));
    check(&log(
        "tool press: press, rated 20 t\ntool splitter: bearing splitter, rated 10 t\n",
        "force 7 t on press, with splitter",
    ));
    check(&log(
        "tool press: press, rated 20 t\ntool splitter: bearing splitter, rated 5 t\n",
        "force 7 t on press, with splitter # finds danger.over-rating",
    ));
    check(&log(
        "tool press: press, rated 12 t jack, rated 8 t frame\n",
        "force 7 t on press # finds tool.near-rating",
    ));
    check(&log("", "force 7 t on press # finds tool.no-rating"));
}

#[test]
fn what_came_out_goes_in_again() {
    let day = "2026-03-14 build\ndid take rod off, 28 needles\n";
    check(&format!("{day}did put rod on, 28 needles\n"));
    check(&format!("{day}did put rod on, needles 27 # finds step.count\n"));
    check(&format!("{day}did put rod on, 28 new needles\n"));
    check(&format!("{day}did put rod on, from cage kit\n"));
    check(&format!("{day}did put rod on # finds step.count\n"));
    // Two rods: the second is not on yet.
    let two = "2026-03-14 build\ndid take rod off, on left, 28 needles\ndid take rod off, on right, 28 needles\n";
    check(&format!(
        "{two}did put rod on, on left, 28 needles # finds step.count\n"
    ));
    check(&format!(
        "{two}did put rod on, on left, 28 needles\ndid put rod on, on right, 28 needles\n"
    ));
    let missing = judge(
        "bench.manual",
        MANUAL,
        "job x\nmanual bench\n2026-03-14 build\ndid take rod off, 28 needles\ndid put rod on, 27 needles\n",
    );
    assert_eq!(
        missing.findings[0].severity,
        Severity::Danger,
        "a precaution has its name"
    );
}

#[test]
fn what_is_used_once_is_new() {
    let day = "2026-03-14 build\n";
    check(&format!("{day}did fit piston, new circlips\n"));
    check(&format!("{day}did fit piston, circlips new, gap down\n"));
    check(&format!("{day}got circlips: number 12\ndid fit piston\n"));
    check(&format!("{day}did fit piston # finds part.not-renewed\n"));
    check(&format!("{day}did fit piston, old circlips # finds part.reused\n"));
    check(&format!(
        "{day}did fit piston, old circlips, because no new ones could be had # finds part.reused\n"
    ));
}

#[test]
fn a_hold_lasts_and_a_head_is_drawn_down_in_stages() {
    let day = "2026-03-14 build\n";
    check(&format!("{day}did leak test, pressure 0.45 bar, 10 min\n"));
    check(&format!(
        "{day}did leak test, pressure 0.45 bar # finds step.amount-missing\n"
    ));
    check(&format!(
        "{day}did leak test, pressure 0.45 bar, 2 min # finds step.bound\n"
    ));
    check(&format!(
        "{day}10:00 did leak test, pressure 0.45 bar, 10 min # finds step.bound\n10:03 did fill oil\n"
    ));
    check(&format!(
        "{day}10:00 did leak test, pressure 0.45 bar # finds step.bound\n10:03 did fill oil\n"
    ));
    check(&format!(
        "{day}did leak test, pressure 1.2 bar, 10 min # finds danger.bound\n"
    ));
    check(&format!("{day}did torque head, torque 8/14/20 N·m\n"));
    check(&format!("{day}did torque head, torque 20 N·m, in three stages\n"));
    check(&format!("{day}did torque head, torque 10/20 N·m # finds step.bound\n"));
    check(&format!(
        "{day}did torque head, torque 20 N·m # finds step.amount-missing\n"
    ));
}

#[test]
fn what_hurts_in_one_order_does_not_in_the_other() {
    let start = "tool press: press, rated 20 t\n2026-03-14 build\nfixture inside = 181.0 mm\ncrank length = 180.2 mm\ndid press in pin, web supported, force 7 t on press\n\
                 did true crank\nrun-out at left = 0.010 ± 0.001 mm\nrun-out at right = 0.010 ± 0.001 mm\ndid close cases\n";
    check(&format!("{start}did fill oil\ndid run engine\n"));
    check(&format!(
        "{start}did run engine # finds danger.sequence\ndid fill oil\n"
    ));
    // The oil was let out again.
    check(&format!(
        "{start}did fill oil\nundid fill oil, because the drain plug wept\ndid run engine # finds danger.sequence\ndid fill oil\n"
    ));
}

#[test]
fn a_danger_is_lowered_only_with_its_reason_and_then_it_says_so() {
    let log = |settings: &str, because: &str| {
        format!("{settings}job x\nmanual bench\n2026-03-14 build\ndid hammer shaft end{because}\n")
    };
    let lower = "# gudgeon.toml: weigh.danger = \"doubt\"\n";
    let reason = ", because the shaft is scrap";
    let severity = |text: &str| {
        let inspected = judge("bench.manual", MANUAL, text);
        let danger = inspected.findings.iter().find(|f| f.code == "danger.never");
        let danger = danger.unwrap_or_else(|| panic!("it is always told: {}", told(&inspected)));
        (danger.severity, danger.was, danger.message.clone())
    };
    for text in [log("", ""), log("", reason), log(lower, "")] {
        assert_eq!(severity(&text).0, Severity::Danger, "{text}");
    }
    let (weight, was, message) = severity(&log(lower, reason));
    assert_eq!((weight, was), (Severity::Doubt, Some(Severity::Danger)));
    assert!(
        message.ends_with("a danger, lowered by gudgeon.toml, with the reason written: the shaft is scrap"),
        "{message}"
    );
    // Everything else is weighed as the repository likes.
    let coarse =
        "# gudgeon.toml: weigh.\"step.missing\" = \"open\"\njob x\nmanual bench\n2026-03-14 build\ndid fit piston\n";
    assert_eq!(
        judge("bench.manual", MANUAL, coarse).findings[0].code,
        "part.not-renewed"
    );
}

#[test]
fn tools_are_calibrated_checked_and_used_within_their_range() {
    let mic = "tool mic: micrometer, reads to 0.01 mm, good to 0.002 mm, range 25 to 50 mm, due 2026-06-30\n";
    check(&format!("{mic}2026-03-14 build\ngear width = 25.01 mm by mic\n"));
    check(&format!(
        "{mic}2026-03-14 build\npiston size = 53.95 mm by mic # finds tool.range\n"
    ));
    check(&format!("{mic}2026-06-30 build\ngear width = 25.01 mm by mic\n"));
    check(&format!(
        "{mic}2026-07-01 build\ngear width = 25.01 mm by mic # finds tool.overdue\n"
    ));
    // Whoever writes of checks once is asked for them; whoever never does is left alone.
    check(&format!(
        "{mic}2026-03-14 build\nchecked mic, on its standard\ngear width = 25.01 mm by mic\n2026-03-15\ngear width = 25.01 mm by mic # finds tool.unchecked\n"
    ));
    check("2026-03-14 build\nchecked the float 0.15 again # finds unknown.tool\nchecked the ports, all clear\n");
    let wrench = "tool wrench: torque wrench, range 20 to 110 N·m\n2026-03-14 build\n";
    check(&format!(
        "{wrench}did torque head, torque 8/14/20 N·m on wrench # finds tool.range\n"
    ));
}

#[test]
fn parts_that_are_to_be_replaced_are_ordered() {
    check("2026-03-14 as found\nfound gears: pitted, replace # finds part.not-ordered\n");
    check("2026-03-14 as found\nfound gears: pitted, replace\n2026-03-15 goods in\ngot gear pair: number 12\n");
    check("2026-03-14 as found\nfound gears: pitted, replace\n2026-03-15 goods in\ngot gearbox kit: number 12\n");
    check("2026-03-14 as found\nfound gears: pitted, replace\nfound gears: polished out, reuse\n");
}

/// With no manual, a feature that two manuals of the shelf limit is judged by the one that knows more of the log: 0.030 mm is in for a four-stroke and
/// tight for a two-stroke.
#[test]
fn the_shelf_is_asked_in_the_order_of_what_the_log_speaks_of() {
    let clearance = "bore = 80.012 ± 0.001 mm\npiston size = 79.982 ± 0.001 mm\n";
    let four = format!(
        "job x\n2026-03-14 build\nvalve lift = 8.5 mm\ninstalled height = 34.0 mm\nsolid height = 23.8 mm\n{clearance}"
    );
    assert_eq!(told(&judge("", "", &four)), "");
    let two = format!("job x\n2026-03-14 build\nsquish = 0.95 mm\npiston mass = 71.4 g\n{clearance}");
    let said = told(&judge("", "", &two));
    assert!(
        said.contains("limit.out") && said.contains("piston clearance"),
        "{said}"
    );
}
