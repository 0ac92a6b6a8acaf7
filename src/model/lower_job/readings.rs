//! Readings with their figures on the line: which feature at which part and place, in which unit, by which tool.

use super::Lowering;
use crate::model::conditions::{Conditions, coverage, is_coverage};
use crate::model::details::{Details, said_amount};
use crate::model::job::{EventKind, Instance, Reading, Said, SaidKind, Word};
use crate::model::manual::Feature;
use crate::model::names::key;
use crate::model::readings::{self, TakenAs};
use crate::model::tools::is_plain;
use crate::model::units::{Meant, Quantity, read, read_unit};
use rust_decimal::Decimal;

use crate::quantity::{Dimension, Unit, unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Detail, DetailKind, Reading as Written, SyntaxError, Value};

impl Lowering<'_> {
    /// The instance of a feature at a part and a place, made if it is new.
    pub(super) fn instance(&mut self, name: &Word, part: Option<&Word>, place: Option<&Word>) -> usize {
        let feature = self.book.feature(&name.key);
        let known = feature.and_then(|id| self.book.features.get(id));
        let canonical = known.map_or(name.key.as_str(), |f| f.name.key.as_str());
        let mut path = String::with_capacity(canonical.len() + 24);
        path.push_str(canonical);
        for word in [part, place] {
            path.push('\u{1}');
            path.push_str(word.map_or("", |w| w.key.as_str()));
        }
        if let Some(index) = self.index.get(&path) {
            return *index;
        }
        let index = self.job.instances.len();
        self.job.instances.push(Instance {
            feature,
            name: name.clone(),
            part: part.cloned(),
            place: place.cloned(),
            readings: Vec::new(),
        });
        self.index.insert(path, index);
        index
    }

    pub(super) fn reading(&mut self, span: Span, written: &Written) {
        let first = self.job.readings.len();
        let subject = &written.subject;
        let name = self.word(subject.feature);
        let part = subject.part.map(|p| self.word(p));
        let place = subject.place.map(|p| self.word(p));
        let feature = self.book.feature(&name.key).and_then(|id| self.book.features.get(id));
        let meant = self.meant(
            feature.and_then(|f| f.unit),
            written.figure.unit,
            &written.figure.value,
            !written.table.rows.is_empty(),
        );
        let tool = written
            .tool
            .map(|t| self.word(t))
            .or_else(|| self.tool_among(&written.details));
        let mut said = self.said(&written.details, Details::Any);
        let of_details = Conditions::said(&said);
        let (temperature, angle) = self.conditions(&written.at);
        let conditions = Conditions {
            temperature: temperature.or(of_details.temperature),
            ..of_details
        };
        said.extend(angle.map(high_at));
        let is_plus_minus = matches!(written.figure.value, Value::PlusMinus(..));
        self.coverage_factors(&said, is_plus_minus);
        said.extend(self.held.iter().cloned());
        let taken = TakenAs {
            event: self.job.events.len(),
            name_span: subject.span(),
            wanted: feature.and_then(|f| f.dimension()),
            feature: feature.map_or(name.key.as_str(), |f| f.name.name.as_str()),
            tool,
            conditions,
            said,
            unsure: written.figure.unsure,
        };
        self.stray_figures(&written.details);
        if let Value::Many(amounts) = &written.figure.value
            && let Some(place) = written
                .details
                .iter()
                .find(|detail| feature.is_some_and(|f| self.is_place(f, detail.span)))
        {
            let message = format!(
                "`{}` is a place behind a comma, so the {} figures are read as repeats at one place",
                place.span.text(self.text),
                amounts.len()
            );
            self.problem(
                "reading.ring",
                place.span,
                message,
                "write a line for each place, or a table with a row for each; places of one word may stand behind one `at`, parted by blanks"
                    .to_owned(),
            );
        }
        if let (Value::Times(..) | Value::Single(_), Some(place), Some(feature)) =
            (&written.figure.value, subject.place, feature)
        {
            let written = place.text(self.text);
            let words: Vec<&str> = written.split_whitespace().collect();
            let known = |name: &str| feature.places.iter().any(|p| p.key == key(name));
            if words.len() > 1 && !known(written) && words.iter().all(|word| known(word)) {
                let message = format!("one figure stands for {} places: {written}", words.len());
                self.problem(
                    "reading.ring",
                    place,
                    message,
                    "write a figure for each place, in the same order".to_owned(),
                );
            }
        }
        if let Value::Ring(amounts, places) = &written.figure.value
            && amounts.len() != places.len()
        {
            let message = format!("{} figures stand for {} places", amounts.len(), places.len());
            self.problem(
                "reading.ring",
                written.figure.span,
                message,
                "write one figure for each place, in the same order".to_owned(),
            );
        }
        if let Some((amounts, places)) = self.ring_of_places(&written.figure.value, feature) {
            self.ring(amounts, places, meant, &taken, &name, part.as_ref(), place.as_ref());
        } else if written.table.rows.is_empty() {
            let reading = readings::taken(
                &written.figure,
                self.text,
                meant,
                self.units.blades,
                taken,
                &mut self.problems,
            );
            let instance = self.instance(&name, part.as_ref(), place.as_ref());
            self.keep(instance, reading);
        } else {
            self.table(written, meant, &taken, &name, part.as_ref(), place.as_ref());
        }
        let range = first..self.job.readings.len();
        self.event(span, EventKind::Readings(range));
    }

    /// Whether a detail is one of the places that a feature lists, perhaps with its tool behind it.
    fn is_place(&self, feature: &Feature, detail: Span) -> bool {
        let folded = key(detail.text(self.text)).into_owned();
        let name = folded.split(" by ").next().unwrap_or("");
        feature.places.iter().any(|place| place.key == name)
    }

    /// The temperature of the part, °C: `at 24 C`; and an angle, `high at 80°` or `at 80`. Anything else is neither.
    fn conditions(&mut self, at: &[Amount]) -> (Option<Decimal>, Option<Quantity>) {
        // `at 297 K` is a temperature, not a difference.
        let meant = Meant {
            dimension: Some(Dimension::TEMPERATURE),
            unit: None,
        };
        let mut temperature = None;
        let mut angle = None;
        for amount in at {
            // `at 1:50` is a time or a ratio, not a place on a circle.
            let is_ratio = amount.number.text(self.text).contains(':');
            let wrong = match read(amount, self.text, meant) {
                Ok(read) if read.dimension() == Dimension::TEMPERATURE => {
                    temperature.get_or_insert(read.base);
                    continue;
                }
                Ok(read) if matches!(read.dimension(), Dimension::NONE | Dimension::ANGLE) && !is_ratio => {
                    angle.get_or_insert(read);
                    continue;
                }
                Ok(read) => SyntaxError {
                    code: "reading.wrong-dimension",
                    span: read.span,
                    message: format!(
                        "`at {}` is neither a temperature nor an angle",
                        read.span.text(self.text)
                    ),
                    help: "a place stands before the `=`: `bore at 10 mm down = …`; a remark stands behind a comma"
                        .to_owned(),
                    suggestion: None,
                },
                Err(error) => *error,
            };
            self.problems.push(wrong);
        }
        (temperature, angle)
    }

    /// `k 2` says over how many standard uncertainties the figure behind `±` is stated. Without one, or as a factor of nothing, it would be lost.
    pub(super) fn coverage_factors(&mut self, said: &[Said], is_plus_minus: bool) {
        for said in said {
            let SaidKind::Amount(amount) = &said.kind else { continue };
            if !is_coverage(amount) || (is_plus_minus && coverage(amount).is_some()) {
                continue;
            }
            let written = said.span.text(self.text);
            let (message, help) = if is_plus_minus {
                (
                    format!("`{written}` is no coverage factor: it must be above 0"),
                    "write over how many standard uncertainties the figure behind `±` is stated: `k 2`",
                )
            } else {
                (
                    format!("`{written}` says what a figure behind `±` means, and this reading has none"),
                    "write the doubt too: `54.050 ± 0.004 mm, k 2`",
                )
            };
            self.problem("reading.stray-figure", said.span, message, help.to_owned());
        }
    }

    /// `web width = 52.05 mm, by mic`: the comma is one too many, but what is meant is plain. What stands behind `on` is a tool if it is declared, or the
    /// plain name of one (`on dial`); else it says how the work was held (`on centres`).
    fn tool_among(&self, details: &[Detail]) -> Option<Word> {
        details.iter().find_map(|detail| {
            let text = detail.span.text(self.text);
            let folded = key(text);
            let named = folded.starts_with("by ") || folded.starts_with("on ");
            let behind = text.get(3..).filter(|_| named)?;
            let end = detail.span.end;
            let word = self.word(Span {
                start: end - u32::try_from(behind.trim_start().len()).ok()?,
                end,
            });
            let is_tool = folded.starts_with("by ") || self.tools.contains_key(&word.key) || is_plain(&word.key);
            is_tool.then_some(word)
        })
    }

    /// A figure behind a comma is not part of the reading, and must not be lost among the details.
    fn stray_figures(&mut self, details: &[Detail]) {
        const AGAIN: &[&str] = &["later", "then", "now", "again", "after", "before", "and"];
        for detail in details {
            let bare = match &detail.kind {
                DetailKind::Amount {
                    name, trailing: None, ..
                } => name.is_none_or(|n| AGAIN.contains(&self.word(n).key.as_str())),
                _ => false,
            };
            if bare || (!self.is_factor(detail) && detail.span.text(self.text).contains('=')) {
                let message = format!(
                    "`{}` stands behind a comma, so it is not read as part of the reading",
                    detail.span.text(self.text)
                );
                self.problem(
                    "reading.stray-figure",
                    detail.span,
                    message,
                    "several readings of one thing stand behind each other with a blank: `52.00 52.01 mm`; another thing, or a later reading, has a line of its own".to_owned(),
                );
            }
        }
    }

    /// `k=2`: the one detail that may be written with a `=`.
    fn is_factor(&self, detail: &Detail) -> bool {
        matches!(&detail.kind, DetailKind::Amount { name: Some(name), .. } if self.word(*name).key == "k")
    }

    pub(super) fn keep(&mut self, instance: usize, mut reading: Reading) {
        reading.instance = instance;
        let index = self.job.readings.len();
        self.job.readings.push(reading);
        if let Some(instance) = self.job.instances.get_mut(instance) {
            instance.readings.push(index);
        }
    }

    /// The unit of bare figures: behind the whole value, or in front of the table, or by the job, or by the manual.
    fn meant(
        &mut self,
        of_feature: Option<&'static Unit>,
        behind: Option<Span>,
        value: &Value,
        is_table: bool,
    ) -> Meant {
        let dimension = of_feature.map(|u| u.dimension);
        let written = match (behind, value) {
            (Some(span), _) => Some(span),
            // A table's heading has nothing but its unit there.
            (None, Value::Words(span)) if is_table => Some(*span),
            (None, Value::Words(span)) => crate::quantity::unit::find(span.text(self.text), dimension).map(|_| *span),
            (None, Value::Many(list) | Value::Ring(list, _) | Value::Stages(list)) => {
                list.iter().rev().find_map(|a| a.unit)
            }
            (None, Value::Range(_, b)) => b.unit,
            // `12.1 ± 4 %` of a feature in mm: the share is of the figure, not its unit.
            (None, Value::PlusMinus(a, b)) => a.unit.or(b.unit.filter(|span| {
                let is_share = span.text(self.text) == "%" && dimension.is_some_and(|d| d != Dimension::NONE);
                !is_share
            })),
            (None, Value::Blades { go, no_go }) => no_go.and_then(|a| a.unit).or(go.and_then(|a| a.unit)),
            (None, Value::Sum { result, first, .. }) => result.unit.or(first.unit),
            _ => None,
        };
        let read = written.map(|span| read_unit(span, self.text, dimension));
        let unit = match read {
            Some(Ok(unit)) => Some(unit),
            // Named once here; the figures then go without.
            Some(Err(error)) if behind.is_some() || is_table => {
                self.problems.push(*error);
                None
            }
            _ => None,
        };
        let unit = unit.or_else(|| self.units.of(dimension)).or(of_feature);
        Meant {
            dimension: dimension.or(unit.map(|u| u.dimension)),
            unit,
        }
    }
}

/// An angle behind a figure, as a detail: where a dial reads highest.
fn high_at(angle: Quantity) -> Said {
    let unit = angle.unit.or_else(|| unit::find("°", Some(Dimension::ANGLE)));
    let name = "high at";
    Said {
        span: angle.span,
        key: format!("{name} {}°", angle.written.normalize()),
        kind: said_amount(&[Quantity { unit, ..angle }], false, name.to_owned(), None),
    }
}
