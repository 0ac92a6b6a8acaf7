//! Every form of the language is read as meant, and a line that cannot be read says so in plain words.

#![allow(clippy::unwrap_used)]

mod shown;

use gudgeon::syntax::{parse_log, parse_manual};
use shown::{errors, log, manual};

/// One line of a log, as it was read.
#[track_caller]
fn reads(line: &str, expected: &str) {
    assert_eq!(log(line), expected, "{line}");
}

/// One line of a manual, as it was read.
#[track_caller]
fn rules(line: &str, expected: &str) {
    assert_eq!(manual(line), expected, "{line}");
}

#[test]
fn the_head_of_a_log() {
    reads("job  bottom end, 2 = two", "job(bottom end, 2 = two)");
    reads("Machine Tarn 250, frame TN-0417", "machine(Tarn 250, frame TN-0417)");
    reads("owner: A. Farrow", "owner(A. Farrow)");
    reads("BY the bench", "by(the bench)");
    reads("hours 312", "hours(312)");
    reads("hours 31240km", "hours(31240 km)");
    reads("manual tarn-250", "manual(tarn-250)");
    reads("procedure crank rebuild", "procedure(crank rebuild)");
    reads("units mm, N·m,blades hundredths", "units(mm | N·m | blades hundredths)");
}

#[test]
fn tools_and_their_facts() {
    reads(
        "tool mic 50-75:  micrometer, reads to 0.01 mm, good to 0,004 mm, due 2027-01-31",
        "tool(mic 50-75): micrometer | reads to <0.01 mm> | good to <0,004 mm> | due @2027-01-31",
    );
    reads("tool press: press, rated 20 t", "tool(press): press | rated <20 t>");
    reads(
        "tool jack: press, rated 10 t frame",
        "tool(jack): press | rated <10 t> frame",
    );
    reads(
        "tool wrench: torque wrench, range 10 to 60 N·m",
        "tool(wrench): torque wrench | range <10 to 60 N·m>",
    );
    reads(
        "tool mic: micrometer, zero +0.002 mm",
        "tool(mic): micrometer | zero <+0.002 mm>",
    );
    reads("tool feelers:", "tool(feelers):");
}

#[test]
fn days_stages_and_times() {
    reads("2026-03-14", "day 2026-03-14");
    reads("2026-03-14   as found", "day 2026-03-14 as found");
    reads("2026-03-14: goods in", "day 2026-03-14 goods in");
    reads("2026-03-14 09:40 build", "day 2026-03-14 build");
    reads("2026-03-14 build, with the lads", "day 2026-03-14 build");
    reads("09:40 did press together", "did(press together)");
    reads("9:40 web width = 52 mm", "reading[web width] = 52 mm");
}

#[test]
fn a_subject_has_a_part_and_a_place() {
    reads(
        "bore of cylinder 1 = 72.01 mm",
        "reading[bore|of:cylinder 1] = 72.01 mm",
    );
    reads("bore at top = 72.01 mm", "reading[bore|at:top] = 72.01 mm");
    reads(
        "Bore  OF Cylinder 1\tat top along = 72.01 mm",
        "reading[Bore|of:Cylinder 1|at:top along] = 72.01 mm",
    );
    reads(
        "bore at top of cylinder 1 = 72 mm",
        "reading[bore|of:cylinder 1|at:top] = 72 mm",
    );
    reads("run-out @ drive side = 2 um", "reading[run-out|at:drive side] = 2 um");
    reads("r/o at d.s. = 2 um", "reading[r/o|at:d.s.] = 2 um");
    // Words that only begin as a clause word does.
    reads("offset at attic = 2 mm", "reading[offset|at:attic] = 2 mm");
    reads("by-pass play = 3 mm", "reading[by-pass play] = 3 mm");
    reads("photo window height = 4 mm", "reading[photo window height] = 4 mm");
    reads("closed gap = 4 mm", "reading[closed gap] = 4 mm");
    reads("größe der büchse = 4 mm", "reading[größe der büchse] = 4 mm");
}

