//! A crownwheel-and-pinion axle: backlash, shims, preload.

use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::Read;

fn lash(pad: &mut Pad<'_>, around: i64) {
    pad.ring("backlash", around, 10, "dial");
}

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let days = pad.dice.between(1, 15);
    pad.day(days, "as found");
    let found = pad.dice.step(280, 380, 10);
    lash(pad, found);
    let pattern = pad
        .dice
        .pick(&["toe-ish, flank", "heel", "too deep", "narrow, at the tip"]);
    pad.entry(&format!("found contact pattern: {pattern}"));
    let drag = pad.dice.between(2, 6);
    let drag = pad.figure(drag * 100, 1);
    pad.value("pinion drag", &format!("{drag} N·m"));
    let (left, right) = (pad.dice.step(1900, 2400, 10), pad.dice.step(1900, 2400, 10));
    for (side, value) in [("left", left), ("right", right)] {
        pad.read(&Read {
            name: &format!("side shim at {side}"),
            value,
            decimals: 2,
            by: "mic 0-25",
            more: "",
        });
    }
    pad.claims("side shim total", "", left + right, 2);
    let pinion = pad.dice.step(1000, 1500, 10);
    pad.read(&Read {
        name: "pinion shim",
        value: pinion,
        decimals: 2,
        by: "mic 0-25",
        more: "",
    });
    let mark = pad.dice.step(10, 60, 10);
    pad.value(
        "pinion mark",
        &format!("+{}, plus is thinner, on the head", pad.figure(mark, 2)),
    );

    pad.day(0, "strip");
    pad.did(
        "strip axle",
        &[],
        &[
            "caps marked left and right",
            "bearings oiled straight away",
            "on stands",
        ],
    );
    pad.maybe_aside(60);
    let play = pad.dice.step(50, 120, 10);
    pad.read(&Read {
        name: "side gear play",
        value: play,
        decimals: 2,
        by: "",
        more: "",
    });
    for side in ["left", "right"] {
        let value = pad.dice.step(980, 1040, 10);
        pad.read(&Read {
            name: &format!("thrust washer at {side}"),
            value,
            decimals: 2,
            by: "mic 0-25",
            more: "",
        });
    }
    for part in ["pinion bearings", "side bearings"] {
        let state = pad.dice.pick(&["pitted", "blue", "spun", "noisy when dry"]);
        pad.entry(&format!("found {part}: {state}, replace"));
    }
    pad.entry("found crownwheel and pinion: good, no chips, reuse");
    let value = pad.dice.step(10, 40, 10);
    pad.read(&Read {
        name: "crownwheel run-out",
        value,
        decimals: 2,
        by: "dial",
        more: "",
    });
    let (pinion_bearings, side_bearings, seal) = (pad.number(), pad.number(), pad.number());
    pad.buy(&[
        Part {
            name: "pinion bearings",
            number: pinion_bearings,
            many: 2,
            price: 26,
        },
        Part {
            name: "side bearings",
            number: side_bearings,
            many: 2,
            price: 21,
        },
        Part {
            name: "pinion seal",
            number: seal,
            many: 1,
            price: 9,
        },
        Part {
            name: "crownwheel bolts",
            number: String::new(),
            many: 8,
            price: 2,
        },
        Part {
            name: "crush spacer",
            number: String::new(),
            many: 1,
            price: 7,
        },
    ]);

    pad.day(1, "build");
    let heat = format!("heat {} C", pad.dice.step(80, 110, 5));
    pad.did(
        "fit pinion bearings",
        &[&heat],
        &["cups square with the old cup", "hot plate", "gloves"],
    );
    let depth = model.width + pad.dice.step(-40, 40, 10);
    pad.read(&Read {
        name: "pinion depth",
        value: depth,
        decimals: 2,
        by: "depth gauge",
        more: "",
    });
    pad.did(
        "set pinion preload",
        &["new crush spacer", "torque 140 N·m"],
        &["in steps", "turned between"],
    );
    let drag = model.drag + pad.dice.between(-1, 1);
    let drag = pad.figure(drag * 100, 1);
    pad.value("pinion drag", &format!("{drag} N·m"));
    let torque = pad.torque(30);
    pad.did(
        "bolt crownwheel",
        &["new bolts", "thread lock", &torque],
        &["clean and dry"],
    );
    pad.did("fit side shims", &[], &["trial", "as they came out"]);
    lash(pad, found - 40);
    let moved = pad.dice.step(100, 200, 10);
    let sums = [("right", right, moved), ("left", left, -moved)];
    for (side, old, by) in sums {
        let sign = if by < 0 { "-" } else { "+" };
        let sum = format!("{} {sign} {}", pad.figure(old, 2), pad.figure(by.abs(), 2));
        pad.claims(&format!("side shim at {side}"), &sum, old + by, 2);
    }
    pad.claims("side shim total", "", left + right, 2);
    pad.did("fit side shims", &[], &["greased"]);
    let torque = pad.torque(45);
    pad.did("torque caps", &["oiled", &torque], &["left and right as marked"]);
    pad.did("seat bearings", &[], &["turned 10 times"]);
    lash(pad, 165);
    let pattern = pad.dice.pick(&["centre, slight heel", "centre", "even on both flanks"]);
    pad.entry(&format!("found contact pattern: {pattern}, good"));
    let preload = pad.dice.step(90, 110, 10);
    pad.read(&Read {
        name: "side preload",
        value: preload,
        decimals: 2,
        by: "dial",
        more: "",
    });
    let total = model.drag + pad.dice.between(1, 4);
    let total = pad.figure(total * 100, 1);
    pad.value("total drag", &format!("{total} N·m, with the crownwheel"));
    pad.did("fit pinion seal", &["new seal"], &["lip in", "greased"]);
    pad.did("fit axle cover", &[], &["sealant", "magnet wiped"]);
    let oil = pad.dice.between(7, 18);
    let oil = format!("oil {} L", pad.figure(oil * 100, 1));
    pad.did("fill axle oil", &[&oil], &[]);

    pad.day(1, "test");
    pad.did("run axle", &[], &["on the stand", "run 10 min", "no whine", "warm"]);
    pad.maybe_aside(60);
}
