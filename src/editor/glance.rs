//! What is found of an edited log at a glance, before all of it has been judged again: the findings of the last judgement, moved to where they stand now, and
//! those of the lines just typed, judged by themselves. For logs so long that judging them takes longer than a key takes to be typed.
//!
//! A glance never says what only the whole job can tell (stale, missing, out of order); what it says of the typed lines is what the whole says too, unless a line further
//! down mends it. The whole judgement follows.

use std::sync::Arc;

use rustc_hash::FxHashSet;

use crate::calc::{Rulebook, is_claim};
use crate::judge::{Analysis, Edit, Finding, Fix, Related, Resolved, Settings, judge_log};
use crate::model::job::Reading;
use crate::syntax::ast::Statement;
use crate::syntax::{LineIndex, Source, Span, changed, parse_log};

/// The most lines of a head, of a day down to the typed lines, and of those themselves that are looked through.
const MOST: (usize, usize, usize) = (400, 4000, 64);

/// The most lines below the typed ones that are judged with them.
const MOST_BELOW: usize = 300;

/// What is judged of a line by itself: codes, or their first words with the dot.
const OWN: &[&str] = &[
    "line.",
    "text.",
    "limit.",
    "table.",
    "reading.no-figure",
    "reading.blades-swapped",
    "reading.unsure",
    "reading.one-blade",
    "reading.stray-figure",
    "reading.wrong-dimension",
    "reading.too-large",
    "unknown.unit",
    "danger.precaution",
    "danger.bound",
    "calc.sum",
    "step.no-did",
];

/// A log as it was last judged wholly.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The text.
    pub source: Arc<Source>,
    /// What was found.
    pub findings: Arc<[Finding]>,
    /// What it was judged by.
    pub rules: Arc<Rulebook>,
    /// What the repository says for all its logs.
    pub settings: Settings,
    /// Whether the job is closed.
    pub is_closed: bool,
}

impl Judged {
    /// What is kept of an analysis.
    pub fn of(analysis: &Analysis) -> Judged {
        Judged {
            source: Arc::clone(&analysis.source),
            findings: analysis.findings.clone().into(),
            rules: Arc::clone(&analysis.rules),
            settings: analysis.settings.clone(),
            is_closed: analysis.job.closed.is_some(),
        }
    }
}

/// The findings of a text at a glance; `None` where that would not be worth saying: the head was edited, or too much of the log.
pub fn glance(before: &Judged, now: &Source) -> Option<Vec<Finding>> {
    let (_, typed) = changed(&before.source.text, &now.text);
    let region = Region::around(typed, now)?;
    let grown = i64::try_from(now.text.len()).ok()? - i64::try_from(before.source.text.len()).ok()?;
    let moves = Moves {
        start: region.span.start,
        end: u32::try_from(i64::from(region.span.end) - grown).ok()?,
        grown,
    };
    let mut findings: Vec<Finding> = before.findings.iter().filter_map(|f| moves.finding(f)).collect();
    findings.extend(typed_lines(before, now, &region)?);
    Some(findings)
}

/// The entries that were typed in, whole lines.
struct Region {
    span: Span,
    first: usize,
}

impl Region {
    fn around(typed: Span, now: &Source) -> Option<Region> {
        let lines = &now.lines;
        let line = |number: usize| lines.line_span(number, &now.text).text(&now.text);
        let is_blank = |number: usize| {
            let text = line(number).trim();
            text.is_empty() || text.starts_with('#')
        };
        let is_indented = |number: usize| line(number).starts_with([' ', '\t']) && !is_blank(number);
        let mut first = lines.line_of(typed.start);
        let mut last = lines.line_of(typed.end);
        // What is indented belongs to the entry above, be there blank lines or comments between.
        while let Some(next) = (last + 1..lines.count()).find(|number| !is_blank(*number)) {
            if next - first > MOST.2 || !is_indented(next) {
                break;
            }
            last = next;
        }
        if (first..=last)
            .find(|number| !is_blank(*number))
            .is_some_and(is_indented)
        {
            while first > 0 && last - first <= MOST.2 && (is_blank(first) || is_indented(first)) {
                first -= 1;
            }
        }
        if last - first > MOST.2 {
            return None;
        }
        let span = lines.line_span(first, &now.text).to(lines.line_span(last, &now.text));
        Some(Region { span, first })
    }
}

/// How places moved that lie outside what was typed; `start..end` of the old text was touched.
struct Moves {
    start: u32,
    end: u32,
    grown: i64,
}

impl Moves {
    fn span(&self, span: Span) -> Option<Span> {
        let moved = |offset: u32| u32::try_from(i64::from(offset) + self.grown).ok();
        if span.end <= self.start && span.start < self.start.max(1) {
            Some(span)
        } else if span.start >= self.end {
            Some(Span {
                start: moved(span.start)?,
                end: moved(span.end)?,
            })
        } else {
            None
        }
    }

