use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::editor::rename::{prepare, rename};

use proptest::prelude::*;

use crate::common::{Files, LOG, MANUAL, applied, at, index};
use crate::support::editor::{log_page, manual_page};

fn bench_files() -> Files {
    let file = |name: &str, text: &str| (name.to_owned(), text.to_owned());
    vec![file("bench.manual", MANUAL), file("x.rebuild", LOG)]
}

/// The page of one of the files, the log judged by `bench.manual`.
fn page_of(files: &Files, path: &str) -> Page {
    let text = |path: &str| files.iter().find(|(name, _)| name == path).map_or("", |(_, text)| text);
    if path.ends_with(".manual") {
        manual_page(text(path))
    } else {
        log_page(text("bench.manual"), text(path))
    }
}

fn renamed(files: &Files, path: &str, what: &str, to: &str) -> Result<Files, String> {
    let borrowed: Vec<(&str, &str)> = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let page = page_of(files, path);
    let offset = at(page.text(), what, 0);
    let edits = rename(&page, Path::new(path), offset, to, &index(&borrowed))?;
    Ok(applied(files, &edits))
}

/// The lines that changed, of all files.
fn changes(was: &Files, is: &Files) -> String {
    let mut told = String::new();
    for ((name, was), (_, is)) in was.iter().zip(is) {
        for (number, (old, new)) in was.lines().zip(is.lines()).enumerate() {
            if old != new {
                told.push_str(&format!("{name}:{} {}\n", number + 1, new.trim()));
            }
        }
    }
    told
}

/// What is found: the code and the line of each finding.
fn judged(files: &Files, path: &str) -> Vec<(&'static str, usize)> {
    let page = page_of(files, path);
    let lines = &page.source().lines;
    let mut list: Vec<_> = page
        .findings()
        .iter()
        .map(|f| (f.code, lines.line_of(f.span.start)))
        .collect();
    list.sort_unstable();
    list
}

/// Renames there and back, with all that must stay as it was.
#[track_caller]
fn there_and_back(path: &str, what: &str, from: &str, to: &str) -> String {
    let files = bench_files();
    let there = renamed(&files, path, what, to).unwrap_or_else(|why| panic!("{what}: {why}"));
    for path in ["bench.manual", "x.rebuild"] {
        assert_eq!(judged(&files, path), judged(&there, path), "{what} in {path}");
    }
    let back = renamed(&there, path, &what.replacen(from, to, 1), from).unwrap_or_else(|why| panic!("{what}: {why}"));
    assert!(back == files, "{what} is not what it was: {}", changes(&files, &back));
    changes(&files, &there)
}

