//! What is shown on a page without being written: what each word is, figures worked again, verdicts, what is owed.

#[path = "support/cut.rs"]
mod cut;
mod support;

use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::editor::inlay::{HintKind, hints};
use gudgeon::editor::lens::lenses;
use gudgeon::editor::tokens::{Token, TokenKind, tokens};
use gudgeon::syntax::{FileKind, Span};
use proptest::prelude::*;

use cut::{cut_up, page_of, sample, sample_paths};
use support::NOWHERE;
use support::editor::{log_page, manual_page};

const MANUAL: &str = "\
manual   bench, edition 3
source   workshop manual, page 41
extends  pressed crank
feature side play
  build    0.35 to 0.50 mm
  service  up to 0.60 mm
feature pin length
feature rod width
calc play from parts = pin length - rod width
  build    0.35 to 0.50 mm
procedure crank
  step press together  needs web supported; disturbs side play
    force up to 10 t
  step true crank      after press together; optional
";

fn whole(page: &Page) -> Span {
    Span::new(0, page.text().len())
}

/// Each line with its words in kinds: `[Kind! word]`, with a letter for each mark.
fn drawn(page: &Page) -> String {
    let text = page.text();
    let mut out = String::new();
    let mut at = 0;
    for Token { span, kind, marks } in tokens(page, whole(page)) {
        out.push_str(&text[at..span.start as usize]);
        let marks = [
            (marks.declaration, "+"),
            (marks.deprecated, "-"),
            (marks.default_library, "*"),
            (marks.readonly, "="),
        ];
        let marks: String = marks.iter().filter(|(is, _)| *is).map(|(_, sign)| *sign).collect();
        let kind = match kind {
            TokenKind::Keyword => "k",
            TokenKind::Property => "feature",
            TokenKind::Function => "step",
            TokenKind::Class => "part",
            TokenKind::Parameter => "place",
            TokenKind::Variable => "tool",
            TokenKind::Number => "n",
            TokenKind::Type => "u",
            TokenKind::String => "prose",
            TokenKind::Comment => "c",
            TokenKind::Operator => "o",
            TokenKind::Namespace => "day",
        };
        out.push_str(&format!("{kind}{marks}‹{}›", span.text(text)));
        at = span.end as usize;
    }
    out.push_str(&text[at..]);
    out
}

