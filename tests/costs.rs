//! What a job costs: parts as ordered and as they came, work sent out, VAT, what comes back, what is waited for. Every sum is worked by hand beside it.

mod support;

use std::path::Path;

use gudgeon::judge::costs::{Costs, Kind, PartState, Tax, costs};
use gudgeon::judge::words;
use gudgeon::workspace::{Library, analyse};
use proptest::prelude::*;
use rust_decimal::Decimal;
use support::{NOWHERE, check};

fn costs_of(log: &str) -> Costs {
    let library = Library::new();
    costs(&analyse(
        "x.rebuild",
        Path::new(NOWHERE),
        log.as_bytes().to_vec(),
        &library,
    ))
}

/// `EUR 34 landed, 0 to come`, for each currency.
fn sums(costs: &Costs) -> Vec<String> {
    let told = costs.totals.iter().map(|total| {
        let (landed, to_come) = (total.landed.normalize(), total.to_come.normalize());
        format!("{} {landed} landed, {to_come} to come", total.unit.label())
    });
    told.collect()
}

/// Each line: `part rod kit A 2 x 17 = 34 EUR`.
fn lines(costs: &Costs) -> Vec<String> {
    let told = costs.lines.iter().map(|line| {
        let times = match (line.quantity, line.each) {
            (Some(quantity), Some(each)) => format!(" {} x {} =", quantity.normalize(), each.normalize()),
            _ => String::new(),
        };
        let come = if line.is_estimate { ", to come" } else { "" };
        format!(
            "{} {}{times} {} {}{come}",
            line.kind.word(),
            line.of,
            line.amount.normalize(),
            line.unit.label()
        )
    });
    told.collect()
}

#[test]
fn two_bearings_with_post_and_vat() {
    let log = "\
job main bearings
2026-03-14 goods in
ordered main bearings: number 6305 C3, quantity 2, price 17 EUR, post 6 EUR, vat 23 %
2026-03-19
got main bearings: number 6305 C3, quantity 2
closed 2026-03-20
";
    let costs = costs_of(log);
    // 2 x 17 = 34; 23 % of 34 = 7.82; 34 + 7.82 + 6 = 47.82.
    assert_eq!(
        lines(&costs),
        [
            "part main bearings 2 x 17 = 34 EUR",
            "post main bearings 6 EUR",
            "VAT main bearings 7.82 EUR"
        ]
    );
    assert_eq!(sums(&costs), ["EUR 47.82 landed, 0 to come"]);
    let [bearings] = costs.parts.as_slice() else {
        panic!("{costs:#?}")
    };
    assert_eq!((bearings.days, bearings.state), (Some(5), PartState::Came));
    assert_eq!(bearings.number.as_deref(), Some("6305 C3"));
    assert!(
        costs
            .lines
            .iter()
            .any(|line| line.is_as_ordered && line.tax == Tax::Net)
    );
    assert!(costs.on_order.is_empty() && costs.notes().is_empty());
    check("", "", log);
}

#[test]
fn half_of_the_order_is_still_on_its_way() {
    let costs = costs_of(
        "\
job studs
2026-03-02
ordered cylinder studs: quantity 4, price 3.30 EUR, post 5.50 EUR
2026-03-09
got cylinder studs: quantity 3
2026-03-30 build
",
    );
    // Three came, 3 x 3.30 = 9.90, and the post was paid with them: 15.40. One is to come: 3.30.
    assert_eq!(sums(&costs), ["EUR 15.4 landed, 3.3 to come"]);
    let [studs] = costs.on_order.as_slice() else {
        panic!("{costs:#?}")
    };
    // From the 2nd to the 30th are 28 days.
    assert_eq!((studs.days, studs.quantity), (Some(28), Some(Decimal::ONE)));
    assert_eq!(costs.parts[0].state, PartState::PartCame);
    assert_eq!(costs.parts[0].got, Decimal::from(3));
}

#[test]
fn what_came_dearer_than_ordered_counts_as_it_came_and_is_told() {
    let log = "\
job pistons
2026-03-14
ordered piston kit: number 4471, price 129 EUR
2026-03-20
got piston kit: number 4471, price 135.50 EUR # finds part.price
ordered gasket set: price 18 EUR
got gasket set: price 18.00 EUR
ordered seals: price 9 EUR
got seals: price 9 GBP # finds part.price
ordered clips: price 1 EUR
got clips: price 1.20 EUR, because the small bag was sold out
";
    check("", "", log);
    // 135.50 + 18 + 1.20 = 154.70 EUR, and 9 GBP beside it.
    let costs = costs_of(log);
    assert_eq!(sums(&costs), ["EUR 154.7 landed, 0 to come", "GBP 9 landed, 0 to come"]);
}

