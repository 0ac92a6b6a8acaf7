//! A gear pump: end clearance, bushes, pressure test.

use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::{Read, mic};

fn gears(pad: &mut Pad<'_>, driver: i64, driven: i64) {
    for (gear, value) in [("driver", driver), ("driven", driven)] {
        pad.read(&Read {
            name: &format!("gear width of {gear}"),
            value,
            decimals: 3,
            by: mic(value),
            more: "",
        });
    }
}

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let days = pad.dice.between(1, 15);
    pad.day(days, "as found");
    pad.did(
        "isolate pump",
        &["locked off"],
        &["drained", "gloves", "tag on the switch", "hot oil"],
    );
    pad.maybe_aside(70);
    let speed = pad.dice.pick(&["1450", "960", "1420", "2900"]);
    pad.value("pump speed", &format!("{speed} rpm"));
    let flow = pad.dice.between(90, 210);
    let flow = pad.figure(flow * 100, 1);
    pad.value("flow", &format!("{flow} L/min"));
    pad.did(
        "open pump",
        &[],
        &["gear teeth dotted", "cover to body scribed", "bolts off"],
    );
    let lash = pad.dice.step(150, 250, 10);
    pad.read(&Read {
        name: "mesh backlash",
        value: lash,
        decimals: 2,
        by: "",
        more: "",
    });
    let depth = model.gear + pad.dice.step(70, 100, 5);
    pad.read(&Read {
        name: "body depth",
        value: depth,
        decimals: 3,
        by: "depth mic",
        more: "",
    });
    let driven = model.gear - pad.dice.step(25, 45, 5);
    gears(pad, model.gear + 5, driven);
    pad.value("gasket new", "0.05 mm");
    pad.value("gasket crushed", "0.04 mm");
    let sum = format!(
        "{} + {} - {}",
        pad.figure(depth, 3),
        pad.figure(40, 2),
        pad.figure(driven, 3)
    );
    pad.claims("end clearance", &sum, depth + 40 - driven, 3);
    let score = pad.dice.step(10, 50, 10);
    pad.read(&Read {
        name: "pocket scoring",
        value: score,
        decimals: 2,
        by: "",
        more: ", suction side",
    });
    for gear in ["driver", "driven"] {
        let value = pad.dice.step(90, 130, 10);
        pad.read(&Read {
            name: &format!("tip clearance of {gear}"),
            value,
            decimals: 2,
            by: "",
            more: "",
        });
    }
    let (bush, shaft) = (20_055 + pad.dice.between(0, 10), 19_980 + pad.dice.between(0, 8));
    pad.read(&Read {
        name: "bush bore",
        value: bush,
        decimals: 3,
        by: "bore gauge",
        more: "",
    });
    pad.read(&Read {
        name: "shaft size",
        value: shaft,
        decimals: 3,
        by: "mic 0-25",
        more: "",
    });
    pad.claims("bush clearance", "", bush - shaft, 3);
    let value = pad.dice.step(10, 20, 10);
    pad.read(&Read {
        name: "shaft run-out",
        value,
        decimals: 2,
        by: "dial",
        more: ", keyway ok",
    });
    for (part, state) in [
        ("gear pair", "driven gear worn narrow"),
        ("bushes", "worn"),
        ("shaft seal", "weeps"),
    ] {
        pad.entry(&format!("found {part}: {state}, replace"));
    }
    pad.maybe_aside(50);
    let (gears_number, seal) = (pad.number(), pad.number());
    pad.buy(&[
        Part {
            name: "gear pair",
            number: gears_number,
            many: 1,
            price: 145,
        },
        Part {
            name: "bushes",
            number: String::new(),
            many: 4,
            price: 8,
        },
        Part {
            name: "shaft seal",
            number: seal,
            many: 1,
            price: 12,
        },
    ]);
    let (driver, driven) = (model.gear + pad.dice.between(0, 3), model.gear + pad.dice.between(0, 3));
    gears(pad, driver, driven);

    pad.day(1, "build");
    pad.did("lap body face", &[], &["on plate", "depth 0.06 mm", "figure of eight"]);
    let depth = model.gear + pad.dice.step(15, 35, 5);
    pad.read(&Read {
        name: "body depth",
        value: depth,
        decimals: 3,
        by: "depth mic",
        more: "",
    });
    pad.did("ream bushes", &["from bushes"], &["by hand", "cutting oil"]);
    let bush = shaft + pad.dice.between(28, 42);
    pad.read(&Read {
        name: "bush bore",
        value: bush,
        decimals: 3,
        by: "bore gauge",
        more: "",
    });
    pad.claims("bush clearance", "", bush - shaft, 3);
    let least = driver.min(driven);
    let sum = format!(
        "{} + {} - {}",
        pad.figure(depth, 3),
        pad.figure(40, 2),
        pad.figure(least, 3)
    );
    pad.claims("end clearance", &sum, depth + 40 - least, 3);
    for gear in ["driver", "driven"] {
        let value = pad.dice.step(60, 90, 10);
        pad.read(&Read {
            name: &format!("tip clearance of {gear}"),
            value,
            decimals: 2,
            by: "",
            more: "",
        });
    }
    pad.did("fit gears", &["from gear pair"], &["oiled", "dots lined up"]);
    pad.did("fit shaft seal", &["new seal"], &["lip to fluid", "oiled"]);
    let torque = pad.torque(22);
    pad.did("fit cover", &["oiled", &torque], &["2 dowels"]);
    let spring = pad.dice.step(37_000, 39_500, 100);
    pad.read(&Read {
        name: "relief spring length",
        value: spring,
        decimals: 1,
        by: "",
        more: ", free",
    });
    pad.maybe_aside(40);

    pad.day(1, "test");
    pad.did(
        "pressure test",
        &["water", "pressure 9 bar"],
        &[
            "vented at the top",
            "hand pump on discharge",
            "hold 5 min",
            "suction plugged",
        ],
    );
    pad.did("prime pump", &["filled with oil"], &["turned by hand"]);
    pad.value("coupling alignment", "0.05 mm by dial, rim");
    pad.did("run pump", &["pressure 4 bar"], &["quiet", "no weep"]);
    let flow = pad.dice.between(215, 250);
    let flow = pad.figure(flow * 100, 1);
    pad.value("flow", &format!("{flow} L/min"));
    pad.maybe_aside(50);
}
