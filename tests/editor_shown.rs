//! What is shown on a page without being written: what each word is, figures worked again, verdicts, what is owed.

#[path = "support/cut.rs"]
mod cut;
mod support;

use std::path::Path;

use gudgeon::editor::Page;
use gudgeon::editor::tokens::{Token, TokenKind, tokens};
use gudgeon::syntax::{FileKind, Span};
use gudgeon::workspace::Library;
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
        let page = page_of(kind, "x", folder, &text, &Library::new());
        check_tokens(&page);
    }

    #[test]
    fn any_text_is_shown(text in "(\\PC|\n|\r| |°|=|0){0,80}") {
        for kind in [FileKind::Log, FileKind::Manual] {
            let page = page_of(kind, "x", Path::new(NOWHERE), &text, &Library::new());
            check_tokens(&page);
        }
    }
}
