//! Tools: what they read to, how far they are to be trusted, what they are rated for.

use rust_decimal::Decimal;

use super::instruments::{Instrument, instrument};
use super::job::Word;
use super::job::{Said, SaidAmount, SaidKind};
use crate::quantity::{Dimension, Unit};
use crate::syntax::Span;

/// A declared tool.
#[derive(Debug)]
pub struct Tool {
    /// Its name.
    pub name: Word,
    /// Its kind, as a key; empty if none is written.
    pub kind: String,
    /// Its smallest step, base units, with its dimension.
    pub reads_to: Option<(Decimal, Dimension)>,
    /// Its permissible error either way, base units, with its dimension: that of a difference.
    pub good_to: Option<(Decimal, Dimension)>,
    /// Its permissible error as a share of the figure: 0.04 for `good to 4 %`.
    pub good_to_share: Option<Decimal>,
    /// How well it repeats: the standard deviation of one reading, base units, with its dimension.
    pub repeats_to: Option<(Decimal, Dimension)>,
    /// What it shows at zero, base units, with its dimension.
    pub zero: Option<(Decimal, Dimension)>,
    /// Its own temperature, °C.
    pub temperature: Option<Decimal>,
    /// The least of its ratings, base units, with the unit it was written in.
    pub rated: Option<(Decimal, &'static Unit)>,
    /// What it measures: the least and the greatest figure, base units, with their dimension.
    pub range: Option<(Decimal, Decimal, Dimension)>,
    /// When it is next to be calibrated: the date as written, year first.
    pub due: Option<Word>,
    /// Whether it is to be checked on each day it is used.
    pub checked_daily: bool,
}

impl Tool {
    /// From what stands behind the colon: the kind first, then the facts. Facts with figures that are not understood are given back.
    pub fn new(name: Word, said: &[Said]) -> (Tool, Vec<Span>) {
        let mut tool = Tool {
            name,
            kind: String::new(),
            reads_to: None,
            good_to: None,
            good_to_share: None,
            repeats_to: None,
            zero: None,
            temperature: None,
            rated: None,
            range: None,
            due: None,
            checked_daily: false,
        };
        let mut unknown = Vec::new();
        for (number, fact) in said.iter().enumerate() {
            let has_figure = fact.key.bytes().any(|b| b.is_ascii_digit());
            match &fact.kind {
                // `pressure gauge 0-250 bar`, `micrometer 25-50`: the kind, with its range behind it.
                SaidKind::Amount(amount) if number == 0 && !amount.name.is_empty() && !tool.add(amount) => {
                    amount.name.clone_into(&mut tool.kind);
                    if let (Some(least), Some(most), Some(unit)) = (amount.band.lo, amount.band.hi, amount.unit)
                        && least < most
                    {
                        tool.range = Some((least, most, unit.dimension));
                    }
                }
                SaidKind::Amount(amount) if tool.add(amount) => {}
                SaidKind::Amount(_) => unknown.push(fact.span),
                SaidKind::Tick if number == 0 => fact.key.clone_into(&mut tool.kind),
                SaidKind::Tick if DAILY.contains(&fact.key.as_str()) => tool.checked_daily = true,
                SaidKind::Tick => match due(fact) {
                    Some(date) => tool.due = Some(date),
                    None if has_figure => unknown.push(fact.span),
                    None => {}
                },
                _ => {}
            }
        }
        unknown.extend(tool.foreign_facts(said));
        (tool, unknown)
    }

    /// Facts of another kind than the instrument measures: a zero in newtons on a micrometer.
    fn foreign_facts(&self, said: &[Said]) -> Vec<Span> {
        let Some(kind) = self.instrument() else {
            return Vec::new();
        };
        let is_fact = |name: &str| matches!(name, "reads to" | "good to" | "repeats to" | "zero");
        said.iter()
            .filter_map(|fact| match &fact.kind {
                SaidKind::Amount(amount) if is_fact(&amount.name) => {
                    let unit = amount.unit?;
                    let share = unit.symbol == "%" && amount.name == "good to";
                    let fits = unit.dimension.difference() == kind.dimension.difference() || share;
                    (!fits).then_some(fact.span)
                }
                _ => None,
            })
            .collect()
    }

