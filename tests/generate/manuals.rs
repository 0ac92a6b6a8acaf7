//! Manuals of the models: each extends the shelf and the shop's own manual, later editions extend earlier ones.

use std::fmt::Write as _;

use super::figures::{figure, mm};
use super::model::{Kind, Model, PLAY, WASHER};

/// The file of the shop's own manual.
pub const HOUSE: &str = "house-rules";

/// The shop's own manual, which all others extend.
pub fn house() -> String {
    "# What holds for every job of the shop, whatever its manual says.\n\
     manual   house rules\n\
     source   written on the wall of the shop\n\
     extends  threaded fasteners\n\
     extends  seals\n\
     units    mm, N·m, bar\n\
     \n\
     feature oil level\n\
     \x20 unit     mm\n\
     feature bench level, also level of the bench\n\
     \x20 build    up to 0.10 mm\n\
     \n\
     procedure leaving the bench\n\
     \x20 step sweep bench   optional\n\
     \x20 step lock cabinet  optional; after sweep bench\n"
        .to_owned()
}

/// The manual of a model.
pub fn manual(model: &Model) -> String {
    let mut out = String::new();
    let text = &mut out;
    let page = model.page;
    line(text, &format!("# {}: {}.", model.name, what(model)));
    line(text, &format!("manual   {}, workshop manual", model.name));
    line(text, &format!("source   workshop manual, page {page}"));
    if let Some(earlier) = &model.later_of {
        line(text, &format!("extends  {earlier}"));
        line(text, "units    mm, N·m, bar");
        line(text, "");
        later(text, model);
        return out;
    }
    for name in extends(model.kind) {
        line(text, &format!("extends  {name}"));
    }
    line(text, &format!("extends  {HOUSE}"));
    line(text, "units    mm, t, N·m, bar, g, cc, N");
    line(text, "");
    match model.kind {
        Kind::Single => single(text, model),
        Kind::Twin => twin(text, model),
        Kind::Valves => valves(text, model),
        Kind::Axle => axle(text, model),
        Kind::Pump => pump(text, model),
        Kind::Gearbox => gearbox(text, model),
    }
    out
}

fn extends(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Single => &["pressed crank", "two-stroke top end"],
        Kind::Twin => &["two-stroke top end"],
        Kind::Valves => &["four-stroke top end"],
        Kind::Axle => &["differential"],
        Kind::Pump => &["gear pump"],
        Kind::Gearbox => &["gearbox", "cases and end float"],
    }
}