#[test]
fn net_and_gross_are_the_same_price_where_the_vat_is_said() {
    let log = "\
job vat
2026-03-14
ordered piston kit: price 100 EUR, vat 23 %
got piston kit: price 123 EUR, vat included
ordered rings: price 39.99 EUR, vat 23 %
got rings: price 49.19 EUR, gross
ordered clips: price 10 EUR, net
got clips
";
    // 39.99 x 1.23 = 49.1877, which a bill rounds to 49.19: no other price.
    check("", "", log);
    let costs = costs_of(log);
    // 123 + 49.19 + 10, and no VAT is added to what has it.
    assert_eq!(sums(&costs), ["EUR 182.19 landed, 0 to come"]);
    assert_eq!(costs.notes(), ["clips is net, and nothing says the VAT on top"]);
}

#[test]
fn a_price_for_all_and_a_vat_as_a_sum() {
    let costs = costs_of(
        "\
job valves
2026-03-14
got valve springs: quantity 8, total 34 EUR, vat 7.82 EUR, duty 3 EUR
got collets: 16 off, 12 EUR
",
    );
    // 34 + 7.82 + 3 = 44.82, and 16 x 12 = 192: without a word it is the price of one.
    assert_eq!(sums(&costs), ["EUR 236.82 landed, 0 to come"]);
    assert!(lines(&costs).contains(&"part valve springs 8 x 4.25 = 34 EUR".to_owned()));
}

#[test]
fn work_sent_out_hours_and_a_deposit_that_comes_back() {
    let log = "\
job rebore
2026-03-14
cost rebore: work 45 EUR, post 2 x 6 EUR
cost labour: 6 h at 30 EUR, 20 min at 30 EUR an hour
cost old crank: deposit 45 EUR
2026-04-02
cost old crank: less deposit 45 EUR
cost puller: hire 240 EUR over 8 jobs
cost plating: work 80 EUR, vat 23 %
  import duty 4.40 EUR
";
    check("", "", log);
    let costs = costs_of(log);
    assert_eq!(
        lines(&costs),
        [
            "cost rebore 45 EUR",
            "post rebore 2 x 6 = 12 EUR",
            "labour labour 6 x 30 = 180 EUR",
            // A third of an hour, exact: 20 x 30 / 60.
            "labour labour 20 x 30 = 10 EUR",
            "cost old crank 45 EUR",
            "back old crank -45 EUR",
            "cost puller 30 EUR",
            "cost plating 80 EUR",
            "VAT plating 18.4 EUR",
            "duty plating 4.4 EUR",
        ]
    );
    // 45 + 12 + 180 + 10 + 45 - 45 + 30 + 80 + 18.40 + 4.40 = 379.80.
    assert_eq!(sums(&costs), ["EUR 379.8 landed, 0 to come"]);
    assert_eq!(costs.totals[0].back, Decimal::from(-45));
    assert_eq!(
        costs.lines[0].date.map(|day| day.to_string()).as_deref(),
        Some("2026-03-14")
    );
}

#[test]
fn what_cannot_be_reckoned_is_named_and_left_out() {
    let log = "\
job odd bills
2026-03-14
cost rebore: work 45 mm # finds cost.item
cost weld: by a friend # finds cost.item
cost plating: work 80 EUR, risk 15 % of 80 EUR # finds cost.item
cost drive: takes 2 days # finds cost.item
cost fitter: 6 h at 240 EUR a day # finds cost.item
cost abroad: work 80 EUR, post 6 GBP # finds cost.mixed
got seals: price 17 # finds cost.item
got clips: price 34 EUR for 2 # finds cost.item
got shims: quantity 0, price 2 EUR # finds cost.item
got gaskets: post free, price on request
";
    check("", "", log);
    let costs = costs_of(log);
    assert_eq!(costs.unreckoned, ["rebore", "weld", "plating", "drive", "fitter"]);
    assert_eq!(costs.unpriced, ["seals", "clips", "gaskets"]);
    // 80 of the plating, 80 abroad, one shim at 2; the post abroad stays in its own currency.
    assert_eq!(sums(&costs), ["EUR 162 landed, 0 to come", "GBP 6 landed, 0 to come"]);
    assert_eq!(
        costs.notes(),
        [
            "3 parts have no price, so the sum is too small by them: seals, clips and gaskets",
            "5 costs have an item that cannot be reckoned, so the sum is too small by them: rebore, weld, plating, drive and fitter",
            "money of 2 currencies (EUR, GBP) is never added: there is no rate of exchange in a notebook",
        ]
    );
}

