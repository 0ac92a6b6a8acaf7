//! The patterns, and what a log makes of them.

use super::Trace;

/// What may be asked of the order of steps. `⊨` gives the formula: `s` for the step, `b` for any of the others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pattern<S> {
    /// At least one of these is done. ⊨ F s
    Done(Vec<S>),
    /// Done at most once. ⊨ ¬F(s ∧ X F s)
    Once(S),
    /// `step` is not done before one of `first`. ⊨ (¬s U b) ∨ G ¬s; where `first` need not be done at all: F b → that.
    After {
        /// The later step.
        step: S,
        /// The steps one of which comes first.
        first: Vec<S>,
        /// Whether one of them must be done.
        is_owed: bool,
    },
    /// The step done just before is one of these. ⊨ ¬s ∧ G(X s → b)
    DirectlyAfter {
        /// The later step.
        step: S,
        /// What comes just before.
        first: Vec<S>,
    },
    /// Followed by one of these. ⊨ G(s → X F b)
    Then {
        /// The earlier step.
        step: S,
        /// What follows.
        next: Vec<S>,
    },
    /// The very next step is one of these. ⊨ G(s → X b)
    ThenDirectly {
        /// The earlier step.
        step: S,
        /// What comes next.
        next: Vec<S>,
    },
    /// Not both are done. ⊨ ¬(F s ∧ F b)
    NotWith(S, S),
    /// One kind of these is done, and only one. ⊨ (F a ∨ F b ∨ …) ∧ ¬(F a ∧ F b) ∧ …
    OneOf(Vec<S>),
}

/// What a log makes of a pattern. The order is the order of weight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum State {
    /// It holds as the log stands.
    #[default]
    Kept,
    /// It does not hold yet, and may still.
    Open,
    /// It does not hold, and nothing that could be added would make it hold.
    Broken,
}

/// Where a pattern does not hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Breach {
    /// The occurrence in question: an index into the trace; `None` if nothing was done.
    pub at: Option<usize>,
    /// The occurrence it is held against, if there is one.
    pub other: Option<usize>,
    /// `Open` or `Broken`.
    pub state: State,
}

/// What a log makes of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// The worst of its parts.
    pub state: State,
    /// Each place where it does not hold, in order, none twice.
    pub breaches: Vec<Breach>,
}

impl<S: Copy + Eq> Pattern<S> {
    /// What a log makes of it.
    pub fn of(&self, trace: &Trace<'_, S>) -> Outcome {
        let mut breaches: Vec<Breach> = Vec::new();
        for slice in trace.slices(&self.names(trace)) {
            let mut looked = Looked {
                trace,
                slice,
                breaches: Vec::new(),
            };
            self.look(&mut looked);
            for breach in looked.breaches {
                if !breaches.contains(&breach) {
                    breaches.push(breach);
                }
            }
        }
        breaches.sort_by_key(|breach| breach.at);
        Outcome {
            state: breaches.iter().map(|b| b.state).max().unwrap_or(State::Kept),
            breaches,
        }
    }

    /// The parts it is asked for one by one; none: for the whole log.
    fn names<'a>(&self, trace: &Trace<'a, S>) -> Vec<&'a str> {
        match self {
            Pattern::Done(_) => Vec::new(),
            Pattern::Once(step) => trace.names(&[*step], &[*step]),
            Pattern::After { step, first, .. } | Pattern::DirectlyAfter { step, first } => trace.names(&[*step], first),
            Pattern::Then { step, next } | Pattern::ThenDirectly { step, next } => trace.names(&[*step], next),
            Pattern::NotWith(step, other) => trace.names(&[*step], &[*other]),
            Pattern::OneOf(steps) => match steps.split_first() {
                Some((step, others)) => trace.names(&[*step], others),
                None => Vec::new(),
            },
        }
    }

    fn look(&self, at: &mut Looked<'_, '_, S>) {
        match self {
            Pattern::Done(steps) => {
                if at.first(steps).is_none() {
                    at.owed(None);
                }
            }
            Pattern::Once(step) => {
                let all = at.all(&[*step]);
                if let Some((first, more)) = all.split_first() {
                    for again in more {
                        at.broken(*again, Some(*first));
                    }
                }
            }
            Pattern::After { step, first, is_owed } => {
                let Some(done) = at.first(&[*step]) else { return };
                match at.first(first) {
                    Some(before) if before < done => {}
                    Some(late) => at.broken(done, Some(late)),
                    None if *is_owed => at.broken(done, None),
                    None => {}
                }
            }
            Pattern::DirectlyAfter { step, first } => {
                for (place, done) in at.places(*step) {
                    let before = place.checked_sub(1).and_then(|place| at.slice.get(place)).copied();
                    if !before.is_some_and(|before| at.is(before, first)) {
                        at.broken(done, before);
                    }
                }
            }
            Pattern::Then { step, next } => {
                let Some(last) = at.all(&[*step]).last().copied() else {
                    return;
                };
                let follows = at.all(next).last().is_some_and(|next| *next > last);
                if !follows {
                    at.owed(Some(last));
                }
            }
            Pattern::ThenDirectly { step, next } => {
                for (place, done) in at.places(*step) {
                    match at.slice.get(place + 1).copied() {
                        Some(after) if at.is(after, next) => {}
                        Some(after) => at.broken(done, Some(after)),
                        None => at.owed(Some(done)),
                    }
                }
            }
            Pattern::NotWith(step, other) => {
                if let Some((one, two)) = at.first(&[*step]).zip(at.first(&[*other])) {
                    at.broken(one.max(two), Some(one.min(two)));
                }
            }
            Pattern::OneOf(steps) => {
                let mut done: Vec<usize> = steps.iter().filter_map(|step| at.first(&[*step])).collect();
                done.sort_unstable();
                match done.as_slice() {
                    [] => at.owed(None),
                    [first, more @ ..] => {
                        for other in more {
                            at.broken(*other, Some(*first));
                        }
                    }
                }
            }
        }
    }
}

