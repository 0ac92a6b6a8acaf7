//! A figure over the meter: readings with all they may be off by, the line of each life with its band, the limit, and where a life began anew.

use maud::{Markup, html};

use super::{at, sign};
use crate::quantity::Verdict;

const WIDTH: f64 = 680.0;
const HEIGHT: f64 = 250.0;
const LEFT: f64 = 20.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 26.0;
const BASE: f64 = 210.0;
/// How far a changed meter stands behind the old one, in parts of all that is drawn.
const GAP: f64 = 0.15;
/// What is left free above and below the outermost figure, in parts of the height.
const FREE: f64 = 0.12;
/// Labels nearer to each other than this stand above and below in turn.
const NEAR: f64 = 76.0;
/// Labels of the meter nearer than this are left out.
const CLOSE: f64 = 34.0;

/// A reading, in the unit of the picture.
#[derive(Clone, Debug)]
pub struct Dot {
    /// What the meter showed.
    pub meter: f64,
    /// The same in words.
    pub at: String,
    /// The figure.
    pub value: f64,
    /// The least it may be.
    pub low: f64,
    /// The greatest.
    pub high: f64,
    /// The figure in words.
    pub words: String,
    /// Whether the line goes through it.
    pub counts: bool,
    /// Whether it lies off the line.
    pub is_stray: bool,
    /// Its verdict by the limit.
    pub verdict: Option<Verdict>,
}

/// A life.
#[derive(Clone, Debug)]
pub struct Course {
    /// Its name: `life 2`.
    pub name: String,
    /// Whether its meter is another than that of the life before.
    pub is_new_meter: bool,
    /// Its readings, at least one.
    pub dots: Vec<Dot>,
    /// Its line: meter, figure, half of the band; two points or more.
    pub line: Vec<(f64, f64, f64)>,
}

/// One feature of a machine.
#[derive(Clone, Debug)]
pub struct Chart {
    /// Its lives in order.
    pub lives: Vec<Course>,
    /// The ends of its limit, each with its words.
    pub limit: [Option<(f64, String)>; 2],
    /// What it shows, in a few words.
    pub title: String,
    /// What it shows, in full.
    pub says: String,
    /// The unit of the meter.
    pub meter: String,
}

/// From figures to the picture.
struct Ground {
    from: (f64, f64),
    to: (f64, f64),
}

impl Ground {
    /// Over everything that is drawn but for bands, which may be as wide as they like.
    fn of(lives: &[Course], limit: &[Option<(f64, String)>; 2]) -> Option<Ground> {
        let dots = || lives.iter().flat_map(|life| &life.dots);
        let ends = limit.iter().flatten().map(|(end, _)| *end);
        let heights = dots().flat_map(|dot| [dot.value, dot.low, dot.high]).chain(ends);
        let (bottom, top) = span(heights)?;
        let (first, last) = span(dots().map(|dot| dot.meter))?;
        let high = if top > bottom {
            top - bottom
        } else {
            top.abs().max(1e-6)
        };
        let free = high * FREE;
        let wide = ((last - first) * 0.06).max(1.0);
        Some(Ground {
            from: (first - wide, bottom - free),
            to: (last + wide, top + free),
        })
    }

    fn x(&self, meter: f64) -> f64 {
        LEFT + (meter - self.from.0) / (self.to.0 - self.from.0) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, value: f64) -> f64 {
        let share = (value - self.from.1) / (self.to.1 - self.from.1);
        BASE - share.clamp(0.0, 1.0) * (BASE - TOP)
    }
}

/// The least and the greatest of what is finite.
fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.filter(|value| value.is_finite()).fold(None, |span, value| {
        let (least, most) = span.unwrap_or((value, value));
        Some((f64::min(least, value), f64::max(most, value)))
    })
}

/// Lives one behind the other: where the meter was changed its readings go on a little behind where the old one stopped.
fn in_a_row(lives: &[Course]) -> Vec<Course> {
    let mut list = lives.to_vec();
    let long: f64 = lives
        .iter()
        .filter_map(|life| span(life.dots.iter().map(|dot| dot.meter)))
        .map(|(first, last)| last - first)
        .sum();
    let mut shift = 0.0;
    let mut last = f64::NEG_INFINITY;
    for life in &mut list {
        let first = life.dots.iter().map(|dot| dot.meter).fold(f64::INFINITY, f64::min);
        if (life.is_new_meter || first + shift < last) && last.is_finite() && first.is_finite() {
            shift = last - first + long * GAP;
        }
        for dot in &mut life.dots {
            dot.meter += shift;
            last = last.max(dot.meter);
        }
        for point in &mut life.line {
            point.0 += shift;
        }
    }
    list
}

