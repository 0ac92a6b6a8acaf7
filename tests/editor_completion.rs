//! What is proposed where: the foreman's word at each place of a log and of a manual.

mod support;

use std::collections::HashSet;

use gudgeon::editor::Page;
use gudgeon::editor::completion::{Around, Completion, CompletionKind, completions, documentation};
use proptest::prelude::*;
use support::bench::{around, fill};
use support::editor::{log_at, log_page, manual_page, marked};

/// A workshop's manual with a danger, an order, counts, bounds and alternatives.
const MANUAL: &str = "manual   bench
source   invented for these tests
units    mm, t, N·m
feature web width, also w/w
  build    51.90 to 52.05 mm, source page 41
  service  51.85 to 52.10 mm
feature run-out at drive side, flywheel side
  build    up to 0.03 mm
  say      on centres or in cases
  required as found
feature side play
  build    0.35 to 0.50 mm
feature compression
  unit     bar
feature squish of cylinder 1, cylinder 2
  unit     mm
precaution web supported, also web held
  because  an unsupported web bends the shaft, and the pin can fly
procedure crank
  step press out crankpin  needs web supported; takes out needles; force up to rating of press
  step press in crankpin   after press out crankpin; needs oiled or dry, flush; renews washers
  step press together      after press in crankpin; puts in needles; disturbs web width, run-out, side play
    force up to rating of press
  step tighten nut         after press together; torque 26 to 30 N·m; stages at least 2
  step hammer shaft        optional
  step heat case           optional
  step cool case           optional
  never hammer shaft       because it mushrooms the thread
  never heat case before cool case because the seal burns
  never cool case after press out crankpin because it cracks
";

const HEAD: &str = "job x\nmachine y\nhours 1\nmanual bench\ntool mic 50-75: micrometer, reads to 0.01 mm\ntool press: press, rated 20 t\n2026-03-14 as found\n";

/// What is proposed at the cursor of a log by [`MANUAL`].
#[track_caller]
fn offered(log: &str) -> Vec<Completion> {
    let (page, at) = log_at(MANUAL, log);
    check(&page, at, completions(&page, at, &around()))
}

/// What must hold of every list.
#[track_caller]
fn check(page: &Page, at: u32, list: Vec<Completion>) -> Vec<Completion> {
    let mut known = HashSet::new();
    for (place, one) in list.iter().enumerate() {
        assert_eq!(one.rank as usize, place, "ranks are unique and in order");
        assert!(
            known.insert((one.label.clone(), format!("{:?}", one.kind))),
            "twice: {} {:?}",
            one.label,
            one.kind
        );
        let span = one.replaces;
        assert!(
            span.start <= span.end && span.end as usize <= page.text().len() && span.end <= at,
            "{one:?}"
        );
        assert!(!page.text()[span.range()].contains(['\n', '\r']), "{one:?}");
        if let Some(snippet) = &one.snippet {
            assert_eq!(fill(snippet, &[]), one.text, "the plain text is the snippet filled in");
        }
        assert!(!one.text.contains(['\n', '\r']) && !one.label.is_empty());
    }
    list
}

fn labels(list: &[Completion]) -> Vec<&str> {
    list.iter().map(|one| one.label.as_str()).collect()
}

/// The first few, each with why and with what is written.
fn told(list: &[Completion], most: usize) -> String {
    let line = |one: &Completion| {
        format!(
            "{} | {} | {}\n",
            one.label,
            one.detail,
            one.snippet.as_ref().unwrap_or(&one.text)
        )
    };
    list.iter().take(most).map(line).collect()
}

#[track_caller]
fn find<'l>(list: &'l [Completion], label: &str) -> &'l Completion {
    list.iter()
        .find(|one| one.label == label)
        .unwrap_or_else(|| panic!("no `{label}` in {:#?}", labels(list)))
}

/// The text with a proposal taken.
fn taken(page: &Page, one: &Completion) -> String {
    let mut text = page.text().to_owned();
    text.replace_range(one.replaces.range(), &one.text);
    text
}