#[test]
fn what_is_awaited_stands_with_its_days_the_longest_first() {
    let costs = costs_of(
        "\
job five months
2026-03-14
ordered big-end bearing: price 38 EUR, post 4 EUR
2026-04-01
waiting for crank seals, since 2026-01-10
ordered clutch plates: quantity 7
2026-08-20 build
",
    );
    let told: Vec<String> = costs
        .on_order
        .iter()
        .map(|one| {
            let money: Vec<String> = one.to_come.iter().map(|(sum, unit)| words::money(*sum, unit)).collect();
            format!("{} {:?} {}", one.name, one.days.unwrap_or(-1), money.join(" and "))
        })
        .collect();
    // Days to 2026-08-20: 222 from 10 January (21 + 28 + 31 + 30 + 31 + 30 + 31 + 20), 159 from 14 March, 141 from 1 April.
    assert_eq!(
        told,
        [
            "crank seals 222 ",
            "big-end bearing 159 42.00 EUR",
            "clutch plates 141 "
        ]
    );
    assert_eq!(costs.unpriced, ["crank seals", "clutch plates"]);
}

#[test]
fn a_part_that_was_left_is_not_to_come_and_what_was_paid_for_it_stays_paid() {
    let costs = costs_of(
        "\
job two kits
2026-03-14
ordered rod kit A: price 129 EUR
ordered rod kit B: price 99 EUR
ordered rod kit C: price 20 EUR
got rod kit C
chose rod kit A over rod kit B, because the pin keeps the web width
chose rod kit A over rod kit C
cost rod kit C sent back: less refund 20 EUR
",
    );
    assert_eq!(sums(&costs), ["EUR 0 landed, 129 to come"]);
    let states: Vec<PartState> = costs.parts.iter().map(|part| part.state).collect();
    assert_eq!(states, [PartState::OnOrder, PartState::Left, PartState::Left]);
}

#[test]
fn the_estimate_stands_against_what_it_came_to() {
    let costs = costs_of(
        "\
job which way
2026-03-14 as found
option do it here: parts 128 EUR, labour 6 h at 15 EUR, risk 15 % of 190 EUR, lasts 300 h
option send out: work 95 EUR, post 22 EUR, vat 23 %
chose do it here over send out, because the press is free
ordered rod kit: price 129 EUR
got rod kit
cost labour: 8 h at 15 EUR
ordered seals: price 12 EUR
",
    );
    let chosen = costs.options.iter().find(|way| way.is_taken).expect("one was taken");
    // 128 + 90 + 28.50 = 246.50, of it 28.50 for the risk.
    assert_eq!(
        (chosen.name.as_str(), chosen.risk),
        ("do it here", Decimal::new(285, 1))
    );
    assert_eq!(chosen.total[0].0, Decimal::new(2465, 1));
    let sent = costs.options.iter().find(|way| !way.is_taken).expect("another");
    // VAT is no chance: 117 x 1.23 = 143.91, and nothing of it may go wrong.
    assert_eq!((sent.total[0].0, sent.risk), (Decimal::new(14391, 2), Decimal::ZERO));
    let against = costs.comparison.expect("both in EUR");
    // Estimated 218 without the risk; paid 129 + 120 = 249, and 12 are to come: 43 more.
    assert_eq!(
        (against.estimate, against.landed, against.to_come, against.over()),
        (218.into(), 249.into(), 12.into(), 43.into())
    );
}

#[test]
fn money_is_rounded_when_it_is_shown_by_its_currency() {
    let costs = costs_of(
        "job yen\n2026-03-14\ncost gasket paper: 3 x 0.1 EUR\ncost plating: 1000 JPY over 3 jobs\ncost post: 1 EUR over 8 jobs\n",
    );
    // 0.1 x 3 is 0.3, not 0.30000000000000004; 1 / 8 = 0.125 is shown as 0.13, half a cent upwards.
    assert_eq!(costs.lines[0].amount, Decimal::new(3, 1));
    let shown: Vec<String> = costs
        .lines
        .iter()
        .map(|line| words::money(line.amount, line.unit))
        .collect();
    assert_eq!(shown, ["0.30 EUR", "333 JPY", "0.13 EUR"]);
    assert_eq!(costs.lines[2].kind, Kind::Post);
    // The sum is of the exact figures: 0.3 + 0.125.
    assert_eq!(sums(&costs)[0], "EUR 0.425 landed, 0 to come");
}

