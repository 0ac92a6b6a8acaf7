//! By which rule figures are accepted, and what a feature is made of.

use std::borrow::Cow;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::Lowering;
use crate::model::decide::decide;
use crate::model::materials::{Material, material, names};
use crate::model::names::key;
use crate::quantity::{Dimension, number, unit};
use crate::syntax::ast::SyntaxError;
use crate::syntax::{Span, nearest};

impl Lowering<'_> {
    /// `decide guarded`: indented, it is for the feature above; else for the whole manual.
    pub(super) fn decide(&mut self, written: Span, indented: bool) {
        let rule = match decide(written.text(self.text)) {
            Ok(rule) => rule,
            Err(why) => {
                self.problem(
                    "manual.decide",
                    written,
                    why,
                    "write `decide plain`, `decide guarded` or `decide guarded at 95 %`",
                );
                return;
            }
        };
        if indented {
            self.of_feature(written, "decide", |feature| feature.decide = Some(rule));
        } else {
            self.manual.decide.get_or_insert(rule);
        }
    }

    /// `material aluminium`, or `material 23 ± 2 ppm/K`.
    pub(super) fn material(&mut self, written: Span) {
        let text = written.text(self.text);
        let folded = key(text);
        if let Some(known) = material(&folded).or_else(|| own(text)) {
            self.of_feature(written, "material", |feature| feature.material = Some(known));
            return;
        }
        let near = nearest(&folded, names());
        let help = match near {
            Some(near) => format!("`{near}` is near"),
            None => {
                let mut all: Vec<&str> = names().collect();
                all.sort_unstable();
                format!(
                    "there are {}; or write how much it grows: `material 23 ± 2 ppm/K`",
                    all.join(", ")
                )
            }
        };
        self.problems.push(SyntaxError {
            code: "unknown.material",
            span: written,
            message: format!("`{text}` is no material that is known here"),
            help,
            suggestion: near.map(|near| (written, near.to_owned())),
        });
    }
}

/// A material by its expansion alone: `23 ppm/K`, `23 ± 2 ppm/K`. Without a spread it is taken to a tenth.
fn own(text: &str) -> Option<Material> {
    let at = text.find(|c: char| c.is_ascii_alphabetic() || c == 'µ' || c == '/')?;
    let (figures, of) = text.split_at_checked(at)?;
    let unit = unit::find(of.trim(), Some(Dimension::EXPANSION)).filter(|u| u.dimension == Dimension::EXPANSION)?;
    let (middle, spread) = match ["±", "+-", "+/-"].iter().find_map(|mark| figures.split_once(mark)) {
        Some((middle, spread)) => (middle, Some(spread)),
        None => (figures, None),
    };
    let base = |figure: &str| -> Option<Decimal> { unit.to_base(number::parse(figure.trim()).ok()?) };
    let expansion = base(middle)?.to_f64()?;
    let spread = match spread {
        Some(spread) => base(spread)?.to_f64()?.abs(),
        None => expansion.abs() / 10.0,
    };
    Some(Material {
        name: Cow::Owned(key(text).into_owned()),
        expansion,
        spread,
    })
}
