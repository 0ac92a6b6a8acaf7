//! What a log says about a reading, a tool or an hour stands in the job as it was said.

#![allow(clippy::unwrap_used)] // A test that cannot set itself up has failed.

use gudgeon::model::job::{Job, Reading, ReadingKind, Stated};
use gudgeon::model::{Book, lower_job};
use gudgeon::quantity::{Band, number};
use gudgeon::syntax::parse_log;
use gudgeon::uncertainty::Shape;
use rust_decimal::Decimal;

/// A log lowered without a manual, and the codes of its problems.
fn lowered(text: &str) -> (Job, Vec<&'static str>) {
    let tree = parse_log(text);
    let mut problems: Vec<&str> = tree.errors.iter().map(|error| error.code).collect();
    let (job, more) = lower_job(&tree, text, &Book::default());
    problems.extend(more.iter().map(|error| error.code));
    (job, problems)
}

/// A log that is read without complaint.
fn sound(text: &str) -> Job {
    let (job, problems) = lowered(text);
    assert!(problems.is_empty(), "{problems:?} of {text}");
    job
}

/// The last reading of a sound log.
fn reading(text: &str) -> Reading {
    sound(text).readings.pop().unwrap()
}

fn dec(text: &str) -> Decimal {
    number::parse(text).unwrap()
}

mod readings {
    use super::*;

    #[test]
    fn a_tool_is_found_above_its_use_and_below_it() {
        let job = sound(
            "job x\ntool dial: dial indicator\n2026-03-14 build\nbore = 72.01 mm by bore gauge\nend float = 0.1 mm by Dial\nstroke = 54.1 mm\n\
             tool bore gauge: bore gauge, good to 0.004 mm\n",
        );
        let tools: Vec<Option<usize>> = job.readings.iter().map(|reading| reading.tool_index).collect();
        assert_eq!(tools, [Some(1), Some(0), None]);
    }

    #[test]
    fn a_tool_that_is_good_to_something_does_not_widen_the_figure() {
        let reading =
            reading("job x\ntool mic: micrometer, good to 0.004 mm\n2026-03-14 build\npin = 52.00 mm by mic\n");
        assert_eq!(reading.points[0].band, Band::exact(dec("52.00")));
        assert_eq!(reading.points[0].half_width, None);
    }

    #[test]
    fn the_temperature_of_the_part_is_in_celsius() {
        for (line, celsius) in [
            ("bore = 54.050 mm at 24 C", "24"),
            ("bore = 54.050 mm by gauge at 75.2 F, wet", "24"),
            ("bore = 54.050 mm, at 24 C", "24"),
            ("bore = 54.050 mm at 80°, at 24 C", "24"),
        ] {
            let reading = reading(&format!("job x\n2026-03-14 build\n{line}\n"));
            assert_eq!(reading.temperature, Some(dec(celsius)), "{line}");
        }
        assert_eq!(
            reading("2026-03-14 build\nrun-out = 0.07 mm high at 80°\n").temperature,
            None
        );
    }

    #[test]
    fn the_heading_of_a_table_holds_for_every_cell() {
        let job = sound(
            "job x\n2026-03-14 build\nbore = mm by bore gauge at 24 C, aluminium\n           along   across\n   top   72.012  72.010\n   low   72.015  72.011\n",
        );
        assert_eq!(job.readings.len(), 4);
        for reading in &job.readings {
            assert_eq!(reading.temperature, Some(dec("24")));
            assert_eq!(reading.material.unwrap().name, Some("aluminium"));
        }
    }

    #[test]
    fn a_material_is_a_detail_that_is_just_its_name() {
        let of = |line: &str| {
            reading(&format!("job x\n2026-03-14 build\n{line}\n"))
                .material
                .and_then(|m| m.name)
        };
        assert_eq!(of("bore = 54.050 mm at 50 C, Cast  Iron"), Some("cast iron"));
        assert_eq!(of("bore = 54.050 mm, on aluminium jaws"), None);
        assert_eq!(of("bore = 54.050 mm\nfix bore, steel"), Some("steel"));
    }

