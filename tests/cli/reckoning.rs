//! `gudgeon reckon` at the bench, and `gudgeon next --at`.

use super::{folder, gudgeon, ran};

#[test]
fn a_sum_is_worked_out_and_one_that_cannot_be_is_said() {
    let here = folder(&[]);
    let done = ran(gudgeon(here.path()).args(["reckon", "leak-down(80 psi, 62 psi) in %", "25.035 mm - 25.000 mm"]));
    assert_eq!((done.code, done.out.as_str()), (Some(0), "22.5 %\n0.035 mm\n"));
    let refused = ran(gudgeon(here.path()).args(["reckon", "piston drop(20°, stroke = 54 mm, rod = 25 mm)"]));
    assert_eq!(refused.code, Some(2));
    assert!(refused.err.contains("shorter than half the stroke"), "{}", refused.err);
    assert!(refused.out.is_empty());
}

#[test]
fn a_unit_that_a_sum_does_not_come_out_in_is_said() {
    let here = folder(&[]);
    let wrong = ran(gudgeon(here.path()).args(["reckon", "displacement(54 mm, 54 mm) in kg"]));
    assert_eq!(wrong.code, Some(2));
    assert!(
        wrong.err.contains("does not come out in kg: it is a volume"),
        "{}",
        wrong.err
    );
}

#[test]
fn functions_are_listed_and_explained() {
    let here = folder(&[]);
    let list = ran(gudgeon(here.path()).arg("reckon"));
    assert!(
        list.out
            .contains("press force(interference, diameter, outside, length, [friction]"),
        "{}",
        list.out
    );
    let one = ran(gudgeon(here.path()).args(["reckon", "Press  Force"]));
    assert_eq!(one.code, Some(0));
    for word in ["Holds:", "Source:", "Example:", "without it 0.12"] {
        assert!(one.out.contains(word), "{word}: {}", one.out);
    }
}

#[test]
fn sums_from_standard_input_come_back_as_json_by_the_schema() {
    let here = folder(&[]);
    let mut command = gudgeon(here.path());
    command
        .args(["reckon", "--as", "json"])
        .write_stdin("least clearance(25 H7/p6)\n\nleast clearance(25 H7)\n");
    let done = ran(&mut command);
    assert_eq!(done.code, Some(2));
    let document: serde_json::Value = serde_json::from_str(&done.out).unwrap();
    let schema: serde_json::Value =
        serde_json::from_str(&ran(gudgeon(here.path()).args(["reckon", "--schema"])).out).unwrap();
    assert!(jsonschema::is_valid(&schema, &document));
    let sums = document.get("sums").and_then(serde_json::Value::as_array).unwrap();
    let field = |number: usize, name: &str| {
        sums.get(number)
            .and_then(|sum| sum.get(name))
            .and_then(serde_json::Value::as_str)
    };
    assert_eq!((field(0, "value"), field(0, "unit")), (Some("-0.035"), Some("mm")));
    assert_eq!(field(1, "value"), None);
    assert!(
        field(1, "problem").is_some_and(|problem| problem.contains("no fit")),
        "{}",
        done.out
    );
}

#[test]
fn what_was_next_on_a_line_or_a_day() {
    let log =
        "job a crank\nmanual bench\n2026-03-14 build\nweb width = 53.00 mm\n2026-03-16 build\nweb width = 52.00 mm\n";
    let here = folder(&[("a.rebuild", log)]);
    let next = |at: &str| ran(gudgeon(here.path()).args(["next", "a.rebuild", "--at", at]));
    assert!(
        next("2026-03-14").out.contains("web width is 53.00 mm"),
        "{}",
        next("2026-03-14").out
    );
    assert!(next("2026-03-15").out.contains("web width is 53.00 mm"));
    assert!(next("4").out.contains("web width is 53.00 mm"));
    assert!(!next("2026-03-16").out.contains("web width is 53.00 mm"));
    let odd = next("soon");
    assert_eq!(odd.code, Some(2));
    assert!(
        odd.err.contains("--at wants the number of a line, or a date"),
        "{}",
        odd.err
    );
}