/// The picture; nothing where there is nothing to draw.
pub fn trend(chart: &Chart) -> Markup {
    let lives = in_a_row(&chart.lives);
    let Some(ground) = Ground::of(&lives, &chart.limit) else {
        return html! {};
    };
    let [lower, upper] = &chart.limit;
    let within = [lower, upper].map(|end| end.as_ref().map(|(end, _)| ground.y(*end)));
    let (floor, ceiling) = (within[0].unwrap_or(BASE), within[1].unwrap_or(TOP));
    html! {
        svg class="trend" viewBox={ "0 0 " (at(WIDTH)) " " (at(HEIGHT)) } role="img" {
            title { (chart.title) }
            desc { (chart.says) }
            @if lower.is_some() || upper.is_some() {
                rect class="way" x=(at(LEFT)) y=(at(ceiling)) width=(at(WIDTH - LEFT - RIGHT)) height=(at((floor - ceiling).max(0.0))) {}
            }
            @for (end, words) in chart.limit.iter().flatten() {
                path class="most" d={ "M" (at(LEFT)) " " (at(ground.y(*end))) "H" (at(WIDTH - RIGHT)) } {}
                text class="tick" x=(at(LEFT + 4.0)) y=(at(ground.y(*end) - 5.0)) { (words) }
            }
            path class="true" d={ "M" (at(LEFT)) " " (at(BASE)) "H" (at(WIDTH - RIGHT)) } {}
            @for (number, life) in lives.iter().enumerate() { (course(life, beside(&lives, number, &ground), &ground)) }
            (meters(&lives, &ground))
            text class="tick" x=(at(WIDTH - RIGHT)) y=(at(HEIGHT - 6.0)) text-anchor="end" { (chart.meter) }
        }
    }
}

/// What stands beside a life.
#[derive(Clone, Copy)]
struct Beside {
    /// Whether another stands before it.
    is_later: bool,
    /// Whether there is room for its name.
    is_named: bool,
    /// Whether the next one begins close to its end.
    is_followed: bool,
}

fn beside(lives: &[Course], number: usize, ground: &Ground) -> Beside {
    let begins = |at: usize| Some(ground.x(lives.get(at)?.dots.first()?.meter));
    let ends = lives
        .get(number)
        .and_then(|life| life.dots.last())
        .map(|dot| ground.x(dot.meter));
    let before = number.checked_sub(1).and_then(begins);
    let is_apart = |a: Option<f64>, b: Option<f64>| a.zip(b).is_none_or(|(a, b)| (b - a).abs() >= NEAR / 1.5);
    Beside {
        is_later: number > 0,
        is_named: number == 1 || is_apart(before, begins(number)),
        is_followed: !is_apart(ends, begins(number + 1)),
    }
}

