//! The catalogue of rules that a workshop asks for, each shown by logs that run here: one that is told of it, and the same put right, of which nothing is
//! said. The pages lie in `tests/trade-rules`; what is not there stands in DEVELOPERS.md as not yet, with why.

mod support;

use std::collections::BTreeMap;
use std::path::Path;

use gudgeon::workspace::{Inspected, Kind, Library, inspect};
use support::{NOWHERE, judge, told};

/// To be there from the first.
const FIRST: bool = true;
/// To be there in the end.
const LATER: bool = false;

/// Every rule by its name. Common practice, no source.
const CATALOGUE: &[(&str, bool)] = &[
    // A: limits and derived fits.
    ("limit-exceeded", FIRST),
    ("limit-near", FIRST),
    ("piston-clearance-small", FIRST),
    ("piston-clearance-large", FIRST),
    ("bore-taper", FIRST),
    ("bore-out-of-round", FIRST),
    ("bore-barrel-shape", FIRST),
    ("ring-gap-small", FIRST),
    ("ring-gap-large", FIRST),
    ("ring-side-clearance", FIRST),
    ("ring-width-vs-groove", LATER),
    ("small-end-clearance", LATER),
    ("pin-to-piston-fit", LATER),
    ("big-end-side-play", FIRST),
    ("big-end-radial", LATER),
    ("pin-interference-low", FIRST),
    ("pin-interference-high", FIRST),
    ("web-width-out", FIRST),
    ("web-width-spread", FIRST),
    ("runout-over", FIRST),
    ("crank-end-float", FIRST),
    ("bearing-fit-shaft", FIRST),
    ("bearing-fit-housing", FIRST),
    ("bearing-clearance-left", LATER),
    ("bearing-preload-out", FIRST),
    ("plain-bearing-clearance", FIRST),
    ("shell-crush-missing", LATER),
    ("backlash-out", FIRST),
    ("backlash-variation", FIRST),
    ("valve-lash-out", FIRST),
    ("stem-guide-clearance", FIRST),
    ("seat-width-out", LATER),
    ("spring-free-length", LATER),
    ("coil-bind-margin", FIRST),
    ("valve-piston-gap", LATER),
    ("squish-small", FIRST),
    ("squish-uneven", FIRST),
    ("compression-ratio-high", LATER),
    ("compression-low-or-uneven", LATER),
    ("flatness-out", LATER),
    ("gear-pump-end-clearance", FIRST),
    ("wear-ring-clearance", FIRST),
    ("impeller-axial-gap", LATER),
    ("shaft-runout-at-seal", LATER),
    // B: consistency between readings.
    ("reading-vs-nominal-slip", FIRST),
    ("unit-slip", FIRST),
    ("decimal-comma-ambiguous", FIRST),
    ("resolution-too-fine", FIRST),
    ("instrument-too-coarse", FIRST),
    ("derived-vs-measured", FIRST),
    ("feeler-as-number", FIRST),
    ("feeler-bracket-inverted", FIRST),
    ("shim-stack-sum", LATER),
    ("shim-marked-vs-measured", FIRST),
    ("width-phase-inconsistent", LATER),
    ("opposite-points-sum", LATER),
    ("runout-tir-vs-ecc", LATER),
    ("torque-vs-size", FIRST),
    ("pressure-vs-need", FIRST),
    ("ordered-vs-received", FIRST),
    ("nominal-vs-measured-goods", LATER),
    ("pair-mismatch", FIRST),
    ("temperature-mismatch", FIRST),
    ("duplicate-disagree", FIRST),
    ("sum-of-sides", FIRST),
    ("hours-backwards", LATER),
    ("money-totals", LATER),
    // C: missing steps and stale evidence.
    ("stale-after-move", FIRST),
    ("truing-without-recheck", FIRST),
    ("width-recheck-after-truing", FIRST),
    ("lash-recheck-after-shim", FIRST),
    ("backlash-recheck-after-shim", FIRST),
    ("squish-recheck-after-gasket", FIRST),
    ("float-recheck-after-torque", FIRST),
    ("as-found-missing", LATER),
    ("zero-check-missing", FIRST),
    ("needle-count", FIRST),
    ("single-use-not-renewed", FIRST),
    ("seal-not-recorded", LATER),
    ("oil-not-recorded", FIRST),
    ("leak-test-missing", FIRST),
    ("torque-not-recorded", LATER),
    ("retorque-missing", FIRST),
    ("run-in-not-recorded", LATER),
    ("next-service-missing", LATER),
    ("limits-without-source", FIRST),
    // D: unsafe or damaging sequences.
    ("press-unsupported-web", FIRST),
    ("press-over-rating", FIRST),
    ("press-no-guard", LATER),
    ("press-through-balls", LATER),
    ("hammer-on-thread", FIRST),
    ("hammer-hard-on-hard", LATER),
    ("truing-blow-while-supported-wrong", LATER),
    ("heat-near-fuel", FIRST),
    ("heat-with-seal-in", FIRST),
    ("bearing-overheat", FIRST),
    ("open-flame-on-bearing", LATER),
    ("case-overheat", LATER),
    ("decompose-fluoro", LATER),
    ("freeze-no-gloves", FIRST),
    ("freeze-too-deep", LATER),
    ("cold-wet-assembly", LATER),
    ("reuse-single-use", FIRST),
    ("torque-before-lube", FIRST),
    ("torque-order", FIRST),
    ("torque-wrench-range", LATER),
    ("spin-dry-air", FIRST),
    ("air-on-skin", LATER),
    ("spring-unguarded", FIRST),
    ("start-before-prime", FIRST),
    ("leak-over-pressure", FIRST),
    ("pressurised-hydro-not-air", FIRST),
    ("start-without-kill", LATER),
    ("solvent-hot", LATER),
    ("machine-loose-hair/glove", LATER),
    ("grind-magnesium", LATER),
    ("asbestos-clutch-brake", LATER),
    ("energised-pump", LATER),
];

