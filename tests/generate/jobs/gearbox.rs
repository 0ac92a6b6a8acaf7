//! A gearbox: floats, forks, dogs, put together and shifted through.

use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::Read;

const SHAFTS: [&str; 2] = ["main shaft", "lay shaft"];
const GEARS: [&str; 3] = ["second", "third", "fourth"];
const FORKS: [&str; 3] = ["first fork", "second fork", "third fork"];

fn floats(pad: &mut Pad<'_>) {
    for shaft in SHAFTS {
        let value = pad.dice.step(140, 260, 10);
        pad.read(&Read {
            name: &format!("shaft float at {shaft}"),
            value,
            decimals: 2,
            by: "dial",
            more: "",
        });
    }
}

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let days = pad.dice.between(1, 15);
    pad.day(days, "as found");
    floats(pad);
    pad.maybe_aside(50);
    pad.did("strip gearbox", &["3 washers"], &["laid out in order", "drained first"]);
    for gear in GEARS {
        let value = pad.dice.step(100, 500, 100);
        pad.read(&Read {
            name: &format!("dog rounding of {gear}"),
            value,
            decimals: 1,
            by: "",
            more: "",
        });
    }
    for fork in FORKS {
        let groove = pad.dice.step(5020, 5100, 10);
        let tip = pad.dice.step(4650, 4780, 10);
        pad.read(&Read {
            name: &format!("fork groove of {fork}"),
            value: groove,
            decimals: 2,
            by: "calliper",
            more: "",
        });
        pad.read(&Read {
            name: &format!("fork tip thickness of {fork}"),
            value: tip,
            decimals: 2,
            by: "mic 0-25",
            more: "",
        });
        pad.claims(&format!("fork clearance of {fork}"), "", groove - tip, 2);
    }
    for shaft in SHAFTS {
        let value = pad.dice.step(10, 20, 10);
        pad.read(&Read {
            name: &format!("gearbox shaft run-out of {shaft}"),
            value,
            decimals: 2,
            by: "dial",
            more: "",
        });
    }
    let (gear, state) = (
        pad.dice.pick(&["third gear", "second gear", "fourth gear"]),
        pad.dice.pick(&["dogs rounded", "tooth chipped", "blue"]),
    );
    pad.entry(&format!("found {gear}: {state}, replace"));
    pad.entry("found selector drum: good, reuse");
    let (pair, clips) = (pad.number(), pad.number());
    let name = format!("{gear} pair");
    pad.buy(&[
        Part {
            name: &name,
            number: pair,
            many: 1,
            price: 84,
        },
        Part {
            name: "gearbox circlips",
            number: clips,
            many: 6,
            price: 1,
        },
    ]);

    pad.day(2, "build");
    pad.did("wash parts", &["hot soapy water"], &["blown dry"]);
    pad.did(
        "fit gear shafts",
        &["new gearbox circlips", &format!("from {name}"), "3 washers"],
        &["sharp edge away from the thrust", "oiled"],
    );
    for gear in GEARS {
        let value = pad.dice.step(100, 220, 10);
        pad.read(&Read {
            name: &format!("gear side clearance of {gear}"),
            value,
            decimals: 2,
            by: "",
            more: "",
        });
    }
    pad.did("fit forks", &[], &["pins oiled"]);
    pad.did("select all gears", &[], &["turning"]);
    pad.did("heat case", &["gloves", "heat 95 C"], &["oven", "30 min"]);
    pad.did("fit bearings", &["gloves"], &["dropped in", "held down"]);
    let torque = pad.torque(model.torque / 2);
    pad.did("close gearbox", &[&torque], &["sealant", "dowels in"]);
    pad.did("select all gears", &[], &["up and down twice"]);
    floats(pad);
    let oil = format!("{} ml", pad.dice.step(450, 950, 50));
    pad.did("fill gearbox", &[&oil], &[]);

    pad.day(1, "test");
    pad.did("run gearbox", &[], &["10 min", "all gears"]);
    pad.maybe_aside(60);
}