/// Where the words of a dot stand: x, y, and which end of them that is.
type Label = (f64, f64, &'static str);

fn labels(life: &Course, beside: Beside, ground: &Ground) -> Vec<Label> {
    let mut above = true;
    let mut before = f64::NEG_INFINITY;
    let count = life.dots.len();
    let place = |(number, dot): (usize, &Dot)| {
        let x = ground.x(dot.meter);
        above = x - before >= NEAR || !above;
        before = x;
        match () {
            // The first of a later life stands close to the line where it begins, and the last before it to its other side.
            () if beside.is_later && number == 0 => (x + 8.0, ground.y(dot.low.min(dot.value)) + 14.0, "start"),
            () if beside.is_followed && number + 1 == count => {
                (x - 8.0, ground.y(dot.high.max(dot.value)) - 6.0, "end")
            }
            () if above => (x, ground.y(dot.high.max(dot.value)) - 8.0, "middle"),
            () => (x, ground.y(dot.low.min(dot.value)) + 15.0, "middle"),
        }
    };
    life.dots.iter().enumerate().map(place).collect()
}

fn course(life: &Course, beside: Beside, ground: &Ground) -> Markup {
    let begins = life.dots.first().map_or(0.0, |dot| ground.x(dot.meter));
    html! {
        @if beside.is_later {
            path class="axis" d={ "M" (at(begins)) " " (at(TOP - 8.0)) "V" (at(BASE)) } {}
            @if beside.is_named { text class="name" x=(at(begins)) y=(at(TOP - 12.0)) text-anchor="middle" { (life.name) } }
        }
        @if life.line.len() > 1 {
            path class="band" d=(band(&life.line, ground)) {}
            path class="moved" d=(polyline(life.line.iter().map(|(meter, value, _)| (ground.x(*meter), ground.y(*value))))) {}
        }
        @for (dot, (left, top, anchor)) in life.dots.iter().zip(labels(life, beside, ground)) {
            @let (x, y) = (ground.x(dot.meter), ground.y(dot.value));
            @let past = if dot.counts { "" } else { " stale" };
            @let colour = super::class(dot.verdict);
            g class={ (colour) (past) } {
                path class="reach" d={ "M" (at(x)) " " (at(ground.y(dot.low))) "V" (at(ground.y(dot.high))) } {}
                (sign(dot.verdict, x, y, 3.5))
            }
            @if dot.is_stray { circle class="v-out then" cx=(at(x)) cy=(at(y)) r="10" {} }
            text class="tick" x=(at(left)) y=(at(top)) text-anchor=(anchor) { (dot.words) }
        }
    }
}

/// The band about a line: along its upper edge, and back along the lower.
fn band(line: &[(f64, f64, f64)], ground: &Ground) -> String {
    let edge =
        |sign: f64| move |(meter, value, half): &(f64, f64, f64)| (ground.x(*meter), ground.y(value + sign * half));
    let there = line.iter().map(edge(1.0));
    let back = line.iter().rev().map(edge(-1.0));
    let mut path = polyline(there.chain(back));
    path.push('z');
    path
}

fn polyline(points: impl Iterator<Item = (f64, f64)>) -> String {
    let mut path = String::new();
    for (x, y) in points {
        path.push(if path.is_empty() { 'M' } else { 'L' });
        path.push_str(&format!("{} {}", at(x), at(y)));
    }
    path
}

/// What the meter showed at each reading, as far as there is room.
fn meters(lives: &[Course], ground: &Ground) -> Markup {
    let mut places: Vec<(f64, &str)> = lives
        .iter()
        .flat_map(|life| &life.dots)
        .map(|dot| (ground.x(dot.meter), dot.at.as_str()))
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(b.1)));
    let mut last = f64::NEG_INFINITY;
    places.retain(|(x, _)| {
        let has_room = x - last >= CLOSE;
        if has_room {
            last = *x;
        }
        has_room
    });
    html! {
        @for (x, words) in places {
            path class="true" d={ "M" (at(x)) " " (at(BASE)) "v5" } {}
            text class="tick" x=(at(x)) y=(at(BASE + 18.0)) text-anchor="middle" { (words) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dot(meter: f64, value: f64) -> Dot {
        Dot {
            meter,
            at: format!("{meter}"),
            value,
            low: value - 0.01,
            high: value + 0.01,
            words: format!("{value} <mm>"),
            counts: true,
            is_stray: false,
            verdict: Some(Verdict::In),
        }
    }

    fn chart(lives: Vec<Course>) -> Chart {
        Chart {
            lives,
            limit: [None, Some((0.60, "up to 0.60 mm".to_owned()))],
            title: "side play".to_owned(),
            says: "two readings".to_owned(),
            meter: "h".to_owned(),
        }
    }

    fn life(dots: Vec<Dot>, is_new_meter: bool) -> Course {
        let line = dots.iter().map(|dot| (dot.meter, dot.value, 0.02)).collect();
        Course {
            name: "life".to_owned(),
            is_new_meter,
            dots,
            line,
        }
    }

    #[test]
    fn more_wear_stands_higher_and_later_stands_further_right() {
        let lives = [life(vec![dot(0.0, 0.40), dot(100.0, 0.50)], false)];
        let ground = Ground::of(&lives, &[None, Some((0.60, String::new()))]).expect("a ground");
        assert!(ground.x(0.0) < ground.x(100.0) && ground.y(0.40) > ground.y(0.50) && ground.y(0.50) > ground.y(0.60));
        // Evenly.
        assert!((2.0 * ground.y(0.50) - ground.y(0.40) - ground.y(0.60)).abs() < 1e-9);
    }

    #[test]
    fn a_changed_meter_goes_on_where_the_old_one_stopped() {
        let lives = [
            life(vec![dot(20.0, 0.40), dot(100.0, 0.50)], false),
            life(vec![dot(3.0, 0.50), dot(43.0, 0.55)], true),
        ];
        let row = in_a_row(&lives);
        let meters: Vec<f64> = row.iter().flat_map(|life| &life.dots).map(|dot| dot.meter).collect();
        // 80 h and 40 h are drawn: 0.15 of that lies between the two.
        assert_eq!(meters, [20.0, 100.0, 118.0, 158.0]);
        // The labels are those of the meter.
        assert_eq!(row[1].dots[1].at, "43");
    }

    #[test]
    fn words_are_escaped_and_nothing_is_no_number() {
        let mut odd = dot(50.0, 0.45);
        odd.low = f64::NEG_INFINITY;
        odd.is_stray = true;
        let text = trend(&chart(vec![life(vec![dot(0.0, 0.40), odd, dot(100.0, 0.50)], false)])).into_string();
        assert!(text.contains("0.4 &lt;mm&gt;") && !text.contains("<mm>"));
        assert!(!text.contains("NaN") && !text.contains("inf") && !text.contains("style="));
        assert!(text.contains("<title>side play</title>") && text.contains("<desc>two readings</desc>"));
        assert!(text.contains("v-out then"));
        // In a page a shape that is not closed would swallow all that follows it.
        let shapes = |end: &str| text.matches(end).count();
        for shape in ["rect", "path", "circle"] {
            assert!(shapes(&format!("<{shape} ")) > 0, "{shape}");
        }
        assert_eq!(shapes("<rect "), shapes("</rect>"));
        assert_eq!(shapes("<circle "), shapes("</circle>"));
        assert_eq!(trend(&chart(Vec::new())).into_string(), "");
    }
}
