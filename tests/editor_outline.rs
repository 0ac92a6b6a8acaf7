//! The outline of a page, what folds, what is selected next, and what leads to a file.

#[path = "support/cut.rs"]
mod cut;
mod support;

use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::editor::folding::{Fold, FoldKind, folds};
use gudgeon::editor::links::{LinkTo, links};
use gudgeon::editor::selection::selections;
use gudgeon::editor::symbols::{Symbol, outline};
use gudgeon::syntax::{FileKind, Span};
use proptest::prelude::*;

use cut::{cut_up, page_of, sample, sample_paths};
use support::NOWHERE;
use support::editor::{log_at, log_page, manual_page, marked};

const MANUAL: &str = "\
manual   bench
source   workshop manual, page 41
feature side play
  build    0.35 to 0.50 mm
  service  up to 0.60 mm
feature run-out at drive side, flywheel side
  build    up to 0.03 mm
feature bore of cylinder 1
  build    72.00 to 72.02 mm
feature pin length
feature rod width
calc play from parts = pin length - rod width
  build    0.35 to 0.50 mm
procedure crank
  step press together  disturbs run-out
  step true crank      after press together; disturbs run-out; optional
";

const LOG: &str = "\
job      bottom end, side play at the limit
machine  Tarn 250 trials single, frame TN-0417
manual   bench
tool dial:   dial indicator, good to 0.003 mm
tool press:  press, rated 10 t

2026-03-14  as found
# angles from the pin
side play = go 0.55, no-go 0.65 mm
found big end: blue on one side, replace
ordered rod kit: number TK-25
photo pictures/pin.jpg
2026-03-20  build
got rod kit: number TK-25
run-out at drive side = 0.02 by dial
did press together, force 6 t on press
run-out = 0.05 mm at flywheel side by dial
pin length = 52.00 mm
rod width = 51.40 mm
play from parts = 0.60 mm
bore of cylinder 1 = mm
         along   across
  top    72.01   72.03
  foot   72.01   72.00
fix side play 0.65 -> 0.60 mm, misread
did true crank, one light tap
undid true crank
closed 2026-03-21
";

/// An outline as indented lines: name, detail, kind, and the name's own text.
fn drawn(page: &Page) -> String {
    fn draw(list: &[Symbol], depth: usize, text: &str, out: &mut String) {
        for symbol in list {
            let detail = match symbol.detail.as_str() {
                "" => String::new(),
                detail => format!(" ({detail})"),
            };
            let lines = symbol.span.text(text).lines().count();
            let indent = "  ".repeat(depth);
            out.push_str(&format!("{indent}{}{detail} {:?}", symbol.name, symbol.kind));
            if lines > 1 {
                out.push_str(&format!(" {lines} lines"));
            }
            out.push('\n');
            draw(&symbol.children, depth + 1, text, out);
        }
    }
    let mut out = String::new();
    draw(&outline(page), 0, page.text(), &mut out);
    out
}