    fn finding(&self, finding: &Finding) -> Option<Finding> {
        let span = self.span(finding.span)?;
        let related = finding.related.iter().filter_map(|related| match &related.source {
            Some(_) => Some(related.clone()),
            None => Some(Related {
                span: self.span(related.span)?,
                ..related.clone()
            }),
        });
        let edits = |fix: &Fix| {
            let moved = fix.edits.iter().map(|edit| {
                Some(Edit {
                    span: self.span(edit.span)?,
                    text: edit.text.clone(),
                })
            });
            moved.collect::<Option<Vec<Edit>>>()
        };
        Some(Finding {
            span,
            related: related.collect(),
            fix: finding.fix.as_ref().and_then(|fix| {
                Some(Fix {
                    title: fix.title.clone(),
                    edits: edits(fix)?,
                })
            }),
            ..finding.clone()
        })
    }
}

/// What is said of the typed lines by themselves: below the head of the log and the line of their day.
fn typed_lines(before: &Judged, now: &Source, region: &Region) -> Option<Vec<Finding>> {
    let (text, lines) = (&now.text, &now.lines);
    let line = |number: usize| lines.line_span(number, text).text(text);
    let head_end = (0..region.first.min(MOST.0)).find(|number| is_day(line(*number)))?;
    let above = (head_end..region.first).rev().take(MOST.1);
    let mut held = None;
    let mut day = None;
    for number in above {
        if is_day(line(number)) {
            day = Some(number);
            break;
        }
        if held.is_none() && line(number).trim_start().starts_with("held ") {
            held = Some(number);
        }
    }
    let mut small = span_of(lines, text, 0, head_end).text(text).to_owned();
    for number in [Some(day?), held].into_iter().flatten() {
        small.push_str(line(number).trim_end_matches(['\r', '\n']));
        small.push('\n');
    }
    let place = Span::new(small.len(), small.len() + region.span.len());
    small.push_str(region.span.text(text));
    // What follows may have overtaken it.
    let below = lines.line_of(region.span.end.saturating_sub(1)) + 1;
    let is_all_below = lines.count() - below <= MOST_BELOW;
    if is_all_below {
        small.push_str(text.get(region.span.end as usize..).unwrap_or(""));
    } else if before.is_closed {
        small.push_str("\nclosed\n");
    }
    let source = Arc::new(Source::new(now.name.clone(), small));
    let analysis = judge_log(source, Vec::new(), |_, _| Resolved {
        rules: Arc::clone(&before.rules),
        missing: Vec::new(),
        faulty: Vec::new(),
        settings: before.settings.clone(),
        settings_problem: None,
    });
    let moves = i64::from(region.span.start) - i64::from(place.start);
    let back = |span: Span| {
        let moved = |offset: u32| u32::try_from(i64::from(offset) + moves).ok();
        let is_within = place.start <= span.start && span.end <= place.end;
        is_within.then_some(())?;
        Some(Span {
            start: moved(span.start)?,
            end: moved(span.end)?,
        })
    };
    let claims = claims(&analysis);
    let own = analysis.findings.into_iter().filter(|finding| {
        OWN.iter()
            .any(|own| finding.code == *own || (own.ends_with('.') && finding.code.starts_with(own)))
    });
    // Where much follows, what was read here has most likely been read again, or moved: only the whole can tell.
    let own = own.filter(|finding| {
        let is_claimed = || {
            claims
                .iter()
                .any(|claim| finding.span.start < claim.end && claim.start < finding.span.end)
        };
        !finding.code.starts_with("limit.") || (is_all_below && !is_claimed())
    });
    let mut seen = FxHashSet::default();
    let moved = own.filter_map(|mut finding| {
        finding.span = back(finding.span)?;
        finding
            .related
            .retain_mut(|related| match (&related.source, back(related.span)) {
                (Some(_), _) => true,
                (None, Some(span)) => {
                    related.span = span;
                    true
                }
                (None, None) => false,
            });
        // Where it would stand in the whole log is not known here.
        finding.fix = None;
        seen.insert((finding.code, finding.span)).then_some(finding)
    });
    Some(moved.collect())
}

/// Where figures are written for derived features: with the readings above, which are not judged here, they are worked again and not held against a limit.
fn claims(analysis: &Analysis) -> Vec<Span> {
    let is_derived = |reading: &Reading| {
        let feature = analysis
            .job
            .instances
            .get(reading.instance)
            .and_then(|instance| instance.feature);
        feature.is_some_and(|feature| analysis.rules.sums.get(feature).is_some_and(Option::is_some))
    };
    let readings = analysis.job.readings.iter();
    let claims = readings.filter(|reading| is_claim(reading) && is_derived(reading));
    claims
        .map(|reading| reading.name_span.to(reading.figure_span))
        .collect()
}

/// Whether a line begins a day.
fn is_day(line: &str) -> bool {
    if !line.trim_start().starts_with(|c: char| c.is_ascii_digit()) {
        return false;
    }
    let tree = parse_log(line);
    tree.entries
        .first()
        .is_some_and(|entry| matches!(entry.statement, Statement::Day { .. }))
}

/// Lines `first..end` as one span.
fn span_of(lines: &LineIndex, text: &str, first: usize, end: usize) -> Span {
    Span {
        start: lines.line_span(first, text).start,
        end: lines.line_span(end, text).start,
    }
}
