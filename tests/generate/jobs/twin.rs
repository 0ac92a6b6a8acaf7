//! A two-stroke twin: two bores, pistons matched, squish set by the gasket.

use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::{Read, mic};

const CYLINDERS: [i64; 2] = [1, 2];

fn squish(pad: &mut Pad<'_>, around: i64) {
    for cylinder in CYLINDERS {
        for side in ["left", "right"] {
            let value = around + pad.dice.step(-20, 20, 10);
            pad.read(&Read {
                name: &format!("squish of cylinder {cylinder} at {side}"),
                value,
                decimals: 2,
                by: "solder",
                more: "",
            });
        }
    }
}

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let days = pad.dice.between(1, 14);
    pad.day(days, "as found");
    pad.maybe_aside(80);
    squish(pad, 930);
    let bar = pad.dice.between(112, 124);
    for cylinder in CYLINDERS {
        let bar = pad.figure(bar * 100 - 300 * (cylinder - 1), 1);
        pad.value(
            &format!("compression of cylinder {cylinder}"),
            &format!("{bar} bar, WOT, warm"),
        );
    }
    for cylinder in CYLINDERS {
        pad.bore(&format!("bore of cylinder {cylinder}"), model.bore + 10, 5);
    }
    pad.maybe_aside(30);
    for side in ["mag side", "clutch side"] {
        let value = pad.dice.step(10, 20, 10);
        pad.read(&Read {
            name: &format!("crank run-out at {side}"),
            value,
            decimals: 2,
            by: "dial",
            more: ", in cases",
        });
    }
    for cylinder in CYLINDERS {
        let goes = pad.dice.step(400, 550, 50);
        pad.blades(
            &format!("big end side play of cylinder {cylinder}"),
            goes,
            50,
            "feelers",
        );
    }
    pad.entry("found rods: big ends no rock, small ends round, reuse");
    for part in ["small end cages", "pistons", "ring set"] {
        let state = pad
            .dice
            .pick(&["worn", "blue on the clutch side", "scored", "past its hours"]);
        pad.entry(&format!("found {part}: {state}, replace"));
    }
    let (pistons, rings) = (pad.number(), pad.number());
    pad.buy(&[
        Part {
            name: "pistons",
            number: pistons,
            many: 2,
            price: 70,
        },
        Part {
            name: "ring set",
            number: rings,
            many: 2,
            price: 24,
        },
        Part {
            name: "small end cages",
            number: String::new(),
            many: 2,
            price: 12,
        },
        Part {
            name: "circlips",
            number: String::new(),
            many: 4,
            price: 1,
        },
        Part {
            name: "base gasket set",
            number: String::new(),
            many: 1,
            price: 18,
        },
    ]);

    pad.day(1, "machining");
    pad.did("hone barrel", &[], &["two passes", "both cylinders"]);
    pad.did("wash barrel", &[], &["hot soapy water"]);
    let mut least = [0, 0];
    for cylinder in CYLINDERS {
        (least[cylinder as usize - 1], _) = pad.bore(&format!("bore of cylinder {cylinder}"), model.bore + 10, 2);
    }
    for cylinder in CYLINDERS {
        let value = least[cylinder as usize - 1] - pad.dice.between(53, 60);
        let name = format!("piston size of cylinder {cylinder}");
        pad.read(&Read {
            name: &name,
            value,
            decimals: 3,
            by: mic(value),
            more: ", new",
        });
        pad.claims(
            &format!("piston clearance of cylinder {cylinder}"),
            "",
            least[cylinder as usize - 1] - value,
            3,
        );
    }
    let mass = pad.dice.between(650, 760);
    for cylinder in CYLINDERS {
        let mass = {
            let mass = mass + pad.dice.between(0, 5);
            pad.figure(mass * 100, 1)
        };
        pad.value(&format!("piston mass of cylinder {cylinder}"), &format!("{mass} g"));
    }
    for cylinder in CYLINDERS {
        pad.blades(
            &format!("ring gap of cylinder {cylinder}"),
            model.ring_gap(),
            50,
            "feelers",
        );
    }

    pad.day(1, "build");
    pad.did("fit small end cages", &["from small end cages"], &["oiled"]);
    pad.did("fit rings", &[], &["on pegs"]);
    pad.did(
        "fit pistons",
        &["new circlips"],
        &["arrows to exhaust", "pins pushed by thumb"],
    );
    pad.did("fit base gasket", &["new gasket"], &["both", "dry"]);
    pad.did("fit barrels", &[], &["oiled"]);
    let torque = pad.torque(model.torque);
    pad.did("torque head", &[&torque], &["cold", "new O-rings"]);
    squish(pad, 840);
    let volume = pad.dice.between(52, 88);
    for cylinder in CYLINDERS {
        let volume = pad.figure(volume * 100, 1);
        pad.value(
            &format!("head volume of cylinder {cylinder}"),
            &format!("{volume} cc, deck in"),
        );
    }
    let timing = pad.dice.step(1500, 1900, 50);
    for cylinder in CYLINDERS {
        pad.read(&Read {
            name: &format!("ignition timing of cylinder {cylinder}"),
            value: timing,
            decimals: 2,
            by: "",
            more: ", BTDC",
        });
    }

    pad.day(1, "test");
    let lost = pad.dice.step(0, 20, 10);
    let lost = pad.figure(lost, 2);
    pad.did(
        "leak test",
        &["pressure 0.4 bar", &format!("lost {lost} bar")],
        &["hold 8 min", "both crank halves"],
    );
    pad.did("fill cooling", &[], &["bled"]);
    pad.did("mix fuel", &[], &["fuel 10 L", "oil 500 ml"]);
    pad.did("prime", &[], &[]);
    pad.did("first start", &[], &["cycles 20 min", "doors open"]);
    let torque = pad.torque(model.torque);
    pad.did("re-torque head", &["cold", &torque], &[]);
    pad.maybe_aside(50);
}