fn what(model: &Model) -> String {
    let (bore, stroke) = (figure(model.bore, 1), figure(model.stroke, 1));
    match model.kind {
        Kind::Single => format!("air-cooled two-stroke single, {bore} x {stroke} mm, pressed-up crank"),
        Kind::Twin => format!("water-cooled two-stroke twin, 2 x {bore} x {stroke} mm, cylinder 1 on the magneto side"),
        Kind::Valves => format!("{} valves, buckets and shims, {bore} x {stroke} mm", model.valves),
        Kind::Axle => "the side shim on the right stands behind the crownwheel".to_owned(),
        Kind::Pump => format!("two gears, {} mm wide", figure(model.gear, 0)),
        Kind::Gearbox => "five speeds, three forks".to_owned(),
    }
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

/// `build    LOW to HIGH mm` and the like, below a feature.
fn limit(out: &mut String, stage: &str, low: i64, high: i64) {
    let _ = writeln!(out, "  {stage:<8} {} to {} mm", mm(low), mm(high));
}

fn feature(out: &mut String, head: &str, low: i64, high: i64) {
    line(out, &format!("feature {head}"));
    limit(out, "build", low, high);
}

fn calc(out: &mut String, head: &str, low: i64, high: i64) {
    line(out, &format!("calc {head}"));
    limit(out, "build", low, high);
}

fn single(out: &mut String, model: &Model) {
    let page = model.page;
    feature(out, "web width", model.width - 50, model.width + 50);
    line(out, "  required");
    feature(out, "side play", PLAY - 100, PLAY + 100);
    line(out, "  service  up to 0.70 mm");
    line(out, "  required");
    line(
        out,
        "feature run-out at left, right\n  build    up to 0.03 mm\n  say      on centres or on main journals\n  required",
    );
    feature(out, "end float", 100, 250);
    let seat = model.pin + model.grip;
    feature(out, "pin seat at left, right", seat - 10, seat + 10);
    line(out, &format!("  nominal  {} mm", mm(seat)));
    feature(out, "web hole at left, right", model.pin, model.pin + 12);
    calc(
        out,
        "pin interference at left, right, also interference = pin seat - web hole",
        model.grip - 15,
        model.grip + 15,
    );
    feature(out, "pin length", model.width - 50, model.width + 50);
    line(out, &format!("  nominal  {} mm", mm(model.width)));
    feature(out, "rod width", model.rod() - 40, model.rod() + 40);
    feature(out, "washer thickness at left, right", WASHER - 20, WASHER + 20);
    feature(out, "web thickness at left, right", model.web - 30, model.web + 30);
    calc(
        out,
        "side play expected, also side play from parts = pin length - total(web thickness) - rod width - total(washer thickness)",
        PLAY - 100,
        PLAY + 100,
    );
    feature(out, "squish at left, right", 900, 1300);
    line(
        out,
        &format!("feature stroke\n  nominal  {} mm", figure(model.stroke, 1)),
    );
    feature(out, "bore", model.bore, model.bore + 30);
    limit(out, "service", model.bore, model.bore + 90);
    calc(
        out,
        "piston clearance, also clr = smallest(bore) - largest(piston size)",
        45,
        75,
    );
    line(out, "  service  0.040 to 0.120 mm");
    feature(out, "ring gap", model.ring_gap() - 50, model.ring_gap() + 150);
    line(
        out,
        &format!(
            "\nprocedure crank rebuild\n  step fit main bearings  after press together; needs gloves, held down; disturbs end float\n    also fit mains\n    heat 90 to 120 C\n\
             \x20 step fit crank seals  after fit main bearings; needs new seals\n  step close cases      after fit main bearings; disturbs end float; also bolt cases\n    torque 9 to 11 N·m\n\
             \nprocedure two-stroke top end\n  step torque barrel  after fit barrel\n    torque 18 to 22 N·m\n  step torque head  after torque barrel; needs oiled\n    torque {} to {} N·m, source workshop manual, page {}\n\
             \x20 step leak test  after torque head; needs rig checked\n    pressure 0.40 to 0.50 bar\n    lost up to 0.03 bar\n  step re-torque head  after first start; needs cold; also retorque head\n    torque {} to {} N·m",
            model.torque - 2,
            model.torque + 2,
            page + 3,
            model.torque - 2,
            model.torque + 2,
        ),
    );
}

fn twin(out: &mut String, model: &Model) {
    const BOTH: &str = "of cylinder 1, cylinder 2";
    feature(out, &format!("squish {BOTH} at left, right"), 750, 950);
    line(out, "  service  0.60 to 1.20 mm");
    line(
        out,
        &format!("calc squish difference {BOTH}, also squish side to side = spread(squish)\n  build    up to 0.10 mm"),
    );
    feature(out, &format!("bore {BOTH}"), model.bore, model.bore + 30);
    line(
        out,
        &format!(
            "feature piston size {BOTH}\n  nominal  {} mm",
            figure(model.bore - 45, 3)
        ),
    );
    calc(
        out,
        &format!("piston clearance {BOTH}, also clr = smallest(bore) - largest(piston size)"),
        45,
        70,
    );
    line(
        out,
        &format!(
            "calc out of round {BOTH} at top, middle, bottom, also ovality = largest(bore) - smallest(bore)\n  build    up to 0.010 mm"
        ),
    );
    line(
        out,
        &format!(
            "calc bore taper {BOTH} at along, across, also taper = largest(bore) - smallest(bore)\n  build    up to 0.010 mm"
        ),
    );
    feature(
        out,
        &format!("ring gap {BOTH}"),
        model.ring_gap() - 50,
        model.ring_gap() + 150,
    );
    line(
        out,
        &format!("feature piston mass {BOTH}, also piston weight\n  unit     g\n  alike    within 1 g"),
    );
    line(
        out,
        &format!("feature head volume {BOTH}, also head cc\n  unit     cc\n  alike    within 0.2 cc"),
    );
    line(
        out,
        &format!(
            "calc swept volume = displacement({} mm, {} mm)",
            figure(model.bore, 1),
            figure(model.stroke, 1)
        ),
    );
    line(
        out,
        &format!("calc compression ratio {BOTH}, also CR = (swept volume + head volume) / head volume"),
    );
    line(out, &format!("feature compression {BOTH}, also compr\n  unit     bar"));
    line(
        out,
        &format!("feature ignition timing {BOTH}, also ignition, ign\n  unit     mm"),
    );
    line(
        out,
        "feature crank run-out at mag side, clutch side\n  build    up to 0.03 mm",
    );
    feature(out, &format!("big end side play {BOTH}"), 400, 600);
    line(
        out,
        &format!(
            "\nprocedure two-stroke top end\n  step fit small end cages  optional; also fit cages\n  step fit piston           needs new circlips; also fit pistons\n  step torque head          after fit piston, fit base gasket\n    torque {} to {} N·m\n\
             \x20 step leak test  after torque head\n    pressure 0.35 to 0.45 bar\n    lost up to 0.03 bar\n  step re-torque head  after first start; needs cold; also retorque head\n    torque {} to {} N·m",
            model.torque - 1,
            model.torque + 1,
            model.torque - 1,
            model.torque + 1,
        ),
    );
}

/// `valve 1, valve 2` of the inlets, and of the exhausts.
pub fn valve_names(model: &Model) -> (Vec<String>, Vec<String>) {
    let named = |from: i64, to: i64| (from..=to).map(|number| format!("valve {number}")).collect();
    (named(1, model.valves / 2), named(model.valves / 2 + 1, model.valves))
}

fn valves(out: &mut String, model: &Model) {
    let (inlets, exhausts) = valve_names(model);
    let (inlets, exhausts) = (inlets.join(", "), exhausts.join(", "));
    feature(out, &format!("inlet clearance of {inlets}"), 100, 150);
    feature(out, &format!("exhaust clearance of {exhausts}"), 170, 220);
    for name in ["shim", "shim mark"] {
        line(out, &format!("feature {name} of {inlets}, {exhausts}\n  unit     mm"));
    }
    line(
        out,
        &format!("feature shim wanted of {inlets}, {exhausts}, also new shim\n  unit     mm"),
    );
    feature(out, &format!("inlet stem of {inlets}"), 4975, 4990);
    feature(out, &format!("exhaust stem of {exhausts}"), 4955, 4970);
    calc(
        out,
        &format!("inlet stem clearance of {inlets} = inlet guide - inlet stem"),
        15,
        50,
    );
    calc(
        out,
        &format!("exhaust stem clearance of {exhausts} = exhaust guide - exhaust stem"),
        30,
        65,
    );
    feature(out, "inlet seat width", 1000, 1300);
    feature(out, "exhaust seat width", 1000, 1500);
    line(
        out,
        "feature spring free length\n  nominal  42.0 mm\n  service  at least 40.8 mm",
    );
    feature(out, "bore", model.bore, model.bore + 30);
    limit(out, "service", model.bore, model.bore + 90);
    calc(
        out,
        "piston clearance, also clr = smallest(bore) - largest(piston size)",
        35,
        65,
    );
    line(
        out,
        "calc piston clearance greatest = largest(bore) - smallest(piston size)\n  service  up to 0.110 mm",
    );
    feature(
        out,
        "ring gap of top ring, second ring",
        model.ring_gap() - 50,
        model.ring_gap() + 250,
    );
    line(
        out,
        &format!(
            "\nprocedure valve train\n  step fit cams  optional; needs caps oiled; also torque cam caps\n    torque 9 to 11 N·m\n\
             \nprocedure four-stroke top end\n  step torque head  needs oiled, new copper washers\n    torque {} to {} N·m",
            model.torque - 2,
            model.torque + 2
        ),
    );
}

fn axle(out: &mut String, model: &Model) {
    feature(out, "backlash", 130, 200);
    line(
        out,
        "calc backlash variation, also lash variation = spread(backlash)\n  build    up to 0.05 mm",
    );
    line(out, "feature side shim at left, right\n  unit     mm");
    line(
        out,
        "calc side shim change = abs(side shim at left + side shim at right - side shim at left as found - side shim at right as found)\n  build    up to 0.02 mm",
    );
    feature(out, "side preload", 80, 120);
    line(out, "  required");
    let tenths = |figure: i64| format!("{}.{}", figure / 10, figure % 10);
    line(
        out,
        &format!(
            "feature pinion drag, also pinion rotating torque\n  build    {} to {} N·m, source workshop manual, page {}, new bearings, no seal\n  service  at least 0.2 N·m",
            tenths(model.drag - 3),
            tenths(model.drag + 3),
            model.page + 1
        ),
    );
    line(
        out,
        &format!(
            "feature total drag\n  build    {} to {} N·m",
            tenths(model.drag - 1),
            tenths(model.drag + 6)
        ),
    );
    feature(out, "pinion depth", model.width - 100, model.width + 100);
    line(out, &format!("  nominal  {} mm", mm(model.width)));
    line(
        out,
        "feature thrust washer at left, right\n  service  at least 0.95 mm\nfeature side gear play\n  service  up to 0.15 mm",
    );
    line(
        out,
        "\nprocedure differential rebuild\n  step set pinion preload  needs new crush spacer; disturbs pinion drag, total drag; also torque pinion nut\n    torque 130 to 150 N·m\n\
         \x20 step bolt crownwheel  needs new bolts, thread lock; disturbs backlash\n    torque 28 to 32 N·m\n  step fit side shims  disturbs backlash, side preload, total drag; also move side shims\n\
         \x20 step torque caps     after fit side shims; needs oiled; disturbs backlash, side preload, total drag\n    torque 43 to 47 N·m\n  step seat bearings  after torque caps\n  step fill axle oil  after torque caps",
    );
}

fn pump(out: &mut String, model: &Model) {
    feature(out, "gear width of driver, driven", model.gear - 10, model.gear + 10);
    line(
        out,
        "calc gear width difference = spread(gear width)\n  build    up to 0.005 mm",
    );
    calc(
        out,
        "end clearance, also end clr = mean(body depth) + gasket crushed - smallest(gear width)",
        30,
        80,
    );
    line(out, "  service  up to 0.20 mm");
    feature(out, "tip clearance of driver, driven, also tip clr", 50, 100);
    line(out, "  service  up to 0.15 mm");
    calc(out, "bush clearance = bush bore - shaft size", 20, 50);
    line(out, "  service  up to 0.10 mm");
    line(out, "feature shaft run-out\n  build    up to 0.03 mm");
    feature(out, "body depth", model.gear, model.gear + 50);
    limit(out, "service", model.gear, model.gear + 150);
    line(
        out,
        "\nprocedure pump rebuild\n  step isolate pump    needs locked off\n  step fit shaft seal  needs new seal\n  step fit cover       after fit gears, fit shaft seal; needs oiled; also torque cover\n    torque 20 to 24 N·m\n\
         \x20 step pressure test  after fit cover; needs water; also hydro test\n    pressure 8.7 to 9.3 bar\n  step prime pump  after fit cover\n  step run pump    after prime pump, pressure test",
    );
}

fn gearbox(out: &mut String, model: &Model) {
    feature(out, "shaft float at main shaft, lay shaft", 100, 300);
    feature(out, "gear side clearance of second, third, fourth", 80, 250);
    feature(out, "fork groove of first fork, second fork, third fork", 5000, 5150);
    feature(
        out,
        "fork tip thickness of first fork, second fork, third fork",
        4600,
        4850,
    );
    limit(out, "service", 4500, 4850);
    calc(
        out,
        "fork clearance of first fork, second fork, third fork = fork groove - fork tip thickness",
        150,
        500,
    );
    line(
        out,
        "feature gearbox shaft run-out of main shaft, lay shaft\n  build    up to 0.04 mm",
    );
    line(
        out,
        "feature dog rounding of second, third, fourth\n  service  up to 0.6 mm",
    );
    line(
        out,
        &format!(
            "\nprocedure gearbox rebuild\n  step close gearbox; torque {} to {} N·m; stages at least 2\n  step fill gearbox  after close gearbox\n  step fit forks      after fit gear shafts\n\
             \x20 step fit bearings   optional; needs gloves\n  step run gearbox    optional; after fill gearbox",
            model.torque / 2 - 2,
            model.torque / 2 + 2
        ),
    );
}

/// What a later edition says anew.
fn later(out: &mut String, model: &Model) {
    match model.kind {
        Kind::Single => {
            feature(out, "side play", PLAY - 80, PLAY + 120);
            line(out, "  required");
            feature(out, "squish at left, right", 900, 1250);
        }
        Kind::Twin => feature(out, "squish of cylinder 1, cylinder 2 at left, right", 760, 940),
        Kind::Valves => feature(out, "inlet seat width", 1000, 1350),
        Kind::Axle => feature(out, "backlash", 120, 200),
        Kind::Pump => {
            line(out, "feature shaft run-out");
            line(out, "  build    up to 0.04 mm");
        }
        Kind::Gearbox => feature(out, "shaft float at main shaft, lay shaft", 100, 320),
    }
    line(out, "\nprocedure second look\n  step look again  optional");
}
