//! What a report tells of a job: each as a log of a few lines, and what the account, the page and the plain text make of it.

mod support;

use std::path::Path;

use gudgeon::judge::Analysis;
use gudgeon::judge::account::{Account, Cell, ToldKind, account};
use gudgeon::quantity::Verdict;
use gudgeon::report::markdown::markdown;
use gudgeon::report::owner::{Wishes, html};
use gudgeon::report::style::{DecimalMark, Style, Units};
use gudgeon::workspace::{Library, analyse};

/// Invented for this test; only side play, bore and run-out say where their limits come from.
const MANUAL: &str = include_str!("data/account/m.manual");

fn told(log: &str) -> (Analysis, Account) {
    let library = Library::new();
    library.give("m.manual", MANUAL);
    let analysis = analyse(
        "x.rebuild",
        Path::new(support::NOWHERE),
        log.as_bytes().to_vec(),
        &library,
    );
    let account = account(&analysis);
    (analysis, account)
}

fn page(log: &str, style: Style) -> String {
    let (analysis, account) = told(log);
    let wishes = Wishes {
        style,
        shop: "Fennick Engine Works".to_owned(),
        ..Wishes::default()
    };
    html(&analysis, &account, &[], &wishes)
}

#[test]
fn a_fit_keeps_every_look_from_the_first_to_the_last() {
    let (_, account) = told(
        "job x\nmanual m\n2026-03-14 as found\nside play = go 0.55, no-go 0.60 mm by feelers\n2026-03-15 build\n\
         did press together, web supported\nside play = go 0.40, no-go 0.45 mm by feelers\n",
    );
    let fit = account
        .fits
        .iter()
        .find(|fit| fit.name == "side play")
        .expect("side play");
    let looks: Vec<(usize, &str, Option<Verdict>)> = fit
        .looks
        .iter()
        .map(|look| (look.line, look.stage.as_str(), look.verdict()))
        .collect();
    assert_eq!(
        looks,
        [(4, "as found", Some(Verdict::In)), (7, "build", Some(Verdict::In))]
    );
    assert_eq!(fit.last().and_then(|look| look.tool.as_deref()), Some("feelers"));
}

#[test]
fn a_reading_that_a_step_has_overtaken_is_not_told_as_in_limit() {
    let log = "job x\nmanual m\n2026-03-14 build\ndid press together, web supported\nside play = 0.40 mm\nrun-out at left = 0.02 mm\n\
               run-out at right = 0.02 mm\ndid true crank\n";
    let (_, account) = told(log);
    let fit = account
        .fits
        .iter()
        .find(|fit| fit.name == "run-out at left")
        .expect("run-out");
    assert_eq!(fit.last().and_then(|look| look.stale_by), Some(8));
    assert!(account.gaps.stale.contains(&"run-out at left".to_owned()));
    let page = page(log, Style::default());
    assert!(page.contains("stale: measure again") && page.contains("overtaken by the step on line 8"));
}

#[test]
fn a_bore_keeps_its_shape_and_what_was_not_measured() {
    let (_, account) = told(
        "job x\nmanual m\n2026-03-14 build\nbore of cylinder 1 = mm\n         along   across\n   top    72.010  72.012\n   middle 72.011  -\n   bottom \"       72.030\n",
    );
    let table = account.tables.first().expect("a table");
    assert_eq!((table.name.as_str(), table.line), ("bore of cylinder 1", 4));
    assert_eq!(table.columns, ["along", "across"]);
    let shape: Vec<(&str, Vec<Option<String>>)> = table
        .rows
        .iter()
        .map(|row| {
            let cells = row.cells.iter().map(|cell| match cell {
                Cell::Figure(figure) => Some(figure.estimate.best.normalize().to_string()),
                Cell::Not => None,
            });
            (row.label.as_str(), cells.collect())
        })
        .collect();
    let read = |figure: &str| Some(figure.to_owned());
    assert_eq!(
        shape,
        [
            ("top", vec![read("72.01"), read("72.012")]),
            ("middle", vec![read("72.011"), None]),
            ("bottom", vec![read("72.011"), read("72.03")]),
        ]
    );
    assert_eq!(account.gaps.dashes, ["bore of cylinder 1 at middle across"]);
}