#[test]
fn readings_in_every_form() {
    reads("web width = 52.03 mm", "reading[web width] = 52.03 mm");
    reads("web width=52,03mm", "reading[web width] = 52,03 mm");
    reads("taper = -18", "reading[taper] = -18");
    reads("taper = .40", "reading[taper] = .40");
    reads(
        "web width = 52.03 52.02 52.03 52.03 at 0 90 180 270 mm",
        "reading[web width] = ring(52.03 52.02 52.03 52.03 at 0 90 180 270) all mm",
    );
    reads(
        "web width = 0.03 -0.01 0.02",
        "reading[web width] = many(0.03 -0.01 0.02)",
    );
    reads(
        "web width = 0.03 -0.01 at 0° 180°",
        "reading[web width] = ring(0.03 -0.01 at 0 180)",
    );
    reads(
        "pin length = 52.00 52.01 52.00 mm",
        "reading[pin length] = many(52.00 52.01 52.00 mm)",
    );
    reads(
        "pin length = 52,00 52,01 mm",
        "reading[pin length] = many(52,00 52,01 mm)",
    );
    reads("ring width = 18.2 x3 mm", "reading[ring width] = times(18.2, 3) all mm");
    reads("ring width = 18.2 x3", "reading[ring width] = times(18.2, 3)");
    reads("ring width = 18.2 mm × 3", "reading[ring width] = times(18.2 mm, 3)");
    reads("ring width = 18.2 x 3", "reading[ring width] = times(18.2, 3)");
    reads(
        "end float = 0.10 to 0.20 mm",
        "reading[end float] = range(0.10, 0.20 mm)",
    );
    reads("end float = 0.10-0.20", "reading[end float] = range(0.10, 0.20)");
    reads(
        "end float = 0.10mm-0.20mm",
        "reading[end float] = range(0.10 mm, 0.20 mm)",
    );
    reads(
        "end float = 0.10 – 0.20 mm",
        "reading[end float] = range(0.10, 0.20 mm)",
    );
    reads(
        "end float = 0.15 ± 0.02 mm",
        "reading[end float] = plusminus(0.15, 0.02 mm)",
    );
    reads(
        "end float = 0.15+-0.02 mm",
        "reading[end float] = plusminus(0.15, 0.02 mm)",
    );
    reads(
        "end float = 0.15 +/- 0.02mm",
        "reading[end float] = plusminus(0.15, 0.02 mm)",
    );
    reads("squish = ~0.9 mm", "reading[squish] = 0.9 mm unsure");
    reads("squish = about 0.9 mm", "reading[squish] = 0.9 mm unsure");
    reads("squish = 0.9 mm ?", "reading[squish] = 0.9 mm unsure");
    reads("squish = 0.9mm?", "reading[squish] = 0.9 mm unsure");
    reads("pin = 3/8 in", "reading[pin] = 3/8 in");
    reads("pin = 1/2\"", "reading[pin] = 1/2 \"");
    reads("hole = 1 3/8 in", "reading[hole] = 1 3/8 in");
    reads("hole = 1-3/8 in by rule", "reading[hole] = 1-3/8 in by rule");
    reads("gap = 1/64 to 1/32 in", "reading[gap] = range(1/64, 1/32 in)");
    reads("premix = 50:1", "reading[premix] = 50:1");
    reads("premix = 1:50 ?", "reading[premix] = 1:50 unsure");
    reads("premix = 1000 / 20 = 50:1", "reading[premix] = sum(1000 / 20 = 50:1)");
    reads("cam angle = 12° 30'", "reading[cam angle] = 12 ° 30'");
    reads("cam angle = 12°30'", "reading[cam angle] = 12 °30'");
    reads("boost = 1.9 bar abs", "reading[boost] = 1.9 bar abs");
    reads(
        "boost = 28 psi absolute by gauge",
        "reading[boost] = 28 psi absolute by gauge",
    );
    reads("side play =", "reading[side play] = nothing");
    reads("side play = loose", "reading[side play] = words(loose)");
    reads(
        "bore = mm by bore gauge at 24 C",
        "reading[bore] = words(mm) by bore gauge at 24 C",
    );
}

#[test]
fn sums_by_hand() {
    reads(
        "play = 53.95 - 19.02 - 19.00 - 15.53 = 0.40 mm",
        "reading[play] = sum(53.95 - 19.02 - 19.00 - 15.53 = 0.40 mm)",
    );
    reads(
        "play = 2.05 - 0.19 = 1.76 mm",
        "reading[play] = sum(2.05 - 0.19 = 1.76 mm)",
    );
    reads(
        "shim = 25.085 + .04 - 25.01 = .115",
        "reading[shim] = sum(25.085 + .04 - 25.01 = .115)",
    );
    reads("area = 2 × 3,5 = 7", "reading[area] = sum(2 * 3,5 = 7)");
    reads(
        "play = 2.05-0.19=1.76mm by mic",
        "reading[play] = sum(2.05 - 0.19 = 1.76 mm) by mic",
    );
}

