//! What holds of any history.

use gudgeon::history::{Fit, Spot, left, rate};
use gudgeon::judge::traces::{Doubt, Point};
use gudgeon::quantity::Band;
use gudgeon::report::trend;
use gudgeon::uncertainty::line::Line;
use proptest::prelude::*;
use rust_decimal::Decimal;

use super::*;

/// A reading that may be off by so much either way, of which `open` is left by blades.
fn spot(meter: f64, figure: Decimal, half: f64, open: f64) -> Spot {
    let best: f64 = figure.to_string().parse().unwrap();
    Spot {
        job: 0,
        meter: Some(meter),
        counts: true,
        is_stray: false,
        point: Point {
            line: 1,
            date: None,
            stage: "service".into(),
            meter: Some(0),
            best: figure,
            between: (best - open, best + open),
            expanded: 2.0 * half / 3.0_f64.sqrt(),
            doubt: Doubt {
                u: half / 3.0_f64.sqrt(),
                dof: f64::INFINITY,
                bound: half,
                shared: Box::default(),
            },
            begins: None,
        },
    }
}

fn points() -> impl Strategy<Value = Vec<(f64, i64, f64, f64)>> {
    let one = (0_u32..60, 300_i64..600, 0.0..0.02, 0.0..0.02);
    let all = prop::collection::vec(one, 2..6);
    // No two at one meter reading.
    all.prop_map(|list| {
        let each = list.into_iter().enumerate();
        each.map(|(at, (gap, figure, half, open))| (at as f64 * 100.0 + f64::from(gap), figure, half, open))
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// The more readings may be off, the wider is what is left; it is never known better for it.
    #[test]
    fn more_doubt_never_narrows_what_is_left(list in points(), more in 0.0..0.02) {
        let limit = Band::between(Decimal::new(20, 2), Decimal::new(70, 2));
        let told = |more: f64| {
            let spots: Vec<Spot> = list
                .iter()
                .map(|(meter, figure, half, open)| spot(*meter, Decimal::new(*figure, 3), half + more, *open))
                .collect();
            let rate = rate(&spots, "h").unwrap();
            let last = spots.last().unwrap();
            let now = (last.point.low(), last.point.high());
            (rate, left(last.point.between, now, last.meter.unwrap(), &limit, Some(&rate)).unwrap())
        };
        let ((narrow, less), (wide, most)) = (told(0.0), told(more));
        let nearly = 1e-9;
        prop_assert!(wide.low <= narrow.low + nearly && wide.high >= narrow.high - nearly);
        prop_assert!(most.least <= less.least * (1.0 + nearly) + nearly);
        match (less.most, most.most) {
            (None, now) => prop_assert_eq!(now, None),
            (Some(then), Some(now)) => prop_assert!(now >= then * (1.0 - nearly) - nearly),
            (Some(_), None) => {}
        }
        // The best rate lies in its own interval, and the least in what is left.
        prop_assert!(wide.low <= wide.best && wide.best <= wide.high);
        prop_assert!(most.most.is_none_or(|most_left| most.least <= most_left + nearly));
    }

    /// `linregress` draws the line of the closed formulas.
    #[test]
    fn the_line_is_that_of_the_closed_formulas(list in prop::collection::vec((0.0..5000.0, -1.0..1.0), 3..30)) {
        let (Some(fit), Some(line)) = (Fit::through(&list), Line::through(&list)) else { return Ok(()) };
        let spread = fit.spread / list.len() as f64;
        prop_assume!(spread > 1.0);
        let scale = line.u_slope.max(line.slope.abs()).max(1e-9);
        prop_assert!((fit.slope - line.slope).abs() <= 1e-9 * scale, "{} {}", fit.slope, line.slope);
        prop_assert!((fit.u_slope - line.u_slope).abs() <= 1e-7 * scale, "{} {}", fit.u_slope, line.u_slope);
        prop_assert!((fit.at(0.0) - line.level).abs() <= 1e-8 * (1.0 + line.level.abs()));
    }

    /// The order in which files are given changes no byte.
    #[test]
    fn the_order_of_files_changes_nothing(order in Just((0..6).collect::<Vec<usize>>()).prop_shuffle()) {
        let read = |at: &usize| {
            let log = format!("2026-0{}-10 service\nside play = 0.4{at} mm\nbore of cylinder 1 = 54.0{at} mm\n", at + 1);
            job(&format!("j{at}"), &format!("{}", at * 50), &log)
        };
        let sorted: Vec<Logged> = (0..6).map(|at| read(&at)).collect();
        let shuffled: Vec<Logged> = order.iter().map(read).collect();
        let written = |jobs: &[Logged]| {
            let history = history(jobs);
            (trend::json(&history, &[]), trend::csv(&history), trend::text(&history, 100))
        };
        prop_assert_eq!(written(&sorted), written(&shuffled));
    }
}
