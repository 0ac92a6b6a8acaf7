//! Decisions over whole logs: a wider doubt never proves more, every figure is a number, and the rule of acceptance is the manual's.

mod support;

use std::path::Path;

use gudgeon::judge::figures::Figure;
use gudgeon::quantity::Verdict;
use gudgeon::workspace::{Library, analyse};
use proptest::prelude::*;
use support::NOWHERE;

const RULES: [&str; 4] = ["plain", "guarded", "guarded at 95 %", "guarded at 60 %"];

/// Every figure of a log judged by a manual.
fn figures(manual: &str, log: &str) -> Vec<Figure> {
    let library = Library::new();
    library.give("m.manual", manual);
    let text = format!("job x\nmanual m\n{log}").into_bytes();
    gudgeon::judge::figures(&analyse("x.rebuild", Path::new(NOWHERE), text, &library))
}

fn verdicts(manual: &str, log: &str) -> Vec<(String, Option<Verdict>)> {
    figures(manual, log)
        .into_iter()
        .map(|figure| (figure.name, figure.decision.map(|d| d.verdict)))
        .collect()
}

/// A figure of thousandths of a millimetre as text.
fn mm(thousandths: u32) -> String {
    format!("{}.{:03}", thousandths / 1000, thousandths % 1000)
}

