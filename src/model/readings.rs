//! One reading: from the figure as written to its points, each a band in base units.

use rust_decimal::Decimal;

use super::conditions::Conditions;
use super::hand_sums;
use super::job::{Point, Reading, ReadingKind, Said, Stated, Word};
use super::units::{Meant, Quantity, UnitError, kinds_help, read};
use crate::quantity::{Band, Dimension, Unit, number};
use crate::syntax::Span;
use crate::syntax::ast::{Amount, Figure, SyntaxError, Value};
use crate::uncertainty::Shape;

/// What `±` means where nothing more is said: so much either way, anywhere between with equal right.
const PLAINLY_STATED: Stated = Stated::Within(Shape::Rectangular);

/// How a reading was taken, apart from its figure.
#[derive(Clone)]
pub(super) struct TakenAs<'a> {
    pub event: usize,
    pub name_span: Span,
    /// The dimension that the feature has.
    pub wanted: Option<Dimension>,
    /// The feature's name, for messages.
    pub feature: &'a str,
    pub tool: Option<Word>,
    pub conditions: Conditions,
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
    let mut reading = finish(figures, span, taken, problems);
    reading.angles = angles(&figure.value, text);
    reading
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
        temperature: taken.conditions.temperature,
        material: taken.conditions.material,
        stated: taken.conditions.stated.unwrap_or(PLAINLY_STATED),
        angles: Vec::new(),
        unsure: taken.unsure,
        mended: None,
        said: taken.said,
    }
}

/// The angles of a ring, degrees; none for all else, or where there are not as many as figures.
fn angles(value: &Value, text: &str) -> Vec<Decimal> {
    let Value::Ring(figures, angles) = value else {
        return Vec::new();
    };
    let read: Option<Vec<Decimal>> = angles.iter().map(|at| number::parse(at.text(text)).ok()).collect();
    read.filter(|angles| angles.len() == figures.len()).unwrap_or_default()
}

fn point(quantity: &Quantity, span: Span) -> Point {
    Point {
        band: Band::exact(quantity.base),
        half_width: None,
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
            let half = half_width(&middle, &spread)?;
            let mut figures = single(ReadingKind::PlusMinus, middle);
            if let Some(first) = figures.points.first_mut() {
                first.half_width = Some(half);
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

/// What stands behind `±` as a difference in base units: no offset, and `%` is a share of the figure before it.
fn half_width(middle: &Quantity, spread: &Quantity) -> Result<Decimal, UnitError> {
    let problem = |code, message: String, help: &str| {
        Box::new(SyntaxError {
            code,
            span: spread.span,
            message,
            help: help.to_owned(),
            suggestion: None,
        })
    };
    let difference = |unit: Option<&'static Unit>, figure: Decimal| match unit {
        Some(unit) => unit.difference_to_base(figure),
        None => Some(figure),
    };
    let half = if spread.dimension().difference() == middle.dimension().difference() {
        difference(spread.unit, spread.written)
    } else if spread.unit.is_some_and(|unit| unit.symbol == "%") && middle.dimension() != Dimension::TEMPERATURE {
        let share = difference(spread.unit, spread.written);
        let of_figure = share.and_then(|share| share.checked_mul(middle.written));
        of_figure.and_then(|figure| difference(middle.unit, figure))
    } else {
        return Err(problem(
            "reading.wrong-dimension",
            format!(
                "the figure is {}, but what stands behind `±` is {}",
                middle.dimension().name(),
                spread.dimension().name()
            ),
            "give both in units of the same kind, or the doubt as a share: `± 4 %`",
        ));
    };
    half.map(|half| half.abs()).ok_or_else(|| {
        problem(
            "reading.too-large",
            "this figure is too large to work with".to_owned(),
            "look at the unit and the decimal mark",
        )
    })
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
    // Where the doubt behind `±` is written too, it must be that of the reading.
    let same_doubt = |point: &Point| wanted.half_width.is_none() || point.half_width == wanted.half_width;
    reading.points.iter().position(|point| {
        let end = between && (point.band.lo == Some(wanted.best) || point.band.hi == Some(wanted.best));
        (point.band == wanted.band && same_doubt(point)) || (single && (point.best == wanted.best || end))
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
    let whole = was.kind != ReadingKind::Single;
    let has_ends = matches!(kind, ReadingKind::Blades | ReadingKind::OneBlade | ReadingKind::Range);
    if has_ends && !whole {
        // One blade of two, or one end of a range: the other stays.
        let end = if point.band.lo == Some(old_point.best) {
            &mut point.band.lo
        } else {
            &mut point.band.hi
        };
        *end = Some(new_point.best);
    } else {
        point.band = new_point.band;
    }
    let gains_doubt = kind == ReadingKind::Single && now.kind == ReadingKind::PlusMinus;
    let kind = if whole || gains_doubt { now.kind } else { kind };
    // A doubt behind `±` stays where only the figure before it is mended.
    let kept = point.half_width.filter(|_| !whole);
    let doubt = new_point.half_width.or(kept);
    point.half_width = doubt.filter(|_| kind == ReadingKind::PlusMinus);
    point.best = point.band.middle().unwrap_or(new_point.best);
    point.half_step = new_point.half_step;
    // In the unit that the reading has, whichever the correction names.
    let was_written = match (was.unit, own_unit) {
        (Some(unit), Some(own)) if unit != own => own.from_base(old_point.best).unwrap_or(old_point.written),
        _ => old_point.written,
    };
    point.written = match (now.unit, own_unit) {
        (Some(unit), Some(own)) if unit != own => own.from_base(point.best).unwrap_or(new_point.written),
        _ => new_point.written,
    };
    // The same figure written once for several, `18.2 x3`, is mended for all of them.
    let mended = *point;
    for same in reading.points.iter_mut().filter(|p| p.span == mended.span) {
        *same = mended;
    }
    reading.kind = kind;
    reading.mended = Some((event, was_written));
    Ok(())
}