#[test]
fn an_empty_file_is_begun_with_its_head_in_order() {
    insta::assert_snapshot!(told(&offered("¦"), 6), @r"
    job | the head lacks it: what is to be done | job $1
    machine | the head lacks it: on what, with its number | machine $1
    hours | the head lacks it: what the meter shows | hours $1
    manual | the head lacks it: judged by the whole shelf without it | manual $1
    tool | an instrument or a machine, with what it is good for | tool ${1:mic}: ${2:micrometer}, reads to ${3:…} mm
    2026-11-26  as found | a day; comes next | 2026-11-26  as found
    ");
    // What is there is not asked for again.
    insta::assert_snapshot!(told(&offered("job x\nmachine y\nhours 3\nmanual bench\n¦"), 5), @r"
    procedure crank | to be followed from the first step on | procedure crank
    tool press | `press out crankpin` asks for its rating | tool press: press, rated $1 t
    tool | an instrument or a machine, with what it is good for | tool ${1:mic}: ${2:micrometer}, reads to ${3:…} mm
    2026-11-26  as found | a day; comes next | 2026-11-26  as found
    2026-11-26  goods in | a day; comes next | 2026-11-26  goods in
    ");
}

#[test]
fn the_head_knows_manuals_and_machines() {
    assert_eq!(labels(&offered("job x\nmanual ¦")), ["tarn-250", "pressed crank"]);
    assert_eq!(labels(&offered("job x\nmanual pre¦")), ["pressed crank"]);
    assert_eq!(labels(&offered("machine ¦")), ["Tarn 250 trials single, frame TN-0417"]);
    assert_eq!(labels(&offered("job x\nmanual bench\nprocedure ¦")), ["crank"]);
    assert_eq!(labels(&offered("job x\nphoto ¦")), ["pictures/pin-flush.jpg"]);
}

#[test]
fn below_a_day_the_next_step_stands_first_then_what_is_owed() {
    let list = offered(&format!(
        "{HEAD}did press out crankpin, web supported, 28 needles, force 7 t on press\n¦"
    ));
    insta::assert_snapshot!(told(&list, 8), @r"
    did press in crankpin | after `press out crankpin` on line 8 | did press in crankpin, ${1:oiled}, flush, new washers
    held on centres | run-out must say it | held on centres
    held in cases | run-out must say it | held in cases
    run-out at drive side | owed: as found | run-out at drive side = $1 mm by ${2:dial}, ${3:on centres}
    run-out at flywheel side | owed: as found | run-out at flywheel side = $1 mm by ${2:dial}, ${3:on centres}
    ordered washers | `press in crankpin` wants it new | ordered washers: number $1
    did press together | once `press in crankpin` is done | did press together, ${1:28} needles, force ${2:…} t on ${3:press}
    did tighten nut | once `press together` is done | did tighten nut, torque ${1:28} N·m, ${2:2} stages
    ");
}

#[test]
fn what_was_overtaken_is_read_again_with_the_tool_it_was_read_with() {
    let list = offered(&format!(
        "{HEAD}web width = 52.03 mm by mic 50-75\nside play = go 0.60, no-go 0.65 mm by feelers\ndid press out crankpin, web supported, 28 needles\n\
         did press in crankpin, oiled, flush, new washers\ndid press together, 28 needles\n¦"
    ));
    let play = find(&list, "side play");
    assert_eq!(
        play.snippet.as_deref(),
        Some("side play = go $1, no-go $2 mm by ${3:feelers}")
    );
    assert_eq!(play.detail, "stale since line 12");
    assert_eq!(find(&list, "web width").text, "web width =  mm by mic 50-75");
}

#[test]
fn a_step_that_something_comes_before_says_so_and_a_forbidden_one_is_not_offered() {
    let list = offered(&format!(
        "{HEAD}did press out crankpin, web supported, 28 needles\ndid ¦"
    ));
    assert!(!labels(&list).contains(&"hammer shaft"), "{:#?}", labels(&list));
    // Never after the step that was done.
    assert!(!labels(&list).contains(&"cool case"));
    let later = find(&list, "press together");
    assert_eq!(later.detail, "once `press in crankpin` is done");
    assert!(later.rank > find(&list, "press in crankpin").rank);
    let list = offered(&format!("{HEAD}procedure crank\ndid ¦"));
    assert_eq!(
        find(&list, "heat case").detail,
        "never before `cool case`, which is not done"
    );
}

#[test]
fn of_alternatives_each_is_offered_until_one_is_done() {
    const EITHER: &str =
        "manual bench\nprocedure pin\n  one of press dry, press oiled\n  step press dry\n  step press oiled\n";
    let either = |log: &str| {
        let (page, at) = log_at(EITHER, log);
        check(&page, at, completions(&page, at, &around()))
    };
    let list = either("job x\nmanual bench\nprocedure pin\n2026-03-14 build\n¦");
    assert_eq!(labels(&list)[..2], ["did press dry", "did press oiled"]);
    assert_eq!(list[1].detail, "one of press dry or press oiled; may be done now");
    let list = either("job x\nmanual bench\nprocedure pin\n2026-03-14 build\ndid press oiled\n¦");
    assert!(!labels(&list).contains(&"did press dry"), "{:?}", labels(&list));
}

#[test]
fn half_a_name_of_several_words_is_replaced_as_a_whole() {
    let (page, at) = log_at(MANUAL, &format!("{HEAD}web wi¦"));
    let list = check(&page, at, completions(&page, at, &around()));
    assert_eq!(labels(&list), ["web width"]);
    assert_eq!(page.text()[list[0].replaces.range()].to_owned(), "web wi");
    // By the beginning of a later word, and by another name.
    assert!(labels(&offered(&format!("{HEAD}toge¦"))).contains(&"did press together"));
    assert_eq!(labels(&offered(&format!("{HEAD}w/w¦"))), ["w/w → web width"]);
    assert_eq!(labels(&offered(&format!("{HEAD}09:40 web wi¦"))), ["web width"]);
}

#[test]
fn behind_a_step_stands_what_its_line_still_lacks() {
    let list = offered(&format!("{HEAD}did press out crankpin, ¦"));
    insta::assert_snapshot!(told(&list, 6), @r"
    web supported | precaution: an unsupported web bends the shaft, and the pin can fly | web supported
    needles | counted: as many in as out | ${1:…} needles
    force | up to the rating of the press | force ${1:…} t on ${2:press}
    from | where a part came from | from $1
    on | the only part or place it was done on | on $1
    because | the reason, to the end of the line | because $1
    ");
    let list = offered(&format!("{HEAD}did press out crankpin, web held, fo¦"));
    assert_eq!(labels(&list), ["force"]);
    let list = offered(&format!("{HEAD}did press in crankpin,¦"));
    insta::assert_snapshot!(told(&list, 4), @r"
    oiled | `press in crankpin` needs it |  oiled
    dry | `press in crankpin` needs it |  dry
    flush | `press in crankpin` needs it |  flush
    new washers | used once, so new each time |  new washers
    ");
    // On a line below it too.
    let list = offered(&format!("{HEAD}did press in crankpin, oiled\n  ¦"));
    insta::assert_snapshot!(told(&list, 3), @r"
    flush | `press in crankpin` needs it | flush
    new washers | used once, so new each time | new washers
    from | where a part came from | from $1
    ");
    let list = offered(&format!("{HEAD}did press out crankpin, force 7 t on ¦"));
    assert!(labels(&list)[..2].contains(&"press"), "{:?}", labels(&list));
    assert!(offered(&format!("{HEAD}did press out crankpin, because the¦")).is_empty());
}

#[test]
fn a_bound_with_two_ends_shows_its_middle_and_one_with_a_rating_what_is_wanted() {
    let list = offered(&format!("{HEAD}did tigh¦"));
    assert_eq!(
        find(&list, "tighten nut").snippet.as_deref(),
        Some("tighten nut, torque ${1:28} N·m, ${2:2} stages")
    );
    // Behind its figure the unit of what it bounds.
    assert_eq!(
        labels(&offered(&format!("{HEAD}did tighten nut, torque 28 ¦")))[0],
        "N·m"
    );
    assert_eq!(
        labels(&offered(&format!("{HEAD}did press out crankpin, force 7 ¦")))[0],
        "t"
    );
    let list = offered(&format!("{HEAD}did press ou¦"));
    assert_eq!(
        find(&list, "press out crankpin").snippet.as_deref(),
        Some("press out crankpin, web supported, ${1:…} needles, force ${2:…} t on ${3:press}")
    );
}

#[test]
fn places_that_are_unread_come_first() {
    let list = offered(&format!(
        "{HEAD}run-out at drive side = 0.02 mm by dial, on centres\nrun-out at ¦"
    ));
    assert_eq!(labels(&list)[..2], ["flywheel side", "drive side"]);
    let list = offered(&format!("{HEAD}squish of cylinder 1 = 1.02 mm\nsquish of cy¦"));
    assert_eq!(labels(&list)[..2], ["cylinder 1", "cylinder 2"]);
    assert_eq!(find(&list, "cylinder 2").detail, "not read yet");
}

#[test]
fn behind_the_equals_sign_stand_shapes_with_the_limit_and_no_figure_is_made_up() {
    let list = offered(&format!("{HEAD}web width = ¦"));
    insta::assert_snapshot!(told(&list, 7), @r"
    … mm by mic 50-75 | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | $1 mm by ${2:mic 50-75}
    … mm | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | $1 mm
    go …, no-go … mm | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | go $1, no-go $2 mm
    … to … mm | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | $1 to $2 mm
    … ± … mm | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | $1 ± $2 mm
    … … … … at 0 90 180 270 mm | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | $1 $2 $3 $4 at 0 90 180 270 mm
    mm by …: a table below | build 51.90 to 52.05 mm; service 51.85 to 52.10 mm | mm by ${1:mic}
    ");
    assert!(offered(&format!("{HEAD}web width = 52¦")).is_empty());
    let blade = &offered(&format!("{HEAD}side play = go 0.40, ¦"))[0];
    assert_eq!(blade.snippet.as_deref(), Some("no-go $1 mm"));
}

#[test]
fn behind_a_figure_stands_its_unit_then_the_tool() {
    let list = offered(&format!("{HEAD}web width = 52.03 ¦"));
    assert_eq!(labels(&list)[0], "mm");
    assert!(labels(&list).contains(&"by mic 50-75"));
    assert_eq!(labels(&offered(&format!("{HEAD}compression = 9.5 ps¦")))[0], "psi");
    assert_eq!(
        labels(&offered(&format!("{HEAD}web width = 52.03m¦")))[..2],
        ["mm", "m"]
    );
    let list = offered(&format!("{HEAD}web width = 52.03 mm by ¦"));
    assert_eq!(labels(&list)[0], "mic 50-75");
    let list = offered(&format!("{HEAD}run-out at drive side = 0.02 mm, ¦"));
    assert_eq!(labels(&list)[..2], ["on centres", "in cases"]);
}

#[test]
fn tools_parts_and_the_rest() {
    assert!(labels(&offered("tool mic: ¦")).contains(&"outside micrometer"));
    let list = offered("tool mic: micrometer, reads to 0.01 mm, ¦");
    assert_eq!(labels(&list)[..2], ["good to", "repeats to"]);
    assert_eq!(
        labels(&offered(&format!("{HEAD}ordered kit: number 7\ngot ¦")))[0],
        "kit"
    );
    assert_eq!(labels(&offered(&format!("{HEAD}found crankpin: ¦")))[0], "good, reuse");
    assert_eq!(labels(&offered(&format!("{HEAD}found crankpin: blue, ¦")))[0], "reuse");
    assert!(labels(&offered(&format!("{HEAD}found cra¦"))).contains(&"crankpin"));
    assert_eq!(labels(&offered(&format!("{HEAD}held ¦"))), ["on centres", "in cases"]);
    assert_eq!(labels(&offered(&format!("{HEAD}checked ¦"))), ["mic 50-75", "press"]);
    assert_eq!(labels(&offered(&format!("{HEAD}2026-03-15 ¦")))[0], "goods in");
    assert_eq!(labels(&offered("job x\nunits m¦"))[0], "mm");
    assert_eq!(
        labels(&offered(&format!(
            "{HEAD}did press out crankpin, web supported\nundid ¦"
        ))),
        ["press out crankpin"]
    );
}

#[test]
fn a_wrong_figure_is_mended_with_the_old_one_written_out() {
    let list = offered(&format!(
        "{HEAD}web width = 52.53 mm by mic 50-75\nside play = go 0.45, no-go 0.40 mm\nfix ¦"
    ));
    insta::assert_snapshot!(told(&list, 2), @r"
    side play go 0.45, no-go 0.40 mm -> | read on line 9 | side play go 0.45, no-go 0.40 mm -> go $1, no-go $2 mm
    web width 52.53 -> | read on line 8 | web width 52.53 -> $1
    ");
}

#[test]
fn a_job_with_nothing_owed_is_closed_first_and_else_late() {
    let done = "run-out at drive side = 0.02 mm, on centres\nrun-out at flywheel side = 0.02 mm, on centres\ndid press out crankpin, web supported, 28 needles\n\
                did press in crankpin, oiled, flush, new washers\ndid press together, 28 needles\ndid tighten nut, torque 28 N·m, 2 stages\n\
                run-out at drive side = 0.02 mm, on centres\nrun-out at flywheel side = 0.02 mm, on centres\n";
    assert_eq!(labels(&offered(&format!("{HEAD}{done}¦")))[0], "closed 2026-11-26");
    assert!(find(&offered(&format!("{HEAD}¦")), "closed 2026-11-26").rank > 10);
}

#[test]
fn nothing_is_proposed_in_prose_and_comments() {
    for log in [
        "note the ¦",
        "job bottom ¦",
        "web width = 52 mm # by ¦",
        "# ¦",
        "owner A¦",
        "note ¦",
        "hours ¦",
        "this is plainly pro¦",
    ] {
        assert!(offered(&format!("{HEAD}{log}")).is_empty(), "{log}");
    }
}

#[test]
fn what_can_hurt_is_told_with_its_reason() {
    let (page, at) = log_at(MANUAL, &format!("{HEAD}did ¦"));
    let list = completions(&page, at, &around());
    let told = documentation(&page, &find(&list, "press out crankpin").data).expect("something is known");
    insta::assert_snapshot!(told, @r"
    **press out crankpin**

    What keeps people from harm:
    - **web supported**: an unsupported web bends the shaft, and the pin can fly

    The machine's workshop manual, local codes and licensed practice come first.

    - force up to the rating of the press
    - count the needles

    from bench
    ");
    let told = documentation(&page, "feature web width").expect("something is known");
    insta::assert_snapshot!(told, @r"
    **web width**

    - build 51.90 to 52.05 mm; source: page 41
    - service 51.85 to 52.10 mm; source: invented for these tests

    to be read again after: press together
    ");
}

fn in_manual(text: &str) -> Vec<Completion> {
    let (plain, at) = marked(text);
    let page = manual_page(&plain);
    check(&page, at[0], completions(&page, at[0], &around()))
}

#[test]
fn a_manual_knows_what_may_stand_below_what() {
    assert_eq!(labels(&in_manual("¦"))[..3], ["manual", "source", "units"]);
    assert_eq!(
        labels(&in_manual("manual m\nfeature a\n  ¦"))[..3],
        ["build", "service", "nominal"]
    );
    assert!(labels(&in_manual("manual m\ncalc a = b\n  ag¦")).contains(&"agrees with"));
    assert_eq!(labels(&in_manual("manual m\nprecaution a\n  ¦")), ["because", "also"]);
    assert_eq!(
        labels(&in_manual("manual m\nprocedure a\n  ¦")),
        ["step", "one of", "never"]
    );
    assert_eq!(
        labels(&in_manual("manual m\nprocedure a\n  step b\n    dis¦")),
        ["disturbs"]
    );
    assert_eq!(labels(&in_manual("manual m\nextends pre¦")), ["pressed crank"]);
}

#[test]
fn a_manual_knows_its_names() {
    let manual = MANUAL;
    assert_eq!(
        labels(&in_manual(&format!("{manual}  step x  after press o¦"))),
        ["press out crankpin"]
    );
    assert_eq!(
        labels(&in_manual(&format!("{manual}  step x  disturbs web¦"))),
        ["web width"]
    );
    assert_eq!(
        labels(&in_manual(&format!("{manual}  step x  needs web s¦"))),
        ["web supported"]
    );
    assert_eq!(
        labels(&in_manual(&format!("{manual}  step x; lasts at least 5 min; on¦"))),
        ["once", "only if"]
    );
    assert!(labels(&in_manual(&format!("{manual}feature gap\n  unit m¦"))).contains(&"mm"));
    assert_eq!(
        labels(&in_manual("manual m\nfeature gap\n  unit mm\n  build ¦"))[..2],
        ["… to … mm", "up to … mm"]
    );
    assert_eq!(
        labels(&in_manual("manual m\nfeature gap\n  unit mm\n  build 0.3 ¦"))[0],
        "mm"
    );
}

#[test]
fn a_sum_knows_the_functions_of_the_trade_and_what_they_take() {
    let list = in_manual("manual m\nfeature bore\n  unit mm\ncalc a = bo¦");
    assert_eq!(labels(&list)[0], "bore");
    let list = in_manual("manual m\ncalc a = press fo¦");
    let one = find(&list, "press force");
    assert_eq!(
        one.snippet.as_deref(),
        Some("press force(${1:interference}, ${2:diameter}, ${3:outside}, ${4:length})")
    );
    let page = manual_page("manual m\n");
    assert!(
        documentation(&page, &one.data)
            .expect("something is known")
            .contains("source: ")
    );
    let list = in_manual("manual m\ncalc a = press force(interference = 0.05 mm, fric¦");
    assert_eq!(labels(&list)[0], "friction =");
}

/// Places of many kinds in a log that is begun.
const PLACES: &[&str] = &[
    "¦",
    "w¦",
    "did ¦",
    "did press out crankpin, ¦",
    "did press out crankpin, force 7 t on ¦",
    "undid ¦",
    "found ¦",
    "found pin: ¦",
    "found pin: blue, ¦",
    "got ¦",
    "ordered ¦",
    "waiting ¦",
    "waiting for ¦",
    "chose ¦",
    "fix ¦",
    "held ¦",
    "checked ¦",
    "photo ¦",
    "2026-03-15 ¦",
    "web width = ¦",
    "web width = 52.03 ¦",
    "web width = 52.03 mm ¦",
    "web width = 52.03 mm by ¦",
    "run-out at ¦ = 0.02 mm",
    "web width ¦",
    "squish of ¦ = 1.0 mm",
    "run-out at drive side = 0.02 mm, ¦",
    "tool x: ¦",
    "tool x: micrometer, ¦",
    "procedure ¦",
    "units ¦",
    "did press in crankpin, oiled\n  ¦",
    "closed ¦",
];

#[test]
fn what_is_proposed_can_be_read() {
    let before = "web width = 52.03 mm by mic 50-75\nside play = go 0.60, no-go 0.65 mm by feelers\ndid press out crankpin, web supported, 28 needles\nordered kit: number 7\ngot pins: number 8\nheld on centres\npin length of kit = 52.0 mm\n";
    let mut count = 0;
    for place in PLACES {
        let (page, at) = log_at(MANUAL, &format!("{HEAD}{before}{place}"));
        for one in check(&page, at, completions(&page, at, &around())) {
            // A place without a usual figure is still to be filled in.
            let is_open = one
                .snippet
                .as_ref()
                .is_some_and(|snippet| (1..9).any(|n| snippet.contains(&format!("${n}"))));
            if is_open {
                continue;
            }
            let text = taken(&page, &one);
            let then = log_page(MANUAL, &text);
            let unread: Vec<&str> = then
                .findings()
                .iter()
                .filter(|f| f.code == "line.unread")
                .map(|f| f.message.as_str())
                .collect();
            assert!(unread.is_empty(), "{place}: {one:?}\n{unread:?}");
            count += 1;
        }
    }
    assert!(count > 300, "{count}");
}

fn any_text() -> impl Strategy<Value = String> {
    let line = prop::sample::select(vec![
        "job x",
        "2026-03-14 build",
        "web width = 52.03 mm by mic",
        "run-out at drive side =",
        "did press out crankpin, web",
        "  flush",
        "tool a: b, ",
        "fix web width 52 -> ",
        "found x: y",
        "09:40 did",
        "feature web width",
        "  build 1 to ",
        "calc a = largest(b) - press force(",
        "procedure p",
        "  step a after b; needs ",
        "    if ",
        "  never a because b",
        "#",
        "é µ",
        "of at by = , ; :",
        "\u{FEFF}",
        "manual bench",
        "go 1, no-go ",
    ]);
    let any = prop_oneof![3 => line.prop_map(str::to_owned), 1 => "[ -~éµ°\t]{0,20}"];
    prop::collection::vec((any, prop::sample::select(vec!["\n", "\r\n", "\r", ""])), 0..8)
        .prop_map(|lines| lines.into_iter().map(|(line, end)| line + end).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_at_any_offset_is_answered(text in any_text(), offset in 0u32..260, is_log: bool) {
        let page = if is_log { log_page(MANUAL, &text) } else { manual_page(&text) };
        for around in [around(), Around::default()] {
            let list = completions(&page, offset, &around);
            for one in list.iter().take(40) {
                documentation(&page, &one.data);
            }
            let at = offset.min(u32::try_from(text.len()).expect("a short text"));
            check(&page, at, list);
        }
    }
}

#[test]
fn half_a_sample_is_answered_at_each_of_its_words() {
    let text = include_str!("../samples/corrected/corvane-250-crank.rebuild");
    let page = log_page("", text);
    let mut kinds: HashSet<String> = HashSet::new();
    for (at, _) in text.match_indices(' ').step_by(7) {
        let at = u32::try_from(at + 1).expect("a short text");
        for one in check(&page, at, completions(&page, at, &around())) {
            kinds.insert(format!("{:?}", one.kind));
        }
    }
    assert!(
        kinds.contains(&format!("{:?}", CompletionKind::Unit))
            && kinds.contains(&format!("{:?}", CompletionKind::Tool)),
        "{kinds:?}"
    );
}

#[test]
fn what_was_paid_in_the_currency_of_the_log() {
    let list = offered(&format!(
        "{HEAD}ordered seals: price 12 GBP\ngot rod kit: number 3\ncost ¦"
    ));
    let labels: Vec<&str> = list.iter().map(|one| one.label.as_str()).collect();
    assert_eq!(labels, ["labour", "post", "consumables", "hire", "rod kit"]);
    assert_eq!(list[0].snippet.as_deref(), Some("labour: $1 h at $2 GBP"));
    assert_eq!(list[3].snippet.as_deref(), Some("hire: $1 GBP over $2 jobs"));

    // What the line has already is not proposed again; VAT is a share of something.
    let labels = |log: &str| -> Vec<String> { offered(log).into_iter().map(|one| one.label).collect() };
    assert_eq!(
        labels(&format!("{HEAD}cost rebore: work 45 EUR, ¦")),
        ["labour", "post", "duty", "vat", "less"]
    );
    assert_eq!(
        labels(&format!("{HEAD}cost rebore: ¦")),
        ["work", "labour", "post", "duty", "less"]
    );
    assert_eq!(
        labels(&format!("{HEAD}option send out: work 95 EUR, post 22 EUR, ¦")),
        ["labour", "duty", "vat", "less", "parts", "risk", "takes", "lasts"]
    );
    assert_eq!(labels(&format!("{HEAD}cost rebore: work 45 EUR\n  v¦")), ["vat"]);
}