#[test]
fn run_out_is_told_turn_by_turn_with_what_was_done_between() {
    let (_, account) = told(
        "job x\nmanual m\n2026-03-14 build\ndid press together, web supported\nrun-out at left = 0.09 mm high at 62°\nrun-out at right = 0.08 mm high at 300°\n\
         did true crank, left rim, angle 90°\nrun-out at left = 0.02 mm high at 10°\nrun-out at right = 0.01 mm high at 350°\n",
    );
    let outs = account.run_outs.first().expect("run-outs");
    let turns: Vec<(usize, usize, usize)> = outs
        .turns
        .iter()
        .map(|turn| (turn.line, turn.highs.len(), turn.after.len()))
        .collect();
    assert_eq!(turns, [(5, 2, 1), (8, 2, 1)]);
    let last = outs.turns.last().expect("a turn");
    assert_eq!(last.after, ["true crank, left rim, angle 90°"]);
    let highs: Vec<(&str, String, String)> = last
        .highs
        .iter()
        .map(|high| (high.place.as_str(), high.swing.to_string(), high.angle.to_string()))
        .collect();
    assert_eq!(
        highs,
        [
            ("left", "0.02".to_owned(), "10".to_owned()),
            ("right", "0.01".to_owned(), "350".to_owned())
        ]
    );
}

#[test]
fn two_cranks_are_told_apart_with_what_was_done_between_their_own_turns() {
    let (_, account) = told(
        "job x\nmanual m\n2026-03-14 build\nrun-out of crank 1 at left = 0.05 mm high at 10°\nrun-out of crank 2 at left = 0.06 mm high at 20°\n\
         did true crank, on crank 1\nrun-out of crank 1 at left = 0.02 mm high at 30°\nrun-out of crank 2 at left = 0.06 mm high at 20°\n",
    );
    let told: Vec<(&str, Vec<usize>)> = account
        .run_outs
        .iter()
        .map(|outs| {
            (
                outs.name.as_str(),
                outs.turns.iter().map(|turn| turn.after.len()).collect(),
            )
        })
        .collect();
    assert_eq!(
        told,
        [("run-out of crank 1", vec![0, 1]), ("run-out of crank 2", vec![0, 1])]
    );
}

#[test]
fn a_ditto_below_nothing_shifts_no_other_cell() {
    let (_, account) =
        told("job x\nmanual m\n2026-03-14 build\nbore = mm\n   top    \"       72.012\n   bottom 72.011  72.013\n");
    let table = account.tables.first().expect("a table");
    let best = |cell: &Cell| match cell {
        Cell::Figure(figure) => figure.estimate.best.normalize().to_string(),
        Cell::Not => "-".to_owned(),
    };
    let rows: Vec<Vec<String>> = table
        .rows
        .iter()
        .map(|row| row.cells.iter().map(best).collect())
        .collect();
    assert_eq!(rows, [["-", "72.012"], ["72.011", "72.013"]]);
}

/// 1 t is 9.806 65 kN by definition, in base units 9 806 650.
#[test]
fn a_press_is_told_with_both_ends_and_what_it_is_rated_for() {
    let (_, account) = told(
        "job x\nmanual m\ntool press: press, rated 10 t\n2026-03-14 build\ndid press together, web supported, force 1 t to 4 t on press\n",
    );
    let pressing = account.pressings.first().expect("a press");
    let ends =
        [pressing.from, pressing.to].map(|end| pressing.unit.from_base(end).map(|end| end.normalize().to_string()));
    assert_eq!(ends, [Some("1".to_owned()), Some("4".to_owned())]);
    let rating = pressing
        .rating
        .as_ref()
        .map(|(rated, tool)| (rated.normalize().to_string(), tool.as_str()));
    assert_eq!(rating, Some(("98066500".to_owned(), "press")));
}

#[test]
fn what_has_no_source_and_what_was_never_read_is_said() {
    let (_, account) = told("job x\nmanual m\n2026-03-14 build\nend float = 0.16 mm\npin wobble = 3 mm\n");
    let unsourced: Vec<&str> = account
        .gaps
        .no_source
        .iter()
        .map(|limit| limit.feature.as_str())
        .collect();
    assert_eq!(unsourced, ["end float"]);
    assert_eq!(account.gaps.never_read, ["bore", "side play", "run-out"]);
    assert_eq!(account.gaps.no_limit, ["pin wobble"]);
}

