//! `gudgeon why` of figures.

use super::*;

const LOG: &str = "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm, good to 0.004 mm, zero +0.002 mm\n2026-03-14 build\n\
                       width = 52.03 mm by mic\nbore at top = 72.012 mm by bore gauge at 50 C, aluminium\nbore at bottom = 72.010 mm by bore gauge\n\
                       piston = 71.95 mm by mic\ngap = go 0.30, no-go 0.35 mm by feelers\n";
const MANUAL: &str = "manual m\nsource page 1\nfeature width\n  build 51.90 to 52.05 mm\nfeature bore at top, bottom\n  unit mm\nfeature piston\n  \
                          unit mm\nfeature gap\n  build 0.2 to 0.4 mm\ncalc clearance = smallest(bore) - piston\n  build 0.00 to 0.06 mm\n";

fn why(args: &[&str]) -> Ran {
    let folder = folder(&[("x.rebuild", LOG), ("m.manual", MANUAL)]);
    run(folder.path(), &[&["why"], args].concat())
}

#[test]
fn a_line_is_shown_with_its_budget() {
    insta::assert_snapshot!("why-a-line", why(&["x.rebuild:5"]).out);
    insta::assert_snapshot!("why-a-warm-part", why(&["x.rebuild:6:3"]).out);
    insta::assert_snapshot!("why-blades", why(&["x.rebuild", "gap"]).out);
    insta::assert_snapshot!("why-a-sum", why(&["x.rebuild", "Clearance"]).out);
}

#[test]
fn json_fits_its_schema_and_holds_every_figure() {
    let schema = why(&["--schema"]).out;
    let schema: serde_json::Value = serde_json::from_str(&schema).expect("a schema");
    let validator = jsonschema::validator_for(&schema).expect("a sound schema");
    let ran = why(&["x.rebuild", "--as", "json"]);
    assert_eq!(ran.code, Some(0));
    let written: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON");
    assert!(validator.is_valid(&written), "{}", ran.out);
    let names: Vec<&str> = written["figures"]
        .as_array()
        .expect("figures")
        .iter()
        .filter_map(|figure| figure["name"].as_str())
        .collect();
    assert_eq!(names, ["width", "bore", "bore", "piston", "gap", "clearance"]);
}

#[test]
fn what_is_not_there_is_said() {
    let none = why(&["x.rebuild:2"]);
    assert_eq!((none.code, none.out.as_str()), (Some(2), ""));
    assert!(none.err.contains("a line that has a reading"), "{}", none.err);
    let near = why(&["x.rebuild", "widht"]);
    assert!(near.err.contains("Did you mean width?"), "{}", near.err);
    let lost = why(&["y.rebuild"]);
    assert_eq!(lost.code, Some(2));
    assert!(lost.err.contains("y.rebuild: there is no such file"), "{}", lost.err);
}
