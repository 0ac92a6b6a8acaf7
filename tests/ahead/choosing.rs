//! Kits, shims, pistons and ways to go: which to take, what comes out, what the next best would give.

use super::{of_kind, taken, todo};
use crate::support::check;
use gudgeon::judge::next::{Kind, Offered};

const KITS: &str = "\
manual m
source page 1
units mm
feature side play
  build 0.35 to 0.55 mm
feature pin length
  unit mm
feature rod width
  unit mm
feature web thickness at left, right
  unit mm
calc side play expected = pin length - total(web thickness) - rod width
  limits of side play
  choose rod kit
procedure crank
  step press together  disturbs side play
";

const THREE_KITS: &str = "\
job three kits in the drawer
manual m
2026-03-14 goods in
web thickness = 18.00 18.00 mm at left right
pin length of rod kit A = 51.80 mm
rod width of rod kit A = 15.55 mm
pin length of rod kit B = 52.00 mm
rod width of rod kit B = 15.55 mm
pin length of rod kit C = 52.08 mm
rod width of rod kit C = 15.55 mm
";

#[test]
fn the_kit_is_chosen_before_anything_is_pressed() {
    let list = todo(KITS, THREE_KITS);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    // 52.00 - 36.00 - 15.55 = 0.45, the middle of the limit; C gives 0.53, A 0.25.
    assert_eq!(choice.what, "rod kit: rod kit B");
    let names: Vec<&str> = choice.options.iter().map(|option| option.name.as_str()).collect();
    assert_eq!(names, ["rod kit B", "rod kit C", "rod kit A"]);
    let figures: Vec<String> = choice
        .options
        .iter()
        .filter_map(|o: &Offered| o.comes_to)
        .map(|f| f.to_string())
        .collect();
    assert_eq!(figures, ["0.45", "0.53", "0.25"]);
    // Of what is only to choose from, nothing is said as a fault.
    check("m.manual", KITS, THREE_KITS);
}

#[test]
fn what_was_chosen_is_asked_no_more_and_is_then_judged() {
    let log = format!("{THREE_KITS}chose rod kit A over rod kit B, because it lay nearer  # finds\n");
    assert!(of_kind(&todo(KITS, &log), Kind::Choose).is_empty());
    let log = log.replace(
        "rod width of rod kit A = 15.55 mm",
        "rod width of rod kit A = 15.55 mm  # finds ahead.out",
    );
    check("m.manual", KITS, &log.replace("  # finds\n", "\n"));
    // Once it was measured, the measurement counts.
    let log = log.replace("  # finds ahead.out", "").replace("  # finds\n", "\n");
    let log = format!("{log}2026-03-15 build\nside play = go 0.40, no-go 0.45 mm\n");
    check("m.manual", KITS, &log);
}

const VALVES: &str = "\
manual m
source page 1
units mm
feature valve clearance of valve 1, valve 2, valve 3
  build 0.10 to 0.20 mm
feature valve shim of valve 1, valve 2, valve 3
  unit mm
feature shim to fit
  unit mm
calc clearance with it of valve 1, valve 2, valve 3 = valve clearance + valve shim - shim to fit
  limits of valve clearance
  choose shim to fit from stock shims
procedure valves
  step fit shims  optional; disturbs valve clearance
";

/// Published arithmetic of service manuals: the new shim is the old one and what was measured, less what is wanted: 2.60 + 0.24 - 0.15 = 2.69, and with
/// steps of 0.05 the 2.70, which leaves 0.14.
#[test]
fn the_shim_that_is_there_is_chosen_and_the_next_best_named() {
    let log = "job x\nmanual m\n2026-03-14 build\nvalve clearance of valve 1 = 0.24 mm\nvalve shim of valve 1 = 2.60 mm\n\
               stock shims: 2.60 2.65 2.70 2.75 mm\n";
    let list = todo(VALVES, log);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    assert_eq!(choice.what, "shim to fit of valve 1: 2.70 mm");
    assert!(choice.why.contains("0.14"), "{}", choice.why);
    assert!(choice.why.contains("2.69 mm would hit the aim"), "{}", choice.why);
    assert!(
        choice
            .more
            .iter()
            .any(|line| line.starts_with("2.65 mm would give 0.19")),
        "{:?}",
        choice.more
    );
}

