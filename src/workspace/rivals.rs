//! Which of two manuals of the shelf comes first for a log that names none: where both give limits for a feature, the one that knows more of the log's
//! other words. A piston clearance beside valves is that of a four-stroke.

use rustc_hash::{FxHashMap, FxHashSet};

use crate::model::manual::Manual;

/// The manuals of the shelf that speak of the same things, and all they know by name.
#[derive(Debug, Default)]
pub struct Rivals {
    /// Pairs of which each gives limits for a feature of the other; the first stands first on the shelf.
    pairs: Vec<(usize, usize)>,
    /// For each name of a feature or a step, the manuals that know it.
    known: FxHashMap<String, Vec<usize>>,
    /// How many manuals there are.
    count: usize,
}

impl Rivals {
    /// Looks through the manuals of the shelf, in their order.
    pub fn new(manuals: &[&Manual]) -> Rivals {
        let mut rivals = Rivals {
            count: manuals.len(),
            ..Rivals::default()
        };
        for (number, manual) in manuals.iter().enumerate() {
            let features = manual
                .features
                .iter()
                .flat_map(|f| std::iter::once(&f.name.key).chain(&f.also));
            let steps = manual.procedures.iter().flat_map(|p| &p.steps);
            let steps = steps.flat_map(|s| std::iter::once(&s.name.key).chain(&s.also));
            for name in features.chain(steps) {
                let list = rivals.known.entry(name.clone()).or_default();
                if !list.contains(&number) {
                    list.push(number);
                }
            }
        }
        let limited: Vec<FxHashSet<&str>> = manuals
            .iter()
            .map(|manual| {
                let own = manual.features.iter().filter(|f| !f.limits.is_empty());
                own.map(|f| f.name.key.as_str()).collect()
            })
            .collect();
        for (first, own) in limited.iter().enumerate() {
            for (second, others) in limited.iter().enumerate().skip(first + 1) {
                if !own.is_disjoint(others) {
                    rivals.pairs.push((first, second));
                }
            }
        }
        rivals
    }

    /// The order in which the manuals are asked about a log with these names: that of the shelf, but for rivals.
    pub fn order(&self, names: &FxHashSet<String>) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.count).collect();
        for (first, second) in &self.pairs {
            // What both know speaks for neither.
            let speaks_for = |one: &usize, other: &usize| {
                let knows = |name: &&String| {
                    self.known
                        .get(*name)
                        .is_some_and(|list| list.contains(one) && !list.contains(other))
                };
                names.iter().filter(knows).count()
            };
            if speaks_for(second, first) > speaks_for(first, second) {
                let place = |of: &usize| order.iter().position(|number| number == of);
                if let (Some(a), Some(b)) = (place(first), place(second))
                    && a < b
                {
                    order.swap(a, b);
                }
            }
        }
        order
    }
}
