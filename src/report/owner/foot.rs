//! Cautions, what the report defers to, and how it was made.

use maud::{Markup, html};

use super::Given;
use crate::report::page::own;
use crate::report::style::{DecimalMark, Units};

/// What holds for everyone who works on such a machine. Common practice, no source.
pub(in crate::report) const GENERAL: &[&str] = &[
    "Press, heat, spring, lift, fuel, oil under pressure and turning parts can maim. Guards on, nobody in line, nothing adapted, ratings of the weakest part kept.",
    "Nothing in this report says that a machine may be used. It says which readings are in limit, which are not proven, and what is to be measured again.",
    "The machine's workshop manual, the makers' data sheets, local codes and licensed practice come first, and where they differ from this report they hold.",
];

pub(super) fn care(given: &Given<'_>) -> Markup {
    let cautions = &given.account.cautions;
    html! {
        @if !cautions.is_empty() {
            p { "What keeps people from harm in the steps of this job, as its manuals say it:" }
            ul class="gap" {
                @for caution in cautions {
                    li {
                        b { (own(&caution.name)) }
                        @if !caution.because.is_empty() { ": else " (own(&caution.because)) }
                        span class="small" { " (" (own(&caution.steps.join("; "))) ")" }
                    }
                }
            }
        }
        div class="defer" { @for text in GENERAL { p { (text) } } }
    }
}

pub(super) fn foot(given: &Given<'_>) -> Markup {
    let units = match given.style.units {
        Units::Written => "as they were written",
        Units::Metric => "metric",
        Units::Inch => "inch",
    };
    let is_told = given.style.units != Units::Written || given.style.mark != DecimalMark::Point;
    html! {
        p {
            "Made by gudgeon " (env!("CARGO_PKG_VERSION")) " from the log " (own(&given.analysis.source.name))
            "; line numbers are those of that file. Figures are shown with what they may be off by: twice their standard uncertainty, about 95 % (GUM), and never more than they can be off at all."
        }
        @if is_told {
            p { "Units are " (units) ". Remarks, and everything told day by day, are left in the words of the log and its manuals." }
        }
    }
}
