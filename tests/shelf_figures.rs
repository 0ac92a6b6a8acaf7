//! The published figures on the shelf, against the tables and formulas they come from. Names of features carry size and class, so that a figure that
//! was typed into the wrong row is seen.

use gudgeon::model::manual::Feature;
use gudgeon::workspace::Library;
use rust_decimal::prelude::ToPrimitive as _;

/// Every feature of the shelf, with its least and greatest figure in base units (mm, kN for forces here, N·m) and its source.
fn limits() -> Vec<(String, Option<f64>, Option<f64>, String)> {
    let mut all = Vec::new();
    for loaded in Library::new().shelf() {
        for feature in &loaded.manual.features {
            let band = |feature: &Feature| feature.limits.first().or(feature.nominal.as_ref()).cloned();
            let Some(limit) = band(feature) else { continue };
            let shown = |base: Option<rust_decimal::Decimal>| limit.unit.from_base(base?)?.to_f64();
            let (least, most) = (shown(limit.band.lo), shown(limit.band.hi));
            all.push((
                feature.name.key.clone(),
                least,
                most,
                limit.source.as_deref().unwrap_or("").to_owned(),
            ));
        }
    }
    all
}

#[track_caller]
fn limit(name: &str, standard: &str) -> (Option<f64>, Option<f64>) {
    let all = limits();
    let (_, least, most, source) = all
        .iter()
        .find(|(known, ..)| known == name)
        .unwrap_or_else(|| panic!("{name} is not on the shelf"));
    assert!(source.starts_with(standard), "{name}: {source}");
    (*least, *most)
}

fn close(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * b.abs()
}

/// ISO 898-1: the proof load is the stress area times the proof stress. Stress area by the standard's formula, (π/4)(d − 0.9382 P)²; proof stress of
/// 8.8 (up to M16), 10.9 and 12.9: 580, 830 and 970 MPa. The table's figures are rounded, so 0.7 % is allowed.
#[test]
fn proof_loads_of_iso_898_1() {
    let sizes = [
        ("m6", 6.0, 1.0_f64),
        ("m8", 8.0, 1.25),
        ("m10", 10.0, 1.5),
        ("m12", 12.0, 1.75),
    ];
    let classes = [("8.8", 580.0), ("10.9", 830.0), ("12.9", 970.0)];
    let mut seen = 0;
    for (size, diameter, pitch) in sizes {
        let area = std::f64::consts::FRAC_PI_4 * (diameter - 0.9382 * pitch).powi(2);
        for (class, stress) in classes {
            let name = format!("{size} preload {class}");
            if limits().iter().any(|(known, ..)| *known == name) {
                let (_, most) = limit(&name, "ISO 898-1");
                let proof = area * stress / 1000.0;
                assert!(
                    close(most.expect("it ends above"), proof, 0.007),
                    "{name}: {most:?} against {proof}"
                );
                seen += 1;
            }
        }
    }
    assert!(seen >= 10, "{seen}");
}

/// VDI 2230: tightening torque at nine tenths of the yield, by its long form M = F (0.16 P + 0.58 d2 µ + µ Dkm / 2), with equal friction in the thread and
/// under the head. Inputs (yield 640, 940, 1100 MPa; head and hole) as in the published table of fine threads; 1.5 % or half a newton metre is allowed.
#[test]
fn tightening_torques_of_vdi_2230() {
    // Diameter, pitch, across the head, hole.
    let threads = [("m8x1", 8.0, 1.0, 11.63, 9.0), ("m10x1.25", 10.0, 1.25, 14.63, 11.0)];
    let classes = [("8.8", 640.0), ("10.9", 940.0), ("12.9", 1100.0)];
    for (thread, diameter, pitch, head, hole) in threads {
        for (class, strength) in classes {
            let height = 3f64.sqrt() / 2.0 * pitch;
            let (d2, d3) = (diameter - 0.75 * height, diameter - 17.0 / 12.0 * height);
            let d0 = (d2 + d3) / 2.0;
            let area = std::f64::consts::FRAC_PI_4 * d0 * d0;
            let torque = |friction: f64| {
                let lead = pitch / (std::f64::consts::PI * d2) + 1.155 * friction;
                let force = 0.9 * strength * area / (1.0 + 3.0 * (1.5 * d2 / d0 * lead).powi(2)).sqrt();
                force * (0.16 * pitch + 0.58 * d2 * friction + friction * (head + hole) / 4.0) / 1000.0
            };
            let (least, most) = limit(&format!("{thread} torque {class}"), "VDI 2230");
            for (figure, friction) in [(least, 0.10), (most, 0.14)] {
                let (figure, worked) = (figure.expect("both ends"), torque(friction));
                let fits = close(figure, worked, 0.015) || (figure - worked).abs() <= 0.5;
                assert!(fits, "{thread} {class} at {friction}: {figure} against {worked}");
            }
        }
    }
}