#[test]
fn the_story_keeps_the_order_the_clock_and_what_is_wrong_where_it_is_wrong() {
    let (analysis, account) = told(
        "job x\nmanual m\nhours 12\n2026-03-14 build\n09:40 did press together, force 6 t\nnote the sound changed\nphoto pin.jpg\nplainly prose\nclosed 2026-03-15\n",
    );
    let day = account.days.first().expect("a day");
    assert_eq!((day.written.as_str(), day.stage.as_str()), ("2026-03-14", "build"));
    let lines: Vec<(usize, ToldKind, &str)> = day
        .told
        .iter()
        .map(|told| (told.line, told.kind, told.text.as_str()))
        .collect();
    assert_eq!(
        lines,
        [
            (5, ToldKind::Did, "press together, force 6 t"),
            (6, ToldKind::Note, "the sound changed"),
            (7, ToldKind::Photo, "pin.jpg"),
            (8, ToldKind::Note, "plainly prose"),
            (9, ToldKind::Closed, "2026-03-15"),
        ]
    );
    let press = day.told.first().expect("the press");
    assert_eq!(press.clock.as_deref(), Some("09:40"));
    let codes: Vec<&str> = press
        .findings
        .iter()
        .filter_map(|number| analysis.findings.get(*number))
        .map(|finding| finding.code)
        .collect();
    assert!(codes.contains(&"danger.precaution"), "{codes:?}");
    assert_eq!(
        account
            .head
            .dates
            .map(|(first, last)| (first.to_string(), last.to_string())),
        Some(("2026-03-14".to_owned(), "2026-03-15".to_owned()))
    );
    let cautions: Vec<(&str, &str)> = account
        .cautions
        .iter()
        .map(|caution| (caution.name.as_str(), caution.because.as_str()))
        .collect();
    assert_eq!(cautions, [("web supported", "the shaft bends and the pin can fly")]);
}

#[test]
fn a_mended_figure_is_struck_through_and_stays() {
    let log = "job x\nmanual m\n2026-03-14 build\nend float = 0.61 mm\nfix end float 0.61 -> 0.16, swapped\n";
    let (_, account) = told(log);
    let correction = account.corrections.first().expect("a correction");
    assert_eq!(
        (
            correction.what.as_str(),
            correction.old.as_str(),
            correction.new.as_str(),
            correction.reason.as_str()
        ),
        ("end float", "0.61", "0.16", "swapped")
    );
    let page = page(log, Style::default());
    assert!(
        page.contains("<del><bdi>0.61</bdi></del>") && page.contains("<li class=\"mended\">"),
        "{page}"
    );
}

#[test]
fn figures_are_told_in_the_units_and_with_the_mark_of_the_reader() {
    let log = "job x\nmachine Tarn 250\nmanual m\n2026-03-14 build\nend float = 0.254 mm\n";
    let plain = page(log, Style::default());
    assert!(plain.contains("0.254") && plain.contains("build limit 0.10 to 0.25 mm"));
    let inch = page(
        log,
        Style {
            units: Units::Inch,
            mark: DecimalMark::Comma,
        },
    );
    // 0.254 mm are 0.01 in; 0.10 to 0.25 mm are 0.003 94 to 0.009 84 in.
    assert!(inch.contains("0,0100") && inch.contains(" in"), "{inch}");
    assert!(inch.contains("build limit 0,00394 to 0,00984 in"), "{inch}");
    assert!(inch.contains("Units are inch"));
    assert!(inch.contains("Fennick Engine Works"));
}

#[test]
fn a_job_with_no_readings_and_an_empty_one_are_told_too() {
    for log in ["", "job x\n", "job x\n2026-03-14 build\nnote nothing yet\n"] {
        let page = page(log, Style::default());
        assert!(page.contains("Nothing was measured in this job"), "{log}");
        assert!(page.contains("workshop manual"), "{log}");
    }
}

#[test]
fn the_plain_text_says_what_the_page_says() {
    let log = "job side play at the limit\nmachine Tarn 250 <trials>, frame TN-0417\nmanual m\ntool press: press, rated 10 t\n\n2026-03-14 as found\nside play = go 0.55, no-go 0.60 mm\n\
               found crankpin: discoloured, replace\n\n2026-03-15 build\ndid press together, force 1 t to 4 t on press\nside play = go 0.40, no-go 0.45 mm\nend float = 0.61 mm\n\
               fix end float 0.61 -> 0.16, swapped\nrun-out at left = 0.02 mm high at 10°\n";
    let (analysis, account) = told(log);
    insta::assert_snapshot!(markdown(&analysis, &account, &[], &Wishes::default()));
}