/// Valves 1 and 2 both want the one 2.70; valve 2 can do with 2.75, valve 1 with nothing else.
#[test]
fn a_piece_that_two_want_goes_where_nothing_else_will_do() {
    let log = "job x\nmanual m\n2026-03-14 build\nvalve clearance of valve 1 = 0.21 mm\nvalve shim of valve 1 = 2.64 mm\n\
               valve clearance of valve 2 = 0.24 mm\nvalve shim of valve 2 = 2.62 mm\nstock shims: 2.70 2.75 mm\n";
    let list = todo(VALVES, log);
    let choices = of_kind(&list, Kind::Choose);
    let fitted: Vec<(&str, Option<&str>)> = choices.iter().map(|todo| (todo.what.as_str(), taken(todo))).collect();
    assert_eq!(
        fitted,
        [
            ("shim to fit of valve 1: 2.70 mm", Some("2.70 mm")),
            ("shim to fit of valve 2: 2.75 mm", Some("2.75 mm")),
        ]
    );
    assert_eq!(
        choices.get(1).and_then(|todo| todo.more.first()).map(String::as_str),
        Some("the better piece is wanted more elsewhere")
    );
}

#[test]
fn what_the_stock_does_not_hold_is_ordered() {
    let log = "job x\nmanual m\n2026-03-14 build\nvalve clearance of valve 1 = 0.24 mm\nvalve shim of valve 1 = 2.60 mm\nstock shims: 2.30 2.90 mm\n";
    let list = todo(VALVES, log);
    let orders = of_kind(&list, Kind::Order);
    let [order] = orders.as_slice() else {
        panic!("{list:#?}")
    };
    assert_eq!(order.what, "shim to fit of valve 1: 2.69 mm is wanted");
    assert!(order.why.contains("the nearest, 2.90 mm, gives -0.06"), "{}", order.why);
}

