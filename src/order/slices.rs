//! A log by parts: what was done on the one cylinder comes after what was done on that cylinder.

use std::collections::BTreeSet;

use super::{Occurrence, Trace};

/// More names than this, and a log is not sliced: no job has so many parts.
const MOST_NAMES: usize = 200;

impl<'a, S: Copy + Eq> Trace<'a, S> {
    /// The names by which steps are told apart: those that the occurrences of both kinds say, if they have one in common; else none.
    pub(super) fn names(&self, left: &[S], right: &[S]) -> Vec<&'a str> {
        let said = |of: &[S]| -> BTreeSet<&'a str> {
            let own = self.occurrences.iter().filter(|o| of.contains(&o.step));
            own.flat_map(|o| o.on.iter().copied()).collect()
        };
        let left = said(left);
        if left.is_empty() {
            return Vec::new();
        }
        let right = said(right);
        if left.is_disjoint(&right) {
            return Vec::new();
        }
        let all: Vec<&str> = left.union(&right).copied().collect();
        if all.len() > MOST_NAMES { Vec::new() } else { all }
    }

    /// The slices a pattern is asked of: for each name the occurrences that say it or say none; without names the whole log. Indices into
    /// `occurrences`.
    pub(super) fn slices(&self, names: &[&str]) -> Vec<Vec<usize>> {
        if names.is_empty() {
            return vec![(0..self.occurrences.len()).collect()];
        }
        let is_on = |o: &Occurrence<'_, S>, name: &&str| o.on.is_empty() || o.on.contains(name);
        names
            .iter()
            .map(|name| {
                let own = self.occurrences.iter().enumerate().filter(|(_, o)| is_on(o, name));
                own.map(|(index, _)| index).collect()
            })
            .collect()
    }
}
