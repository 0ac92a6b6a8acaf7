//! Ways to go and what they cost: items that can be reckoned with, in one currency.

use crate::judge::case::Case;
use crate::judge::choices::stock_of;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::offers::ways;
use crate::judge::words;
use crate::model::job::StockPiece;
use crate::model::manual::Choice;
use crate::quantity::Dimension;

/// Says so where an option has money of two currencies, and where a stock is listed in units of another kind.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    for feature in &case.rules.book.features {
        out.extend(feature.choice.iter().filter_map(|choice| other_kind(case, choice)));
    }
    for way in ways(case).iter().filter(|way| way.total.len() > 1) {
        let sums: Vec<String> = way
            .total
            .iter()
            .map(|(sum, unit)| words::figure(*sum, Some(unit)))
            .collect();
        let message = format!(
            "`{}` costs {}: money of two currencies is not added",
            way.name,
            words::list(&sums)
        );
        out.push(Finding::new("option.mixed", Severity::Doubt, way.span, message).help(
            "write all of it in one currency, at the rate of that day; there is no rate of exchange in a notebook",
        ));
    }
}

/// A stock whose pieces are not of the kind of the feature they are taken for.
fn other_kind(case: &Case<'_>, choice: &Choice) -> Option<Finding> {
    let stock = stock_of(case, &choice.stock.as_ref()?.key)?;
    let feature = case
        .rules
        .book
        .features
        .get(case.rules.book.feature(&choice.what.key)?)?;
    let wanted = feature.dimension()?;
    let of = |piece: &StockPiece| piece.unit.map_or(Dimension::NONE, |unit| unit.dimension);
    let other = stock.pieces.iter().find(|piece| of(piece) != wanted)?;
    let message = format!(
        "{} is {}, but this piece of the stock is {}",
        feature.name.name,
        wanted.name(),
        of(other).name()
    );
    Some(
        Finding::new("reading.wrong-dimension", Severity::Fault, other.span, message)
            .help("look at the unit behind the last of the sizes"),
    )
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "option.item",
        severity: "fault",
        says: "An item of an option cannot be reckoned with.",
        why: "An item is money, perhaps shared by several jobs, or so many hours at a price, or a share of what a failure would cost; or a time that the option takes \
              or lasts. Anything else would be left out of the sum without a word.",
        source: "arithmetic",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\noption send out: work 95 EUR, risk 15 mm of 190 EUR\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\noption send out: work 95 EUR, risk 15 % of 190 EUR\n",
        },
    },
    Rule {
        code: "option.mixed",
        severity: "doubt",
        says: "An option has items in two currencies.",
        why: "Money is never changed silently: which rate, and of which day, only the one who pays can say.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\noption buy assembled: crank 310 EUR, post 15 GBP\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\noption buy assembled: crank 310 EUR, post 18 EUR\n",
        },
    },
];
