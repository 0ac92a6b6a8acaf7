//! A four-stroke top end: valves and shims, seats, bore and rings.

use super::super::manuals::valve_names;
use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::{Read, mic};

/// A valve while it is worked on; lengths in thousandths.
struct Valve {
    name: String,
    inlet: bool,
    shim: i64,
    /// What the clearance is to be.
    wanted: i64,
    /// Clearance when it is done.
    done: i64,
}

impl Valve {
    fn side(&self) -> &'static str {
        if self.inlet { "inlet" } else { "exhaust" }
    }
}

fn clearances(pad: &mut Pad<'_>, valves: &[Valve], of: impl Fn(&Valve) -> i64) {
    for valve in valves {
        pad.blades(
            &format!("{} clearance of {}", valve.side(), valve.name),
            of(valve),
            10,
            "thin feelers",
        );
    }
}

fn shims(pad: &mut Pad<'_>, valves: &[Valve], more: &str, off: i64) {
    for valve in valves {
        pad.read(&Read {
            name: &format!("shim mark of {}", valve.name),
            value: valve.shim + off,
            decimals: 2,
            by: "",
            more: "",
        });
    }
    for valve in valves {
        let value = valve.shim + off + pad.dice.between(-2, 2);
        pad.read(&Read {
            name: &format!("shim of {}", valve.name),
            value,
            decimals: 3,
            by: "mic 0-25",
            more,
        });
    }
}

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let (inlets, exhausts) = valve_names(model);
    let mut valves = Vec::new();
    for (name, inlet) in inlets
        .into_iter()
        .map(|name| (name, true))
        .chain(exhausts.into_iter().map(|name| (name, false)))
    {
        let shim = pad.dice.step(2200, 2700, 50);
        let (wanted, low, high) = if inlet { (130, 110, 130) } else { (200, 180, 200) };
        let done = pad.dice.step(low, high, 10);
        valves.push(Valve {
            name,
            inlet,
            shim,
            wanted,
            done,
        });
    }

    let days = pad.dice.between(1, 12);
    pad.day(days, "as found");
    pad.entry("note cold, in the shop overnight, cams off the buckets");
    clearances(pad, &valves, |valve| valve.done - 60);
    let bar = pad.dice.between(65, 95);
    let (dry, wet) = (pad.figure(bar * 100, 1), pad.figure(bar * 100 + 1500, 1));
    pad.value("compression", &format!("{dry} bar, cold, five kicks, WOT"));
    pad.value("wet compression", &format!("{wet} bar"));
    let leak = pad.dice.between(9, 30);
    pad.value("leak-down", &format!("{leak} %, hiss at exhaust"));
    let state = pad.dice.pick(&["stretch good", "notch 8 of 14", "quiet"]);
    pad.entry(&format!("found cam chain: {state}, reuse"));
    pad.maybe_aside(60);

    pad.day(1, "strip");
    pad.did(
        "remove cams",
        &[],
        &["caps numbered", "shims in the egg box with numbers"],
    );
    shims(pad, &valves, "", 0);
    let guides = [5008 + pad.dice.between(0, 4), 5010 + pad.dice.between(0, 4)];
    let mut stems = Vec::new();
    for valve in &valves {
        let value = if valve.inlet { 4980 } else { 4961 } + pad.dice.between(-3, 3);
        stems.push(value);
        pad.read(&Read {
            name: &format!("{} stem of {}", valve.side(), valve.name),
            value,
            decimals: 3,
            by: "mic 0-25",
            more: "",
        });
    }
    pad.read(&Read {
        name: "inlet guide",
        value: guides[0],
        decimals: 3,
        by: "bore gauge",
        more: "",
    });
    pad.read(&Read {
        name: "exhaust guide",
        value: guides[1],
        decimals: 3,
        by: "bore gauge",
        more: "",
    });
    for (valve, stem) in valves.iter().zip(&stems) {
        let guide = guides[usize::from(!valve.inlet)];
        pad.claims(
            &format!("{} stem clearance of {}", valve.side(), valve.name),
            "",
            guide - stem,
            3,
        );
    }
    pad.value("exhaust seat width", "1.9, pitted");
    pad.value("inlet seat width", "1.2");
    let spring = pad.dice.step(41_000, 42_000, 100);
    pad.read(&Read {
        name: "spring free length",
        value: spring,
        decimals: 1,
        by: "",
        more: "",
    });
    pad.read(&Read {
        name: "head flatness",
        value: 20,
        decimals: 2,
        by: "straight edge",
        more: "",
    });
    let state = pad.dice.pick(&["seats pitted", "burnt on one side", "seats wide"]);
    pad.entry(&format!("found exhaust valves: {state}, machine"));
    pad.entry("found inlet valves: rock ok, reuse");

    pad.day(1, "inspection");
    let worn = pad.dice.between(6, 16);
    let (least, most) = pad.bore("bore", model.bore + 12, worn);
    let piston = least - pad.dice.between(48, 58);
    pad.read(&Read {
        name: "piston size",
        value: piston,
        decimals: 3,
        by: mic(piston),
        more: ", 12 mm up the skirt",
    });
    pad.claims("piston clearance", "", least - piston, 3);
    pad.claims("piston clearance greatest", "", most - piston, 3);
    pad.blades("ring gap of top ring", model.ring_gap(), 10, "thin feelers");
    pad.blades("ring gap of second ring", model.ring_gap() + 100, 10, "thin feelers");
    pad.blades("ring side clearance", 40, 10, "thin feelers");
    pad.maybe_aside(50);
    let seals = pad.number();
    pad.buy(&[
        Part {
            name: "stem seals",
            number: seals,
            many: 1,
            price: 16,
        },
        Part {
            name: "copper washers",
            number: String::new(),
            many: 4,
            price: 1,
        },
        Part {
            name: "head bolts",
            number: String::new(),
            many: 4,
            price: 6,
        },
    ]);

    let days = pad.dice.between(2, 9);
    pad.day(days, "machining");
    pad.did("cut seats", &["angle 45°"], &["width 1.2 mm", "by the head works"]);
    pad.did("lap valves", &[], &["fine paste", "blue all round"]);
    pad.did("fit valves", &["new stem seals", "spring compressor"], &["oiled"]);
    let inlet = pad.dice.step(1100, 1200, 100);
    pad.read(&Read {
        name: "inlet seat width",
        value: inlet,
        decimals: 1,
        by: "",
        more: "",
    });
    let exhaust = pad.dice.step(1200, 1400, 100);
    pad.read(&Read {
        name: "exhaust seat width",
        value: exhaust,
        decimals: 1,
        by: "",
        more: "",
    });
    let (height, lift, solid) = (
        pad.dice.step(33_500, 35_000, 100),
        pad.dice.step(7800, 8800, 100),
        pad.dice.step(23_000, 24_000, 100),
    );
    pad.read(&Read {
        name: "installed height",
        value: height,
        decimals: 1,
        by: "",
        more: "",
    });
    pad.read(&Read {
        name: "solid height",
        value: solid,
        decimals: 1,
        by: "",
        more: "",
    });
    pad.read(&Read {
        name: "valve lift",
        value: lift,
        decimals: 1,
        by: "",
        more: "",
    });
    let sum = [height, lift, solid].map(|one| pad.figure(one, 1)).join(" - ");
    pad.claims("coil bind margin", &sum, height - lift - solid, 1);
    pad.did("vacuum test", &[], &["dry", "hold 60 s", "held"]);

    pad.day(0, "build");
    let torque = pad.torque(model.torque);
    pad.did("torque head", &["oiled", "new copper washers", &torque], &["new bolts"]);
    pad.did(
        "fit cams",
        &["caps oiled", "torque 10 N·m"],
        &["inside out", "old shims"],
    );
    clearances(pad, &valves, |valve| valve.done - 50);
    for valve in &valves {
        let wanted = valve.shim + valve.done - 50 - valve.wanted;
        let sum = format!(
            "{} + {} - {}",
            pad.figure(valve.shim, 2),
            pad.figure(valve.done - 50, 2),
            pad.figure(valve.wanted, 2)
        );
        pad.claims(&format!("shim wanted of {}", valve.name), &sum, wanted, 2);
    }
    if pad.dice.chance(30) {
        pad.stock("shims", 2150, 50, 12);
    }
    shims(pad, &valves, ", new", -50);
    pad.did("fit shims", &[], &["marks down"]);
    pad.did(
        "fit cams",
        &["caps oiled", "torque 10 N·m"],
        &["inside out", "2 stages"],
    );
    clearances(pad, &valves, |valve| valve.done);
    pad.did("check cam timing", &[], &["marks ok", "turned twice by hand", "free"]);
    pad.did("fill oil", &[], &["oil 1.6 L", "new filter"]);
    pad.did("prime", &[], &["on the starter", "plug out", "till light out"]);

    pad.day(1, "test");
    pad.did("first start", &[], &["doors open", "no smoke"]);
    pad.maybe_aside(60);
}
