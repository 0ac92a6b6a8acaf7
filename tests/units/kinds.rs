//! Temperatures and differences, pressures above the air's and absolute ones: judged right, and said where they are mixed.

use super::support::told;
use super::{judge, said, said_of_manual};

/// A boss of 60 mm grows by 23e-6 · 60 · ΔT: to be 0.10 to 0.14 mm, and the heat above the shop's to be 80 to 100 K.
const SHRINK: &str = "manual m\nsource page 1\nunits mm\nfeature seat size\n  unit mm\nfeature case heat\n  unit °C\n\
                      calc growth = 23 ppm/K * seat size * (case heat - 20 °C)\n  build 0.10 to 0.14 mm\n\
                      calc rise = case heat - 20 °C\n  build 80 to 100 °C\n\
                      calc rise in f = case heat - 68 °F\n  build 144 to 180 °F\n";

/// Worked by hand: 23e-6 · 60 · (110 − 20) = 0.1242 mm; 230 °F is 110 °C. With the 32° taken off the difference it would be 0.148 mm.
#[test]
fn expansion_is_judged_alike_in_celsius_and_fahrenheit() {
    for heat in ["110 °C", "110 C", "230 °F", "230 F", "383.15 K"] {
        let log = |claims: &str| {
            format!("job x\nmanual m\n2026-03-14 build\nseat size = 60.00 mm\ncase heat = {heat}\n{claims}")
        };
        for right in [
            "growth = 0.124 mm",
            "rise = 90 °C",
            "rise = 162 °F",
            "rise = 90 K",
            "rise in f = 162 °F",
            "rise in f = 90 C",
        ] {
            let said = said(SHRINK, &log(&format!("{right}\n")));
            assert!(said.is_empty(), "{heat}, {right}: {said:?}");
        }
        // The figure that the trap would give: 130 °F of difference less 32, or 0.148 mm.
        for wrong in ["growth = 0.148 mm", "rise = 72 °C", "rise in f = 130 °F"] {
            let said = said(SHRINK, &log(&format!("{wrong}\n")));
            let codes: Vec<&str> = said.iter().map(|s| s.1).collect();
            assert_eq!(codes, ["calc.disagrees"], "{heat}, {wrong}");
        }
    }
}

#[test]
fn the_units_line_holds_for_differences_too() {
    let log = |rise: &str| {
        format!("job x\nmanual m\nunits mm, °F\n2026-03-14 build\nseat size = 60.00\ncase heat = 230\nrise = {rise}\n")
    };
    let right = said(SHRINK, &log("162"));
    assert!(right.is_empty(), "{right:?}");
    let wrong = said(SHRINK, &log("90"));
    assert_eq!(wrong.len(), 1, "{wrong:?}");
    assert_eq!(wrong[0].2, "rise is written as 90 °F, but comes to 162 °F");
}

#[test]
fn a_difference_is_mended_as_one() {
    let log = "job x\nmanual m\n2026-03-14 build\nseat size = 60.00 mm\ncase heat = 230 °F\nrise = 126 °F\n\
               fix rise 126 -> 162 °F, two figures swapped\n";
    let said = said(SHRINK, log);
    assert!(said.is_empty(), "{said:?}");
}

#[test]
fn a_difference_is_shown_without_the_offset() {
    // 140 °C is 120 K above 20 °C, and 216 °F of difference.
    let log = "job x\nmanual m\n2026-03-14 build\nseat size = 60 mm\ncase heat = 140 °C\n";
    let said = said(SHRINK, log);
    let messages: Vec<&str> = said.iter().map(|s| s.2.as_str()).collect();
    assert_eq!(
        messages,
        [
            "growth comes to 0.1656 mm, 0.0256 mm over (build limit 0.10 to 0.14 mm)",
            "rise comes to 120 °C, 20 °C over (build limit 80 to 100 °C)",
            "rise in f comes to 216 °F, 36 °F over (build limit 144 to 180 °F)",
        ]
    );
}