#[test]
fn a_valve_in_its_limit_wants_no_shim_and_one_that_was_shimmed_is_read_first() {
    let log = "job x\nmanual m\nprocedure valves\n2026-03-14 build\nvalve clearance of valve 1 = 0.14 mm\nvalve shim of valve 1 = 2.60 mm\n\
               valve clearance of valve 2 = 0.24 mm\nvalve shim of valve 2 = 2.60 mm\nstock shims: 2.60 2.65 2.70 mm\n";
    let wanted = |log: &str| {
        let list = todo(VALVES, log);
        of_kind(&list, Kind::Choose)
            .iter()
            .map(|todo| todo.what.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(wanted(log), ["shim to fit of valve 2: 2.70 mm"]);
    // The shims are in, and nothing was measured since: there is nothing to choose by.
    let log = format!("{log}did fit shims\nvalve shim of valve 2 = 2.70 mm\n");
    assert!(wanted(&log).is_empty(), "{:?}", wanted(&log));
}

/// Common practice: 41.32 + 38.47 + 0.30 - 79.80 = 0.29 mm of float without shims; with 0.15 in, 0.14 is left.
#[test]
fn shims_for_end_float_by_the_shelf() {
    let log = "job x\nmanual cases and end float\nunits mm\n2026-03-14 build\ncase depth = 41.32 38.47 mm at left right\nbar thickness = 0\n\
               case gasket crushed = 0.30\ncrank width over shoulders = 79.80\nstock crank shims: 0.10 0.15 0.20 mm\n";
    let list = todo("manual m\n", log);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    let figure = |name: &str| {
        let mut options = choice.options.iter();
        options
            .find(|option| option.name == name)
            .and_then(|option| option.comes_to)
            .map(|figure| figure.to_string())
    };
    assert_eq!(figure("0.15 mm").as_deref(), Some("0.14"));
    assert_eq!(figure("0.10 + 0.15 mm").as_deref(), Some("0.04"));
    // The middle of the shelf's 0.05 to 0.30 is 0.175: 0.10 leaves 0.19, which is nearer than 0.14.
    assert_eq!(taken(choice), Some("0.10 mm"));
}

/// Common practice: 0.26 of backlash to 0.16 is 0.10; by 2 tan 20° the crownwheel goes 0.137 towards the pinion, and the other side loses as much.
#[test]
fn backlash_at_a_constant_sum_of_side_shims() {
    let manual = "manual m\nsource page 1\nextends differential\nfeature backlash\n  build 0.13 to 0.19 mm\n";
    let log = "job x\nmanual m\n2026-03-14 build\nbacklash = 0.26 0.26 0.26 0.26 mm at 0 90 180 270\nside shim = 2.05 2.25 mm at other crownwheel\n\
               side shim at other side = 2.05 mm\nside shim at crownwheel side = 2.25 mm\nstock side shims: 2.30 2.35 2.39 2.45 mm\n";
    let list = todo(manual, log);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    assert_eq!(taken(choice), Some("2.39 mm"));
    assert!(
        choice
            .more
            .iter()
            .any(|line| line.contains("other shim with it comes to 1.91")),
        "{:?}",
        choice.more
    );
}

const WAYS: &str = "\
job three ways
2026-03-14 as found
option do it here: parts 128 EUR, labour 6 h at 0 EUR, tool 240 EUR over 8 jobs, risk 15 % of 190 EUR
option send out: parts 128 EUR, work 95 EUR, post 22 EUR
option buy assembled: crank 310 EUR, post 12 EUR, less old crank 40 EUR
";

/// Common practice: 128 + 240/8 + 15 % of 190 = 186.50; 128 + 95 + 22 = 245; 310 + 12 - 40 = 282.
#[test]
fn the_ways_to_go_are_reckoned_and_compared() {
    let list = todo("manual m\n", WAYS);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    let priced: Vec<(String, String)> = choice
        .options
        .iter()
        .map(|option| {
            (
                option.name.clone(),
                option.comes_to.map_or_else(String::new, |price| price.to_string()),
            )
        })
        .collect();
    let expected = [("do it here", "186.5"), ("send out", "245"), ("buy assembled", "282")];
    assert_eq!(
        priced,
        expected.map(|(name, price)| (name.to_owned(), price.to_owned()))
    );
    assert!(
        choice.why.contains("186.50 EUR, of it 28.50 EUR for what may go wrong"),
        "{}",
        choice.why
    );
}

#[test]
fn what_lasts_longer_is_compared_by_the_hour() {
    let log = "job x\n2026-03-14 as found\noption patch it: work 40 EUR, lasts 20 h\noption rebuild it: work 300 EUR, lasts 400 h\n";
    let list = todo("manual m\n", log);
    let choices = of_kind(&list, Kind::Choose);
    assert_eq!(
        choices.first().map(|todo| todo.what.as_str()),
        Some("which way to go: rebuild it is the cheapest by the hour it lasts")
    );
    let log = format!("{log}chose patch it over rebuild it, because the race is on sunday\n");
    assert!(of_kind(&todo("manual m\n", &log), Kind::Choose).is_empty());
}

#[test]
fn money_of_two_currencies_is_never_compared() {
    let log = "job x\n2026-03-14 as found\noption send out: work 95 EUR\noption buy assembled: crank 310 USD\n";
    let list = todo("manual m\n", log);
    let choices = of_kind(&list, Kind::Choose);
    assert_eq!(
        choices.first().map(|todo| todo.what.as_str()),
        Some("which way to go: the options are not in one currency")
    );
}

#[test]
fn without_a_stock_the_size_that_would_do_is_told() {
    let log =
        "job x\nmanual m\n2026-03-14 build\nvalve clearance of valve 1 = 0.24 mm\nvalve shim of valve 1 = 2.60 mm\n";
    let list = todo(VALVES, log);
    let choices = of_kind(&list, Kind::Choose);
    assert_eq!(
        choices.first().map(|todo| todo.what.as_str()),
        Some("shim to fit of valve 1: 2.69 mm would do")
    );
}

#[test]
fn a_stock_in_another_kind_of_unit_is_said() {
    let log = "job x\nmanual m\n2026-03-14 build\nvalve clearance of valve 1 = 0.24 mm  # finds limit.out\nvalve shim of valve 1 = 2.60 mm\n\
               stock shims: 2.65 2.70 g  # finds reading.wrong-dimension\n";
    check("m.manual", VALVES, log);
    assert!(of_kind(&todo(VALVES, log), Kind::Choose).is_empty());
}

/// Common practice: the shim that is in, less the float, less the preload: 1.50 - 0.07 - 0.05 = 1.38.
#[test]
fn a_preload_shim_by_the_shelf_once_the_manual_says_how_much_is_wanted() {
    let log = "job x\nmanual m\n2026-03-14 build\npreload shim = 1.50 mm\nbearing float = 0.07 mm\nstock preload shims: 1.35 1.38 1.40 mm\n";
    let manual = "manual m\nsource page 1\nextends differential\n";
    assert!(of_kind(&todo(manual, log), Kind::Choose).is_empty());
    let manual = "manual m\nsource page 1\nextends differential\ncalc bearing preload with it = preload shim - bearing float - preload shim to fit\n  build 0.03 to 0.07 mm\n";
    let list = todo(manual, log);
    let choices = of_kind(&list, Kind::Choose);
    assert_eq!(
        choices.first().map(|todo| todo.what.as_str()),
        Some("preload shim to fit: 1.38 mm")
    );
}

/// A thinner base gasket lowers the ports under the crown by as much, and raises the compression; a head gasket leaves the ports alone. Common practice:
/// new = old + (target - least squish); the ports go by the same.
#[test]
fn a_gasket_moves_squish_compression_and_ports() {
    let manual =
        "manual m\nsource page 1\nextends two-stroke top end\nfeature squish at left, right\n  build 0.70 to 0.90 mm\n";
    let log = "job x\nmanual m\n2026-03-14 build\nbore = 54.00 mm\nstroke = 54.0 mm\nrod length = 105 mm\nhead volume = 11.4 cc\n\
               squish at left = 1.05 mm\nsquish at right = 1.06 mm\nbase gasket = 0.50 mm\nexhaust port height = 27.0 mm, from crown\n\
               transfer port height = 40.5 mm, from crown\nstock base gaskets: 0.20 0.25 0.40 mm\n";
    let list = todo(manual, log);
    let choices = of_kind(&list, Kind::Choose);
    let [choice] = choices.as_slice() else {
        panic!("{list:#?}")
    };
    assert_eq!(choice.what, "base gasket to fit: 0.25 mm");
    // The exhaust edge then stands 27.25 under the crown: 194.774 at 27.00 falls by about a degree.
    let told = |what: &str| choice.more.iter().any(|line| line.starts_with(what));
    assert!(
        told("with it, exhaust duration with it comes to 193."),
        "{:?}",
        choice.more
    );
    // 0.25 mm of 54 mm bore are 0.573 cc less: (123.67 + 10.83) / 10.83 = 12.42, after 11.85.
    assert!(
        told("with it, compression ratio with it comes to 12.4"),
        "{:?}",
        choice.more
    );
}

#[test]
fn an_option_with_an_item_that_cannot_be_read_is_not_compared() {
    let log =
        "job x\n2026-03-14 as found\noption send out: work 95 EUR, post 12 kg\noption buy assembled: crank 310 EUR\n";
    assert!(of_kind(&todo("manual m\n", log), Kind::Choose).is_empty());
}
