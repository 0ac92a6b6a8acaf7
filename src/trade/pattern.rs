//! In which order the bolts of a joint are tightened, and in which stages.

/// How the bolts of a joint stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// In a ring, counted round.
    Ring(usize),
    /// In rows of so many, counted row by row.
    Rows(usize, usize),
}

/// The most bolts an order is made for.
pub const MOST: usize = 64;

impl Layout {
    /// How many bolts.
    pub fn count(self) -> usize {
        match self {
            Layout::Ring(count) => count,
            Layout::Rows(rows, each) => rows.saturating_mul(each),
        }
    }

    fn place(self, bolt: usize) -> (f64, f64) {
        match self {
            Layout::Ring(count) => {
                let (sin, cos) = (std::f64::consts::TAU * bolt as f64 / count.max(1) as f64).sin_cos();
                (cos, sin)
            }
            Layout::Rows(_, each) => {
                let each = each.max(1);
                ((bolt % each) as f64, (bolt / each) as f64)
            }
        }
    }

    /// The order of tightening, bolts counted from 1: round a ring crosswise, in rows from the middle outwards, each time as far from the last as may be.
    /// Common practice; the machine's manual comes first. Empty for none, or more than [`MOST`].
    pub fn order(self) -> Vec<usize> {
        let count = self.count();
        if count > MOST {
            return Vec::new();
        }
        let mut left: Vec<usize> = (0..count).collect();
        let mut order: Vec<usize> = Vec::with_capacity(count);
        let distance = |a: usize, b: usize| {
            let ((ax, ay), (bx, by)) = (self.place(a), self.place(b));
            (ax - bx).hypot(ay - by)
        };
        let middle = self.middle();
        while !left.is_empty() {
            // Rounded, so that bolts of one distance are told apart by the next question, and at last by their number.
            let near = |value: f64| (value * 1e6).round();
            let rank = |bolt: usize| {
                let from_last = order.last().map_or(0.0, |last| distance(bolt, *last));
                let first = match self {
                    Layout::Ring(_) => {
                        let nearest = order.iter().map(|done| distance(bolt, *done));
                        nearest.fold(f64::INFINITY, f64::min)
                    }
                    Layout::Rows(..) => {
                        let (x, y) = self.place(bolt);
                        -(x - middle.0).hypot(y - middle.1)
                    }
                };
                (near(first), near(from_last))
            };
            let best = left.iter().copied().reduce(|best, bolt| {
                let (a, b) = (rank(best), rank(bolt));
                if b.0 > a.0 || (b.0 == a.0 && b.1 > a.1) {
                    bolt
                } else {
                    best
                }
            });
            let Some(best) = best else { break };
            left.retain(|bolt| *bolt != best);
            order.push(best);
        }
        order.into_iter().map(|bolt| bolt + 1).collect()
    }

    fn middle(self) -> (f64, f64) {
        match self {
            Layout::Ring(_) => (0.0, 0.0),
            Layout::Rows(rows, each) => (
                (each.saturating_sub(1)) as f64 / 2.0,
                (rows.saturating_sub(1)) as f64 / 2.0,
            ),
        }
    }
}

/// Shares of the final torque for so many stages: 40, 70 and 100 % for three. Common practice, no source.
pub fn stages(count: usize) -> Vec<f64> {
    match count {
        0 | 1 => vec![1.0],
        2 => vec![0.5, 1.0],
        3 => vec![0.4, 0.7, 1.0],
        more => {
            let more = more.min(9);
            (1..=more)
                .map(|stage| 0.3 + 0.7 * (stage - 1) as f64 / (more - 1) as f64)
                .collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice, as joints of so many bolts are drawn in workshop books.
    #[test]
    fn rings_are_tightened_crosswise() {
        assert_eq!(Layout::Ring(4).order(), [1, 3, 2, 4]);
        assert_eq!(Layout::Ring(5).order(), [1, 3, 5, 2, 4]);
        assert_eq!(Layout::Ring(6).order(), [1, 4, 2, 5, 3, 6]);
        assert_eq!(Layout::Ring(8).order(), [1, 5, 3, 7, 2, 6, 4, 8]);
    }

    #[test]
    fn rows_are_tightened_from_the_middle_outwards() {
        // 1 2 3 4 5 over 6 7 8 9 10: the middle pair, then outwards, crosswise.
        assert_eq!(Layout::Rows(2, 5).order(), [3, 8, 2, 9, 7, 4, 6, 5, 1, 10]);
        assert_eq!(Layout::Rows(2, 2).order(), [1, 4, 2, 3]);
    }

    #[test]
    fn every_bolt_is_tightened_once() {
        for layout in (0..=MOST)
            .map(Layout::Ring)
            .chain([Layout::Rows(3, 7), Layout::Rows(1, 6)])
        {
            let mut order = layout.order();
            order.sort_unstable();
            assert_eq!(order, (1..=layout.count()).collect::<Vec<_>>());
        }
        assert!(Layout::Rows(usize::MAX, usize::MAX).order().is_empty());
    }
}
