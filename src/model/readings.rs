//! One reading: from the figure as written to its points, each a band in base units.

use rust_decimal::Decimal;

use super::hand_sums;
use super::job::{Point, Reading, ReadingKind, Said, Stated, Word};
use super::units::{Meant, Quantity, UnitError, kinds_help, read};
use crate::quantity::{Band, Dimension, Unit};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Figure, SyntaxError, Value};
use crate::uncertainty::Shape;

/// How a reading was taken, apart from its figure.
#[derive(Clone)]
pub(super) struct TakenAs<'a> {
    pub event: usize,
    pub name_span: Span,
    /// The tool's permissible error, base units.
    pub good_to: Option<(Decimal, Dimension)>,
    /// The dimension that the feature has.
    pub wanted: Option<Dimension>,
    /// The feature's name, for messages.
    pub feature: &'a str,
    pub tool: Option<Word>,
    pub said: Vec<Said>,
    pub unsure: bool,
}

/// Figures read from a value.
struct Figures {
    kind: ReadingKind,
    points: Vec<Point>,
    unit: Option<&'static Unit>,
}

/// The reading of a line that has its figure on it. Its instance is filled in by the caller.
pub(super) fn taken(
    figure: &Figure,
    text: &str,
    meant: Meant,
    blades: Option<&'static Unit>,
    taken: TakenAs<'_>,
    problems: &mut Vec<SyntaxError>,
) -> Reading {
    let figures = match figures(&figure.value, text, meant, blades) {
        Ok(figures) => figures,
        Err(error) => {
            problems.push(*error);
            Figures {
                kind: ReadingKind::Single,
                points: Vec::new(),
                unit: None,
            }
        }
    };
    let span = if figure.span.is_empty() {
        taken.name_span
    } else {
        figure.span
    };
    finish(figures, span, taken, problems)
}

/// The reading of one cell of a table.
pub(super) fn cell(
    amount: &Amount,
    span: Span,
    text: &str,
    meant: Meant,
    taken: &TakenAs<'_>,
    problems: &mut Vec<SyntaxError>,
) -> Reading {
    let figures = match read(amount, text, meant) {
        Ok(quantity) => Figures {
            kind: ReadingKind::Single,
            unit: quantity.unit,
            points: vec![point(&quantity, span)],
        },
        Err(error) => {
            problems.push(*error);
            Figures {
                kind: ReadingKind::Single,
                points: Vec::new(),
                unit: None,
            }
        }
    };
    finish(figures, span, taken.clone(), problems)
}

fn finish(figures: Figures, span: Span, taken: TakenAs<'_>, problems: &mut Vec<SyntaxError>) -> Reading {
    let Figures { kind, mut points, unit } = figures;
    let dimension = unit.map_or(Dimension::NONE, |u| u.dimension);
    if let Some(wanted) = taken.wanted
        && wanted != dimension
        && !points.is_empty()
    {
        problems.push(SyntaxError {
            code: "reading.wrong-dimension",
            span,
            message: format!(
                "{} is {}, but this figure is {}",
                taken.feature,
                wanted.name(),
                dimension.name()
            ),
            help: kinds_help(wanted, dimension)
                .unwrap_or("look at the unit, or at the name")
                .to_owned(),
            suggestion: None,
        });
        points.clear();
    }
    if let Some((error, of)) = taken.good_to
        && of == dimension.difference()
        && matches!(kind, ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring)
    {
        for point in &mut points {
            if let Some(wider) = point.band.widen(error) {
                point.band = wider;
            }
        }
    }
    Reading {
        instance: 0,
        event: taken.event,
        name_span: taken.name_span,
        figure_span: span,
        points,
        kind,
        unit,
        tool: taken.tool,
        tool_index: None,
        temperature: None,
        material: None,
        stated: Stated::Within(Shape::Rectangular),
        angles: Vec::new(),
        unsure: taken.unsure,
        mended: None,
        said: taken.said,
    }
}

fn point(quantity: &Quantity, span: Span) -> Point {
    Point {
        band: Band::exact(quantity.base),
        plain: Band::exact(quantity.base),
        best: quantity.base,
        written: quantity.written,
        half_step: quantity.half_step,
        span,
    }
}