/// ISO 492, Normal class: the mean bore and the mean outside diameter, µm below the nominal size. Table as reprinted by three bearing suppliers.
#[test]
fn bores_and_outsides_of_iso_492() {
    // Over, up to and including, deviation.
    let bores = [(10.0, 18.0, 8.0), (18.0, 30.0, 10.0), (30.0, 50.0, 12.0)];
    let outsides = [(30.0, 50.0, 11.0), (50.0, 80.0, 13.0)];
    let mut seen = 0;
    for (name, least, most, source) in limits() {
        let (table, size) = match (
            name.strip_prefix("bearing bore "),
            name.strip_prefix("bearing outside "),
        ) {
            (Some(size), _) => (bores.as_slice(), size),
            (_, Some(size)) => (outsides.as_slice(), size),
            _ => continue,
        };
        let Some(size) = size.strip_suffix(" mm").and_then(|size| size.parse::<f64>().ok()) else {
            continue;
        };
        assert!(source.starts_with("ISO 492"), "{name}: {source}");
        let row = table.iter().find(|(over, to, _)| size > *over && size <= *to);
        let (_, _, deviation) = row.unwrap_or_else(|| panic!("{name} is beyond the table"));
        assert_eq!(most, Some(size), "{name}");
        assert!(
            (least.expect("both ends") - (size - deviation / 1000.0)).abs() < 1e-9,
            "{name}: {least:?}"
        );
        seen += 1;
    }
    assert!(seen >= 15, "{seen}");
}

/// ISO 286-2:2010: limit deviations of seats, µm from the nominal size: upper, lower. Table as in JIS B 0401, which carries the ISO figures. The tolerance is
/// that of its grade: IT5 and IT7 by ISO 286-1, table 1.
#[test]
fn seats_of_iso_286() {
    type Row = (f64, f64, f64, f64);
    let shafts: [(&str, f64, &[Row]); 2] = [
        (
            "k5 seat ",
            5.0,
            &[(10.0, 18.0, 9.0, 1.0), (18.0, 30.0, 11.0, 2.0), (30.0, 50.0, 13.0, 2.0)],
        ),
        (
            "m5 seat ",
            5.0,
            &[
                (10.0, 18.0, 15.0, 7.0),
                (18.0, 30.0, 17.0, 8.0),
                (30.0, 50.0, 20.0, 9.0),
            ],
        ),
    ];
    let holes: [(&str, f64, &[Row]); 2] = [
        (
            "k7 housing ",
            7.0,
            &[(30.0, 50.0, 7.0, -18.0), (50.0, 80.0, 9.0, -21.0)],
        ),
        (
            "n7 housing ",
            7.0,
            &[(30.0, 50.0, -8.0, -33.0), (50.0, 80.0, -9.0, -39.0)],
        ),
    ];
    // Over, up to, IT5, IT7.
    let grades = [
        (10.0, 18.0, 8.0, 18.0),
        (18.0, 30.0, 9.0, 21.0),
        (30.0, 50.0, 11.0, 25.0),
        (50.0, 80.0, 13.0, 30.0),
    ];
    let mut seen = 0;
    for (name, least, most, source) in limits() {
        for (lead, grade, table) in shafts.iter().chain(&holes) {
            let Some(size) = name.strip_prefix(lead).and_then(|size| size.strip_suffix(" mm")) else {
                continue;
            };
            let size: f64 = size.parse().expect("a size");
            assert!(source.starts_with("ISO 286-2"), "{name}: {source}");
            let (_, _, upper, lower) = *table
                .iter()
                .find(|(over, to, ..)| size > *over && size <= *to)
                .expect("in the table");
            let micrometres = |figure: Option<f64>| ((figure.expect("both ends") - size) * 1000.0).round();
            assert_eq!((micrometres(most), micrometres(least)), (upper, lower), "{name}");
            let (_, _, it5, it7) = *grades
                .iter()
                .find(|(over, to, ..)| size > *over && size <= *to)
                .expect("in the table");
            assert_eq!(upper - lower, if *grade == 5.0 { it5 } else { it7 }, "{name}");
            seen += 1;
        }
    }
    assert_eq!(seen, 18);
}