#[test]
fn figures_as_long_as_they_get_are_no_trouble() {
    let huge = "79228162514264337593543950335";
    let log = format!(
        "job x\n2026-03-14\nordered a: quantity {huge}, price {huge} EUR, vat 900 %\ngot a: quantity 1\ngot a: quantity {huge}, total {huge} EUR\n\
         ordered b: quantity 0.0000001, total 1 EUR\ngot b: quantity 3\ncost c: work {huge} EUR, more {huge} EUR, {huge} x {huge} EUR, vat {huge} %\n\
         option d: {huge} EUR\nchose d over e\n"
    );
    let costs = costs_of(&log);
    assert!(!costs.lines.is_empty() && costs.unreckoned == ["c"], "{costs:#?}");
    // What has no price that can be worked out is named, not left out without a word.
    assert!(costs.unpriced.contains(&"a".to_owned()), "{costs:#?}");
    let _ = (
        costs.notes(),
        costs
            .comparison
            .map(|against| words::money(against.over(), against.unit)),
    );
}

const PARTS: [&str; 4] = ["bearing", "seal", "piston", "stud"];
const CURRENCIES: [&str; 3] = ["EUR", "GBP", "JPY"];

/// What is written of one part or cost, in its own order, with what it comes to: the currency, and hundredths landed and to come.
fn group() -> impl Strategy<Value = (Vec<String>, usize, i64, i64)> {
    let figures = (
        0..PARTS.len(),
        0..CURRENCIES.len(),
        1i64..50,
        0i64..60,
        0i64..100_000,
        any::<bool>(),
    );
    figures.prop_map(|(part, currency, ordered, came, price, is_cost)| {
        let (name, unit) = (PARTS[part], CURRENCIES[currency]);
        let figure = format!("{}.{:02} {unit}", price / 100, price % 100);
        if is_cost {
            return (
                vec![format!("cost {name}: {ordered} x {figure}")],
                currency,
                ordered * price,
                0,
            );
        }
        let mut lines = vec![format!("ordered {name}: quantity {ordered}, price {figure}")];
        if came > 0 {
            lines.push(format!("got {name}: quantity {came}"));
        }
        (lines, currency, came * price, (ordered - came).max(0) * price)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever the order of the lines of different things, each currency comes to the same, and to what the figures come to by themselves.
    #[test]
    fn the_order_of_lines_changes_no_sum(groups in prop::collection::vec(group(), 1..6), picks in prop::collection::vec(any::<prop::sample::Index>(), 20)) {
        // Each thing by a name of its own, so that no order is filled by another's arrival.
        let mut left: Vec<Vec<String>> = groups
            .iter()
            .enumerate()
            .map(|(number, (lines, ..))| lines.iter().map(|line| line.replacen(':', &format!(" no {number}:"), 1)).collect())
            .collect();
        let straight: String = left.iter().flatten().map(|line| format!("{line}\n")).collect();
        let mut shuffled = String::new();
        for pick in picks {
            left.retain(|lines| !lines.is_empty());
            if left.is_empty() { break; }
            let lines = pick.get(&left).clone();
            let at = left.iter().position(|other| *other == lines).expect("it is one of them");
            shuffled.push_str(&format!("{}\n", left[at].remove(0)));
        }
        let library = Library::new();
        library.give("m.manual", "manual m\nsource page 1\n");
        let of = |text: &str| {
            let log = format!("job x\nmanual m\n2026-03-14\n{text}");
            costs(&analyse("x.rebuild", Path::new(NOWHERE), log.into_bytes(), &library))
        };
        let (one, other) = (of(&straight), of(&shuffled));
        prop_assert_eq!(&one.totals, &other.totals);
        for (number, currency) in CURRENCIES.iter().enumerate() {
            let own = || groups.iter().filter(|(_, of, ..)| *of == number);
            let landed: i64 = own().map(|(_, _, landed, _)| landed).sum();
            let to_come: i64 = own().map(|(.., to_come)| to_come).sum();
            let total = one.totals.iter().find(|total| total.unit.label() == *currency);
            prop_assert_eq!(total.map_or(Decimal::ZERO, |total| total.landed), Decimal::new(landed, 2));
            prop_assert_eq!(total.map_or(Decimal::ZERO, |total| total.to_come), Decimal::new(to_come, 2));
        }
    }
}
