//! What was paid: items that can be reckoned with, in one currency, and parts that came at the price they were ordered at.

use crate::judge::case::Case;
use crate::judge::costs::bill::{Bill, Money};
use crate::judge::costs::traffic::{Changed, streams};
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::offers::sums;
use crate::judge::words;
use crate::model::job::{EventKind, Offer, Part, SaidKind};
use crate::syntax::Span;

/// Says so where money cannot be reckoned, is of two currencies on one line, or is another than was ordered.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let mut has_parts = false;
    for event in &case.job.events {
        match &event.kind {
            EventKind::Ordered(part) | EventKind::Got(part) => {
                has_parts = true;
                out.extend(
                    Bill::new(part)
                        .unreckoned
                        .into_iter()
                        .map(|span| unreckoned(case, span)),
                );
            }
            EventKind::Cost(paid) => out.extend(mixed(case, paid)),
            _ => {}
        }
    }
    if !has_parts {
        return;
    }
    for stream in streams(case) {
        let name = words::fold(stream.name.span.text(case.text()));
        for changed in &stream.changed {
            let of = |part: &&Part| part.said.iter().any(|said| said.span == changed.came.1);
            let part = stream.arrivals.iter().map(|arrival| arrival.part).find(of);
            let has_reason = |part: &Part| part.said.iter().any(|said| matches!(said.kind, SaidKind::Because));
            if !part.is_some_and(has_reason) {
                out.push(price(&name, changed));
            }
        }
    }
}

/// Money of a part that is no figure with a currency.
fn unreckoned(case: &Case<'_>, span: Span) -> Finding {
    let message = format!(
        "`{}` cannot be reckoned with, so it is not counted",
        span.text(case.text())
    );
    Finding::new("cost.item", Severity::Fault, span, message).help(
        "write one figure with its currency: `price 17 EUR` for each, `total 34 EUR` for all, `post 6 EUR`, `duty 3 EUR`, `vat 23 %` or `vat 7.82 EUR`, \
         `vat included`; and how many as `quantity 2`",
    )
}

fn mixed(case: &Case<'_>, paid: &Offer) -> Option<Finding> {
    let sums = sums(&paid.items);
    if sums.len() < 2 {
        return None;
    }
    let told: Vec<String> = sums.iter().map(|(sum, unit)| words::money(*sum, unit)).collect();
    let message = format!(
        "`{}` was paid in two currencies: {}, which are not added",
        words::fold(paid.name.span.text(case.text())),
        words::list(&told)
    );
    Some(Finding::new("cost.mixed", Severity::Doubt, paid.name.span, message).help(
        "if that is so, give each currency a `cost` line of its own; else write what was paid, at the rate of that day",
    ))
}

fn price(name: &str, changed: &Changed) -> Finding {
    let told = |(amount, unit): Money| words::money(amount, unit);
    let (ordered, came) = (changed.ordered.0, changed.came.0);
    let message = format!("{name}: ordered at {}, came at {}", told(ordered), told(came));
    let finding = Finding::new("part.price", Severity::Doubt, changed.came.1, message)
        .label("another price")
        .see(changed.ordered.1, "ordered here");
    finding.help("look at the bill; if the price is right as it is, write why behind `because`. The price it came at is the one that counts")
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "cost.item",
        severity: "fault",
        says: "Money on the line of a part or of a cost cannot be reckoned with.",
        why: "A price without a currency, or in words, would be left out of the sum without a word.",
        source: "arithmetic",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\ngot main bearings: quantity 2, price 17\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\ngot main bearings: quantity 2, price 17 EUR\n",
        },
    },
    Rule {
        code: "cost.mixed",
        severity: "doubt",
        says: "A cost has items in two currencies.",
        why: "Money is never changed silently: which rate, and of which day, only the one who pays can say.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\ncost rebore: work 45 EUR, post 6 GBP\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\ncost rebore: work 45 EUR, post 6 EUR\n",
        },
    },
    Rule {
        code: "part.price",
        severity: "doubt",
        says: "A part came at another price than it was ordered at, or in another currency.",
        why: "A misread bill and a part of another maker look the same; and what the job costs is what was paid.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered main bearings: number 6305 C3, price 17 EUR\ngot main bearings: number 6305 C3, price 19.50 EUR\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered main bearings: number 6305 C3, price 17 EUR\ngot main bearings: number 6305 C3\n",
        },
    },
];