    #[test]
    fn a_doubt_behind_plus_minus_stands_beside_the_exact_middle() {
        let reading = reading("job x\n2026-03-14 build\nend float = 0.15 ± 0.02 mm\n");
        assert_eq!(reading.kind, ReadingKind::PlusMinus);
        assert_eq!(reading.points[0].band, Band::exact(dec("0.15")));
        assert_eq!(reading.points[0].half_width, Some(dec("0.02")));
        assert_eq!(reading.stated, Stated::Within(Shape::Rectangular));
    }

    #[test]
    fn a_doubt_is_a_difference_in_the_units_of_the_figure() {
        let half = |line: &str| reading(&format!("job x\n2026-03-14 build\n{line}\n")).points[0].half_width;
        // 9 °F either way is 5 °C: no offset.
        assert_eq!(half("oven = 212 ± 9 F"), Some(dec("5")));
        assert_eq!(half("end float = 0.15 mm ± 20 µm"), Some(dec("0.02")));
        // 4 % of 25 N·m is 1 N·m, and the base unit of torque is 1/1 000 000 of that.
        assert_eq!(half("head = 25 N·m ± 4 %"), Some(dec("1000000")));
    }

    #[test]
    fn a_doubt_of_another_kind_is_a_fault() {
        let (_, problems) = lowered("job x\n2026-03-14 build\nend float = 0.15 mm ± 2 N\n");
        assert_eq!(problems, ["reading.wrong-dimension"]);
    }

    #[test]
    fn how_the_doubt_is_meant_stands_behind_a_comma() {
        for (detail, stated) in [
            ("k 2", Stated::Expanded(2.0)),
            ("k=2", Stated::Expanded(2.0)),
            ("K = 1.96", Stated::Expanded(1.96)),
            ("rectangular", Stated::Within(Shape::Rectangular)),
            ("triangular", Stated::Within(Shape::Triangular)),
            ("arcsine", Stated::Within(Shape::Arcsine)),
            ("trapezoidal", Stated::Within(Shape::Trapezoidal(0.5))),
        ] {
            let reading = reading(&format!(
                "job x\n2026-03-14 build\nbore = 54.050 ± 0.004 mm, {detail}\n"
            ));
            assert_eq!(reading.stated, stated, "{detail}");
        }
        let amended = reading("job x\n2026-03-14 build\nbore = 54.050 ± 0.004 mm\nfix bore, k 2\n");
        assert_eq!(amended.stated, Stated::Expanded(2.0));
    }

    #[test]
    fn a_coverage_factor_without_a_doubt_or_of_nothing_is_not_lost() {
        for line in [
            "bore = 54.050 mm, k 2",
            "bore = 54.050 ± 0.004 mm, k 0",
            "bore = 54.050 ± 0.004 mm, k -2",
        ] {
            let (job, problems) = lowered(&format!("job x\n2026-03-14 build\n{line}\n"));
            assert_eq!(problems, ["reading.stray-figure"], "{line}");
            let reading = &job.readings[0];
            let is_used =
                reading.kind == ReadingKind::PlusMinus && reading.stated != Stated::Within(Shape::Rectangular);
            assert!(!is_used, "{line}");
        }
    }

    #[test]
    fn a_ring_keeps_its_angles() {
        let ring = reading("job x\n2026-03-14 build\nweb width = 52.03 52.02 52.03 52.03 by mic at 0 90 180 270.5\n");
        assert_eq!(ring.angles, [dec("0"), dec("90"), dec("180"), dec("270.5")]);
        assert!(
            reading("job x\n2026-03-14 build\nweb width = 52.03 52.02 mm\n")
                .angles
                .is_empty()
        );
        let (job, _) = lowered("job x\n2026-03-14 build\nweb width = 52.03 52.02 at 0 90 180 mm\n");
        assert!(job.readings[0].angles.is_empty(), "there are more angles than figures");
    }

    #[test]
    fn a_correction_of_a_figure_leaves_its_doubt_alone_unless_it_says_another() {
        let mended = |fix: &str| {
            let reading = reading(&format!(
                "job x\n2026-03-14 build\nend float = 0.51 ± 0.02 mm\nfix {fix}\n"
            ));
            let point = reading.points[0];
            (point.band, point.half_width, reading.kind)
        };
        let exact = |figure| Band::exact(dec(figure));
        assert_eq!(
            mended("end float 0.51 -> 0.15 mm"),
            (exact("0.15"), Some(dec("0.02")), ReadingKind::PlusMinus)
        );
        assert_eq!(
            mended("end float 0.51 ± 0.02 -> 0.15 ± 0.01 mm"),
            (exact("0.15"), Some(dec("0.01")), ReadingKind::PlusMinus)
        );
        assert_eq!(
            mended("end float 0.51 ± 0.02 -> 0.15 mm"),
            (exact("0.15"), None, ReadingKind::Single)
        );
        let (_, problems) =
            lowered("2026-03-14 build\nend float = 0.51 ± 0.02 mm\nfix end float 0.51 ± 0.03 -> 0.15 mm\n");
        assert_eq!(problems, ["fix.no-target"], "that doubt was not written");
    }

