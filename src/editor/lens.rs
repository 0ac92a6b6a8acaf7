//! What stands above a job: how many readings are owed, which step comes next.

use super::Page;
use crate::judge::{Analysis, Finding, Severity};
use crate::syntax::Span;

/// A line above a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lens {
    /// Above which.
    pub span: Span,
    /// Its words: `3 readings owed`, `next: press in crankpin`.
    pub title: String,
    /// The places it speaks of, to be shown on a click; may be empty.
    pub places: Vec<Span>,
}

/// A title longer than this is cut: it is one line above the job.
const LONGEST: usize = 80;

/// The lenses of a page: above the `job` line of a log what to stop for, which step comes next, what is owed; above each feature of a manual none.
pub fn lenses(page: &Page) -> Vec<Lens> {
    let Page::Log(log) = page else {
        return Vec::new();
    };
    // Nothing is to be said of an empty page.
    if log.tree.entries.is_empty() {
        return Vec::new();
    }
    let own = Above { log };
    let mut list = own.stops();
    if log.job.closed.is_some() {
        list.extend(own.closed());
        return list;
    }
    let next = log.standings().next_step.as_ref();
    list.extend(next.map(|step| own.lens(format!("next: {step}"), Vec::new())));
    list.extend(own.owed());
    list.extend(own.stale());
    list
}

struct Above<'a> {
    log: &'a Analysis,
}

impl Above<'_> {
    /// A lens above the job line.
    fn lens(&self, title: String, places: Vec<Span>) -> Lens {
        Lens {
            span: self.log.job.head,
            title: shortened(title),
            places,
        }
    }

    fn dangers(&self) -> impl Iterator<Item = &Finding> {
        let findings = self.log.findings.iter();
        findings.filter(|finding| finding.severity == Severity::Danger)
    }

    /// The first danger, and the places of all.
    fn stops(&self) -> Vec<Lens> {
        let places: Vec<Span> = self.dangers().map(|finding| finding.span).collect();
        let Some(first) = self.dangers().next() else {
            return Vec::new();
        };
        let more = match places.len() {
            1 => String::new(),
            all => format!(" (and {} more)", all - 1),
        };
        let title = shortened(format!("stop: {}", first.message));
        vec![Lens {
            span: self.log.job.head,
            title: format!("{title}{more}"),
            places,
        }]
    }

    /// How many readings the manual asks for that are not there; the places are the lines of the steps that ask for them.
    fn owed(&self) -> Option<Lens> {
        let owed = &self.log.standings().owed;
        let count: usize = owed.iter().map(|owed| owed.names.len()).sum();
        let mut places: Vec<Span> = owed.iter().filter_map(|owed| owed.asked_at).collect();
        places.sort_unstable();
        places.dedup();
        (count > 0).then(|| self.lens(format!("{} owed", counted(count, "reading")), places))
    }

    /// How many latest readings a later step has overtaken.
    fn stale(&self) -> Option<Lens> {
        let job = &self.log.job;
        let readings = self.log.standings().readings.iter().zip(&job.readings);
        let places: Vec<Span> = readings
            .filter(|(own, _)| own.standing.stale_by.is_some() && !own.is_reckoned)
            .map(|(_, reading)| reading.figure_span)
            .collect();
        let title = || format!("{} to take again", counted(places.len(), "reading"));
        (!places.is_empty()).then(|| self.lens(title(), places.clone()))
    }

    /// What is left to be said of a closed job.
    fn closed(&self) -> Option<Lens> {
        let places: Vec<Span> = self.log.findings.iter().map(|finding| finding.span).collect();
        let title = || format!("closed, {}", counted(places.len(), "finding"));
        (!places.is_empty()).then(|| self.lens(title(), places.clone()))
    }
}

/// `1 reading`, `3 readings`.
fn counted(count: usize, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

/// A title cut to what has room above a line.
fn shortened(title: String) -> String {
    match title.char_indices().nth(LONGEST) {
        Some((at, _)) => format!("{}…", title.get(..at).unwrap_or_default().trim_end()),
        None => title,
    }
}