#[test]
fn the_head_of_a_log_by_its_words() {
    let log = "job bottom end # noisy\nmachine Tarn 250\nby D.\nmanual bench\nmanual seals\nprocedure crank\nunits mm, N·m\nhours 212.4 h\n\
               tool dial: dial indicator, good to 0.003 mm\nstock valve shims: 2.30 2.35 x2 2.40 mm\n\
               option send out: work 95 EUR, 2 x 11 EUR, labour 6 h at 30 EUR, puller 240 EUR over 8 jobs\n";
    insta::assert_snapshot!(drawn(&log_page(MANUAL, log)), @r"
    k‹job› prose‹bottom end› c‹# noisy›
    k‹machine› prose‹Tarn 250›
    k‹by› prose‹D.›
    k‹manual› day‹bench›
    k‹manual› day*‹seals›
    k‹procedure› step‹crank›
    k‹units› u‹mm›, u‹N·m›
    k‹hours› n‹212.4› u‹h›
    k‹tool› tool+‹dial›: prose‹dial indicator›, feature‹good to› n‹0.003› u‹mm›
    k‹stock› part+‹valve shims›: n‹2.30› n‹2.35› k‹x›n‹2› n‹2.40› u‹mm›
    k‹option› part+‹send out›: feature‹work› n‹95› u‹EUR›, n‹2› k‹x› n‹11› u‹EUR›, feature‹labour› n‹6› u‹h› k‹at› n‹30› u‹EUR›, feature‹puller› n‹240› u‹EUR› k‹over› n‹8› k‹jobs›
    ");
}

#[test]
fn readings_by_their_words() {
    let log = "2026-03-14 as found, a wet day\nside play = go 0.40, no-go 0.45 mm by feelers, cold\n\
               web width of crank = 52.03 52.02 at 0 90 mm by mic at 24 C\nrun-out at left = 0.07 mm high at 80° by dial, because seen twice\n\
               play from parts = 54.00 - 19.02 = 0.60\nbore = mm\n         along  across\n  top    72.01  -\n  foot   \"      72.02\n\
               shim = 18.2 x3 mm\nclearance = ~0.05 mm ?\nring gap = 0.20-0.25 mm\nturns = 12 mm at front\nbolt = 1 3/8 in\n";
    insta::assert_snapshot!(drawn(&log_page(MANUAL, log)), @r#"
    day‹2026-03-14› day‹as found›, prose‹a wet day›
    feature*‹side play› o‹=› k‹go› n‹0.40›, k‹no-go› n‹0.45› u‹mm› k‹by› tool‹feelers›, prose‹cold›
    feature*‹web width› k‹of› part‹crank› o‹=› n‹52.03› n‹52.02› k‹at› n‹0› n‹90› u‹mm› k‹by› tool‹mic› k‹at› n‹24› u‹C›
    feature*‹run-out› k‹at› place‹left› o‹=› n‹0.07› u‹mm› k‹high› k‹at› n‹80›u‹°› k‹by› tool‹dial›, k‹because› prose‹seen twice›
    feature‹play from parts› o‹=› n‹54.00› o‹-› n‹19.02› o‹=› n‹0.60›
    feature*‹bore› o‹=› u‹mm›
             place‹along›  place‹across›
      place‹top›    n‹72.01›  o‹-›
      place‹foot›   o‹"›      n‹72.02›
    feature*‹shim› o‹=› n‹18.2› k‹x›n‹3› u‹mm›
    feature‹clearance› o‹=› o‹~›n‹0.05› u‹mm› o‹?›
    feature*‹ring gap› o‹=› n‹0.20›o‹-›n‹0.25› u‹mm›
    feature‹turns› o‹=› n‹12› u‹mm› k‹at› place‹front›
    feature‹bolt› o‹=› n‹1 3/8› u‹in›
    "#);
}

#[test]
fn steps_parts_and_corrections_by_their_words() {
    let log = "2026-03-20 build\n09:10 did press together, web supported, force 4 t to 6 t on press, because new\n\
               did clean webs, on crank, from rod kit\nundid clean webs\nfound big end: blue on one side, replace\n\
               ordered rod kit: number TK-25, price 128 EUR, due 2027-01-31, from Ninebrook\nwaiting for rod kit, since 2026-03-01\n\
               chose rod kit over crank assembly, because cheaper\nside play = 0.65 mm\nfix side play 0.65 -> 0.45 mm, misread\n\
               fix press together, force 6 t -> 5 t\nfix press together, oiled\nheld on centres, supports 160 mm apart\nchecked dial, against block\n\
               note all good\n  and dry\nphoto pictures/pin.jpg\nwet day all along\nclosed 2026-03-21, paid\n";
    insta::assert_snapshot!(drawn(&log_page(MANUAL, log)), @r"
    day‹2026-03-20› day‹build›
    day‹09:10› k‹did› step*‹press together›, prose‹web supported›, feature‹force› n‹4› u‹t› k‹to› n‹6› u‹t› k‹on› tool‹press›, k‹because› prose‹new›
    k‹did› step-‹clean webs›, prose‹on crank›, k‹from› part‹rod kit›
    k‹undid› step‹clean webs›
    k‹found› part‹big end›: prose‹blue on one side›, k‹replace›
    k‹ordered› part‹rod kit›: k‹number› prose‹TK-25›, feature‹price› n‹128› u‹EUR›, k‹due› day‹2027-01-31›, k‹from› part‹Ninebrook›
    k‹waiting› k‹for› part‹rod kit›, k‹since› day‹2026-03-01›
    k‹chose› part‹rod kit› k‹over› part‹crank assembly›, k‹because› prose‹cheaper›
    feature*‹side play› o‹=› n-‹0.65› u‹mm›
    k‹fix› feature*‹side play› n-‹0.65› o‹->› n‹0.45› u‹mm›, prose‹misread›
    k‹fix› step*‹press together›, feature‹force› n-‹6› u‹t› o‹->› n‹5› u‹t›
    k‹fix› step*‹press together›, prose‹oiled›
    k‹held› prose‹on centres›, feature‹supports› n‹160› u‹mm› prose‹apart›
    k‹checked› tool‹dial›, prose‹against block›
    k‹note› prose‹all good›
      prose‹and dry›
    k‹photo› prose‹pictures/pin.jpg›
    prose‹wet day all along›
    k‹closed› day‹2026-03-21›, prose‹paid›
    ");
}

#[test]
fn what_was_overtaken_is_struck_and_what_could_not_be_read_is_left_alone() {
    let log = "job x\nmanual bench\n2026-03-20 build\nside play = 0.40 mm\ndid press together, web supported, force 6 t on press\n\
               did = 12 % of nothing (\nstock shims 2.3 mm five\n";
    insta::assert_snapshot!(drawn(&log_page(MANUAL, log)), @r"
    k‹job› prose‹x›
    k‹manual› day‹bench›
    day‹2026-03-20› day‹build›
    feature-‹side play› o‹=› n-‹0.40› u‹mm›
    k‹did› step‹press together›, prose‹web supported›, feature‹force› n‹6› u‹t› k‹on› tool‹press›
    k‹did› = n‹12› % of nothing (
    k‹stock› shims n‹2.3› mm five
    ");
}

#[test]
fn a_manual_by_its_words() {
    let manual = format!(
        "{MANUAL}  step drop bearing  directly after press together; uses press rated at least 8 t; at least 8 h after true crank; pattern 2 rows of 5\n\
         \x20 one of true crank, drop bearing\n  never true crank, hot before press together if did drop bearing because it bends\n\
         precaution web supported, also web held\n  because the pin can fly\nfeature bore of cylinder 1, cylinder 2 at top, foot, also cylinder bore\n\
         \x20 nominal 72.000 +0.02 -0.01 mm\n  unit mm\n  say on centres or on journals\n  decide guarded at 95 %\n  material steel\n  required as found\n\
         calc grip = press force(pin length, friction = 0.12 to 0.20, fit = \"25 H7/p6\") * 2 / smallest(bore of cylinder 1)\n  what is this\n"
    );
    insta::assert_snapshot!(drawn(&manual_page(&manual)), @r#"
    k‹manual›   day+‹bench›, prose‹edition 3›
    k‹source›   prose‹workshop manual, page 41›
    k‹extends›  day*‹pressed crank›
    k‹feature› feature+‹side play›
      day‹build›    n‹0.35› k‹to› n‹0.50› u‹mm›
      day‹service›  k‹up› k‹to› n‹0.60› u‹mm›
    k‹feature› feature+‹pin length›
    k‹feature› feature+‹rod width›
    k‹calc› feature+=‹play from parts› o‹=› feature‹pin length› o‹-› feature‹rod width›
      day‹build›    n‹0.35› k‹to› n‹0.50› u‹mm›
    k‹procedure› step+‹crank›
      k‹step› step+‹press together›  k‹needs› feature‹web supported›; k‹disturbs› feature‹side play›
        feature‹force› k‹up› k‹to› n‹10› u‹t›
      k‹step› step+‹true crank›      k‹after› step‹press together›; k‹optional›
      k‹step› step+‹drop bearing›  k‹directly› k‹after› step‹press together›; k‹uses› tool‹press› k‹rated› k‹at› k‹least› n‹8› u‹t›; k‹at› k‹least› n‹8› u‹h› k‹after› step‹true crank›; k‹pattern› n‹2› k‹rows› k‹of› n‹5›
      k‹one› k‹of› step‹true crank›, step‹drop bearing›
      k‹never› step‹true crank›, prose‹hot› k‹before› step‹press together› k‹if› k‹did› step‹drop bearing› k‹because› prose‹it bends›
    k‹precaution› feature+‹web supported›, k‹also› feature+‹web held›
      k‹because› prose‹the pin can fly›
    k‹feature› feature+‹bore› k‹of› part‹cylinder 1›, part‹cylinder 2› k‹at› place‹top›, place‹foot›, k‹also› feature+‹cylinder bore›
      k‹nominal› n‹72.000› n‹+0.02› n‹-0.01› u‹mm›
      k‹unit› u‹mm›
      k‹say› prose‹on centres› k‹or› prose‹on journals›
      k‹decide› k‹guarded› k‹at› n‹95› u‹%›
      k‹material› prose‹steel›
      k‹required› day‹as found›
    k‹calc› feature+=‹grip› o‹=› step*‹press force›(feature‹pin length›, place‹friction› o‹=› n‹0.12› k‹to› n‹0.20›, place‹fit› o‹=› "prose‹25 H7/p6›") o‹*› n‹2› o‹/› step*‹smallest›(feature‹bore› k‹of› part‹cylinder 1›)
      what is this
    "#);
}

/// Each line that has hints, with them in brackets where they stand.
fn hinted(page: &Page) -> String {
    let text = page.text();
    let mut out = String::new();
    for line in page.lines() {
        let own = line.span();
        let all = hints(page, line.indent.to(line.comment));
        let mut at = own.start as usize;
        let mut shown = String::new();
        for hint in &all {
            shown.push_str(&text[at..hint.at as usize]);
            let kind = match hint.kind {
                HintKind::Worked => "w",
                HintKind::Verdict => "",
                HintKind::Stale => "s",
            };
            shown.push_str(&format!(" {kind}‹{}›", hint.text));
            at = hint.at as usize;
        }
        if !all.is_empty() {
            out.push_str(&shown);
            out.push_str(text[at..own.end as usize].trim_end());
            out.push('\n');
        }
    }
    out
}

#[test]
fn verdicts_stand_behind_the_figures_with_the_room_there_is() {
    let log = "job x\nmanual bench\n2026-03-14 as found\nside play = go 0.40, no-go 0.45 mm by feelers\nside play = 0.62 mm\n\
               2026-03-15 build\nside play = 0.498 mm by dial\nside play = go 0.45, no-go 0.55 mm by feelers\nside play = go 0.60, no-go 0.65 mm by feelers\n\
               side play = 0.50 mm\nside play = 0.35-0.40 mm\npin length = 52 mm\n";
    insta::assert_snapshot!(hinted(&log_page(MANUAL, log)), @r"
    side play = go 0.40, no-go 0.45 mm ‹in, 0.15 to spare› by feelers
    side play = 0.62 mm ‹out by 0.02›
    side play = 0.498 mm ‹in, 0.002 to spare, close› by dial
    side play = go 0.45, no-go 0.55 mm ‹not proven› by feelers
    side play = go 0.60, no-go 0.65 mm ‹out by 0.10 or more› by feelers
    side play = 0.50 mm ‹in, at the limit, close›
    side play = 0.35-0.40 mm ‹in, at the limit›
    ");
}

#[test]
fn sums_are_worked_beside_the_claim_and_where_nobody_wrote_one() {
    let log = "job x\nmanual bench\n2026-03-15 build\npin length = 52.00 mm\nrod width = 51.55 mm\nplay from parts = 0.55 mm\n";
    insta::assert_snapshot!(hinted(&log_page(MANUAL, log)), @"play from parts = 0.55 mm w‹= 0.4500 ± 0.0082 mm› ‹in, 0.05 to spare›");
    let log = "job x\nmanual bench\n2026-03-15 build\npin length = 52.00 mm\nrod width = 51.30 mm\n";
    insta::assert_snapshot!(hinted(&log_page(MANUAL, log)), @"rod width = 51.30 mm w‹play from parts = 0.7000 ± 0.0082 mm, out by 0.2›");
}

#[test]
fn what_was_overtaken_says_since_when() {
    let log = "job x\nmanual bench\n2026-03-15 build\nside play = 0.40 mm\n\ndid press together, web supported\nside play = 0.42 mm\ndid press together, web supported\n";
    insta::assert_snapshot!(hinted(&log_page(MANUAL, log)), @r"
    side play = 0.40 mm ‹in, 0.05 to spare›
    side play = 0.42 mm s‹stale since line 8›
    ");
}

#[test]
fn a_ratio_is_no_length_though_the_log_is_in_millimetres() {
    let manual = "manual bench\nfeature pin length\n  unit mm\nfeature rod width\n  unit mm\ncalc stretch = pin length / rod width\n  unit plain\n  build 1.9 to 2.1\n";
    let log =
        "job x\nmanual bench\nunits mm\n2026-03-15 build\npin length = 52.00\nrod width = 26.00\nstretch = 2.00\n";
    insta::assert_snapshot!(hinted(&log_page(manual, log)), @"stretch = 2.00 w‹= 2.0000 ± 0.0005› ‹in, 0.10 to spare›");
}

#[test]
fn the_compression_ratio_of_the_twin_sample_is_no_length() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/as-written/tesselby-tk2-twin.rebuild");
    let all = hinted(&sample(&path));
    let line = all.lines().find(|line| line.starts_with("compression ratio"));
    insta::assert_snapshot!(line.unwrap_or_default(), @"compression ratio of cylinder 1 = 11.58 w‹= 11.5838›");
}

#[test]
fn a_sum_of_a_table_is_told_at_its_end_where_it_is_not_in() {
    let manual = "manual bench\nfeature bore\n  unit mm\nfeature piston size\n  unit mm\ncalc clearance = smallest(bore) - piston size\n  build 0.04 to 0.07 mm\n";
    let log = |bottom: &str| {
        format!(
            "job x\nmanual bench\n2026-03-15 build\npiston size = 71.950 mm\nbore = mm\n        along   across\n  top   72.004  72.004\n  foot  72.005  {bottom}\n"
        )
    };
    assert_eq!(hinted(&log_page(manual, &log("72.006"))), "");
    insta::assert_snapshot!(hinted(&log_page(manual, &log("71.980"))), @"  foot  72.005  71.980 w‹clearance = 0.03000 ± 0.00082 mm, out by 0.01›");
}

#[test]
fn a_mended_figure_is_told_with_what_it_is_now() {
    let log =
        "job x\nmanual bench\n2026-03-15 build\nside play = 0.65 mm by dial\nfix side play 0.65 -> 0.45 mm, misread\n";
    insta::assert_snapshot!(hinted(&log_page(MANUAL, log)), @"side play = 0.65 mm ‹mended to 0.45 mm, in, 0.05 to spare› by dial");
}

#[test]
fn a_page_is_judged_once_for_all_that_is_asked_of_it_from_any_thread() {
    fn shared<T: Send + Sync>(_: &T) {}
    let Page::Log(log) = log_page(MANUAL, "job x\n") else {
        panic!("a log");
    };
    shared(&log);
    assert!(std::ptr::eq(log.standings(), log.standings()));
}

#[test]
fn a_window_beyond_the_page_shows_nothing() {
    for page in [log_page(MANUAL, "job x\nside play = 0.4 mm\n"), manual_page(MANUAL)] {
        let beyond = Span::new(page.text().len() + 5, usize::MAX);
        assert!(tokens(&page, beyond).is_empty() && hints(&page, beyond).is_empty());
        let backwards = Span { start: 9, end: 3 };
        assert!(tokens(&page, backwards).is_empty() && hints(&page, backwards).is_empty());
    }
}

#[test]
fn a_row_of_a_table_is_told_only_where_something_is_not_plainly_in() {
    let manual = "manual bench\nfeature bore of cylinder 1 at top along, top across, foot along, foot across\n  build 72.00 to 72.02 mm\n";
    let log = "job x\nmanual bench\n2026-03-15 build\nbore of cylinder 1 = mm\n         along   across\n  top    72.012  72.031\n  foot   72.011  72.010\n\
               bore of cylinder 2 = mm\n         one     two     three\n  top    72.032  72.031  72.040\n  foot   72.032  72.010  71.98\n";
    insta::assert_snapshot!(hinted(&log_page(manual, log)), @r"
    top    72.012  72.031 ‹72.031 out by 0.011›
    top    72.032  72.031  72.040 ‹3 out›
    foot   72.032  72.010  71.98 ‹72.032 out by 0.012; 71.98 out by 0.02›
    ");
}

#[test]
fn a_tip_names_the_limit_with_its_source_and_what_overtook() {
    let log = "job x\nmanual bench\n2026-03-15 build\nside play = 0.498 mm by dial\nside play = 0.40 mm\ndid press together, web supported\n";
    let page = log_page(MANUAL, log);
    let tips: Vec<String> = hints(&page, whole(&page)).into_iter().map(|hint| hint.tip).collect();
    insta::assert_snapshot!(tips.join("\n--\n"), @r"
    **in**: 0.35 to 0.50 mm (build limit; source: workshop manual, page 41)

    Too close to call, 70 % likely to be in.
    --
    `press together` on line 6 came after it: it proves nothing any more. Read it again, and write it below that line.

    **in**: 0.35 to 0.50 mm (build limit; source: workshop manual, page 41)
    ");
}

#[test]
fn the_hints_of_the_crank_sample() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/as-written/corvane-250-crank.rebuild");
    insta::assert_snapshot!(hinted(&sample(&path)), @r"
    compression = 8.4 bar w‹compression evenness = 1, in, 0.1 to spare›, kick, WOT, cold
    end float = 0.22 ‹in, 0.03 to spare› by dial, clutch end, cases still bolted
    squish at left = 1.15 ‹in, 0.15 to spare›
    squish at right = 1.20 ‹in, 0.10 to spare›
    run-out at left = 0.07 ‹out by 0.02› high at 80° by dial
    run-out at right = 0.06 ‹out by 0.01› high at 255° by dial
    web width = 54.06 54.02 53.98 54.03 at 0 90 180 270 mm ‹out by 0.01› by mic 50-75
    side play = go 0.70, no-go 0.75 ‹out by 0.15 or more› by feelers
    washer thickness at left = 0.17 ‹out by 0.11› by mic 0-25, old, worn thin
    washer thickness at right = 0.18 ‹out by 0.10› by mic 0-25, old, worn thin
    pin seat at left = 24.075 24.074 ‹in, 0.010 to spare› by mic 0-25, two axes
    pin seat at right = 24.576 24.075 ‹out by 0.241, close› by mic 0-25, two axes
    pin length = 54.00 ‹in, 0.05 to spare› by mic 50-75
    rod width = 14.96 ‹in, 0.04 to spare› by mic 0-25
    washer thickness at left = 0.30 ‹in, 0.02 to spare› by mic 0-25, new
    washer thickness at right = 0.30 ‹in, 0.02 to spare› by mic 0-25, new
    web thickness at left = 19.02 ‹in, 0.01 to spare› by mic 0-25
    web thickness at right = 19.00 ‹in, 0.03 to spare› by mic 0-25
    web hole at left = 24.004 24.005 24.005 ‹in, 0.005 to spare› by bore gauge, three axes
    web hole at right = 24.008 ‹in, 0.004 to spare› by bore gauge
    pin interference at left = 0.070 w‹= 0.0698 ± 0.0058 mm› ‹in, 0.015 to spare›
    pin interference at right = 0.067 w‹= 0.32 ± 0.26 mm› ‹out by 0.233, close›
    side play expected = 54.00 - 19.02 - 19.00 - 14.96 - 0.60 = 0.42 w‹= 0.420 ± 0.014 mm› ‹in, 0.07 to spare›
    side play = go 0.40, no-go 0.45 ‹in, 0.05 to spare› by feelers
    web width = 54.08 54.03 53.99 54.04 at 0 90 180 270 mm ‹out by 0.03› by mic 50-75
    run-out at left = 0.14 ‹out by 0.11› high at 60° by dial
    run-out at right = 0.13 ‹out by 0.10› high at 300° by dial
    run-out at left = 0.07 ‹out by 0.04› high at 20° by dial
    run-out at right = 0.06 ‹out by 0.03› high at 340° by dial
    web width = 54.04 54.02 54.02 54.03 at 0 90 180 270 mm s‹stale since line 87› w‹web width spread = 0.0200 +0.0085 −0.006 mm, stale since line 87› by mic 50-75
    run-out at left = 0.02 s‹stale since line 87› high at 100° by dial
    run-out at right = 0.03 s‹stale since line 87› high at 270° by dial
    side play = go 0.40, no-go 0.45 ‹in, 0.05 to spare› by feelers
    end float = 0.16 ‹in, 0.06 to spare› by dial
    squish at left = 1.05 ‹in, 0.05 to spare›
    squish at right = 1.10 ‹in, 0.10 to spare› w‹squish difference = 0.0500 ± 0.0082 mm, in, 0.05 to spare›
    ");
}

/// The lenses of a page, each with the places it speaks of.
fn above(page: &Page) -> String {
    let text = page.text();
    let mut out = String::new();
    for lens in lenses(page) {
        out.push_str(&format!("{} | {}\n", lens.span.text(text), lens.title));
        for place in lens.places {
            out.push_str(&format!("  {}\n", place.text(text)));
        }
    }
    out
}

const OWING: &str = "manual bench\nprecaution web supported\n  because the pin can fly\nfeature side play\n  build 0.35 to 0.50 mm\n  required\n\
                     feature run-out at left, right\n  build up to 0.03 mm\nprocedure crank\n  step put pin in\n\
                     \x20 step press together  after put pin in; needs web supported; until run-out; disturbs run-out\n\
                     \x20 step close cases  after press together\n";

#[test]
fn a_job_under_way_says_what_comes_next_and_what_is_owed() {
    let log = "job crank of D.\nmanual bench\nprocedure crank\n2026-03-15 build\n";
    insta::assert_snapshot!(above(&log_page(OWING, log)), @r"
    job crank of D. | next: put pin in
    job crank of D. | 1 reading owed
    ");
    let log = format!("{log}did put pin in\nrun-out at left = 0.02 mm\ndid press together, web supported\n");
    insta::assert_snapshot!(above(&log_page(OWING, &log)), @r"
    job crank of D. | 2 readings owed
      did press together, web supported
    job crank of D. | 1 reading to take again
      0.02 mm
    ");
}

#[test]
fn a_danger_is_told_before_all_else() {
    let log = "job crank of D.\nmanual bench\n2026-03-15 build\nside play = 0.40 mm\ndid put pin in\ndid press together, oiled\ndid press together\n\
               run-out at left = 0.02 mm\nrun-out at right = 0.02 mm\n";
    insta::assert_snapshot!(above(&log_page(OWING, log)), @r"
    job crank of D. | stop: `press together` does not say `web supported` (and 1 more)
      press together
      press together
    job crank of D. | next: close cases
    ");
}

#[test]
fn a_closed_job_says_how_much_was_found_or_nothing() {
    let log = "job x\nmanual bench\n2026-03-15 build\nside play = 0.40 mm\nclosed 2026-03-16\n";
    insta::assert_snapshot!(above(&log_page(OWING, log)), @"");
    insta::assert_snapshot!(above(&log_page(OWING, &log.replace("0.40", "0.60"))), @r"
    job x | closed, 1 finding
      0.60 mm
    ");
    insta::assert_snapshot!(above(&log_page(OWING, "")), @"");
}

#[test]
fn the_lenses_of_the_job_that_looks_ahead() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/ahead/larkmoor-175.rebuild");
    insta::assert_snapshot!(above(&sample(&path)), @"");
}

#[test]
fn the_next_step_is_the_first_that_next_has_to_do() {
    use gudgeon::judge::next::{Kind, next};
    let mut told = 0;
    for path in sample_paths() {
        if FileKind::of_path(&path) != Some(FileKind::Log) {
            continue;
        }
        // Every log was once written so far and no further.
        let text = std::fs::read_to_string(&path).expect("a sample");
        let days: Vec<usize> = text.match_indices("\n20").map(|(at, _)| at + 1).collect();
        let folder = path.parent().expect("a folder");
        for day in days {
            let Page::Log(log) = page_of(FileKind::Log, "x", folder, &text[..day]) else {
                panic!("a log");
            };
            let first = next(&log).into_iter().find(|todo| todo.kind == Kind::Do);
            told += usize::from(first.is_some());
            assert_eq!(
                log.standings().next_step,
                first.map(|todo| todo.what),
                "{path:?}, {day}"
            );
        }
    }
    assert!(told > 10, "{told}");
}

/// Lenses stand on the page and say something.
fn check_lenses(page: &Page) {
    for lens in lenses(page) {
        assert!(page.text().get(lens.span.range()).is_some(), "{lens:?}");
        assert!(!lens.title.trim().is_empty() && !lens.title.contains('\n'), "{lens:?}");
        for place in lens.places {
            assert!(page.text().get(place.range()).is_some(), "{place:?}");
        }
    }
}

/// Hints stand in order, on the page, two at most behind one figure, and a window gives just those in it.
fn check_hints(page: &Page) {
    let text = page.text();
    let all = hints(page, whole(page));
    for hint in &all {
        assert!(text.is_char_boundary(hint.at as usize), "{hint:?}");
        assert!(
            !hint.text.is_empty() && hint.text.trim() == hint.text && !hint.text.contains('\n'),
            "{hint:?}"
        );
        assert!(
            all.iter().filter(|other| other.at == hint.at).count() <= 2,
            "{hint:?}\n{text}"
        );
    }
    assert!(all.windows(2).all(|pair| pair[0].at <= pair[1].at), "{text}");
    let window = Span::new(text.len() / 3, text.len() / 2);
    let expected: Vec<_> = all
        .iter()
        .filter(|hint| window.start <= hint.at && hint.at <= window.end)
        .cloned()
        .collect();
    assert_eq!(hints(page, window), expected, "{text}");
}

/// Words stand in order, apart, on one line, at the ends of characters.
fn check_tokens(page: &Page) {
    let text = page.text();
    let mut end = 0;
    let all = tokens(page, whole(page));
    for token in &all {
        let words = token.span.text(text);
        assert!(token.span.start >= end && !words.is_empty(), "{token:?}\n{text}");
        assert!(!words.contains(['\n', '\r']), "{token:?}\n{text}");
        end = token.span.end;
    }
    // A window gives just what touches it.
    for (from, to) in [(0.1, 0.3), (0.5, 0.51), (0.9, 1.0)] {
        let at = |share: f64| (share * text.len() as f64) as usize;
        let window = Span::new(at(from), at(to));
        let within = tokens(page, window);
        let touches = |t: &&Token| t.span.start < window.end && window.start < t.span.end;
        let expected: Vec<Token> = all.iter().filter(touches).copied().collect();
        assert_eq!(within, expected, "{window:?}\n{text}");
    }
}

/// Every letter and figure of a line that was read belongs to a word.
fn check_coverage(page: &Page) {
    let text = page.text();
    let all = tokens(page, whole(page));
    for line in page.lines() {
        let unread = page.findings().iter().any(|finding| {
            matches!(finding.code, "line.unread" | "text.long-line" | "text.control")
                && line.content.start <= finding.span.start
                && finding.span.start <= line.content.end
        });
        if unread {
            continue;
        }
        for (at, c) in line.content.text(text).char_indices() {
            let at = line.content.start as usize + at;
            let is_in = all.iter().any(|t| t.span.range().contains(&at));
            assert!(
                is_in || !c.is_alphanumeric(),
                "`{c}` of `{}` is in no word",
                line.content.text(text)
            );
        }
    }
}

#[test]
fn every_word_of_the_samples_is_something() {
    for path in sample_paths() {
        let page = sample(&path);
        check_tokens(&page);
        check_hints(&page);
        check_lenses(&page);
        check_coverage(&page);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn a_cut_up_page_is_shown(
        which in 0..64usize, cuts in prop::collection::vec((0.0..1.0f64, 0..40usize, 0.0..1.0f64, 0..30usize), 1..6),
    ) {
        let (kind, path, text) = cut_up(which, &cuts);
        let folder = path.parent().expect("a folder");
        let page = page_of(kind, "x", folder, &text);
        check_tokens(&page);
        check_hints(&page);
        check_lenses(&page);
    }

    #[test]
    fn any_text_is_shown(text in "(\\PC|\n|\r| |°|=|0){0,80}") {
        for kind in [FileKind::Log, FileKind::Manual] {
            let page = page_of(kind, "x", Path::new(NOWHERE), &text);
            check_tokens(&page);
            check_hints(&page);
        check_lenses(&page);
        }
    }
}