#[test]
fn blades() {
    let both = "reading[side play] = blades(go 0.50, no-go 0.55)";
    for written in [
        "go 0.50, no-go 0.55",
        "go 0.50 no-go 0.55",
        "goes 0.50; no go 0.55",
        "Go 0.50, NOT 0.55",
        "0.50 goes 0.55 no",
        "0.50 goes, 0.55 no",
        "0.50 go 0.55 no-go",
        "0.50 go, no-go 0.55",
    ] {
        reads(&format!("side play = {written}"), both);
    }
    reads(
        "side play = go 0,50, no-go 0,55 mm by feelers",
        "reading[side play] = blades(go 0,50, no-go 0,55 mm) by feelers",
    );
    reads(
        "web width of a at b = go 0.50, no-go 0.55 mm by feelers",
        "reading[web width|of:a|at:b] = blades(go 0.50, no-go 0.55 mm) by feelers",
    );
    reads("side play = goes 0.50 mm", "reading[side play] = blades(go 0.50 mm)");
    reads(
        "side play = 20 goes 25 no",
        "reading[side play] = blades(go 20, no-go 25)",
    );
    reads("side play = 20 goes", "reading[side play] = blades(go 20)");
    reads(
        "side play = no-go 0.20 mm",
        "reading[side play] = blades(no-go 0.20 mm)",
    );
    reads("side play = ~go 0.50", "reading[side play] = blades(go 0.50) unsure");
}

#[test]
fn tools_temperatures_and_details_of_a_reading() {
    reads(
        "bore = 72.012 mm by bore gauge at 24 C, wet, at noon",
        "reading[bore] = 72.012 mm by bore gauge at 24 C: wet | at noon",
    );
    reads(
        "bore = 72.012 mm @24°C by dial",
        "reading[bore] = 72.012 mm by dial at 24 °C",
    );
    reads("r/o = 0.07 mm high at 80°", "reading[r/o] = 0.07 mm at 80 °");
    reads("r/o = 7 um on V-blocks", "reading[r/o] = 7 um: on V-blocks");
    reads("r/o = 7 µm, on centres,", "reading[r/o] = 7 µm: on centres");
    reads(
        "r/o = 7 um, because of the heat, they say",
        "reading[r/o] = 7 um: because(of the heat, they say)",
    );
}

#[test]
fn units_as_they_are_written() {
    for unit in [
        "mm", "µm", "um", "ft-lb", "lbf·ft", "N·m", "N.m", "\"", "in", "°C", "%", "mm/min", "m²", "kg/cm2", "thou",
    ] {
        reads(&format!("x = 1.5 {unit}"), &format!("reading[x] = 1.5 {unit}"));
        reads(&format!("x = 1.5{unit}"), &format!("reading[x] = 1.5 {unit}"));
    }
    reads("x = 15 ft lb by hand", "reading[x] = 15 ft lb by hand");
    reads("x = 15 N m, dry", "reading[x] = 15 N m: dry");
    reads("x = 0.015\" by mic", "reading[x] = 0.015 \" by mic");
}

#[test]
fn tables() {
    let expected = "reading[bore|of:cylinder] = words(mm) by bore gauge at 24 C columns(along | across) row top(72.012 72.010) row middle(72.015 -) row bottom(\" 72.012)";
    reads(
        "bore of cylinder = mm by bore gauge at 24 C\n            along    across\n   top      72.012   72.010\n   middle   72.015   -\n   bottom   \"   72.012",
        expected,
    );
    // Tabs, CRLF, comments and empty lines between the rows change nothing.
    reads(
        "bore of cylinder = mm by bore gauge at 24 C\r\n\t\talong\tacross\r\n\ttop\t72.012\t72.010 # warm\r\n\r\n# again\r\n\tmiddle\t72.015\t-\r\n\tbottom\t\"\t72.012",
        expected,
    );
    reads(
        "bore =\n  72.01 72.02\n  72.03 72.04",
        "reading[bore] = nothing row (72.01 72.02) row (72.03 72.04)",
    );
    reads(
        "bore = mm\n  along  across\n  top  72.012\" 72.010",
        "reading[bore] = words(mm) columns(along | across) row top(72.012 \" 72.010)",
    );
}

#[test]
fn columns_may_have_names_of_several_words_or_numbers() {
    reads(
        "bore = mm\n        inlet side   outlet side\n  top   72.012       72.010",
        "reading[bore] = words(mm) columns(inlet side | outlet side) row top(72.012 72.010)",
    );
    reads(
        "bore = mm\n\tcylinder 1\tcylinder 2\n\ttop\t72.012\t72.010",
        "reading[bore] = words(mm) columns(cylinder 1 | cylinder 2) row top(72.012 72.010)",
    );
    reads(
        "bore = mm\n           1       2\n  top      72.012  72.010\n  bottom   72.013  72.012",
        "reading[bore] = words(mm) columns(1 | 2) row top(72.012 72.010) row bottom(72.013 72.012)",
    );
    reads(
        "bore = mm\n     along   across\n  1  72.012  72.010\n  2  72.013  72.012",
        "reading[bore] = words(mm) columns(along | across) row 1(72.012 72.010) row 2(72.013 72.012)",
    );
}