#[test]
fn a_log_by_its_days_with_the_figures_and_what_came_of_them() {
    insta::assert_snapshot!(drawn(&log_page(MANUAL, LOG)), @r"
    bottom end, side play at the limit (Tarn 250 trials single, frame TN-0417) Job 28 lines
      bench Manual
      tools (2) Other 2 lines
        dial (dial indicator) Tool
        press (press) Tool
      2026-03-14 as found Day 6 lines
        side play (0.55 to 0.6 mm, in) Reading
        big end (replace) Inspection
        ordered rod kit (number TK-25) Part
      2026-03-20 build Day 16 lines
        got rod kit (number TK-25) Part
        run-out at drive side (0.02 mm, stale) Reading
        press together (force 6 t) Step
        run-out at flywheel side (0.05 mm, stale) Reading
        pin length (52.00 mm) Reading
        rod width (51.40 mm) Reading
        play from parts (0.60 mm, out) Reading
        bore of cylinder 1 (4 figures, out) Reading 4 lines
          top (72.01 72.03, out) Reading
          foot (72.01 72.00, in) Reading
        fix side play (0.65 -> 0.60 mm) Other
        true crank (undone) Step
        undid true crank Step
        closed 2026-03-21 Other
    ");
}

#[test]
fn a_manual_by_its_features_sums_precautions_and_procedures() {
    let manual =
        format!("{MANUAL}  never strike pin because it chips\nprecaution web supported\n  because the pin can fly\n");
    insta::assert_snapshot!(drawn(&manual_page(&manual)), @r"
    bench (workshop manual, page 41) Manual 19 lines
      side play (build 0.35 to 0.50 mm, service up to 0.60 mm) Feature 3 lines
      run-out (build up to 0.03 mm) Feature 2 lines
      bore (build 72.00 to 72.02 mm) Feature 2 lines
      pin length Feature
      rod width Feature
      play from parts (= pin length - rod width; build 0.35 to 0.50 mm) Calc 2 lines
      crank (2 steps) Procedure 4 lines
        press together Step
        true crank (after press together; optional) Step
        never strike pin (it chips) Other
      web supported (the pin can fly) Precaution 2 lines
    ");
}

#[test]
fn a_log_without_a_job_line_is_called_by_its_machine() {
    insta::assert_snapshot!(drawn(&log_page("", "machine Tarn 250\nside play = 0.4 mm\n")), @r"
    Tarn 250 Job 2 lines
      side play (0.4 mm, in) Reading
    ");
    insta::assert_snapshot!(drawn(&log_page("", "side play = 0.4 mm\n")), @r"
    job without a name Job
      side play (0.4 mm, in) Reading
    ");
    assert!(outline(&log_page("", "")).is_empty());
    assert!(outline(&log_page("", "# nothing yet\n\n")).is_empty());
}

#[test]
fn the_name_of_a_symbol_is_where_the_cursor_goes() {
    let page = log_page(MANUAL, LOG);
    let root = &outline(&page)[0];
    let day = root.children.last().expect("a day");
    let names: Vec<&str> = day.children.iter().map(|s| s.name_span.text(page.text())).collect();
    insta::assert_snapshot!(names.join("\n"), @r"
    rod kit
    run-out at drive side
    press together
    run-out
    pin length
    rod width
    play from parts
    bore of cylinder 1
    side play
    true crank
    true crank
    closed 2026-03-21
    ");
}

/// The lines of each fold, the first and the last by their words.
fn folded(page: &Page) -> String {
    let lines: Vec<&str> = page.text().lines().collect();
    let line = |Fold { first, last, kind }: Fold| {
        let what = if kind == FoldKind::Comment { " (comment)" } else { "" };
        format!("{} … {}{what}\n", lines[first].trim(), lines[last].trim())
    };
    folds(page).into_iter().map(line).collect()
}

#[test]
fn days_tables_and_comments_of_a_log_fold() {
    let log = format!("# one\n# two\n{LOG}\n# three\n# four\n# five\n\n2026-03-22\n");
    insta::assert_snapshot!(folded(&log_page(MANUAL, &log)), @r"
    # one … # two (comment)
    job      bottom end, side play at the limit … tool press:  press, rated 10 t
    2026-03-14  as found … photo pictures/pin.jpg
    2026-03-20  build … # five
    bore of cylinder 1 = mm … foot   72.01   72.00
    # three … # five (comment)
    ");
}

#[test]
fn features_procedures_and_steps_of_a_manual_fold() {
    let manual = MANUAL.replace("optional\n", "optional\n    angle up to 90°\n\n# end\n");
    insta::assert_snapshot!(folded(&manual_page(&manual)), @r"
    manual   bench … source   workshop manual, page 41
    feature side play … service  up to 0.60 mm
    feature run-out at drive side, flywheel side … build    up to 0.03 mm
    feature bore of cylinder 1 … build    72.00 to 72.02 mm
    calc play from parts = pin length - rod width … build    0.35 to 0.50 mm
    procedure crank … angle up to 90°
    step true crank      after press together; disturbs run-out; optional … angle up to 90°
    ");
}

/// What is selected one after another, each on a line, long ones by their ends.
fn grown(page: &Page, offset: u32) -> String {
    let shown = |span: &Span| {
        let words = span.text(page.text()).replace('\n', "⏎");
        let count = words.chars().count();
        if count < 60 {
            return format!("{words}\n");
        }
        let head: String = words.chars().take(30).collect();
        let tail: String = words.chars().skip(count - 20).collect();
        format!("{head} … {tail}\n")
    };
    selections(page, offset).iter().map(shown).collect()
}

#[test]
fn a_selection_grows_from_the_figure_to_the_page() {
    let log = LOG.replace("go 0.55, no-go", "go 0.¦55, no-go");
    let (page, at) = log_at(MANUAL, &log);
    insta::assert_snapshot!(grown(&page, at), @r"
    0.55
    go 0.55, no-go 0.65 mm
    side play = go 0.55, no-go 0.65 mm
    side play = go 0.55, no-go 0.65 mm⏎
    2026-03-14  as found⏎# angles  … to pictures/pin.jpg⏎
    job      bottom end, side play … k⏎closed 2026-03-21⏎
    ");
    let log = LOG.replace("force 6 t", "force ¦6 t");
    let (page, at) = log_at(MANUAL, &log);
    insta::assert_snapshot!(grown(&page, at), @r"
    6
    6 t
    force 6 t on press
    did press together, force 6 t on press
    did press together, force 6 t on press⏎
    2026-03-20  build⏎got rod kit: … k⏎closed 2026-03-21⏎
    job      bottom end, side play … k⏎closed 2026-03-21⏎
    ");
    let log = LOG.replace("72.03", "72.03¦");
    let (page, at) = log_at(MANUAL, &log);
    insta::assert_snapshot!(grown(&page, at), @r"
    72.03
    top    72.01   72.03
      top    72.01   72.03⏎
    bore of cylinder 1 = mm⏎       … oot   72.01   72.00⏎
    2026-03-20  build⏎got rod kit: … k⏎closed 2026-03-21⏎
    job      bottom end, side play … k⏎closed 2026-03-21⏎
    ");
    let log = LOG.replace("angles from", "angles¦ from");
    let (page, at) = log_at(MANUAL, &log);
    insta::assert_snapshot!(grown(&page, at), @r"
    angles
    # angles from the pin
    # angles from the pin⏎
    2026-03-14  as found⏎# angles  … to pictures/pin.jpg⏎
    job      bottom end, side play … k⏎closed 2026-03-21⏎
    ");
}

#[test]
fn a_selection_in_a_manual_grows_from_the_clause_to_the_procedure() {
    let (text, at) = marked(&MANUAL.replace("after press together", "after press¦ together"));
    insta::assert_snapshot!(grown(&manual_page(&text), at[0]), @r"
    press
    press together
    step true crank      after pre … bs run-out; optional
      step true crank      after p … s run-out; optional⏎
    procedure crank⏎  step press t … s run-out; optional⏎
    manual   bench⏎source   worksh … s run-out; optional⏎
    ");
}

fn linked(page: &Page) -> String {
    let text = page.text();
    let line = |link: gudgeon::editor::links::Link| {
        let to = match link.to {
            LinkTo::File(path) => format!("file {path}"),
            LinkTo::Manual(name) => format!("manual {name}"),
        };
        format!("{} -> {to} ({})\n", link.span.text(text), link.tip)
    };
    links(page).into_iter().map(line).collect()
}

#[test]
fn photos_and_manuals_are_linked_and_a_manual_that_is_not_there_is_not() {
    let log = LOG.replace(
        "manual   bench\n",
        "manual   bench\nmanual   Pressed  Crank\nmanual   lost one\n",
    );
    insta::assert_snapshot!(linked(&log_page(MANUAL, &log)), @r"
    bench -> manual bench.manual (bench, in bench.manual)
    Pressed  Crank -> manual shelf:pressed crank (pressed crank, from the shelf)
    pictures/pin.jpg -> file pictures/pin.jpg (show the photo)
    ");
    let manual = MANUAL.replace(
        "feature side play\n",
        "extends pressed crank\nextends nothing such\nfeature side play\n",
    );
    insta::assert_snapshot!(linked(&manual_page(&manual)), @"pressed crank -> manual shelf:pressed crank (pressed crank, from the shelf)");
}

/// Children lie within their parents, in order, without overlap; names lie within what they name.
fn check_outline(list: &[Symbol], within: Span, text: &str) {
    let mut from = within.start;
    for symbol in list {
        assert!(
            from <= symbol.span.start && symbol.span.end <= within.end,
            "{symbol:?} in {within:?}\n{text}"
        );
        let (own, name) = (symbol.span, symbol.name_span);
        assert!(own.start <= name.start && name.end <= own.end, "{symbol:?}\n{text}");
        assert!(!symbol.name.is_empty(), "{symbol:?}\n{text}");
        assert!(
            text.get(own.range()).is_some() && text.get(name.range()).is_some(),
            "{symbol:?}"
        );
        check_outline(&symbol.children, own, text);
        from = own.end;
    }
}

/// Folds are of two lines and more, on the page, nested or apart, none begins where another does.
fn check_folds(page: &Page) {
    let all = folds(page);
    let mut open: Vec<Fold> = Vec::new();
    for pair in all.windows(2) {
        assert!(pair[0].first < pair[1].first, "{pair:?}");
    }
    for fold in all {
        assert!(fold.first < fold.last && fold.last < page.lines().len(), "{fold:?}");
        open.retain(|outer| outer.last >= fold.first);
        if let Some(outer) = open.last() {
            assert!(
                fold.last <= outer.last,
                "{fold:?} reaches out of {outer:?}\n{}",
                page.text()
            );
        }
        open.push(fold);
    }
}

fn check_selections(page: &Page, offset: u32) {
    let text = page.text();
    let all = selections(page, offset);
    assert_eq!(all.last(), Some(&Span::new(0, text.len())));
    let mut at = (offset as usize).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    for span in &all {
        assert!(
            span.start as usize <= at && at <= span.end as usize,
            "{span:?} of {offset}"
        );
        assert!(text.get(span.range()).is_some(), "{span:?}");
    }
    for pair in all.windows(2) {
        assert!(
            pair[1].start <= pair[0].start && pair[0].end <= pair[1].end && pair[0] != pair[1],
            "{pair:?}"
        );
    }
}

fn check_all(page: &Page) {
    check_outline(&outline(page), Span::new(0, page.text().len()), page.text());
    check_folds(page);
    let mut end = 0;
    for link in links(page) {
        assert!(link.span.start >= end && !link.span.is_empty(), "{link:?}");
        end = link.span.end;
    }
}

#[test]
fn the_samples_hold_together() {
    for path in sample_paths() {
        let page = sample(&path);
        check_all(&page);
        let length = u32::try_from(page.text().len()).expect("short");
        for offset in (0..length + 2).step_by(7) {
            check_selections(&page, offset);
        }
        assert!(!outline(&page).is_empty(), "{path:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn a_cut_up_page_holds_together(
        which in 0..64usize, cuts in prop::collection::vec((0.0..1.0f64, 0..40usize, 0.0..1.0f64, 0..30usize), 1..6), at in 0..6000u32,
    ) {
        let (kind, path, text) = cut_up(which, &cuts);
        let folder = path.parent().expect("a folder");
        let page = page_of(kind, "x", folder, &text);
        check_all(&page);
        check_selections(&page, at);
    }

    #[test]
    fn any_text_holds_together(text in "(\\PC|\n|\r| ){0,80}", at in 0..120u32) {
        for kind in [FileKind::Log, FileKind::Manual] {
            let page = page_of(kind, "x", Path::new(NOWHERE), &text);
            check_all(&page);
            check_selections(&page, at);
        }
    }
}