#[test]
fn a_feature_is_renamed_in_manual_and_log_and_its_other_names_stay() {
    insta::assert_snapshot!(there_and_back("x.rebuild", "side play = go", "side play", "rod float"), @"
    bench.manual:7 feature rod float
    bench.manual:20 limits of rod float
    bench.manual:29 step press together  needs web supported, oiled or dry; disturbs rod float; also press up
    x.rebuild:22 rod float = go 0.40, no-go 0.45 mm by feelers
    x.rebuild:23 fix rod float 0.45 -> 0.50 mm, misread
    x.rebuild:24 fix rod float, because no other kit
    ");
    assert_eq!(
        there_and_back("bench.manual", "side play\n  build", "side play", "rod float"),
        there_and_back("x.rebuild", "side play = go", "side play", "rod float")
    );
    insta::assert_snapshot!(there_and_back("x.rebuild", "width over webs", "width over webs", "over all width"), @"
    bench.manual:5 feature web width, also over all width
    x.rebuild:15 over all width = 52.01 mm by mic A at 21 C
    ");
}

#[test]
fn a_step_and_what_it_needs_are_renamed_in_both() {
    insta::assert_snapshot!(there_and_back("x.rebuild", "press together, from", "press together", "close crank"), @"
    bench.manual:29 step close crank  needs web supported, oiled or dry; disturbs side play; also press up
    bench.manual:32 step true crank      after close crank; disturbs run-out; optional; renews circlips
    bench.manual:34 step weld pin        if did close crank; if found crankpin replace; optional
    bench.manual:36 never weld pin before close crank if did measure because it cracks
    x.rebuild:20 did close crank, from rod kit A, web supported close in, oiled, force 6 t on press, on cylinder 1
    x.rebuild:21 fix close crank, dry
    ");
    insta::assert_snapshot!(there_and_back("bench.manual", "lower web held", "lower web held", "web propped"), @"
    bench.manual:25 precaution web supported, also web propped
    x.rebuild:25 did press up, web propped, web well supported, dry
    ");
    insta::assert_snapshot!(there_and_back("x.rebuild", "dry\nside", "dry", "bone dry"), @"
    bench.manual:29 step press together  needs web supported, oiled or bone dry; disturbs side play; also press up
    x.rebuild:21 fix press together, bone dry
    x.rebuild:25 did press up, lower web held, web well supported, bone dry
    ");
}

#[test]
fn procedures_and_stocks_are_renamed_in_both() {
    insta::assert_snapshot!(there_and_back("x.rebuild", "crank\ntool", "crank", "bottom end"), @"
    bench.manual:28 procedure bottom end
    x.rebuild:5 procedure bottom end
    ");
    insta::assert_snapshot!(there_and_back("bench.manual", "pin drawer", "pin drawer", "pins"), @"
    bench.manual:23 choose pin length from stock pins, up to 2 together
    x.rebuild:11 stock pins: 51.9 52.0 mm
    ");
}

#[test]
fn names_of_a_log_alone_are_renamed_in_it_alone() {
    insta::assert_snapshot!(there_and_back("x.rebuild", "mic A: ", "mic A", "mic 50-75"), @"
    x.rebuild:7 tool mic 50-75: micrometer, good to 0.004 mm
    x.rebuild:15 width over webs = 52.01 mm by mic 50-75 at 21 C
    x.rebuild:16 Web  Width = 52.00 mm by mic 50-75
    x.rebuild:17 pin length of rod kit A = 52.00 mm, by mic 50-75
    x.rebuild:27 checked mic 50-75, on its standard
    ");
    insta::assert_snapshot!(there_and_back("x.rebuild", "rod kit A = 52", "rod kit A", "rod kit 4471"), @"
    x.rebuild:13 ordered rod kit 4471: number 44, from Ninebrook Parts
    x.rebuild:14 got rod kit 4471: number 44
    x.rebuild:17 pin length of rod kit 4471 = 52.00 mm, by mic A
    x.rebuild:20 did press together, from rod kit 4471, web supported close in, oiled, force 6 t on press, on cylinder 1
    x.rebuild:28 chose rod kit 4471 over rod kit B, because it fits
    ");
    insta::assert_snapshot!(there_and_back("x.rebuild", "do it here: ", "do it here", "own bench"), @"
    x.rebuild:9 option own bench: parts 128 EUR
    x.rebuild:10 chose own bench
    ");
    insta::assert_snapshot!(there_and_back("x.rebuild", "Tarn 250", "Tarn 250, frame TN-0417", "Tarn 250 trials, frame TN-0417"), @"x.rebuild:2 machine  Tarn 250 trials, frame TN-0417");
}

#[test]
fn a_manual_is_renamed_wherever_it_is_named() {
    insta::assert_snapshot!(there_and_back_of_manual(), @"
    bench.manual:1 manual   tarn 250, edition 1
    x.rebuild:4 manual   tarn 250
    ");
}

fn there_and_back_of_manual() -> String {
    let files = bench_files();
    let there = renamed(&files, "x.rebuild", "bench\n", "tarn 250").expect("it can be renamed");
    changes(&files, &there)
}

#[track_caller]
fn refused(path: &str, what: &str, to: &str) -> String {
    let files = bench_files();
    match renamed(&files, path, what, to) {
        Err(why) => why,
        Ok(is) => panic!("`{to}` was taken: {}", changes(&files, &is)),
    }
}

#[test]
fn what_would_be_read_otherwise_is_refused() {
    let told: Vec<String> = [
        "",
        "  ",
        "a = b",
        "a: b",
        "a, b",
        "a # b",
        "a\nb",
        "a;b",
        "play of pin",
        "did play",
        "2026-03-14 play",
    ]
    .iter()
    .map(|to| refused("x.rebuild", "side play = go", to))
    .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    a name has at least one letter
    a name has at least one letter
    a name cannot hold `=`, which means something of its own
    a name cannot hold `:`, which means something of its own
    a name cannot hold `,`, which means something of its own
    a name cannot hold `#`, which means something of its own
    a name stands on one line, without tabs
    a name cannot hold `;`, which means something of its own
    `play of pin` would be read otherwise on line 7 of bench.manual: `feature play of pin`
    `did play` would be read otherwise on line 22 of x.rebuild: `did play = go 0.40, no-go 0.45 mm by feelers`
    `2026-03-14 play` would be read otherwise on line 22 of x.rebuild: `2026-03-14 play = go 0.40, no-go 0.45 mm by feelers`
    ");
    let told = [
        refused("x.rebuild", "press together, from", "after press"),
        refused("x.rebuild", "press together, from", "press up to stop"),
        refused("bench.manual", "pin length\n", "2nd pin"),
        refused("x.rebuild", "mic A: ", "mic at home"),
        refused("x.rebuild", "rod kit A: number", "kit over all"),
    ];
    insta::assert_snapshot!(told.join("\n"), @"
    `after press` would be read otherwise on line 29 of bench.manual: `step after press  needs web supported, oiled or dry; disturbs side play; also press up`
    `press up to stop` would be read otherwise on line 29 of bench.manual: `step press up to stop  needs web supported, oiled or dry; disturbs side play; also press up`
    `2nd pin` would be read otherwise on line 19 of bench.manual: `calc play worked = 2nd pin - web width + smallest(run-out at drive side) * 0`
    `mic at home` would be read otherwise on line 15 of x.rebuild: `width over webs = 52.01 mm by mic at home at 21 C`
    `kit over all` would be read otherwise on line 28 of x.rebuild: `chose kit over all over rod kit B, because it fits`
    ");
}

#[test]
fn a_name_that_is_taken_is_refused_with_its_line() {
    let told = [
        refused("x.rebuild", "side play = go", "Pin Length"),
        refused("x.rebuild", "side play = go", "width over webs"),
        refused("bench.manual", "pin length\n", "r/o"),
        refused("x.rebuild", "press together, from", "press up"),
        refused("x.rebuild", "press together, from", "weld pin"),
        refused("x.rebuild", "mic A: ", "press"),
        refused("x.rebuild", "rod kit A: number", "crankpin"),
    ];
    insta::assert_snapshot!(told.join("\n"), @"
    `Pin Length` is the name of a feature already: x.rebuild, line 17
    `width over webs` is the name of a feature already: x.rebuild, line 15
    `r/o` is the name of a feature already: bench.manual, line 11
    `press up` is the name of a step already: x.rebuild, line 25
    `weld pin` is the name of a step already: bench.manual, line 34
    `press` is the name of a tool already: x.rebuild, line 6
    `crankpin` is the name of a part already: x.rebuild, line 12
    ");
}

#[test]
fn what_is_not_the_pages_to_name_is_refused() {
    let manual = "manual bench\nextends pressed crank\nfeature own gap\n  build 1 to 2 mm\n";
    let log = "job x\nmanual bench\n2026-03-14 build\nweb width = 52.0 mm by dial\nown gap = 1.5 mm\nodd at left = 1 mm\nnote a thing\n";
    let page = log_page(manual, log);
    let why = |what: &str| prepare(&page, at(log, what, 0)).expect_err("it is refused");
    let told = [why("web width"), why("dial"), why("note a"), why("job x")];
    insta::assert_snapshot!(told.join("\n"), @"
    `web width` is the shelf's name (pressed crank); give it another name in your own manual with `also`
    `dial` is the plain name of a kind of tool; to call yours otherwise declare it: `tool NAME: dial`
    nothing here has a name
    nothing here has a name
    ");
    let (span, name) = prepare(&page, at(log, "own gap", 3)).expect("it is the bench's own");
    assert_eq!((span.text(log), name.as_str()), ("own gap", "own gap"));
    // The manual is known to the page, and to no file of the workspace.
    let alone = rename(
        &page,
        Path::new("x.rebuild"),
        at(log, "own gap", 3),
        "our gap",
        &index(&[("x.rebuild", log)]),
    );
    insta::assert_snapshot!(alone.expect_err("it is refused"), @"`own gap` is a name of bench.manual, which is not among the files of the workspace");
    let page = log_page(MANUAL, LOG);
    let why = |what: &str| prepare(&page, at(LOG, what, 0)).expect_err("it is refused");
    let told = [why("drive side"), why("crankpin: blue"), why("feelers")];
    insta::assert_snapshot!(told.join("\n"), @"
    `drive side` is what bench.manual calls this place (line 10), so a log must call it the same
    `crankpin` is what bench.manual calls this part (line 34), so a log must call it the same
    `feelers` is the plain name of a kind of tool; to call yours otherwise declare it: `tool NAME: feelers`
    ");
    let page = manual_page(MANUAL);
    let why = |what: &str| prepare(&page, at(MANUAL, what, 0)).expect_err("it is refused");
    let told = [why("press\n"), why("drive side"), why("circlips")];
    insta::assert_snapshot!(told.join("\n"), @"
    `press` is a kind of tool, which is no name that you give
    each log writes `drive side` for itself; change it here and in the logs by hand
    each log writes `circlips` for itself; change it here and in the logs by hand
    ");
}

/// The manual bounds the force by the rating of `press`, which is found by its kind or by its name.
#[test]
fn a_name_by_which_the_log_would_be_judged_otherwise_is_refused() {
    let files = bench_files();
    assert!(renamed(&files, "x.rebuild", "press: press", "big one").is_ok());
    let by_name: Files = files
        .into_iter()
        .map(|(name, text)| (name, text.replace("press: press,", "press: from the barn,")))
        .collect();
    let why = renamed(&by_name, "x.rebuild", "press: from", "big one").expect_err("it is refused");
    insta::assert_snapshot!(why, @"with this name line 20 would be judged otherwise: `press together` is done with a press, and the log has none");
}

/// Two workshops' manuals use the same word; each has its own logs.
fn two_shops() -> Files {
    let manual =
        |extends: &str| format!("manual m\n{extends}source page 1\nfeature main float\n  build 0.1 to 0.3 mm\n");
    let log = |manual: &str| format!("job x\nmanual {manual}\n2026-03-14 build\nmain float = 0.2 mm\n");
    [
        ("bench.manual", manual("extends base\n")),
        ("base.manual", manual("")),
        ("other.manual", manual("")),
        ("below.manual", manual("extends bench\n")),
        ("x.rebuild", log("bench")),
        ("y.rebuild", log("base")),
        ("z.rebuild", log("other")),
        ("w.rebuild", log("below")),
        ("v.rebuild", log("nowhere")),
    ]
    .into_iter()
    .map(|(name, text)| (name.to_owned(), text))
    .collect()
}

#[test]
fn an_unrelated_manual_with_the_same_word_is_left_alone() {
    let files = two_shops();
    let is = renamed(&files, "x.rebuild", "main float", "end play").expect("it can be renamed");
    insta::assert_snapshot!(changes(&files, &is), @"
    bench.manual:4 feature end play
    base.manual:3 feature end play
    below.manual:4 feature end play
    x.rebuild:4 end play = 0.2 mm
    y.rebuild:4 end play = 0.2 mm
    w.rebuild:4 end play = 0.2 mm
    ");
}

#[test]
fn a_name_that_no_manual_knows_is_changed_in_its_log_alone() {
    let files = two_shops();
    let borrowed: Vec<(&str, &str)> = files
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    let log = "job x\nmanual nowhere\n2026-03-14 build\nmain float = 0.2 mm\n";
    let page = log_page("", log);
    let edits = rename(
        &page,
        Path::new("v.rebuild"),
        at(log, "main", 0),
        "2nd float",
        &index(&borrowed),
    );
    let is = applied(&files, &edits.expect("it can be renamed"));
    insta::assert_snapshot!(changes(&files, &is), @"v.rebuild:4 2nd float = 0.2 mm");
}

/// The texts of `below.manual` and of other logs are not at hand, so lines such as may stand in them are tried.
#[test]
fn a_name_must_be_readable_in_files_whose_text_is_not_at_hand() {
    let told: Vec<String> = ["2nd float", "float as found", "note float", "float because"]
        .iter()
        .map(|to| renamed(&two_shops(), "x.rebuild", "main float", to).map_or_else(|why| why, |_| "taken".to_owned()))
        .collect();
    insta::assert_snapshot!(told.join("\n"), @"
    `2nd float` would be read otherwise in a line such as `calc other = 2nd float + largest(2nd float of part one)`
    `float as found` would be read otherwise in a line such as `calc other = float as found + largest(float as found of part one)`
    `note float` would be read otherwise in a line such as `note float = 1.5 mm`
    taken
    ");
}

/// `from rod kit A` must not become a precaution that nobody wrote.
#[test]
fn a_need_is_never_said_by_words_that_stood_there_for_something_else() {
    let told = [
        refused("bench.manual", "lower web held", "from"),
        refused("x.rebuild", "oiled, force", "rod kit"),
    ];
    insta::assert_snapshot!(told.join("\n"), @"
    x.rebuild, line 20, says `from` already, and would then say what it does not
    x.rebuild, line 20, says `rod kit` already, and would then say what it does not
    ");
}

#[test]
fn words_of_a_need_that_stand_apart_are_told_before_anything_is_changed() {
    let why = refused("bench.manual", "web supported, also", "web propped");
    insta::assert_snapshot!(why, @"x.rebuild, line 25, says `web supported` in words that stand apart; write it there as it is called, then rename it");
}

#[test]
fn line_ends_and_a_byte_order_mark_stay() {
    let files: Files = bench_files()
        .into_iter()
        .map(|(name, text)| (name, format!("\u{FEFF}{}", text.replace('\n', "\r\n"))))
        .collect();
    let is = renamed(&files, "x.rebuild", "side play = go", "rod float").expect("it can be renamed");
    let plain = renamed(&bench_files(), "x.rebuild", "side play = go", "rod float").expect("it can be renamed");
    for ((_, marked), (_, plain)) in is.iter().zip(&plain) {
        assert_eq!(*marked, format!("\u{FEFF}{}", plain.replace('\n', "\r\n")));
    }
}

/// Words that mean something somewhere, and some that do not.
fn any_name() -> impl Strategy<Value = String> {
    let words = vec![
        "of",
        "at",
        "by",
        "on",
        "as",
        "found",
        "did",
        "also",
        "after",
        "if",
        "or",
        "over",
        "because",
        "out",
        "in",
        "read",
        "until",
        "up",
        "to",
        "least",
        "2",
        "50-75",
        "0.40",
        "mm",
        "play",
        "pin",
        "crank",
        "dry",
        "no",
        "not",
        "from",
        "new",
        "web",
        "drawer",
        "r/o",
        "a*b",
        "(b)",
        "gr\u{f6}\u{df}e",
        "\u{130}x",
        "high",
        "k",
        "go",
        "manual",
        "step",
        "~",
        "?",
        "-",
        "\"",
    ];
    proptest::collection::vec(proptest::sample::select(words), 1..4).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Whatever name is taken: the files are judged as before, and renamed back they have the same bytes.
    #[test]
    fn a_name_that_is_taken_changes_nothing_else(to in any_name(), which in 0_usize..11) {
        let (path, what, from) = [
            ("x.rebuild", "side play = go", "side play"),
            ("bench.manual", "pin length\n", "pin length"),
            ("bench.manual", "r/o", "r/o"),
            ("x.rebuild", "press together, from", "press together"),
            ("bench.manual", "weld pin  ", "weld pin"),
            ("x.rebuild", "lower web held", "lower web held"),
            ("x.rebuild", "oiled, force", "oiled"),
            ("x.rebuild", "mic A: ", "mic A"),
            ("x.rebuild", "rod kit A: number", "rod kit A"),
            ("x.rebuild", "pin drawer", "pin drawer"),
            ("x.rebuild", "crank\ntool", "crank"),
        ][which];
        let files = bench_files();
        if let Ok(there) = renamed(&files, path, what, &to) {
            for path in ["bench.manual", "x.rebuild"] {
                prop_assert_eq!(judged(&files, path), judged(&there, path), "{} in {}", to, path);
            }
            let text = there.iter().find(|(name, _)| name == path).map_or("", |(_, text)| text);
            let was = files.iter().find(|(name, _)| name == path).map_or("", |(_, text)| text);
            // The first place that differs is one where the new name stands; the name asked of may stand further down.
            let before = was.find(what).map_or("", |start| was.get(..start).unwrap_or(""));
            let shift = before.matches(from).count() * to.len();
            let start = before.len() - before.matches(from).count() * from.len() + shift;
            let index = index(&there.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect::<Vec<_>>());
            let page = page_of(&there, path);
            prop_assert_eq!(text.get(start..start + to.len()), Some(to.as_str()));
            let offset = u32::try_from(start).expect("a short text");
            let edits = rename(&page, Path::new(path), offset, from, &index);
            let back = applied(&there, &edits.map_err(|why| TestCaseError::fail(format!("{to}: {why}")))?);
            prop_assert!(back == files, "{}", changes(&files, &back));
        }
    }
}