    #[test]
    fn a_single_figure_gains_its_doubt_by_a_correction() {
        let reading = reading("job x\n2026-03-14 build\nend float = 0.15 mm\nfix end float 0.15 -> 0.15 ± 0.02 mm\n");
        assert_eq!(reading.kind, ReadingKind::PlusMinus);
        assert_eq!(reading.points[0].half_width, Some(dec("0.02")));
    }

    #[test]
    fn a_blade_that_was_miswritten_is_mended_and_the_other_stays() {
        let reading =
            reading("job x\n2026-03-14 build\nside play = go 0.40, no-go 0.55 mm\nfix side play 0.55 -> 0.45 mm\n");
        assert_eq!(reading.points[0].band, Band::blades(dec("0.40"), dec("0.45")));
    }
}

mod tools {
    use gudgeon::model::tools::Tool;
    use gudgeon::quantity::Dimension;

    use super::*;

    fn tool(facts: &str) -> Tool {
        sound(&format!("job x\ntool t: {facts}\n")).tools.pop().unwrap()
    }

    #[test]
    fn every_fact_is_kept_in_base_units() {
        let length = |figure: &str| Some((dec(figure), Dimension::LENGTH));
        let mic = tool(
            "micrometer, reads to 10 µm, good to 0.004 mm, repeats to 1 µm, zero -0.002 mm, at 75.2 F, due 2027-01-31",
        );
        assert_eq!(mic.kind, "micrometer");
        assert_eq!(mic.reads_to, length("0.01"));
        assert_eq!(mic.good_to, length("0.004"));
        assert_eq!(mic.good_to_share, None);
        assert_eq!(mic.repeats_to, length("0.001"));
        assert_eq!(mic.zero, length("-0.002"));
        assert_eq!(mic.temperature, Some(dec("24")));
        assert_eq!(mic.due.unwrap().key, "2027-01-31");
        assert_eq!(tool("micrometer, zero +0.002 mm").zero, length("0.002"));
    }

    #[test]
    fn a_wrench_is_good_to_a_share_of_the_figure_within_its_range() {
        let wrench = tool("torque wrench, range 10 to 60 N·m, good to 4 %");
        assert_eq!(wrench.good_to_share, Some(dec("0.04")));
        assert_eq!(wrench.good_to, None);
        let (least, most, dimension) = wrench.range.unwrap();
        // 1 N·m is 1 000 000 of the base unit, kg·mm²/s².
        assert_eq!((least, most), (dec("10000000"), dec("60000000")));
        assert_eq!(dimension, Dimension::TORQUE);
        assert_eq!(
            tool("micrometer, range 50-75 mm").range,
            Some((dec("50"), dec("75"), Dimension::LENGTH))
        );
    }

    #[test]
    fn the_place_of_a_due_date_is_its_own() {
        let text = "job x\ntool mic: micrometer,  due   2027-01-31 # at the makers\n";
        let due = sound(text).tools.pop().unwrap().due.unwrap();
        assert_eq!(due.span.text(text), "2027-01-31");
        let (_, problems) = lowered("tool mic: micrometer, due 2027-02-30\n");
        assert_eq!(problems, ["day.invalid"]);
    }

    #[test]
    fn what_is_not_understood_of_a_tool_is_said() {
        for fact in [
            "at 24",
            "good to -0.004 mm",
            "range 60 N·m",
            "due 31.1.2027",
            "repeats to 3",
            "at 24 mm",
        ] {
            let (_, problems) = lowered(&format!("tool t: gauge, {fact}\n"));
            assert_eq!(problems, ["tool.fact"], "{fact}");
        }
        let (_, problems) = lowered("tool t: gauge, repeats to 0.001 mn\n");
        assert_eq!(problems, ["unknown.unit"]);
    }
}

