//! What a repository's settings make a finding weigh. A danger is lowered only where the step itself says why, and then it says so.

use super::finding::{Finding, Severity};

/// By code, or by the first word of codes: what findings weigh. The longer name wins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Weights(Vec<(String, Severity)>);

impl Weights {
    /// From what the settings say: codes, or families, with what they weigh.
    pub fn new(mut list: Vec<(String, Severity)>) -> Weights {
        list.sort_by_key(|(code, _)| std::cmp::Reverse(code.len()));
        Weights(list)
    }

    /// What a code is to weigh.
    fn of(&self, code: &str) -> Option<Severity> {
        let family = code.split('.').next();
        let own = self
            .0
            .iter()
            .find(|(known, _)| known == code || Some(known.as_str()) == family);
        own.map(|(_, severity)| *severity)
    }

    /// Weighs a finding anew.
    pub(super) fn weigh(&self, finding: &mut Finding) {
        let Some(wanted) = self.of(finding.code).filter(|wanted| *wanted != finding.severity) else {
            return;
        };
        if finding.severity == Severity::Danger {
            let Some(reason) = &finding.reason else { return };
            finding.message.push_str(&format!(
                "; a danger, lowered by gudgeon.toml, with the reason written: {reason}"
            ));
        }
        finding.was = Some(finding.severity);
        finding.severity = wanted;
    }
}