#[test]
fn steps_and_their_details() {
    reads(
        "did press out crankpin, force 7.5 t on press, web supported",
        "did(press out crankpin): force <7.5 t> on press | web supported",
    );
    reads(
        "did torque head (second stage), torque 12/20/28 ft-lb",
        "did(torque head (second stage)): torque <stages(12 20 28 ft-lb)>",
    );
    reads(
        "did heat case, heat ~180 C, 3 stages, 28 needles in",
        "did(heat case): heat <180 C unsure> | <3 stages> | <28 needles> in",
    );
    reads("did press, force 1.5 t to 4.5 t", "did(press): force <1.5 t to 4.5 t>");
    reads(
        "did fit rings, circlip gap 6 oclock",
        "did(fit rings): circlip gap <6 oclock>",
    );
    reads(
        "did press in crankpin; from rod kit A; flush, oiled,",
        "did(press in crankpin): from(rod kit A) | flush | oiled",
    );
    reads(
        "did fit head, because the old one was blue, 2 mm off",
        "did(fit head): because(the old one was blue, 2 mm off)",
    );
    reads("did fit pin, number 4471,5 b", "did(fit pin): number(4471,5 b)");
    reads(
        "did set timing, 1,5 mm before top",
        "did(set timing): <1,5 mm> before top",
    );
    reads(
        "did press\n  force 6 t on press, oiled\n  web supported",
        "did(press): force <6 t> on press | oiled | web supported",
    );
    reads(
        "did shim it, 2.05 - 0.19 = 1.86 mm",
        "did(shim it): <sum(2.05 - 0.19 = 1.86 mm)>",
    );
    reads("did heat it, 80-100 C", "did(heat it): <80 to 100 C>");
}

#[test]
fn findings_parts_and_options() {
    reads(
        "found crankpin: discoloured, replace",
        "found(crankpin): discoloured | replace",
    );
    reads("found webs : good , reuse", "found(webs): good | reuse");
    reads(
        "found needle bearing: 2 needles flat, replace",
        "found(needle bearing): <2 needles> flat | replace",
    );
    reads(
        "ordered rod kit A: number 4471-02, quantity 1, price 129 EUR, from Ninebrook Parts",
        "ordered(rod kit A): number(4471-02) | quantity <1> | price <129 EUR> | from(Ninebrook Parts)",
    );
    reads("got rod kit A", "got(rod kit A)");
    reads(
        "got rod kit A, number 4471-02, ordered as 4471-03",
        "got(rod kit A): number(4471-02) | ordered as(4471-03)",
    );
    reads(
        "waiting for rod kit A, since 2026-03-15",
        "waiting(rod kit A): since @2026-03-15",
    );
    reads("waiting rod kit A", "waiting(rod kit A)");
    reads(
        "chose rod kit A over rod kit B, because the pin keeps the web width",
        "chose(rod kit A over rod kit B): because(the pin keeps the web width)",
    );
    reads("chose kit A because it is here", "chose(kit A): because(it is here)");
}

#[test]
fn corrections() {
    reads(
        "fix web width 52.53 -> 52.03, half a millimetre misread",
        "fix[web width] 52.53 -> 52.03 why(half a millimetre misread)",
    );
    reads("fix web width = 52,53mm→52,03mm", "fix[web width] 52,53 mm -> 52,03 mm");
    reads(
        "fix bore of cylinder 1 at top 72.1 => 72.01 mm",
        "fix[bore|of:cylinder 1|at:top] 72.1 -> 72.01 mm",
    );
    reads(
        "fix torque head, torque 28 ft-lb -> 28 N·m, wrong unit written",
        "fix(torque head, torque) 28 ft-lb -> 28 N·m why(wrong unit written)",
    );
    reads("fix rod kit 2 width 5 -> 6", "fix[rod kit 2 width] 5 -> 6");
    reads("fix taper -0.02 -> 0.02", "fix[taper] -0.02 -> 0.02");
}

#[test]
fn the_other_lines() {
    reads(
        "held on centres, dial 35 mm outboard",
        "held: on centres | dial <35 mm> outboard",
    );
    reads("note: 3 = three, and so on", "note(3 = three, and so on)");
    reads("note", "note()");
    reads(
        "the gasket came off in one piece",
        "note(the gasket came off in one piece)",
    );
    reads("note it rang\n   like 2 bells = odd\n   note the end", "note(it rang)");
    reads("photo pictures/pin 1.jpg", "photo(pictures/pin 1.jpg)");
    reads("closed", "closed");
    reads("closed 2026-04-09", "closed 2026-04-09");
    reads("closed: 2026-04-09, all in limit", "closed 2026-04-09");
    reads("# only a remark", "");
    reads("web width = 52 mm # 3 mm", "reading[web width] = 52 mm");
}

#[test]
fn files_as_editors_leave_them() {
    let expected = "job(x)\nreading[web width] = 52.03 mm";
    for text in [
        "job x\nweb width = 52.03 mm",
        "job x\nweb width = 52.03 mm\n",
        "job x\r\nweb width = 52.03 mm\r\n",
        "job x\rweb width = 52.03 mm\r",
        "\u{FEFF}job x\nweb width = 52.03 mm\n",
        "\u{FEFF}\r\n\r\njob\tx\t\r\nweb\u{A0}width\t=\t52.03\tmm  \r\n\r\n",
    ] {
        reads(
            text,
            &expected.replace(
                "web width",
                if text.contains('\u{A0}') {
                    "web\u{A0}width"
                } else {
                    "web width"
                },
            ),
        );
    }
}