mod manuals {
    use std::sync::Arc;

    use gudgeon::model::book::BookManual;
    use gudgeon::model::lower_manual;
    use gudgeon::model::manual::Manual;
    use gudgeon::syntax::{Source, parse_manual};
    use gudgeon::uncertainty::Acceptance;

    use super::*;

    fn read(text: &str) -> (Manual, Vec<String>) {
        let tree = parse_manual(text);
        let mut problems: Vec<String> = tree.errors.iter().map(|error| error.code.to_owned()).collect();
        let (manual, more) = lower_manual(&tree, &Arc::new(Source::new("m.manual", text)));
        problems.extend(
            more.iter()
                .map(|error| format!("{}: {}; {}", error.code, error.message, error.help)),
        );
        (manual, problems)
    }

    fn sound_manual(text: &str) -> Manual {
        let (manual, problems) = read(text);
        assert!(problems.is_empty(), "{problems:?} of {text}");
        manual
    }

    fn book(texts: &[&str]) -> Book {
        let manuals = texts.iter().map(|text| BookManual {
            source: Arc::new(Source::new("m.manual", *text)),
            manual: Arc::new(sound_manual(text)),
            on_shelf: false,
            root: 0,
        });
        Book::new(manuals.collect())
    }

    #[test]
    fn a_feature_is_accepted_by_its_own_rule_else_by_the_manuals() {
        let book = book(&[
            "manual m\nfeature pin\n  unit mm\n  decide guarded at 95 %\nfeature bore\n  unit mm\n",
            "manual n\ndecide guarded\nfeature bore\n  nominal 72.00 mm\n",
        ]);
        let rule = |name: &str| book.acceptance(&book.features[book.feature(name).unwrap()]);
        assert_eq!(rule("pin"), Some(Acceptance::Probable(0.95)));
        assert_eq!(rule("bore"), Some(Acceptance::Guarded));
    }

    #[test]
    fn a_rule_of_acceptance_that_is_none_is_a_fault_with_a_way_out() {
        for rule in [
            "strict",
            "guarded at 50 %",
            "guarded at 100 %",
            "guarded at 95",
            "guarded at 95 % or so",
        ] {
            let (manual, problems) = read(&format!("manual m\ndecide {rule}\n"));
            assert_eq!(manual.decide, None);
            assert!(problems[0].starts_with("manual.decide: "), "{problems:?}");
            assert!(problems[0].contains("`guarded at 95 %`"), "{problems:?}");
        }
        let (_, problems) = read("manual m\nprocedure p\n  decide plain\n");
        assert!(problems[0].starts_with("manual.stray: "), "{problems:?}");
    }

    #[test]
    fn a_material_is_a_name_or_a_coefficient_of_its_own() {
        let of = |line: &str| {
            let manual = sound_manual(&format!("manual m\nfeature pin\n  {line}\n"));
            manual.features[0].material.unwrap()
        };
        let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
        assert_eq!(of("material Cast Iron").name, Some("cast iron"));
        let own = of("material 23.4 ± 2 ppm/K");
        assert!(
            own.name.is_none() && near(own.expansion, 23.4e-6) && near(own.spread, 2e-6),
            "{own:?}"
        );
        assert_eq!(own.words(), "23.4 ± 2.0 ppm/K");
        let bare = of("material 23.4 ppm/K");
        assert!(near(bare.spread, 0.05e-6), "half a unit of its last digit: {bare:?}");
    }

    #[test]
    fn a_material_that_is_not_known_is_named_with_the_nearest() {
        for (line, code, says) in [
            ("material steal", "unknown.material", "`steel` is near"),
            ("material 4140 steel", "unknown.material", "`4140 steel`"),
            ("material 23 mm", "manual.limit", "a length here"),
            ("material 23", "manual.limit", "no unit"),
            ("material 2300 ppm/K", "manual.limit", "look at the unit"),
        ] {
            let (manual, problems) = read(&format!("manual m\nfeature pin\n  {line}\n"));
            assert!(manual.features[0].material.is_none());
            assert!(
                problems.len() == 1 && problems[0].starts_with(code) && problems[0].contains(says),
                "{line}: {problems:?}"
            );
        }
    }