/// A manual with a limit of this kind on a size, on a sum of two, on one with a corner and on a bent one.
fn manual(rule: &str, lo: u32, hi: u32, ends: u8) -> String {
    let limit = |lo: u32, hi: u32| match ends {
        0 => format!("{} to {} mm", mm(lo), mm(hi)),
        1 => format!("up to {} mm", mm(hi)),
        _ => format!("at least {} mm", mm(lo)),
    };
    format!(
        "manual m\nsource page 1\ndecide {rule}\nfeature size\n  build {0}\nfeature other\n  unit mm\n\
         calc both = size + other\n  build {1}\ncalc larger = max(size, other)\n  build {0}\n\
         calc across = sqrt(size ^ 2 + other ^ 2)\n  build {1}\nfeature gap\n  build {0}\n",
        limit(lo, hi),
        limit(lo * 2, hi * 2)
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// What is not proven stays not proven, or becomes so, but never `in`, as the tool gets worse or the blades lie further apart; and what is
    /// `out` never becomes `in` either.
    #[test]
    fn a_wider_doubt_never_proves_more(
        size in 900u32..1100,
        other in 900u32..1100,
        lo in 900u32..1000,
        width in 1u32..120,
        ends in 0u8..3,
        good in 1u32..40,
        worse in 1u32..60,
        rule in prop::sample::select(&RULES[..]),
    ) {
        let manual = manual(rule, lo, lo + width, ends);
        let log = |good: u32, step: u32| {
            format!(
                "tool mic: micrometer, reads to 0.001 mm, good to {} mm\n2026-03-14 build\nsize = {} mm by mic\nother = {} mm by mic\n\
                 gap = go {}, no-go {} mm by feelers\n",
                mm(good), mm(size), mm(other), mm(size.saturating_sub(step)), mm(size + step)
            )
        };
        let fine = verdicts(&manual, &log(good, good));
        let coarse = verdicts(&manual, &log(good + worse, good + worse));
        prop_assert_eq!(fine.len(), coarse.len());
        for ((name, before), (_, after)) in fine.iter().zip(&coarse) {
            if *before != Some(Verdict::In) {
                prop_assert_ne!(*after, Some(Verdict::In), "{} {:?} {}\n{}{}", name, before, rule, &manual, log(good + worse, good + worse));
            }
        }
    }

    /// Nothing but numbers comes out, whatever is written: no probability beyond 0 and 1, no negative uncertainty, no share of more than the whole.
    #[test]
    fn every_figure_is_a_number(
        size in "[0-9]{1,12}[.][0-9]{0,8}",
        again in "[0-9]{1,6}[.][0-9]{1,8}",
        good in "[0-9]{1,6}[.][0-9]{1,8}",
        zero in "[-+][0-9]{1,6}[.][0-9]{1,4}",
        heat in "-?[0-9]{1,5}",
        k in "[0-9]{1,4}",
        rule in prop::sample::select(&RULES[..]),
    ) {
        let manual = manual(rule, 900, 1000, 0).replace("feature other\n", "feature other\n  material aluminium\n");
        let log = format!(
            "tool mic: micrometer, good to {good} mm, zero {zero} mm, repeats to {again} mm\ntool odd: odd, good to {k} %\n2026-03-14 build\n\
             size = {size} {again} {size} mm by mic at {heat} C, steel\nother = {again} mm by odd at {heat} C\n\
             size = {size} ± {good} mm, k {k}\ngap = {size} {again} mm at 0 180 by mic\n"
        );
        for figure in figures(&manual, &log) {
            let estimate = &figure.estimate;
            prop_assert!(estimate.combined.u >= 0.0 && estimate.combined.u.is_finite(), "{}: {:?}", figure.name, estimate);
            prop_assert!(estimate.combined.dof > 0.0, "{}: {:?}", figure.name, estimate);
            if let Some(p) = figure.decision.and_then(|d| d.probability) {
                prop_assert!((0.0..=1.0).contains(&p), "{}: {p}", figure.name);
            }
            let whole: f64 = figure.budget.iter().map(|entry| entry.part).sum();
            prop_assert!(figure.budget.iter().all(|entry| entry.part >= 0.0) && whole < 1.000_001, "{}: {whole}", figure.name);
        }
    }
}

/// ISO 14253-1 and JCGM 106 in a log: 25.000 mm is the most allowed; a reading of 24.998 with a standard uncertainty of 0.002 is 84 % likely to be in
/// (reference: JCGM 106:2012, 7.3, by calculation).
#[test]
fn one_reading_by_each_rule() {
    let decide = |rule: &str| {
        let manual = format!("manual m\nsource page 1\ndecide {rule}\nfeature bore\n  build 24.980 to 25.000 mm\n");
        let all = figures(&manual, "2026-03-14 build\nbore = 24.998 ± 0.004 mm, k 2\n");
        let decision = all.first().and_then(|figure| figure.decision).expect("decided");
        (
            decision.verdict,
            decision.is_close,
            decision.probability.expect("a distribution"),
        )
    };
    for (rule, verdict, close) in [
        ("plain", Verdict::In, true),
        ("guarded", Verdict::NotProven, false),
        ("guarded at 95 %", Verdict::NotProven, false),
        ("guarded at 80 %", Verdict::In, false),
    ] {
        let (got, is_close, p) = decide(rule);
        assert_eq!((got, is_close), (verdict, close), "{rule}");
        assert!((p - 0.841_345).abs() < 1e-6, "{rule}: {p}");
    }
}

/// A run-out is as bad to one side as to the other, whoever asks: the findings and the figures of `gudgeon why` are decided in one place.
#[test]
fn a_run_out_below_zero_is_out_by_its_size() {
    let manual = "manual m\nsource page 1\nfeature run-out\n  build up to 0.03 mm\n";
    let log = "2026-03-14 build\nrun-out = -0.06 mm by dial\n";
    assert_eq!(verdicts(manual, log), [("run-out".to_owned(), Some(Verdict::Out))]);
    let library = Library::new();
    library.give("m.manual", manual);
    let text = format!("job x\nmanual m\n{log}").into_bytes();
    let findings = analyse("x.rebuild", Path::new(NOWHERE), text, &library).findings;
    assert_eq!(
        findings.iter().map(|f| f.message.as_str()).collect::<Vec<_>>(),
        ["run-out is -0.06 mm, 0.03 mm over (build limit up to 0.03 mm)"]
    );
}

/// How much it weighs that a figure is not proven where a manual asks for proof: as much as if it were out, read or worked out.
#[test]
fn what_a_manual_wants_proven_weighs_as_much_as_what_is_out() {
    let manual = "manual m\nsource page 1\ndecide guarded\nfeature bore\n  build 24.980 to 25.000 mm\n  service 24.980 to 25.000 mm\n\
                  feature size\n  unit mm\ncalc room = bore - size\n  build 0.040 to 0.060 mm\n";
    let weighs = |log: &str| {
        let library = Library::new();
        library.give("m.manual", manual);
        let text = format!("job x\nmanual m\n{log}").into_bytes();
        let findings = analyse("x.rebuild", Path::new(NOWHERE), text, &library).findings;
        let of = |f: &gudgeon::judge::finding::Finding| (f.code == "limit.not-proven").then_some(f.severity);
        findings.iter().filter_map(of).collect::<Vec<_>>()
    };
    use gudgeon::judge::finding::Severity::{Doubt, Fault, Open};
    assert_eq!(weighs("2026-03-14 build\nbore = 24.998 ± 0.004 mm\n"), [Fault]);
    assert_eq!(weighs("2026-03-14 as found\nbore = 24.998 ± 0.004 mm\n"), [Open]);
    let accepted = "2026-03-14 build\nbore = 24.998 ± 0.004 mm\nfix bore, because the pump maker has agreed to it\n";
    assert_eq!(weighs(accepted), [Doubt]);
    let worked = "2026-03-14 build\nbore = 24.990 ± 0.004 mm\nsize = 24.931 ± 0.001 mm\n";
    assert_eq!(weighs(worked), [Fault]);
    let blades = "2026-03-14 build\nbore = go 24.99, no-go 25.01 mm\n";
    assert_eq!(weighs(blades), [Fault]);
}

/// Over every log of the samples: what `inspect` counts is what `gudgeon why` shows.
#[test]
fn the_count_and_the_figures_agree() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut asked = 0;
    for folder in ["samples/as-written", "samples/corrected", "tests/clean"] {
        let folder = root.join(folder);
        for entry in std::fs::read_dir(&folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.extension().is_none_or(|ext| ext != "rebuild") {
                continue;
            }
            let bytes = std::fs::read(&path).expect("a log");
            let analysis = analyse("x.rebuild", &folder, bytes, &Library::new());
            let grave = |verdict| match verdict {
                Verdict::In => 0,
                Verdict::NotProven => 1,
                Verdict::Out => 2,
            };
            // A ring counts once, by its worst figure.
            let mut worst = std::collections::BTreeMap::new();
            for figure in gudgeon::judge::figures(&analysis) {
                let Some(decision) = figure.decision.filter(|_| !figure.is_forecast) else {
                    continue;
                };
                let line = analysis.source.lines.line_of(figure.span.start);
                let known = worst.entry((figure.is_derived, line, figure.name)).or_insert(0);
                *known = grave(decision.verdict).max(*known);
            }
            let count = |wanted| worst.values().filter(|known| **known == wanted).count();
            let tally = analysis.tally;
            assert_eq!(
                (count(0), count(1), count(2)),
                (tally.inside, tally.not_proven, tally.out),
                "{}",
                path.display()
            );
            asked += worst.len();
        }
    }
    assert!(asked > 500, "{asked}");
}