/// The pages, by family.
const PAGES: &[&str] = &["a-limits", "b-consistency", "c-evidence", "d-danger"];

struct Block {
    rule: String,
    place: String,
    is_manual: bool,
    finds: Vec<String>,
    text: String,
    /// The manual that stands above it under its rule.
    manual: String,
}

fn page(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/trade-rules")
        .join(format!("{name}.md"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The blocks of a page that say what they find.
fn blocks(name: &str) -> Vec<Block> {
    let page = page(name);
    let (mut rule, mut manual) = (String::new(), String::new());
    let mut open: Option<Block> = None;
    let mut list = Vec::new();
    for (number, line) in page.lines().enumerate() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(info), None) => {
                let mut words = info.split_whitespace();
                let is_manual = words.next() == Some("manual");
                let is_judged = words.next() == Some("finds");
                assert!(
                    is_judged || is_manual,
                    "{name}, line {}: what does it find?",
                    number + 1
                );
                open = Some(Block {
                    rule: rule.clone(),
                    place: format!("{name}, line {}", number + 1),
                    is_manual,
                    finds: words.map(str::to_owned).collect(),
                    text: if is_manual && !is_judged {
                        "#".to_owned()
                    } else {
                        String::new()
                    },
                    manual: manual.clone(),
                });
            }
            (Some(_), Some(_)) => {
                if let Some(mut block) = open.take() {
                    if let Some(text) = block.text.strip_prefix('#').filter(|_| block.is_manual) {
                        manual = text.to_owned();
                        continue;
                    }
                    block.finds.sort_unstable();
                    list.push(block);
                }
            }
            (None, Some(block)) => {
                block.text.push_str(line);
                block.text.push('\n');
            }
            (None, None) => {
                if let Some(name) = line.strip_prefix("## ") {
                    name.trim().clone_into(&mut rule);
                    manual.clear();
                }
            }
        }
    }
    list
}

fn judged(block: &Block) -> Inspected {
    if block.is_manual {
        let text = block.text.clone().into_bytes();
        return inspect("x.manual", Path::new(NOWHERE), Kind::Manual, text, &Library::new());
    }
    let name = block
        .manual
        .lines()
        .find_map(|line| line.strip_prefix("manual"))
        .map_or(String::new(), |name| {
            format!("{}.manual", name.split(',').next().unwrap_or("").trim())
        });
    judge(&name, &block.manual, &block.text)
}

#[test]
fn every_rule_is_told_where_it_fires_and_nothing_where_it_does_not() {
    let mut wrong = Vec::new();
    let mut shown: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for block in PAGES.iter().flat_map(|page| blocks(page)) {
        let inspected = judged(&block);
        let mut codes: Vec<&str> = inspected.findings.iter().map(|f| f.code).collect();
        codes.sort_unstable();
        if codes != block.finds {
            let finds = block.finds.join(" ");
            wrong.push(format!(
                "{} ({}): finds {finds}\n{}",
                block.place,
                block.rule,
                told(&inspected)
            ));
        }
        let (fires, clean) = shown.entry(block.rule).or_default();
        *(if block.finds.is_empty() { clean } else { fires }) += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for (rule, (fires, clean)) in &shown {
        assert!(
            *fires > 0 && *clean > 0,
            "{rule} has one that fires and one that does not"
        );
    }
}

/// The rules that DEVELOPERS.md lists as not yet: the names in the table below that heading.
fn not_yet() -> Vec<String> {
    let page = include_str!("../DEVELOPERS.md");
    let (_, below) = page
        .split_once("### Rules of the trade not yet")
        .expect("the heading is there");
    let table = below.split("\n## ").next().unwrap_or("");
    table
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|line| line.split_once('`'))
        .map(|(name, _)| name.to_owned())
        .collect()
}

#[test]
fn each_rule_of_the_catalogue_is_shown_or_listed_as_not_yet() {
    let shown: Vec<String> = PAGES
        .iter()
        .flat_map(|page| blocks(page))
        .map(|block| block.rule)
        .collect();
    let not_yet = not_yet();
    assert_eq!(CATALOGUE.len(), 118);
    assert_eq!(CATALOGUE.iter().filter(|(_, first)| *first).count(), 75);
    for (name, first) in CATALOGUE {
        let is_shown = shown.iter().any(|rule| rule == name);
        let is_listed = not_yet.iter().any(|rule| rule == name);
        assert!(
            is_shown != is_listed,
            "{name}: shown {is_shown}, listed as not yet {is_listed}"
        );
        assert!(is_shown || *first == LATER, "{name} is of the first cut");
    }
    for rule in shown.iter().chain(&not_yet) {
        assert!(
            CATALOGUE.iter().any(|(name, _)| name == rule),
            "{rule} is no rule of the catalogue"
        );
    }
}