#[test]
fn sums_with_temperatures_that_mean_nothing_are_errors_of_the_manual() {
    let head =
        "manual m\nsource page 1\nfeature oven\n  unit °C\nfeature bore\n  unit mm\nfeature intake\n  unit bar abs\n";
    for (sum, message) in [
        ("oven + oven", "a temperature cannot be added to a temperature"),
        ("oven + 5 °C", "a temperature cannot be added to a temperature"),
        (
            "5 K - oven",
            "a temperature cannot be taken from a temperature difference",
        ),
        ("-oven", "a temperature cannot be taken with the other sign"),
        ("oven * 2", "a temperature cannot be multiplied with a plain number"),
        ("2 / oven", "a plain number cannot be divided by a temperature"),
        ("oven ^ 2", "a temperature cannot be raised to a power"),
        ("total(oven)", "a temperature cannot be added up"),
        ("abs(oven)", "a temperature cannot be taken without its sign"),
        ("sqrt(oven)", "a temperature cannot be put under a root"),
        (
            "min(oven, 5 K)",
            "a temperature difference cannot be compared with a temperature",
        ),
        ("oven + bore", "a temperature cannot be added to a length"),
        (
            "23 ppm/K * bore * oven",
            "length/temperature cannot be multiplied with a temperature",
        ),
        (
            "intake + intake",
            "an absolute pressure cannot be added to an absolute pressure",
        ),
        ("1 bar - intake", "an absolute pressure cannot be taken from a pressure"),
        ("total(intake)", "an absolute pressure cannot be added up"),
        ("bore + 1 N", "a length cannot be added to a force"),
    ] {
        let said = said_of_manual(&format!("{head}calc x = {sum}\n"));
        let [(code, got, help)] = said.as_slice() else {
            panic!("{sum}: {said:?}");
        };
        assert_eq!((*code, got.as_str()), ("calc.dimension", message), "{sum}");
        if message.contains("temperature") {
            assert!(help.contains("write `T - 20 °C`"), "{sum}: {help}");
        }
    }
    for right in [
        "oven - 20 °C",
        "oven - -18 °C",
        "oven + 5 K",
        "5 K + oven",
        "(oven - 20 °C) / 2",
        "abs(oven - 20 °C)",
        "smallest(oven)",
        "mean(oven)",
        "spread(oven) * 23 ppm/K * bore",
        "max(oven, 20 °C)",
        "intake - 1.013 bar abs",
        "intake + 0.5 bar",
        "intake / 1.013 bar abs",
        "intake * bore ^ 2",
    ] {
        let said = said_of_manual(&format!("{head}calc x = {right}\n"));
        assert!(said.is_empty(), "{right}: {said:?}");
    }
}

#[test]
fn a_limit_of_another_kind_than_its_sum_is_an_error_of_the_manual() {
    let head = "manual m\nsource page 1\nfeature intake\n  unit bar abs\nfeature oven\n  unit °C\n";
    let said = said_of_manual(&format!(
        "{head}calc boost = intake - 1.013 bar abs\n  build 0.8 to 1.1 bar abs\n"
    ));
    assert_eq!(
        said,
        [(
            "calc.dimension",
            "this sum gives a pressure, but the limit of boost is an absolute pressure".to_owned(),
            "add the air's pressure of that day and write the sum in `bar abs`, or write the unit that was meant"
                .to_owned()
        )]
    );
    // A temperature may be limited in kelvin.
    let manual = format!("{head}calc set point = oven + 5 K\n  build 370 to 380 K\n");
    assert!(said_of_manual(&manual).is_empty());
    let log = "job x\nmanual m\n2026-03-14 build\noven = 95 °C\n";
    let findings = judge("m.manual", &manual, log);
    assert!(findings.findings.is_empty(), "{}", told(&findings));
}

const GAUGES: &str = "manual m\nsource page 1\nunits bar\nfeature crankcase pressure\n  build 0.4 to 0.6 bar\n\
                      feature intake pressure\n  build 1.8 to 2.0 bar abs\nfeature wall\n  build 1.00 to 1.10 mm\n\
                      feature room\n  build 18 to 22 °C\nprocedure p\n  step leak test; pressure up to 0.6 bar\n  step hold; vacuum up to 20 mbar abs\n";

