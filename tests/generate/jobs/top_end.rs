//! The top end of a two-stroke single: bore, piston, rings, squish.

use super::super::pad::Pad;
use super::super::parts::Part;
use super::super::readings::{Read, mic};

pub fn round(pad: &mut Pad<'_>) {
    let model = pad.model;
    let days = pad.dice.between(2, 20);
    pad.day(days, "as found");
    let bar = pad.dice.between(50, 90);
    let bar = pad.figure(bar * 100, 1);
    pad.value("compression", &format!("{bar} bar, cold"));
    pad.did("remove flywheel", &["puller"], &["key kept", "nut freed warm"]);
    pad.day(0, "strip");
    let worn = pad.dice.between(12, 30);
    let (least, _) = pad.bore("bore", model.bore + 14, worn);
    let value = least - pad.dice.between(62, 78);
    pad.read(&Read {
        name: "piston size",
        value,
        decimals: 3,
        by: mic(value),
        more: ", 12 mm up the skirt",
    });
    pad.claims("piston clearance", "", least - value, 3);
    pad.blades("ring gap", model.ring_gap() + 150, 50, "feelers");
    let state = pad
        .dice
        .pick(&["worn", "scored on the exhaust side", "ring stuck", "skirt blue"]);
    pad.entry(&format!("found piston kit: {state}, replace"));
    pad.maybe_aside(50);
    if pad.dice.chance(20) {
        let low = pad.dice.step(200, 400, 50);
        pad.stock("base gaskets", low, 100, 3);
    }

    pad.day(1, "inspection");
    let number = pad.number();
    pad.buy(&[
        Part {
            name: "piston kit",
            number,
            many: 1,
            price: 96,
        },
        Part {
            name: "circlips",
            number: String::new(),
            many: 2,
            price: 2,
        },
    ]);

    let days = pad.dice.between(1, 6);
    pad.day(days, "machining");
    pad.did(
        "hone barrel",
        &[],
        &["plateau", "45 degrees", "two stones", "by the plater"],
    );
    pad.did("wash barrel", &[], &["hot soapy water", "oiled at once"]);
    let (least, _) = pad.bore("bore", model.bore + 8, 2);
    let value = least - pad.dice.between(50, 60);
    pad.read(&Read {
        name: "piston size",
        value,
        decimals: 3,
        by: mic(value),
        more: ", new",
    });
    pad.claims("piston clearance", "", least - value, 3);
    pad.blades("ring gap", model.ring_gap(), 50, "feelers");

    pad.day(1, "build");
    pad.did("fit rings", &[], &["on pegs", "marks up"]);
    pad.did(
        "fit piston",
        &["from piston kit", "new circlips"],
        &["arrow to exhaust", "pin oiled", "clip gap down"],
    );
    pad.did("fit base gasket", &["new gasket"], &["dry", "oiled both sides"]);
    pad.did("fit barrel", &[], &["oiled", "rings pinched by hand"]);
    let torque = pad.torque(20);
    pad.did("torque barrel", &[&torque], &[]);
    let torque = pad.torque(model.torque);
    pad.did("torque head", &["oiled", &torque], &["clean threads", "copper ring in"]);
    for side in ["left", "right"] {
        let value = 1050 + pad.dice.step(-40, 40, 10);
        pad.read(&Read {
            name: &format!("squish at {side}"),
            value,
            decimals: 2,
            by: "",
            more: "",
        });
    }
    pad.did("fit rotor", &[], &["key in", "torque 60 N·m", "taper clean"]);

    pad.day(1, "test");
    let lost = pad.dice.step(0, 20, 10);
    let lost = pad.figure(lost, 2);
    pad.did(
        "leak test",
        &["rig checked", "pressure 0.45 bar", &format!("lost {lost} bar")],
        &["hold 10 min"],
    );
    pad.did("fill oil", &[], &["premix 40:1"]);
    pad.did("prime", &[], &[]);
    pad.did("first start", &[], &["idle ok", "doors open"]);
    pad.day(1, "test");
    let torque = pad.torque(model.torque);
    pad.did("re-torque head", &["cold", &torque], &[]);
    pad.maybe_aside(60);
}