#[test]
fn a_whole_day_may_be_indented_under_its_date() {
    reads(
        "2026-03-14 build\n  web width = 52.03 mm\n  bore = mm\n      along  across\n      top  72.01  72.02\n  did press\n    oiled\n  it rang well\n  note done\n  closed",
        "day 2026-03-14 build\nreading[web width] = 52.03 mm\nreading[bore] = words(mm) columns(along | across) row top(72.01 72.02)\ndid(press): oiled\nnote(it rang well)\nnote(done)\nclosed",
    );
    // A table no deeper than its reading.
    reads(
        "2026-03-14\n  bore = mm\n  along  across\n  top  72.01  72.02\n  web = 2 mm",
        "day 2026-03-14\nreading[bore] = words(mm) columns(along | across) row top(72.01 72.02)\nreading[web] = 2 mm",
    );
    // A line of prose does not swallow the readings below it.
    reads(
        "Crank\n  web width = 52.03 mm\n  rod straight",
        "note(Crank)\nreading[web width] = 52.03 mm\nnote(rod straight)",
    );
}

#[test]
fn the_head_of_a_manual() {
    rules("manual   Tarn 250 engine, edition 3", "manual(Tarn 250 engine)");
    rules("SOURCE invented, for 1 example", "source(invented, for 1 example)");
    rules("extends  pressed crank", "extends(pressed crank)");
    rules("units mm, t", "units(mm | t)");
    rules("procedure crank rebuild", "procedure(crank rebuild)");
}

#[test]
fn features_and_their_lines() {
    rules(
        "feature web width, also width over webs",
        "feature web width also(width over webs)",
    );
    rules(
        "feature run-out at drive side, flywheel side, also r/o, runout",
        "feature run-out at(drive side | flywheel side) also(r/o | runout)",
    );
    rules(
        "feature bore of cylinder 1, cylinder 2 at top, bottom also bor",
        "feature bore of(cylinder 1 | cylinder 2) at(top | bottom) also(bor)",
    );
    rules(
        "build 51.90 to 52.05 mm, source page 41",
        "limit build 51.90 .. 52.05 mm source(page 41)",
    );
    rules("as found up to 0.60 mm", "limit as found up to 0.60 mm");
    rules(
        "service at least 0.05 mm, source common practice",
        "limit service at least 0.05 mm source(common practice)",
    );
    rules("build 52.00 ± 0.02 mm", "limit build 52.00 ± 0.02 mm");
    rules("build 52.00 +0.02 -0.01 mm", "limit build 52.00 + +0.02 - -0.01 mm");
    rules("build 0,35-0,50mm", "limit build 0,35 .. 0,50 mm");
    rules("nominal 52.00 ± 0.02 mm", "nominal 52.00 ± 0.02 mm");
    rules("unit mm", "unit(mm)");
    rules(
        "say on centres or on main journals",
        "say(on centres | on main journals)",
    );
    rules("decide Guarded at 95 %", "decide(Guarded at 95 %)");
    rules("material  cast iron", "material(cast iron)");
    rules("material 4140 steel plate", "material(4140 steel plate)");
    rules("material 23 ± 2 ppm/K", "material <23 ± 2 ppm/K>");
    rules("material 23,5 ppm/°C", "material <23,5 ppm/°C>");
    rules("alike within 1 g, source page 12", "alike up to 1 g source(page 12)");
    rules("build within 0.02 mm", "limit build up to 0.02 mm");
    rules("required", "required");
    rules("required as found", "required(as found)");
    rules("also r/o, runout", "also(r/o | runout)");
    rules(
        "precaution web supported, also lower web held",
        "precaution web supported also(lower web held)",
    );
    rules(
        "because  an unsupported web bends, 3 times",
        "because(an unsupported web bends, 3 times)",
    );
}

#[test]
fn derived_features() {
    rules(
        "calc piston clearance = smallest(bore) - largest(piston size)",
        "calc piston clearance = (smallest(bore) - largest(piston size))",
    );
    rules(
        "calc a of left, right at top also b = 2 * c + d / 4 mm",
        "calc a of(left | right) at(top) also(b) = ((2 * c) + (d / 4 mm))",
    );
    rules("calc a = b - c - d * e ^ 2", "calc a = ((b - c) - (d * (e ^ 2)))");
    rules(
        "calc a = run-out - (b + 3) * -pi",
        "calc a = (run-out - ((b + 3) * -(pi)))",
    );
    rules(
        "calc a = bore of cylinder 1 at top - bore as found",
        "calc a = (bore|of:cylinder 1|at:top - bore|as found)",
    );
    rules("calc a = max(b, 0,5 mm)", "calc a = max(b, 0,5 mm)");
    rules("calc a = 2×b ÷ 3 − c", "calc a = (((2 * b) / 3) - c)");
}