#[test]
fn readings_of_the_wrong_kind_say_what_to_do() {
    for (line, message, help) in [
        (
            "crankcase pressure = 1.5 bar abs",
            "crankcase pressure is a pressure, but this figure is an absolute pressure",
            "take off the air's pressure of that day and write the rest in `bar`, or write the unit that was meant",
        ),
        (
            "intake pressure = 1.9 bar",
            "intake pressure is an absolute pressure, but this figure is a pressure",
            "add the air's pressure of that day and write the sum in `bar abs`, or write the unit that was meant",
        ),
        (
            "did leak test, pressure 1.5 bar abs",
            "pressure is to be up to 0.6 bar, but this is an absolute pressure",
            "take off the air's pressure of that day and write the rest in `bar`, or write the unit that was meant",
        ),
        (
            "did hold, vacuum 20 mbar",
            "vacuum is to be up to 20 mbar abs, but this is a pressure",
            "add the air's pressure of that day and write the sum in `bar abs`, or write the unit that was meant",
        ),
        (
            "wall = 1.05 kg",
            "wall is a length, but this figure is a mass",
            "look at the unit, or at the name",
        ),
        (
            "wall = 1.05 mm ± 1 kg",
            "the figure is a length, but what stands behind `±` is a mass",
            "give both in units of the same kind, or the doubt as a share: `± 4 %`",
        ),
    ] {
        let said = said(GAUGES, &format!("job x\nmanual m\n2026-03-14 build\n{line}\n"));
        let wrong: Vec<_> = said.iter().filter(|s| s.1 == "reading.wrong-dimension").collect();
        let [(4, _, got, advice)] = wrong.as_slice() else {
            panic!("{line}: {said:?}");
        };
        assert_eq!((got.as_str(), advice.as_str()), (message, help), "{line}");
    }
    for line in [
        "crankcase pressure = 0.5 bar",
        "crankcase pressure = 7.3 psig",
        "intake pressure = 1.9 bar abs",
        "intake pressure = 1900 mbar absolute",
        "intake pressure = 27.6 psia",
        "intake pressure = 0.9 bar + 1.0 bar abs = 1.9 bar abs",
        "crankcase pressure = 1.5 bar abs - 1.0 bar abs = 0.5 bar",
        "room = 68 F",
        "room = 293 K",
        "room = 20 °C ± 1 K",
        "room = 15 °C + 5 K = 20 °C",
    ] {
        let said = said(GAUGES, &format!("job x\nmanual m\n2026-03-14 build\n{line}\n"));
        assert!(said.is_empty(), "{line}: {said:?}");
    }
}

#[test]
fn the_error_of_a_thermometer_is_a_difference() {
    // 21 °C with 2 °C either way is 19 to 23 °C: too close to call by 18 to 22, and too coarse. With an offset it would be far off.
    for good in ["good to 2 C", "good to 2 K", "good to 3.6 F"] {
        let log = format!("job x\nmanual m\ntool probe: thermometer, {good}\n2026-03-14 build\nroom = 21 C by probe\n");
        let said = said(GAUGES, &log);
        let codes: Vec<&str> = said.iter().map(|s| s.1).collect();
        assert_eq!(codes, ["tool.coarse"], "{good}: {said:?}");
        assert!(
            said[0].2.contains("21.0 ± 2.4 °C is in, but too close to call"),
            "{good}: {said:?}"
        );
    }
}

/// Words with several sizes are asked about where they stand, in logs, manuals and facts of tools.
#[test]
fn a_word_with_several_sizes_is_asked_about() {
    for (line, asked) in [
        ("wall = 3 tenths", "a tenth is 0.1 mm or 0.0001 in: write mm or thou"),
        (
            "did leak test, force 7 ton",
            "a ton is 1000 kgf, 2000 lbf or 2240 lbf: write t, or the number of kN",
        ),
        (
            "did lift, load 7 pounds",
            "a pound is a mass, a force or money: write lb, lbf or GBP",
        ),
        (
            "tool press: press, rated 10 ton",
            "a ton is 1000 kgf, 2000 lbf or 2240 lbf: write t, or the number of kN",
        ),
        (
            "tool dial: dial indicator, reads to 1 tenth",
            "a tenth is 0.1 mm or 0.0001 in: write mm or thou",
        ),
    ] {
        let said = said(GAUGES, &format!("job x\nmanual m\n2026-03-14 build\n{line}\n"));
        let questions: Vec<_> = said
            .iter()
            .filter(|s| s.1 == "unknown.unit")
            .map(|s| (s.0, s.3.as_str()))
            .collect();
        assert_eq!(questions, [(4, asked)], "{line}: {said:?}");
    }
    for manual in [
        "manual m\nsource page 1\nfeature wall\n  build 3 to 4 tenths\n",
        "manual m\nsource page 1\nfeature load\n  unit ton\n",
        "manual m\nsource page 1\nprocedure p\n  step press; force up to 10 tons\n",
        "manual m\nsource page 1\nfeature bore\n  unit mm\ncalc x = bore * 2 pounds\n",
    ] {
        let said = said_of_manual(manual);
        let codes: Vec<&str> = said.iter().map(|s| s.0).collect();
        assert_eq!(codes, ["unknown.unit"], "{manual}");
        assert!(said[0].2.contains("write"), "{manual}: {said:?}");
    }
}
