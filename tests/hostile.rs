//! Input made to hurt: nothing panics, runs the stack out, or takes for ever. Sizes are chosen so that the slow way would be noticed by hand; no time is
//! asserted.

mod support;

use support::{judge, told};

#[test]
fn a_long_chain_of_sums_does_not_run_the_stack_out() {
    let mut manual = "manual m\nsource page 1\nfeature end\n  unit mm\n".to_owned();
    for number in 0..20_000 {
        manual.push_str(&format!("calc f{number} = f{}\n", number + 1));
    }
    manual.push_str("calc f20000 = end\n");
    let inspected = judge("m.manual", &manual, "job x\nmanual m\n2026-03-14 build\nend = 1 mm\n");
    assert!(
        inspected.findings.iter().any(|f| f.code == "manual.faulty"),
        "{}",
        told(&inspected)
    );
}

#[test]
fn sums_that_name_each_other_many_times_are_given_up() {
    let mut manual = "manual m\nsource page 1\nfeature f0\n  unit mm\n".to_owned();
    for number in 1..14 {
        let term = format!("f{}", number - 1);
        let sum = vec![term; 8].join(" + ");
        manual.push_str(&format!("calc f{number} = {sum}\n  build up to 1 mm\n"));
    }
    let inspected = judge("m.manual", &manual, "job x\nmanual m\n2026-03-14 build\nf0 = 0.1 mm\n");
    assert!(
        inspected.findings.iter().any(|f| f.code == "calc.unworkable"),
        "{}",
        told(&inspected)
    );
}

#[test]
fn many_points_on_one_line_are_no_trouble() {
    let manual = "manual m\nsource page 1\nfeature a\n  build 1 to 2 mm\ncalc b = spread(a)\n  build up to 1 mm\n";
    let log = format!(
        "job x\nmanual m\n2026-03-14 build\na = {} mm\n",
        "1.5 ".repeat(2000).trim()
    );
    assert!(judge("m.manual", manual, &log).findings.is_empty());
}

#[test]
fn letters_that_grow_in_lower_case_do_no_harm() {
    judge("", "", &format!("job x\nunits blades {}\n", "\u{130}".repeat(40)));
    let log = "job x\n\u{212A}anual tarn\n";
    for finding in judge("", "", log).findings {
        for edit in finding.fix.iter().flat_map(|fix| &fix.edits) {
            assert!(
                log.get(edit.span.range()).is_some_and(|text| !text.contains(' ')),
                "{}",
                finding.message
            );
        }
    }
}

/// 100 °C give or take 5 is 95 to 105; 212 °F give or take 9 is 203 to 221 (arithmetic of the Fahrenheit scale).
#[test]
fn an_amount_with_its_doubt_has_one_unit() {
    let manual = "manual m\nprocedure p\n  step heat case; heat up to 106 C\n";
    for (heat, within) in [
        ("100 \u{b1} 5 C", true),
        ("100 \u{b1} 7 C", false),
        ("212 F \u{b1} 9 F", true),
        ("212 F \u{b1} 12 F", false),
    ] {
        let inspected = judge(
            "m.manual",
            manual,
            &format!("job x\nmanual m\n2026-03-14 build\ndid heat case, heat {heat}\n"),
        );
        assert_eq!(inspected.findings.is_empty(), within, "{heat}: {}", told(&inspected));
    }
}

/// A million brackets on lines as long as are read, and one line that is longer.
#[test]
fn brackets_without_end_are_given_up() {
    let deep = |brackets: usize| format!("{}end{}", "(".repeat(brackets), ")".repeat(brackets));
    let mut manual = "manual m\nsource page 1\nfeature end\n  unit mm\n".to_owned();
    for number in 0..150 {
        manual.push_str(&format!("calc f{number} = {}\n", deep(7_000)));
    }
    manual.push_str(&format!("calc whole = {}\n", deep(1_000_000)));
    let inspected = judge("m.manual", &manual, "job x\nmanual m\n2026-03-14 build\nend = 1 mm\n");
    let said = told(&inspected);
    assert!(said.contains("manual.faulty") && said.contains("151"), "{said}");
}

/// Names that nobody knows are told without being held against everything: who has so many has no manual.
#[test]
fn names_that_nobody_knows_are_told() {
    let mut log = "job x\n2026-03-14 build\n".to_owned();
    for number in 0..2_000 {
        log.push_str(&format!("thing {number} = 1 mm\ndid thing {number} again\n"));
    }
    let inspected = judge("", "", &log);
    let unknown = inspected.findings.iter().filter(|f| f.code == "unknown.feature");
    assert_eq!(unknown.count(), 2_000);
}

