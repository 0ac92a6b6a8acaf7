//! A pressed-up crank: pressed apart, a new rod kit measured, pressed together, trued, closed.

use super::super::model::{PLAY, WASHER};
use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::{Read, mic};

pub fn round(pad: &mut Pad<'_>) {
    as_found(pad);
    goods(pad);
    strip(pad);
    let press = measured(pad);
    build(pad, press);
    close(pad);
    test(pad);
}

fn ends(pad: &mut Pad<'_>, left: i64, right: i64) {
    let how = pad.dice.pick(&[
        "held on centres",
        "held on centres, dial 35 mm outboard",
        "held on main journals",
    ]);
    pad.put(how);
    pad.runs_out("run-out at left", left, "dial");
    pad.runs_out("run-out at right", right, "dial");
}

fn squish(pad: &mut Pad<'_>, around: i64) {
    for side in ["left", "right"] {
        let value = around + pad.dice.step(-30, 30, 10);
        pad.read(&Read {
            name: &format!("squish at {side}"),
            value,
            decimals: 2,
            by: "",
            more: "",
        });
    }
}

fn as_found(pad: &mut Pad<'_>) {
    let days = pad.dice.between(1, 9);
    pad.day(days, "as found");
    let bar = pad.dice.between(60, 98);
    let bar = pad.figure(bar * 100, 1);
    let how = pad.dice.pick(&[", kick, WOT, cold", ", cold", ", five kicks", ""]);
    pad.value("compression", &format!("{bar} bar{how}"));
    let value = pad.dice.step(120, 230, 10);
    pad.read(&Read {
        name: "end float",
        value,
        decimals: 2,
        by: "dial",
        more: ", cases still bolted",
    });
    let around = pad.dice.step(1000, 1200, 10);
    squish(pad, around);
    let (left, right) = (pad.dice.step(30, 50, 10), pad.dice.step(20, 50, 10));
    ends(pad, left, right);
    let (width, off) = (pad.model.width, pad.dice.step(-20, 20, 10));
    pad.ring("web width", width + off, 20, mic(width));
    let worn = pad.dice.step(550, 650, 50);
    pad.blades("side play", worn, 50, "feelers");
    if pad.dice.chance(50) {
        let rock = pad.dice.step(800, 1900, 100);
        pad.read(&Read {
            name: "small end rock",
            value: rock,
            decimals: 1,
            by: "",
            more: "",
        });
    }
    let state = pad.dice.pick(&[
        "big end done, rod blued on one side",
        "cage brown",
        "pin pitted",
        "rollers flat",
        "worn",
    ]);
    pad.entry(&format!("found rod kit: {state}, replace"));
    let state = pad
        .dice
        .pick(&["good if the holes are good", "good, no dents", "straight, holes clean"]);
    pad.entry(&format!("found webs: {state}, reuse"));
    pad.maybe_aside(50);
    if pad.dice.chance(25) {
        let kit = pad.dice.between(70, 180);
        pad.options("rod kit", kit);
    }
}

fn goods(pad: &mut Pad<'_>) {
    if pad.dice.chance(40) {
        pad.day(1, "goods in");
    }
    let (kit, mains, seals) = (pad.number(), pad.number(), pad.number());
    let mut parts = vec![
        Part {
            name: "rod kit",
            number: kit,
            many: 1,
            price: 128,
        },
        Part {
            name: "main bearings",
            number: mains,
            many: 2,
            price: 18,
        },
        Part {
            name: "crank seals",
            number: seals,
            many: 1,
            price: 14,
        },
    ];
    if pad.dice.chance(60) {
        let number = pad.number();
        parts.push(Part {
            name: "gasket set",
            number,
            many: 1,
            price: 22,
        });
    }
    pad.buy(&parts);
}

fn strip(pad: &mut Pad<'_>) {
    pad.day(1, "strip");
    let force = pad.dice.between(40, 78);
    let force = format!("force {} t on press", pad.figure(force * 100, 1));
    pad.did(
        "press out crankpin",
        &["web supported close round pin", "web caught", "blanket over", &force],
        &["splitter plate 12 mm", "square", "slowly", "pin marked"],
    );
    pad.maybe_aside(60);
    for side in ["left", "right"] {
        let value = WASHER - pad.dice.between(90, 140);
        pad.read(&Read {
            name: &format!("washer thickness at {side}"),
            value,
            decimals: 3,
            by: "mic 0-25",
            more: ", old, worn thin",
        });
    }
}