    #[test]
    fn what_parts_may_differ_by_is_a_band_from_nought_and_a_difference() {
        let alike = |lines: &str| {
            let manual = sound_manual(&format!("manual m\nsource page 1\nfeature f\n{lines}"));
            let feature = manual.features.into_iter().next().unwrap();
            (feature.alike.unwrap(), feature.unit.map(|unit| unit.symbol))
        };
        // The base unit of mass is the kilogramme.
        let (mass, unit) = alike("  alike within 1 g, source page 12\n");
        assert_eq!(mass.band, Band::between(dec("0"), dec("0.001")));
        assert_eq!(mass.source.as_deref(), Some("page 12"));
        assert_eq!(unit, None, "a difference says nothing of the unit of the whole");
        let (bore, unit) = alike("  alike within 20 µm\n  build 72.00 to 72.02 mm\n");
        assert_eq!((bore.words().as_str(), unit), ("0 to 20 µm", Some("mm")));
        let (heat, _) = alike("  alike within 9 F\n");
        assert_eq!(heat.band, Band::between(dec("0"), dec("5")));
        assert_eq!(heat.words(), "0 to 5 °C");
    }

    #[test]
    fn what_is_no_difference_of_that_feature_is_a_fault() {
        for lines in [
            "  alike within 1 g\n  build 72.00 to 72.02 mm\n",
            "  alike 0.1 to 0.2 mm\n",
            "  alike within -1 mm\n",
            "  alike up to rating of press\n",
        ] {
            let (_, problems) = read(&format!("manual m\nsource page 1\nfeature f\n{lines}"));
            assert!(
                problems.len() == 1 && problems[0].starts_with("manual.limit"),
                "{lines}: {problems:?}"
            );
        }
        let (manual, problems) = read("manual m\nfeature f\n  alike within 1 mm\n  alike within 2 mm\n");
        assert!(
            problems.len() == 1 && problems[0].starts_with("manual.duplicate"),
            "{problems:?}"
        );
        assert_eq!(manual.features[0].alike.as_ref().unwrap().band.hi, Some(dec("1")));
    }
}

mod hours {
    use super::*;

    #[test]
    fn what_the_meter_showed_is_kept_in_order() {
        let job = sound("job x\nhours 312\n2026-03-14 build\npin = 52.00 mm\nhours 312.5 h\nhours 31240 km\n");
        let shown: Vec<(Decimal, &str, usize)> = job
            .hours
            .iter()
            .map(|meter| (meter.value, meter.unit.symbol, meter.event))
            .collect();
        assert_eq!(
            shown,
            [(dec("312"), "h", 0), (dec("312.5"), "h", 1), (dec("31240"), "km", 1)]
        );
        // An hour is 3600 s.
        assert_eq!(job.hours[0].base, dec("1123200"));
    }

    #[test]
    fn a_meter_does_not_run_backwards_but_two_meters_may_differ() {
        let (_, problems) = lowered("job x\nhours 312\n2026-03-14 build\nhours 132\nhours 310\nhours 313\n");
        assert_eq!(problems, ["hours.backwards", "hours.backwards"]);
        sound("job x\nhours 31240 km\n2026-03-14 build\nhours 312\nhours 31240 km\n");
    }

    #[test]
    fn the_time_of_day_is_in_minutes() {
        let job =
            sound("job x\n2026-03-14 build\n9:40 did true crank\nfound webs: good, reuse\n14:05 pin = 52.00 mm\n");
        let times: Vec<Option<u16>> = job.events.iter().map(|event| event.time).collect();
        assert_eq!(times, [Some(580), None, Some(845)]);
    }

    #[test]
    fn time_runs_forward_within_a_day() {
        sound("2026-03-14 build\n23:50 did a\n2026-03-15\n00:20 did b\n00:20 did c\n");
        let (_, problems) = lowered("2026-03-14 build\n23:50 did a\n00:20 did b\n23:55 note on\n");
        assert_eq!(problems, ["day.time"]);
        let (_, problems) = lowered("2026-03-14 as found\n10:00 did a\n2026-03-14 build\n09:00 did b\n");
        assert_eq!(problems, ["day.time"], "the day goes on with another stage");
        let (job, problems) = lowered("2026-03-14 build\n24:10 did a\n09:75 did b\n");
        assert_eq!(problems, ["day.time", "day.time"]);
        assert_eq!(job.events[0].time, None);
    }
}