/// What weighs most is told, and what is left out weighs as much as its gravest: nothing passes because there was too much.
#[test]
fn findings_without_end_are_cut() {
    let mut log = "job x\n2026-03-14 build\n".to_owned();
    for number in 0..50_100 {
        log.push_str(&format!("thing {number} = 1 mm\n"));
    }
    log.push_str("did press together, force 6 t on press\n");
    let inspected = judge("", "", &log);
    assert_eq!(inspected.findings.len(), gudgeon::judge::MOST_FINDINGS + 1);
    assert!(inspected.findings.iter().any(|f| f.code == "danger.precaution"));
    let cut = inspected.findings.iter().find(|f| f.code == "text.too-much");
    let cut = cut.expect("it says so");
    assert_eq!(cut.severity, gudgeon::judge::Severity::Doubt);
    assert!(cut.message.contains("are not told"), "{}", cut.message);
    let line = inspected.source.lines.line_of(cut.span.start) + 1;
    assert!(line > 40_000, "it stands where the first is left out: {line}");
}

/// A row of steps each of which comes after the one before, and a circle at its end.
#[test]
fn a_long_row_of_steps_is_gone_through_once() {
    let mut manual = "manual m\nsource page 1\nprocedure p\n".to_owned();
    for number in 0..20_000 {
        manual.push_str(&format!("  step s{number}x  after s{}x\n", number + 1));
    }
    manual.push_str("  step s20000x  after s19990x\n");
    let library = gudgeon::workspace::Library::new();
    let inspected = gudgeon::workspace::inspect(
        "m.manual",
        std::path::Path::new(support::NOWHERE),
        gudgeon::workspace::Kind::Manual,
        manual.into_bytes(),
        &library,
    );
    let circle = inspected.findings.iter().find(|f| f.code == "manual.circle");
    assert!(
        circle.is_some_and(|f| f.message.contains("s19990x")),
        "{}",
        told(&inspected)
    );
}

/// Drawers of thousands of shims for hundreds of valves, figures too large to add, ways that cost more than there is money.
#[test]
fn a_stock_without_end_is_no_trouble() {
    let manual = "manual m\nsource page 1\nfeature gap\n  build 0.10 to 0.20 mm\nfeature shim\n  unit mm\nfeature shim to fit\n  unit mm\n\
                  calc gap with it = gap + shim - shim to fit\n  limits of gap\n  choose shim to fit from stock shims, up to 3 together\n";
    let mut log = "job x\nmanual m\n2026-03-14 build\n".to_owned();
    for valve in 0..300 {
        log.push_str(&format!(
            "gap of valve {valve} = 0.3 mm\nshim of valve {valve} = 2.{valve} mm\n"
        ));
    }
    log.push_str(&format!("stock shims: {} mm\n", "2.35 x9 ".repeat(1500).trim_end()));
    log.push_str("stock shims: 79228162514264337593543950335 x2 79228162514264337593543950335 2.5 mm\n");
    log.push_str(
        "option a: work 79228162514264337593543950335 EUR, more 79228162514264337593543950335 EUR, lasts 0 h\n",
    );
    log.push_str(
        "option b: 79228162514264337593543950335 x 79228162514264337593543950335 EUR, risk 900 % of 1 EUR, lasts 1 h\n",
    );
    let library = gudgeon::workspace::Library::new();
    library.give("m.manual", manual);
    for text in [
        log.clone(),
        log.replace("up to 3", "up to 1"),
        log.replace("79228162514264337593543950335", "2.4"),
    ] {
        let analysis = gudgeon::workspace::analyse(
            "x.rebuild",
            std::path::Path::new(support::NOWHERE),
            text.into_bytes(),
            &library,
        );
        gudgeon::judge::next::next(&analysis);
    }
}

/// Readings at the edges of what figures may be, through every function of the trade.
#[test]
fn no_reading_brings_a_function_down() {
    let huge = [
        "0",
        "-1",
        "1e9",
        "0.0000000001",
        "79228162514264337593543950335",
        "-79228162514264337593543950335",
        "45",
    ];
    for function in gudgeon::trade::all() {
        let sum = function.example.call;
        for figure in huge {
            // Each figure of the example in turn gives way to one at an edge.
            for (at, _) in sum.match_indices(|c: char| c.is_ascii_digit()) {
                let (before, after) = sum.split_at(at);
                let rest = after.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
                match gudgeon::calc::reckon::reckon(&format!("{before}{figure}{rest}")) {
                    Ok(reckoned) => assert!(!format!("{:?}", reckoned.worked.best).contains("NaN")),
                    Err(problem) => assert!(!problem.is_empty() && !problem.contains("NaN"), "{problem}"),
                }
            }
        }
    }
}
