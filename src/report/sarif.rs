//! Findings for code hosts and their viewers: SARIF 2.1.0 (OASIS, 27 March 2020), one run, written file by file.

mod shape;

use std::collections::BTreeMap;

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_encode};
use rustc_hash::FxHashMap;
use serde::Serialize;

use super::place::Placer;
use super::{Report, Summary};
use crate::judge::{Fix, Related, Severity, rules};
use crate::syntax::{Place, Source, Span};
use crate::workspace::marks::State;
use crate::workspace::{Inspected, Placed, Roots};
use shape::{
    Artifact, ArtifactChange, Content, Driver, Invocation, Level, Location, Logical, Message, Notification, Physical,
    Properties, Region, Repair, Replacement, Result, Root, Rule, Tool,
};

/// Where the schema is published.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// What paths are relative to: the root of the repository, wherever that lies.
const BASE: &str = "%SRCROOT%";

/// The name of our fingerprints; the number goes up when they are made in another way.
const FINGERPRINT: &str = "gudgeonFinding/v1";

/// The beginning of the name of a built-in manual.
const SHELF: &str = "shelf:";

/// What needs no percent sign in a path (RFC 3986, 2.3, and the slash).
const PLAIN: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// The report as SARIF. Findings need their marks ([`crate::workspace::baseline::mark`]) to have fingerprints.
pub struct Sarif {
    /// Where paths are told from.
    roots: Roots,
    /// The number of each code among the rules.
    numbers: FxHashMap<&'static str, usize>,
}

impl Sarif {
    /// A report whose paths are told from these roots.
    pub fn new(roots: Roots) -> Sarif {
        let numbers = rules().iter().enumerate().map(|(at, rule)| (rule.code, at)).collect();
        Sarif { roots, numbers }
    }

    fn result<'a>(
        &self,
        at: usize,
        inspected: &'a Inspected,
        placer: &mut Placer<'_>,
        mend: bool,
    ) -> Option<Result<'a>> {
        let finding = inspected.findings.get(at)?;
        let source = &inspected.source;
        let mark = inspected.marks.get(at);
        let mut main = self.location(source, finding.span, placer);
        if !finding.label.is_empty() {
            main.message = Some(Message::new(&finding.label));
        }
        let text = if finding.help.is_empty() {
            finding.message.clone()
        } else {
            format!("{}\n{}", finding.message, finding.help)
        };
        let related = finding.related.iter();
        Some(Result {
            rule_id: finding.code,
            rule_index: self.numbers.get(finding.code).copied(),
            level: Level::of(finding.severity),
            message: Message::new(&text),
            locations: vec![main],
            related_locations: related.map(|related| self.related(related, source)).collect(),
            partial_fingerprints: mark.map(|mark| BTreeMap::from([(FINGERPRINT, mark.fingerprint.as_str())])),
            baseline_state: mark.and_then(|mark| match mark.state {
                State::Uncompared => None,
                State::New => Some("new"),
                State::Known => Some("unchanged"),
            }),
            fixes: finding
                .fix
                .iter()
                .filter(|_| mend)
                .map(|fix| self.repair(fix, source))
                .collect(),
            properties: Properties {
                severity: finding.severity.word(),
                was: finding.was.map(Severity::word),
            },
        })
    }

    fn location(&self, source: &Source, span: Span, placer: &mut Placer<'_>) -> Location {
        Location {
            physical_location: Some(Physical {
                artifact_location: self.artifact(&source.name),
                region: Some(region(source, placer.ends(span))),
            }),
            ..Location::default()
        }
    }

    /// A second place. A built-in manual is no file: it has its name, and the message has its line.
    fn related(&self, related: &Related, own: &Source) -> Location {
        let source = related.source.as_deref().unwrap_or(own);
        let Some(name) = source.name.strip_prefix(SHELF) else {
            let mut place = self.location(source, related.span, &mut Placer::new(source));
            place.message = Some(Message::new(&related.message));
            return place;
        };
        let line = source.lines.line_of(related.span.start);
        let words = source.lines.line_span(line, &source.text).text(&source.text).trim();
        let number = line + 1;
        Location {
            logical_locations: vec![Logical {
                name: name.to_owned(),
                fully_qualified_name: source.name.clone(),
                kind: "resource",
            }],
            message: Some(Message::new(&format!(
                "{} (built-in manual `{name}`, line {number}: {words})",
                related.message
            ))),
            physical_location: None,
        }
    }

    fn repair(&self, fix: &Fix, source: &Source) -> Repair {
        let mut placer = Placer::new(source);
        let replacements = fix.edits.iter().map(|edit| Replacement {
            deleted_region: region(source, placer.ends(edit.span)),
            inserted_content: Content {
                text: edit.text.clone(),
            },
        });
        Repair {
            description: Message::new(&fix.title),
            artifact_changes: vec![ArtifactChange {
                artifact_location: self.artifact(&source.name),
                replacements: replacements.collect(),
            }],
        }
    }

    fn artifact(&self, name: &str) -> Artifact {
        match self.roots.place(std::path::Path::new(name)) {
            Placed::Inside(path) => Artifact {
                uri: percent_encode(path.as_bytes(), PLAIN).to_string(),
                uri_base_id: Some(BASE),
            },
            Placed::Outside(path) => {
                let path = path.to_string_lossy().replace('\\', "/");
                let slash = if path.starts_with('/') { "" } else { "/" };
                Artifact {
                    uri: format!("file://{slash}{}", percent_encode(path.as_bytes(), PLAIN)),
                    uri_base_id: None,
                }
            }
        }
    }

    fn notice(&self, level: &'static str, text: &str, path: Option<&str>) -> Notification {
        let physical = path.map(|path| Physical {
            artifact_location: self.artifact(path),
            region: None,
        });
        let place = physical.map(|physical| Location {
            physical_location: Some(physical),
            ..Location::default()
        });
        Notification {
            level,
            message: Message::new(text),
            locations: place.into_iter().collect(),
        }
    }
}