#[test]
fn procedures() {
    rules(
        "step measure as found    reads web width, side play",
        "step measure as found reads[web width | side play]",
    );
    rules(
        "step press out crankpin  after measure as found; needs web supported, oiled; force up to rating of press",
        "step press out crankpin after(measure as found) needs(web supported | oiled) force up to rating of press",
    );
    rules(
        "step true crank after press together; disturbs run-out at drive side, side play; until run-out; optional; once",
        "step true crank after(press together) disturbs[run-out|at:drive side | side play] until[run-out] optional once",
    );
    rules("step fit pin", "step fit pin");
    rules(
        "step fit pin; also put pin in; because it slips; and falls",
        "step fit pin also(put pin in) because(it slips; and falls)",
    );
    rules(
        "needs oiled; torque 26 to 30 N·m",
        "clauses needs(oiled) torque 26 .. 30 N·m",
    );
    rules(
        "force up to the rating of the press",
        "limit force up to rating of press",
    );
    rules("heat up to 120 C; optional", "clauses heat up to 120 C optional");
    rules("optional", "clauses optional");
    rules(
        "never hammer shaft end   because it mushrooms, always",
        "never(hammer shaft end) because(it mushrooms, always)",
    );
    rules(
        "never heat case, open flame because of the fumes",
        "never(heat case | open flame) because(of the fumes)",
    );
    rules(
        "never start engine before prime oil because it seizes",
        "never(start engine) before(prime oil) because(it seizes)",
    );
    rules(
        "never start engine before prime if did fit cams if journal size read because it seizes",
        "never(start engine) before(prime) if(did fit cams) if(journal size read) because(it seizes)",
    );
    rules(
        "never heat case, in the oven after fit seals",
        "never(heat case | in the oven) after(fit seals)",
    );
}

#[test]
fn the_clauses_of_order_and_circumstance() {
    rules(
        "step drop bearing  directly after heat case, chill bearing; then hold down; then directly grease it; not with press bearing",
        "step drop bearing directly after(heat case | chill bearing) then(hold down) then directly(grease it) not with(press bearing)",
    );
    rules(
        "step close cases given end float, run-out at drive side; at least 8 h after seal joint; within 30 min after spread sealant",
        "step close cases given[end float | run-out|at:drive side] at least 8 h after(seal joint) within 30 min after(spread sealant)",
    );
    rules(
        "at least 8 h after first start",
        "clauses at least 8 h after(first start)",
    );
    rules(
        "step renew pin if found crankpin replace; if did split crank; if not did weld pin; only if side play at left out; if got rod kit",
        "step renew pin if(found crankpin: replace) if(did split crank) if(not did weld pin) only if(side play|at:left out) if(got rod kit)",
    );
    rules(
        "step take rod off takes out needles; uses press rated at least 10 t; renews circlips, lock tab",
        "step take rod off takes out(needles) uses(press) rated 10 t renews(circlips | lock tab)",
    );
    rules("puts in needles, washers", "clauses puts in(needles | washers)");
    rules(
        "one of press pin dry, press pin oiled",
        "one of(press pin dry | press pin oiled)",
    );
}

/// The one error of a log's line: where it points, what it says, what it advises.
#[track_caller]
fn refuses(line: &str, expected: &str) {
    let text = format!("job x\n{line}\nclosed\n");
    let tree = parse_log(&text);
    let said: Vec<String> = tree.errors.iter().map(|error| errors(error, &text)).collect();
    assert_eq!(said.join("\n"), expected, "{line}");
    assert_eq!(log(&text), "job(x)\nunread\nclosed", "{line}");
}