/// What the parts say. Gives what the press will ask, in hundredths of a tonne.
fn measured(pad: &mut Pad<'_>) -> i64 {
    pad.day(0, "goods in");
    let model = pad.model;
    let mut grips = Vec::new();
    let mut holes = Vec::new();
    for side in ["left", "right"] {
        let value = model.pin + model.grip + pad.dice.between(-4, 4);
        pad.read(&Read {
            name: &format!("pin seat at {side}"),
            value,
            decimals: 3,
            by: mic(model.pin),
            more: ", two axes",
        });
        let hole = model.pin + pad.dice.between(2, 9);
        holes.push((side, hole));
        grips.push((side, value - hole));
    }
    let length = model.width + pad.dice.step(-10, 10, 10);
    pad.read(&Read {
        name: "pin length",
        value: length,
        decimals: 3,
        by: mic(length),
        more: "",
    });
    let rod = model.rod() + pad.dice.step(-20, 20, 10);
    pad.read(&Read {
        name: "rod width",
        value: rod,
        decimals: 3,
        by: mic(rod),
        more: "",
    });
    let mut washers = 0;
    let mut webs = Vec::new();
    for side in ["left", "right"] {
        let value = WASHER + pad.dice.step(-10, 10, 10);
        washers += value;
        pad.read(&Read {
            name: &format!("washer thickness at {side}"),
            value,
            decimals: 3,
            by: "mic 0-25",
            more: ", new",
        });
    }
    for side in ["left", "right"] {
        let value = model.web + pad.dice.step(-20, 20, 10);
        webs.push(value);
        pad.read(&Read {
            name: &format!("web thickness at {side}"),
            value,
            decimals: 3,
            by: mic(value),
            more: "",
        });
    }
    for (side, hole) in holes {
        pad.read(&Read {
            name: &format!("web hole at {side}"),
            value: hole,
            decimals: 3,
            by: "bore gauge",
            more: ", three axes",
        });
    }
    let mut most = 0;
    for (side, grip) in grips {
        most = most.max(grip);
        pad.claims(&format!("pin interference at {side}"), "", grip, 3);
    }
    let play = length - webs.iter().sum::<i64>() - rod - washers;
    let sum = [length, webs[0], webs[1], rod, washers]
        .map(|one| pad.figure(one, 2))
        .join(" - ");
    pad.claims("side play expected", &sum, play, 2);
    most * 6
}

fn build(pad: &mut Pad<'_>, press: i64) {
    pad.day(0, "build");
    pad.maybe_aside(70);
    let force = |pad: &mut Pad<'_>, share: i64| {
        let high = press * share / 100 + pad.dice.between(-40, 40);
        format!(
            "force {} t to {} t on press",
            pad.figure(high * 3, 1),
            pad.figure(high * 10, 1)
        )
    };
    let one = force(pad, 90);
    pad.did(
        "press in crankpin",
        &["web supported", "assy paste", "flush", &one],
        &["from rod kit", "into left web", "square", "oil slot to the rear"],
    );
    pad.maybe_aside(30);
    let two = force(pad, 105);
    pad.did(
        "press together",
        &["rod and cage oiled", "web supported close round pin", &two],
        &["washers in", "square on rims", "in steps"],
    );
    pad.did("check rod turns", &[], &["free all round", "no tight spot"]);
    let play = PLAY + pad.dice.pick(&[&-50, &0, &-50]);
    pad.blades("side play", play, 50, "feelers");
    let width = pad.model.width;
    pad.ring("web width", width, 30, mic(width));
    let (mut left, mut right) = (pad.dice.step(60, 150, 10), pad.dice.step(50, 140, 10));
    ends(pad, left, right);
    for _ in 0..pad.dice.between(1, 3) {
        let angle = format!("angle {}°", pad.dice.step(0, 345, 15));
        let tool = pad.dice.pick(&[
            "copper hammer",
            "wedge between webs",
            "lead hammer",
            "squeezed in the vice",
        ]);
        pad.did(
            "true crank",
            &["off centres", tool],
            &[
                "left rim",
                "right rim",
                &angle,
                "two blows",
                "light tap",
                "opposite pin",
            ],
        );
        left = stepped_down(left);
        right = stepped_down(right);
        ends(pad, left, right);
        pad.maybe_aside(20);
    }
    if left > 20 || right > 20 {
        pad.did("true crank", &["off centres", "copper hammer"], &["light tap"]);
        ends(pad, 20, 10);
    }
    pad.ring("web width", width, 20, mic(width));
    pad.blades("side play", play, 50, "feelers");
}

fn stepped_down(value: i64) -> i64 {
    (value / 2 / 10 * 10).max(10)
}

fn close(pad: &mut Pad<'_>) {
    pad.day(1, "build");
    let heat = format!("heat {} C", pad.dice.step(90, 115, 5));
    pad.did(
        "fit main bearings",
        &["gloves", "held down till cold", &heat],
        &["from main bearings", "case oven", "dropped in", "soak 30 min"],
    );
    pad.did(
        "fit crank seals",
        &["new seals"],
        &["case cold", "lip to crank", "greased"],
    );
    let torque = pad.torque(10);
    pad.did("close cases", &[&torque], &["sealant", "dowels in", "inside out"]);
    let value = pad.dice.step(120, 220, 10);
    pad.read(&Read {
        name: "end float",
        value,
        decimals: 2,
        by: "dial",
        more: "",
    });
    pad.did("fit barrel", &[], &["oiled", "rings pinched by hand", "new gasket"]);
    let torque = pad.torque(20);
    pad.did("torque barrel", &[&torque], &["cross"]);
    let torque = pad.torque(pad.model.torque);
    pad.did("torque head", &["oiled", &torque], &["clean threads"]);
    let around = pad.dice.step(980, 1150, 10);
    squish(pad, around);
}

fn test(pad: &mut Pad<'_>) {
    pad.day(1, "test");
    let (pressure, lost) = (pad.dice.step(400, 480, 10), pad.dice.step(0, 20, 10));
    let (pressure, lost) = (pad.figure(pressure, 2), pad.figure(lost, 2));
    pad.did(
        "leak test",
        &[
            "rig checked",
            &format!("pressure {pressure} bar"),
            &format!("lost {lost} bar"),
        ],
        &["hold 10 min", "soapy water round the seals"],
    );
    pad.did("fill oil", &[], &["gearbox oil 450 ml", "new plug washer"]);
    pad.did("prime", &[], &["kicked over", "plug out"]);
    pad.did("first start", &[], &["idle ok", "doors open", "third kick"]);
    pad.maybe_aside(30);
    pad.day(1, "test");
    let torque = pad.torque(pad.model.torque);
    pad.did("re-torque head", &["cold", &torque], &["heated once", "overnight"]);
    pad.maybe_aside(40);
}