impl Report for Sarif {
    fn opening(&self) -> String {
        let tool = Tool {
            driver: Driver {
                name: "gudgeon",
                full_name: concat!("gudgeon ", env!("CARGO_PKG_VERSION")),
                semantic_version: env!("CARGO_PKG_VERSION"),
                short_description: Message::new(env!("CARGO_PKG_DESCRIPTION")),
                rules: rules().iter().map(|rule| Rule::of(rule)).collect(),
            },
        };
        let roots = BTreeMap::from([(
            BASE,
            Root {
                description: Message::new("The root of the repository of logs."),
            },
        )]);
        format!(
            "{{\"$schema\":{},\"version\":\"2.1.0\",\"runs\":[{{\"tool\":{},\n\"columnKind\":\"unicodeCodePoints\",\"newlineSequences\":[\"\\r\\n\",\"\\n\",\"\\r\"],\
             \"originalUriBaseIds\":{},\"results\":[\n",
            text(&SCHEMA),
            text(&tool),
            text(&roots)
        )
    }

    fn file(&self, inspected: &Inspected) -> String {
        let mut placer = Placer::new(&inspected.source);
        // Where bytes were no text the columns of the file are not ours, and a repair could hit the wrong ones.
        let mend = inspected.findings.iter().all(|finding| finding.code != "text.not-utf8");
        let results = (0..inspected.findings.len()).filter_map(|at| self.result(at, inspected, &mut placer, mend));
        results.map(|result| text(&result)).collect::<Vec<_>>().join(",\n")
    }

    fn between(&self) -> &'static str {
        ",\n"
    }

    fn closing(&self, summary: &Summary) -> String {
        let unread = summary.unread.iter();
        let unread = unread.map(|unread| {
            self.notice(
                "error",
                &format!("{}: {}", unread.path, unread.reason),
                Some(&unread.path),
            )
        });
        let notes = summary.notes.iter().map(|note| self.notice("warning", note, None));
        let nothing = summary.nothing.as_deref().map(|why| self.notice("error", why, None));
        let invocation = Invocation {
            execution_successful: summary.unread.is_empty() && summary.nothing.is_none(),
            tool_execution_notifications: nothing.into_iter().chain(unread).chain(notes).collect(),
        };
        format!("\n],\"invocations\":[{}]}}]}}\n", text(&invocation))
    }
}

/// A value as JSON. None of the values here can fail to be written: all keys are text and all figures whole.
fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned())
}

/// A region from its two ends. A mark of byte order is no character of the text (3.30.5), though it is one of ours.
fn region(source: &Source, (start, end): (Place, Place)) -> Region {
    let marked = source.text.starts_with('\u{FEFF}');
    let column = |place: Place| {
        let before = usize::from(marked && place.line == 1 && place.column > 1);
        place.column - before
    };
    Region {
        start_line: start.line,
        start_column: column(start),
        end_line: end.line,
        end_column: column(end),
    }
}