    /// Takes over a fact with a figure; false if it is not understood.
    fn add(&mut self, amount: &SaidAmount) -> bool {
        let Some(unit) = amount.unit else {
            return false;
        };
        // A step, an error and an offset are differences: 9 °F of them are 5 °C.
        let Some(figure) = unit.difference_to_base(amount.written) else {
            return false;
        };
        let either_way = !figure.is_sign_negative();
        let with_dimension = Some((figure, unit.dimension.difference()));
        match amount.name.as_str() {
            "reads to" if either_way => self.reads_to = with_dimension,
            "good to" if either_way && unit.symbol == "%" => self.good_to_share = Some(figure),
            "good to" if either_way => self.good_to = with_dimension,
            "repeats to" if either_way => self.repeats_to = with_dimension,
            "zero" => self.zero = with_dimension,
            // Nothing in a workshop is colder than dry ice.
            "at" if unit.dimension == Dimension::TEMPERATURE && amount.last > COLDEST => {
                self.temperature = Some(amount.last);
            }
            "rated" => self.add_rating(amount.last, amount.unit),
            // `10 t frame`: a rating that goes on from the one before.
            "" if self.rated.is_some() => self.add_rating(amount.last, amount.unit),
            "range" => match (amount.band.lo, amount.band.hi) {
                (Some(least), Some(most)) if least < most => self.range = Some((least, most, unit.dimension)),
                _ => return false,
            },
            _ => return false,
        }
        true
    }

    /// The kind of instrument it is, by its kind or else by its name.
    pub fn instrument(&self) -> Option<&'static Instrument> {
        instrument(&self.kind).or_else(|| instrument(&self.name.key))
    }

    /// The weakest part counts.
    fn add_rating(&mut self, figure: Decimal, unit: Option<&'static Unit>) {
        let Some(unit) = unit else { return };
        match self.rated {
            Some((least, known)) if known.dimension == unit.dimension && least <= figure => {}
            _ => self.rated = Some((figure, unit)),
        }
    }
}

/// The date behind `due`, written year first; `None` if the fact is another.
fn due(fact: &Said) -> Option<Word> {
    let date = fact.key.strip_prefix("due ")?;
    let mut parts = date.split('-').map(str::len);
    let shape = [parts.next(), parts.next(), parts.next(), parts.next()];
    let is_date = shape == [Some(4), Some(2), Some(2), None] && date.bytes().all(|b| b == b'-' || b.is_ascii_digit());
    // Blanks between the words may be more than one, so the date is counted from the end.
    let length = u32::try_from(date.len()).ok()?;
    is_date.then(|| Word {
        key: date.to_owned(),
        span: Span {
            start: fact.span.end.saturating_sub(length),
            end: fact.span.end,
        },
    })
}

/// What says that a tool is checked on each day it is used.
const DAILY: &[&str] = &[
    "checked daily",
    "checked each day",
    "check daily",
    "zero daily",
    "zeroed daily",
    "zero each day",
];

/// °C. Common practice, no source.
const COLDEST: Decimal = Decimal::from_parts(80, 0, 0, true, 0);

/// Kinds of tool that need no declaration: the plain names.
const PLAIN: &[&str] = &[
    "feelers",
    "feeler",
    "feeler gauge",
    "feeler gauges",
    "blades",
    "micrometer",
    "mic",
    "outside micrometer",
    "calliper",
    "caliper",
    "callipers",
    "calipers",
    "vernier",
    "dial",
    "dial indicator",
    "dti",
    "lever dti",
    "dial gauge",
    "bore gauge",
    "depth micrometer",
    "depth mic",
    "depth gauge",
    "telescopic gauge",
    "rule",
    "steel rule",
    "straight edge",
    "straight-edge",
    "torque wrench",
    "press gauge",
    "press",
    "plastic gauge",
    "solder",
    "burette",
    "scale",
    "scales",
    "balance",
    "spring balance",
    "thermometer",
    "ir thermometer",
    "height gauge",
    "protractor",
    "tachometer",
    "degree wheel",
    "compression gauge",
    "pressure gauge",
    "vacuum gauge",
    "leak-down tester",
    "stopwatch",
    "hour meter",
    "flow meter",
    "strobe",
    "hand",
    "eye",
];

/// Whether a name is the plain name of a kind of tool.
pub fn is_plain(key: &str) -> bool {
    PLAIN.contains(&key) || instrument(key).is_some()
}

/// The plain names, for suggestions.
pub fn plain_names() -> impl Iterator<Item = &'static str> {
    PLAIN.iter().copied()
}