#[test]
fn a_line_that_cannot_be_read_says_why() {
    refuses(
        "web width 52.03 mm",
        "[web width 52.03 mm] this line carries a figure, but is neither a reading nor a step; a reading has a `=`: `web width = …`; a step begins with `did`; prose goes behind `note`; try: web width = 52.03 mm",
    );
    refuses(
        "the sound changed at 3 t",
        "[the sound changed at 3 t] this line carries a figure, but is neither a reading nor a step; prose with a figure in it goes behind `note`, so that no reading is lost among it; try: note the sound changed at 3 t",
    );
    refuses(
        "dd press out, force 3 t",
        "[dd] no line begins with `dd`; `did` is near: write `did STEP, details`: `did press together, force 6 t on press`; try: did press out, force 3 t",
    );
    refuses(
        "12/3 press together",
        "[12/3 press together] this line carries a figure, but is neither a reading nor a step; a date is written 2026-03-14, year first; prose goes behind `note`",
    );
    refuses(
        "14.3.2026 as found",
        "[14.3.2026 as found] this line carries a figure, but is neither a reading nor a step; a date is written 2026-03-14, year first; prose goes behind `note`; try: 2026-03-14 as found",
    );
    refuses(
        "squish = 1.05/1.10",
        "[1.05/1.10] `1.05/1.10` can mean two things; write `1.05 to 1.10` for a range, `1.05 1.10` for two readings",
    );
    refuses(
        "fix web width 52.5 52.03",
        "[web width 52.5 52.03] a correction needs an arrow between the old figure and the new one; write `fix FEATURE OLD -> NEW, why`: `fix web width 52.53 -> 52.03 mm, misread`; try: fix web width 52.5 -> 52.03",
    );
    refuses(
        "found webs good 3",
        "[webs good 3] a finding needs a colon between the part and its condition; write `found PART: condition, decision`: `found webs: good, reuse`",
    );
    refuses(
        "tool mic 50",
        "[mic 50] a tool needs a colon behind its name; write `tool NAME: KIND, facts`: `tool mic 50-75: micrometer, reads to 0.01 mm`",
    );
    refuses(
        "did",
        "[did] `did` says nothing here; write `did STEP, details`: `did press together, force 6 t on press`",
    );
    refuses(
        "hours many",
        "[many] `many` is not understood in this meter reading; write what the meter shows: `hours 312`",
    );
    refuses(
        "2026-03-14 as found (cold)",
        "[(cold)] `(cold)` is not understood in this day; a day is a date and a stage: `2026-03-14 as found`",
    );
}

#[test]
fn a_bad_reading_points_at_what_is_wrong() {
    let forms = "a reading is `FEATURE = 52.03 mm`, `= go 0.50, no-go 0.55 mm`, `= 0.10 to 0.20 mm`, `= 0.15 ± 0.02 mm` or `= 52.00 52.01 mm`, then `by TOOL`, `at 24 C`, and details behind a comma; figures at several places go into a table below it";
    refuses("= 5 mm", &format!("[= 5 mm] no name stands before the `=`; {forms}"));
    refuses(
        "web width = 52.03 mm (wet)",
        &format!("[(wet)] `(wet)` is not understood in this reading; {forms}"),
    );
    refuses(
        "web (width) = 52.03 mm",
        &format!("[(width) = 52.03 mm] `(width) = 52.03 mm` is not understood in this name; {forms}"),
    );
}

#[test]
fn lines_that_are_not_given_to_the_grammar() {
    refuses(
        "web \u{1} = 3 mm",
        "[\u{1}] a control character (U+0001) stands in this line, so it is not read; delete it; the line is kept as it is, and the rest of the file was read",
    );
    refuses(
        &format!("note {}", "x".repeat(20_000)),
        "[] this line has 20005 bytes; no more than 16384 are read on one line; break it into several lines; it is kept as it is, and the rest of the file was read",
    );
}

#[test]
fn a_bad_row_costs_that_row_only() {
    let text = "bore = mm\n  along  across\n  top  72.01  72.02\n  middle  72,01 abc (x)\n  low\u{7}er  1 2\n  bottom  72.03  72.04\n";
    assert_eq!(
        log(text),
        "reading[bore] = words(mm) columns(along | across) row top(72.01 72.02) row bottom(72.03 72.04)"
    );
    let said: Vec<String> = parse_log(text).errors.iter().map(|error| errors(error, text)).collect();
    assert_eq!(
        said,
        [
            "[(x)] `(x)` is not understood in this table; a row is a name and its figures: `top  72.012  72.010`; `-` stands for not measured",
            "[\u{7}] a control character (U+0007) stands in this line, so it is not read; delete it; the line is kept as it is, and the rest of the file was read",
        ]
    );
}

/// The one error of a manual's line.
#[track_caller]
fn forbids(line: &str, expected: &str) {
    let text = format!("manual x\n{line}\nunits mm\n");
    let tree = parse_manual(&text);
    let said: Vec<String> = tree.errors.iter().map(|error| errors(error, &text)).collect();
    assert_eq!(said.join("\n"), expected, "{line}");
    assert_eq!(manual(&text), "manual(x)\nunread\nunits(mm)", "{line}");
}