/// One slice of a log, looked at.
struct Looked<'t, 'a, S> {
    trace: &'t Trace<'a, S>,
    /// Indices into the trace, in order.
    slice: Vec<usize>,
    breaches: Vec<Breach>,
}

impl<S: Copy + Eq> Looked<'_, '_, S> {
    fn is(&self, index: usize, steps: &[S]) -> bool {
        self.trace
            .occurrences
            .get(index)
            .is_some_and(|o| steps.contains(&o.step))
    }

    fn first(&self, steps: &[S]) -> Option<usize> {
        self.slice.iter().copied().find(|index| self.is(*index, steps))
    }

    fn all(&self, steps: &[S]) -> Vec<usize> {
        self.slice
            .iter()
            .copied()
            .filter(|index| self.is(*index, steps))
            .collect()
    }

    /// Each time a step was done: its place in the slice, and its index in the log.
    fn places(&self, step: S) -> Vec<(usize, usize)> {
        let own = self.slice.iter().copied().enumerate();
        own.filter(|(_, index)| self.is(*index, &[step])).collect()
    }

    fn broken(&mut self, at: usize, other: Option<usize>) {
        self.breaches.push(Breach {
            at: Some(at),
            other,
            state: State::Broken,
        });
    }

    /// Still to do, if there is still time.
    fn owed(&mut self, at: Option<usize>) {
        let state = if self.trace.is_closed {
            State::Broken
        } else {
            State::Open
        };
        self.breaches.push(Breach { at, other: None, state });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::Occurrence;

    /// `ab` is step a, then step b; `a1` is step a on part 1. A log that ends in `.` is closed.
    fn trace(text: &str) -> Trace<'_, char> {
        let mut occurrences: Vec<Occurrence<'_, char>> = Vec::new();
        for (at, c) in text.char_indices() {
            match c {
                'a'..='z' => occurrences.push(Occurrence {
                    step: c,
                    on: Vec::new(),
                }),
                '0'..='9' => {
                    if let (Some(last), Some(name)) = (occurrences.last_mut(), text.get(at..=at)) {
                        last.on.push(name);
                    }
                }
                _ => {}
            }
        }
        Trace {
            occurrences,
            is_closed: text.ends_with('.'),
        }
    }

    fn state(pattern: &Pattern<char>, text: &str) -> State {
        pattern.of(&trace(text)).state
    }

    fn after(is_owed: bool) -> Pattern<char> {
        Pattern::After {
            step: 's',
            first: vec!['b'],
            is_owed,
        }
    }

    #[test]
    fn what_comes_first_comes_first() {
        for (log, owed, else_) in [
            ("", State::Kept, State::Kept),
            ("bs", State::Kept, State::Kept),
            ("s", State::Broken, State::Kept),
            ("sb", State::Broken, State::Broken),
            ("xbxsbs", State::Kept, State::Kept),
        ] {
            assert_eq!(state(&after(true), log), owed, "{log}");
            assert_eq!(state(&after(false), log), else_, "{log}");
        }
    }

    #[test]
    fn parts_are_told_apart_only_where_both_steps_name_them() {
        assert_eq!(state(&after(true), "b1s1s2"), State::Broken);
        assert_eq!(state(&after(true), "b1b2s1s2"), State::Kept);
        assert_eq!(state(&after(true), "bs1s2"), State::Kept, "done on all");
        assert_eq!(state(&after(true), "b1s2"), State::Kept, "no name in common");
        assert_eq!(state(&Pattern::Once('s'), "s1s2"), State::Kept);
        assert_eq!(state(&Pattern::Once('s'), "s1s2s1"), State::Broken);
        assert_eq!(
            state(&Pattern::Once('s'), "s1s"),
            State::Broken,
            "done on all, part 1 among them"
        );
    }

    #[test]
    fn what_follows_is_open_until_the_job_is_closed() {
        let then = Pattern::Then {
            step: 's',
            next: vec!['b'],
        };
        let directly = Pattern::ThenDirectly {
            step: 's',
            next: vec!['b'],
        };
        for (log, sooner_or_later, at_once) in [
            ("s", State::Open, State::Open),
            ("s.", State::Broken, State::Broken),
            ("sb.", State::Kept, State::Kept),
            ("sxb.", State::Kept, State::Broken),
            ("sbs", State::Open, State::Open),
            ("b.", State::Kept, State::Kept),
        ] {
            assert_eq!(state(&then, log), sooner_or_later, "{log}");
            assert_eq!(state(&directly, log), at_once, "{log}");
        }
    }

    #[test]
    fn alternatives_and_exclusions() {
        let one_of = Pattern::OneOf(vec!['a', 'b', 'c']);
        for (log, wanted) in [
            ("x", State::Open),
            ("x.", State::Broken),
            ("aa.", State::Kept),
            ("ab", State::Broken),
        ] {
            assert_eq!(state(&one_of, log), wanted, "{log}");
        }
        let not_with = Pattern::NotWith('s', 'b');
        assert_eq!(state(&not_with, "sxs."), State::Kept);
        assert_eq!(state(&not_with, "bs"), State::Broken);
        assert_eq!(
            state(&not_with, "b1s2"),
            State::Broken,
            "no name in common: the same job"
        );
        assert_eq!(state(&not_with, "b1s2b2s3"), State::Broken);
    }
}