fn figures(value: &Value, text: &str, meant: Meant, blades: Option<&'static Unit>) -> Result<Figures, UnitError> {
    let single = |kind: ReadingKind, q: Quantity| Figures {
        kind,
        unit: q.unit,
        points: vec![point(&q, q.span)],
    };
    match value {
        Value::Empty | Value::Words(_) => Ok(Figures {
            kind: ReadingKind::NoFigure,
            points: Vec::new(),
            unit: meant.unit,
        }),
        Value::Single(amount) => read(amount, text, meant).map(|q| single(ReadingKind::Single, q)),
        Value::Times(amount, count) => {
            let q = read(amount, text, meant)?;
            let count = usize::try_from((*count).clamp(1, 1000)).unwrap_or(1);
            Ok(Figures {
                kind: ReadingKind::Repeats,
                unit: q.unit,
                points: vec![point(&q, q.span); count],
            })
        }
        Value::Many(list) => many(list, text, meant, ReadingKind::Repeats),
        Value::Ring(list, _) => many(list, text, meant, ReadingKind::Ring),
        Value::Stages(list) => many(list, text, meant, ReadingKind::Repeats),
        Value::Blades { go, no_go } => blade_figures(go.as_ref(), no_go.as_ref(), text, meant, blades),
        Value::Range(a, b) => range(a, b, text, meant),
        Value::PlusMinus(a, b) => {
            let middle = read(a, text, meant)?;
            let spread = read(
                b,
                text,
                Meant {
                    unit: middle.unit,
                    ..meant
                },
            )?;
            same_kind(&middle, &spread)?;
            let half = spread
                .unit
                .map_or(Some(spread.written), |u| u.difference_to_base(spread.written));
            let mut figures = single(ReadingKind::Range, middle);
            if let (Some(first), Some(half)) = (figures.points.first_mut(), half)
                && let Some(band) = first.band.widen(half.abs())
            {
                first.band = band;
                first.plain = band;
            }
            Ok(figures)
        }
        Value::Sum { first, terms, result } => {
            let q = read(result, text, meant)?;
            let worked = hand_sums::work(first, terms, q.unit, text);
            Ok(single(ReadingKind::Sum(worked), q))
        }
    }
}

/// Says so if a doubt is none of its figure: `52.00 mm ± 1 kg`. A doubt is a difference.
pub(super) fn same_kind(middle: &Quantity, spread: &Quantity) -> Result<(), UnitError> {
    let (of_middle, of_spread) = (middle.dimension().difference(), spread.dimension().difference());
    if of_middle == of_spread {
        return Ok(());
    }
    Err(Box::new(SyntaxError {
        code: "reading.wrong-dimension",
        span: spread.span,
        message: format!(
            "the figure is {}, but its doubt is {}",
            of_middle.name(),
            of_spread.name()
        ),
        help: "look at the unit".to_owned(),
        suggestion: None,
    }))
}

fn many(list: &[Amount], text: &str, meant: Meant, kind: ReadingKind) -> Result<Figures, UnitError> {
    let quantities: Vec<Quantity> = list.iter().map(|a| read(a, text, meant)).collect::<Result<_, _>>()?;
    Ok(Figures {
        kind,
        unit: quantities.last().and_then(|q| q.unit),
        points: quantities.iter().map(|q| point(q, q.span)).collect(),
    })
}

fn blade_figures(
    go: Option<&Amount>,
    no_go: Option<&Amount>,
    text: &str,
    meant: Meant,
    blades: Option<&'static Unit>,
) -> Result<Figures, UnitError> {
    let has_unit = [go, no_go].into_iter().flatten().any(|a| a.unit.is_some());
    let meant = Meant {
        unit: if has_unit { meant.unit } else { blades.or(meant.unit) },
        ..meant
    };
    let go = go.map(|a| read(a, text, meant)).transpose()?;
    let no_go = no_go.map(|a| read(a, text, meant)).transpose()?;
    let (kind, band, shown) = match (&go, &no_go) {
        (Some(a), Some(b)) => (ReadingKind::Blades, Band::blades(a.base, b.base), a),
        (Some(a), None) => (ReadingKind::OneBlade, Band::at_least(a.base), a),
        (None, Some(b)) => (
            ReadingKind::OneBlade,
            Band {
                hi_open: true,
                ..Band::at_most(b.base)
            },
            b,
        ),
        (None, None) => {
            return Ok(Figures {
                kind: ReadingKind::NoFigure,
                points: Vec::new(),
                unit: None,
            });
        }
    };
    let best = band.middle().unwrap_or(shown.base);
    let span = [&go, &no_go]
        .into_iter()
        .flatten()
        .fold(shown.span, |span, q| span.to(q.span));
    Ok(Figures {
        kind,
        unit: shown.unit,
        points: vec![Point {
            band,
            plain: band,
            best,
            ..point(shown, span)
        }],
    })
}

