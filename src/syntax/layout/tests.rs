//! Before and after.

use super::tidy;
use crate::syntax::FileKind;

#[track_caller]
fn log(before: &str, after: &str) {
    assert_eq!(tidy(before, FileKind::Log), after);
    assert_eq!(tidy(after, FileKind::Log), after, "a second time");
}

#[track_caller]
fn manual(before: &str, after: &str) {
    assert_eq!(tidy(before, FileKind::Manual), after);
    assert_eq!(tidy(after, FileKind::Manual), after, "a second time");
}

#[test]
fn the_head_stands_in_one_column() {
    log(
        "JOB bottom end,  side play\nMachine: Tarn 250\n# whose\nby   the bench\nhours\t312\nunits mm ,N·m\n",
        "job      bottom end,  side play\n\
         machine  Tarn 250\n\
         # whose\n\
         by       the bench\n\
         hours    312\n\
         units    mm, N·m\n",
    );
    log("procedure crank\njob x", "procedure  crank\njob        x\n");
}

#[test]
fn tools_are_aligned_behind_their_colons() {
    log(
        "tool mic 50-75: micrometer,reads to 0.01 mm\ntool press :press\n\ntool dial:  dial indicator",
        "tool mic 50-75:  micrometer, reads to 0.01 mm\n\
         tool press:      press\n\
         \n\
         tool dial: dial indicator\n",
    );
}

#[test]
fn readings_that_follow_each_other_are_aligned() {
    let before = [
        "2026-03-14 As found",
        "web  width=52,03mm by mic 50-75 # cold",
        "side play = go 0,50 ,no-go 0,55 mm # again",
        "# the next one is doubtful",
        "r/o at drive side = ~0.07 mm  high at 80°",
        "did press out crankpin,force 7.5 t  on press,web supported",
        "web width = 51.98 mm",
    ];
    let after = [
        "2026-03-14  As found",
        "web width         = 52,03mm by mic 50-75    # cold",
        "side play         = go 0,50, no-go 0,55 mm  # again",
        "# the next one is doubtful",
        "r/o at drive side = ~0.07 mm high at 80°",
        "did press out crankpin, force 7.5 t on press, web supported",
        "web width = 51.98 mm",
        "",
    ];
    log(&before.join("\n"), &after.join("\n"));
}

#[test]
fn prose_and_reasons_keep_their_words_as_they_are() {
    log(
        "Note:  it rang  twice ,then stopped  \nchose kit A  over kit B ,BECAUSE it  is here ,now\nPHOTO pics/a  b.jpg\nfix web width 52.53  -> 52.03 ,half  a mm",
        "note it rang  twice ,then stopped\n\
         chose kit A over kit B, BECAUSE it  is here ,now\n\
         photo pics/a  b.jpg\n\
         fix web width 52.53 -> 52.03, half  a mm\n",
    );
}

#[test]
fn a_table_has_its_figures_below_each_other() {
    let before = [
        "bore of cylinder = mm by bore gauge",
        "\tinlet side\toutlet side",
        "\ttop\t72.012\t72.1",
        "  middle  9.015  -   # tight",
        "",
        "  bottom right \"  \"",
    ];
    let after = [
        "bore of cylinder = mm by bore gauge",
        "                  inlet side   outlet side",
        "   top                72.012          72.1",
        "   middle              9.015             -  # tight",
        "",
        "   bottom right            \"             \"",
        "",
    ];
    log(&before.join("\n"), &after.join("\n"));
}

#[test]
fn a_day_that_was_indented_is_moved_to_the_edge() {
    let before = [
        "2026-03-14 build",
        "    web width = 52.03 mm",
        "    did press",
        "         oiled ,cold",
        "    # a remark",
        "    it rang well",
        "    note so",
        "         and so",
        "           on",
    ];
    let after = [
        "2026-03-14  build",
        "web width = 52.03 mm",
        "did press",
        "  oiled, cold",
        "# a remark",
        "it rang well",
        "note so",
        "  and so",
        "    on",
        "",
    ];
    log(&before.join("\n"), &after.join("\n"));
}