/// ISO 5753-1: radial internal clearance of deep-groove ball bearings before mounting, µm. Table as reprinted by one bearing supplier, held against three more.
#[test]
fn clearances_of_iso_5753_1() {
    let table = [
        (10.0, 18.0, [("cn", 3.0, 18.0), ("c3", 11.0, 25.0), ("c4", 18.0, 33.0)]),
        (18.0, 24.0, [("cn", 5.0, 20.0), ("c3", 13.0, 28.0), ("c4", 20.0, 36.0)]),
        (24.0, 30.0, [("cn", 5.0, 20.0), ("c3", 13.0, 28.0), ("c4", 23.0, 41.0)]),
        (30.0, 40.0, [("cn", 6.0, 20.0), ("c3", 15.0, 33.0), ("c4", 28.0, 46.0)]),
    ];
    let mut seen = 0;
    for loaded in Library::new().shelf() {
        for feature in &loaded.manual.features {
            let names = std::iter::once(&feature.name.key).chain(&feature.also);
            for (class, size) in names.filter_map(|name| {
                let (class, size) = name.split_once(" clearance ")?;
                Some((class, size.strip_suffix(" mm bore")?.parse::<f64>().ok()?))
            }) {
                let limit = feature.limits.first().expect("it has a limit");
                assert!(
                    limit
                        .source
                        .as_deref()
                        .is_some_and(|source| source.starts_with("ISO 5753-1"))
                );
                let row = table.iter().find(|(over, to, _)| size > *over && size <= *to);
                let (_, _, classes) = row.unwrap_or_else(|| panic!("{size} mm is beyond the table"));
                let (_, least, most) = classes
                    .iter()
                    .find(|(known, ..)| *known == class)
                    .expect("a class of the table");
                let micrometres =
                    |end: Option<rust_decimal::Decimal>| end.and_then(|e| e.to_f64()).map(|mm| (mm * 1000.0).round());
                assert_eq!(micrometres(limit.band.lo), Some(*least), "{class} {size}");
                assert_eq!(micrometres(limit.band.hi), Some(*most), "{class} {size}");
                seen += 1;
            }
        }
    }
    assert!(seen >= 18, "{seen}");
}

/// Bearing makers' guidance: 110 °C is usual and 120 to 125 °C the most for a bearing that is heated to go on; a cold floor of about -55 °C (common practice).
#[test]
fn heat_and_cold_of_bearings() {
    let said = |log: &str| {
        let library = Library::new();
        let bytes = format!("job x\n2026-03-14 build\n{log}\n").into_bytes();
        let inspected = gudgeon::workspace::inspect(
            "x.rebuild",
            std::path::Path::new("no such folder"),
            gudgeon::workspace::Kind::Log,
            bytes,
            &library,
        );
        inspected.findings.iter().map(|f| f.code).collect::<Vec<_>>()
    };
    assert!(said("did heat bearings, heat 110 C, gloves").is_empty());
    assert!(said("did heat bearings, heat 120 C, gloves").is_empty());
    assert_eq!(said("did heat bearings, heat 126 C, gloves"), ["danger.bound"]);
}

/// The shelf is one book where a log names no manual: a name of two manuals must mean one thing, or the one's readings are taken for the other's.
#[test]
fn no_name_of_the_shelf_means_two_things() {
    let mut meanings: std::collections::BTreeMap<String, (String, String)> = std::collections::BTreeMap::new();
    for entry in gudgeon::shelf::all() {
        let source = std::sync::Arc::new(gudgeon::syntax::Source::new(entry.file, entry.text));
        let (manual, _) = gudgeon::model::lower_manual(&gudgeon::syntax::parse_manual(&source.text), &source);
        for feature in &manual.features {
            for name in std::iter::once(&feature.name.key).chain(&feature.also) {
                let own = (feature.name.key.clone(), entry.file.to_owned());
                let first = meanings.entry(name.clone()).or_insert_with(|| own.clone());
                assert_eq!(first.0, own.0, "`{name}` of {} and of {}", first.1, own.1);
            }
        }
    }
}