fn range(a: &Amount, b: &Amount, text: &str, meant: Meant) -> Result<Figures, UnitError> {
    let low = read(a, text, meant)?;
    let high = read(b, text, meant)?;
    if low.base > high.base {
        return Err(Box::new(SyntaxError {
            code: "line.unread",
            span: low.span.to(high.span),
            message: format!(
                "a range runs from the smaller figure to the larger, but {} is more than {}",
                low.written, high.written
            ),
            help: format!(
                "if it is a sum, write its result too: `{} - {} = {}`",
                low.written,
                high.written,
                low.written.checked_sub(high.written).unwrap_or_default()
            ),
            suggestion: None,
        }));
    }
    let band = Band::between(low.base, high.base);
    Ok(Figures {
        kind: ReadingKind::Range,
        unit: high.unit,
        points: vec![Point {
            band,
            plain: band,
            best: band.middle().unwrap_or(low.base),
            ..point(&low, low.span.to(high.span))
        }],
    })
}

/// Whether a reading has this figure, and which of its points.
fn point_with(reading: &Reading, old: &Figure, text: &str) -> Option<usize> {
    let meant = meant_of(reading);
    let was = figures(&old.value, text, meant, None).ok()?;
    let [wanted] = was.points.as_slice() else {
        return None;
    };
    let single = was.kind == ReadingKind::Single;
    let between = matches!(
        reading.kind,
        ReadingKind::Blades | ReadingKind::OneBlade | ReadingKind::Range
    );
    reading.points.iter().position(|point| {
        let end = between && (point.plain.lo == Some(wanted.best) || point.plain.hi == Some(wanted.best));
        point.plain == wanted.plain || (single && (point.best == wanted.best || end))
    })
}

fn meant_of(reading: &Reading) -> Meant {
    Meant {
        dimension: reading.unit.map(|u| u.dimension),
        unit: reading.unit,
    }
}

/// Whether a reading has the figure that a correction names.
pub(super) fn has(reading: &Reading, old: &Figure, text: &str) -> bool {
    point_with(reading, old, text).is_some()
}

/// Puts a new figure in the place of an old one, which [`has`] has found.
pub(super) fn mend(
    reading: &mut Reading,
    old: &Figure,
    new: &Figure,
    text: &str,
    event: usize,
) -> Result<(), UnitError> {
    let meant = meant_of(reading);
    let now = figures(&new.value, text, meant, None)?;
    let was = figures(&old.value, text, meant, None)?;
    let dimension = |unit: Option<&'static Unit>| unit.map_or(Dimension::NONE, |u| u.dimension);
    if dimension(now.unit) != dimension(reading.unit) {
        return Err(Box::new(SyntaxError {
            code: "reading.wrong-dimension",
            span: new.span,
            message: format!(
                "the new figure is {}, the old one was {}",
                dimension(now.unit).name(),
                dimension(reading.unit).name()
            ),
            help: kinds_help(dimension(reading.unit), dimension(now.unit))
                .unwrap_or("look at the unit")
                .to_owned(),
            suggestion: None,
        }));
    }
    let (Some(index), Some(new_point), Some(old_point)) =
        (point_with(reading, old, text), now.points.first(), was.points.first())
    else {
        return Ok(());
    };
    let (own_unit, kind) = (reading.unit, reading.kind.clone());
    let Some(point) = reading.points.get_mut(index) else {
        return Ok(());
    };
    let one_end = was.kind == ReadingKind::Single
        && !matches!(
            kind,
            ReadingKind::Single | ReadingKind::Repeats | ReadingKind::Ring | ReadingKind::Sum(_)
        );
    let half_width = point
        .band
        .width()
        .zip(point.plain.width())
        .and_then(|(w, p)| w.checked_sub(p)?.checked_div(Decimal::TWO));
    let mut plain = new_point.plain;
    if one_end {
        // One blade of two, or one end of a range: the other stays.
        plain = point.plain;
        let end = if plain.lo == Some(old_point.best) {
            &mut plain.lo
        } else {
            &mut plain.hi
        };
        *end = Some(new_point.best);
    }
    point.plain = plain;
    point.band = half_width.and_then(|half| plain.widen(half)).unwrap_or(plain);
    point.best = plain.middle().unwrap_or(new_point.best);
    point.half_step = new_point.half_step;
    let was_written = old_point.written;
    point.written = match (now.unit, own_unit) {
        (Some(unit), Some(own)) if unit != own => own.from_base(point.best).unwrap_or(new_point.written),
        _ => new_point.written,
    };
    if was.kind != ReadingKind::Single {
        reading.kind = now.kind;
    }
    reading.mended = Some((event, was_written));
    Ok(())
}