#[test]
fn a_line_of_a_manual_that_cannot_be_read_says_why() {
    let limits = "write a limit: `build 0.35 to 0.50 mm`, `service up to 0.60 mm`, `build at least 0.05 mm`, `build 52.00 ± 0.02 mm`";
    forbids(
        "build tight",
        &format!("[build tight] something is missing at the end of this limit; {limits}"),
    );
    forbids(
        "build 0.35 until 0.50 mm",
        &format!("[0.50 mm] `0.50 mm` is not understood in this limit; {limits}"),
    );
    forbids(
        "feture web width",
        "[feture web width] no line of a manual begins with `feture`; `feature` is near: write `feature NAME at PLACE, PLACE, also NAME`; try: feature web width",
    );
    forbids(
        "the crank is heavy",
        "[the crank is heavy] no line of a manual begins with `the`; a manual has features, limits, calcs, precautions and procedures; put `#` before a remark",
    );
    forbids(
        "calc a = (b + c",
        "[a = (b + c] something is missing at the end of this calc; write `calc NAME = EXPRESSION`: `calc piston clearance = smallest(bore) - largest(piston size)`",
    );
    forbids(
        &format!("calc a = {}1{}", "(".repeat(40), ")".repeat(40)),
        &format!(
            "[a = {}1{}] brackets are nested more than 32 deep; split the sum into two `calc` lines",
            "(".repeat(40),
            ")".repeat(40)
        ),
    );
    forbids(
        "alike 1 g or so",
        "[or so] `or so` is not understood in this limit; write how far its parts may differ: `alike within 1 g`",
    );
    forbids(
        "material steel, forged",
        "[, forged] `, forged` is not understood in this line; write what it is made of, or how much that grows by heat: `material steel`, `material 23 ± 2 ppm/K`",
    );
    forbids(
        "decide",
        "[decide] `decide` says nothing here; write how figures are accepted: `decide plain`, `decide guarded` or `decide guarded at 95 %`",
    );
    forbids(
        "feature",
        "[feature] `feature` says nothing here; write `feature NAME at PLACE, PLACE, also NAME`",
    );
}

#[test]
fn a_long_sum_does_not_run_out_of_stack() {
    let terms = "1 + ".repeat(490);
    let text = format!("calc a = {terms}1\n");
    assert!(parse_manual(&text).errors.is_empty());
    let text = format!("calc a = {}1\n", "1 + ".repeat(600));
    let tree = parse_manual(&text);
    assert_eq!(tree.errors.len(), 1);
    assert_eq!(tree.errors.first().unwrap().help, "split the sum into two `calc` lines");
}

#[test]
fn every_example_of_the_language_reference_is_read() {
    let mut logs = 0;
    for (kind, text) in shown::examples() {
        let wrong = match kind {
            "rebuild" => parse_log(&text).errors,
            _ => parse_manual(&text).errors,
        };
        logs += usize::from(kind == "rebuild");
        let said: Vec<String> = wrong.iter().map(|error| errors(error, &text)).collect();
        assert!(said.is_empty(), "{said:?}");
    }
    assert!(logs >= 5);
}

#[test]
fn within_is_a_bound_only_before_a_figure() {
    rules(
        "step true within limits after strip",
        "step true within limits after(strip)",
    );
    rules("step true; run-out within 0.02 mm", "step true run-out up to 0.02 mm");
    assert_eq!(parse_manual("step true within 0.02 mm\n").errors.len(), 1);
}

#[test]
fn a_bound_stands_behind_a_semicolon() {
    rules(
        "step leak test; pressure up to 0.6 bar",
        "step leak test pressure up to 0.6 bar",
    );
    rules(
        "step drill 6 holes; depth 10 to 12 mm",
        "step drill 6 holes depth 10 .. 12 mm",
    );
    let bad = parse_manual("step leak test pressure up to 0.6 bar\nstep nip torque 26 to 30 N·m\n");
    assert_eq!(bad.errors.len(), 2);
    rules(
        "build up to 0.6 mm, source page 4; revised",
        "limit build up to 0.6 mm source(page 4; revised)",
    );
}

#[test]
fn corrections_of_more_than_one_figure() {
    reads(
        "fix side play go 0.50, no-go 0.55 -> go 0.55, no-go 0.60 mm, wrong blades",
        "fix[side play] blades(go 0.50, no-go 0.55) -> blades(go 0.55, no-go 0.60 mm) why(wrong blades)",
    );
    reads(
        "fix end float 0.10 to 0.20 -> 0.10 to 0.15 mm",
        "fix[end float] 0.10 to 0.20 -> 0.10 to 0.15 mm",
    );
    reads(
        "undid fit bearing, because it stood crooked",
        "undid(fit bearing): because(it stood crooked)",
    );
    reads(
        "fix press together, web supported",
        "amend[press together]: web supported",
    );
    reads("fix press, because 3 = three", "amend[press]: because(3 = three)");
}

#[test]
fn a_ring_may_be_read_at_named_places() {
    reads(
        "squish = 1.05 1.10 mm at left right",
        "reading[squish] = ring(1.05 1.10 mm at left right)",
    );
    reads(
        "r/o = 7 um by dti on vee blocks",
        "reading[r/o] = 7 um by dti: on vee blocks",
    );
}

#[test]
fn limits_may_be_written_with_signs() {
    rules("build <= 0.60 mm", "limit build up to 0.60 mm");
    rules("service ≥0.60 mm", "limit service at least 0.60 mm");
    rules("calc a = b - c, also d", "calc a also(d) = (b - c)");
}