#[test]
fn what_could_not_be_read_stays_as_it_is() {
    log(
        "web  width  52.03  mm   # no sign  \n  three   3 of them\nbore = mm\n   top  72.01 (x  y)  \n   low 72\n",
        "web  width  52.03  mm   # no sign\n  three   3 of them\nbore = mm\n   top  72.01 (x  y)\n   low   72\n",
    );
}

#[test]
fn blank_lines_line_ends_and_the_byte_order_mark() {
    log("\n \n\njob x\n\n\t\n\nnote y\n\n\n", "job      x\n\nnote y\n");
    log("job x\r\nnote y\r\nnote z\n", "job      x\r\nnote y\r\nnote z\r\n");
    log("job x\r\nnote y\n", "job      x\r\nnote y\r\n");
    log("job x\nnote y\r\n", "job      x\nnote y\n");
    log("\u{FEFF}job x", "\u{FEFF}job      x\n");
    log("", "");
    log(" \n\t\n", "");
    log("# only a remark", "# only a remark\n");
}

#[test]
fn a_very_long_name_is_not_aligned_with() {
    let long = "a very long name ".repeat(5);
    log(
        &format!("{long}= 1 mm\nweb = 2 mm\nweb width = 3 mm\n"),
        &format!("{long}= 1 mm\nweb       = 2 mm\nweb width = 3 mm\n"),
    );
}

#[test]
fn a_hash_that_began_no_comment_begins_none_afterwards() {
    log(
        "got kit,#4 of 5\nclosed 2026-03-14,#2",
        "got kit,#4 of 5\nclosed 2026-03-14,#2\n",
    );
}

#[test]
fn a_manual() {
    let before = [
        "Manual  Tarn 250 engine,edition 3",
        "source invented  here",
        "extends pressed  crank",
        "",
        "Feature web  width ,also width over webs",
        "BUILD 51.90 to 52.05 mm,source page  41",
        "  as found up to 52.10 mm",
        "unit mm",
        "say on centres  or on main journals",
        "# of the sums",
        "calc clearance=smallest( bore )  - 2",
        "build up to 0.06 mm",
        "precaution web supported",
        "because it  bends",
    ];
    let after = [
        "manual   Tarn 250 engine, edition 3",
        "source   invented  here",
        "extends  pressed crank",
        "",
        "feature web width, also width over webs",
        "  build     51.90 to 52.05 mm, source page  41",
        "  as found  up to 52.10 mm",
        "  unit      mm",
        "  say       on centres or on main journals",
        "# of the sums",
        "calc clearance = smallest( bore ) - 2",
        "  build    up to 0.06 mm",
        "precaution web supported",
        "  because  it  bends",
        "",
    ];
    manual(&before.join("\n"), &after.join("\n"));
}

#[test]
fn a_rule_of_acceptance_stands_at_the_head_or_under_its_feature() {
    let before = [
        "manual m",
        "Decide  plain",
        "feature piston mass",
        "DECIDE guarded  at 95 %",
        "material  cast   iron",
        "alike   within 1 g ,source page  12",
        "feature pin",
        " material 23   ± 2 ppm/K",
    ];
    let after = [
        "manual   m",
        "decide   plain",
        "feature piston mass",
        "  decide    guarded at 95 %",
        "  material  cast iron",
        "  alike     within 1 g, source page  12",
        "feature pin",
        "  material  23 ± 2 ppm/K",
        "",
    ];
    manual(&before.join("\n"), &after.join("\n"));
}

#[test]
fn a_procedure() {
    let before = [
        "procedure  crank",
        "step measure   reads web width ,side play",
        "Step press out crankpin after measure;needs web supported ;force up to 6 t",
        "step leak test ;pressure up to 0.6 bar",
        "  also blow test",
        "  heat up to 120 C; optional",
        "never hammer shaft end because it  mushrooms",
    ];
    let after = [
        "procedure crank",
        "  step measure             reads web width, side play",
        "  step press out crankpin  after measure; needs web supported; force up to 6 t",
        "  step leak test;          pressure up to 0.6 bar",
        "    also blow test",
        "    heat up to 120 C; optional",
        "  never hammer shaft end  because it  mushrooms",
        "",
    ];
    manual(&before.join("\n"), &after.join("\n"));
}
