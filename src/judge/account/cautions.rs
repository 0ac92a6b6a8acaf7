//! What keeps people from harm in the steps of a job, as its manuals say it.

use crate::judge::case::Case;

/// A precaution of the manuals that a step of this job needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Its name: `web supported`.
    pub name: String,
    /// What happens without it; empty if nothing is said.
    pub because: String,
    /// The steps of this job that need it, as their manuals call them.
    pub steps: Vec<String>,
}

/// Every precaution that a step which was done needs, in the order of the log.
pub(super) fn cautions(case: &Case<'_>) -> Vec<Caution> {
    let mut list: Vec<Caution> = Vec::new();
    for (_, done) in &case.done {
        let Some(step) = case.step(done) else { continue };
        for need in &step.needs {
            let Some(known) = case.rules.book.precaution(&need.key) else {
                continue;
            };
            let at = match list.iter().position(|caution| caution.name == known.name.name) {
                Some(at) => at,
                None => {
                    list.push(Caution {
                        name: known.name.name.clone(),
                        because: known.because.clone(),
                        steps: Vec::new(),
                    });
                    list.len() - 1
                }
            };
            let Some(caution) = list.get_mut(at) else { continue };
            if !caution.steps.contains(&step.name.name) {
                caution.steps.push(step.name.name.clone());
            }
        }
    }
    list
}
