//! Parts: ordered against received, what is still awaited, and what was fitted though another was chosen.

use rustc_hash::FxHashMap;

use crate::judge::case::Case;
use crate::judge::finding::{Example, Finding, Rule, Severity};
use crate::judge::words;
use crate::model::job::{Done, EventKind, Part, Said, SaidKind, Word};
use crate::model::names::{says, weighty};
use crate::quantity::number;

use super::shared::walk::each_done;

/// Compares what came with what was ordered, and what was fitted with what was chosen.
pub fn check(case: &Case<'_>, out: &mut Vec<Finding>) {
    let traffic = Traffic::new(case);
    let heard = Heard::new(case);
    for (at, event) in case.job.events.iter().enumerate() {
        match &event.kind {
            EventKind::Got(got) => received(case, &traffic, at, got, out),
            EventKind::Did(done) => not_here_yet(case, &traffic, at, done, out),
            EventKind::Ordered(part) => awaited(case, &traffic, at, &part.name, out),
            EventKind::Waiting(name, _) if !traffic.ordered.contains_key(name.key.as_str()) => {
                awaited(case, &traffic, at, name, out)
            }
            EventKind::Found(part, said) => out.extend(not_ordered(case, &heard, at, part, said)),
            _ => {}
        }
    }
    each_done(case, out, |at, done, found| {
        passed_over(case, &traffic, at, done, found)
    });
}

/// Orders, arrivals and choices of each part, in order, and where parts were fitted.
#[derive(Default)]
struct Traffic<'a> {
    ordered: FxHashMap<&'a str, Vec<(usize, &'a Part)>>,
    came: FxHashMap<&'a str, Vec<(usize, &'a Part)>>,
    fitted: FxHashMap<&'a str, usize>,
    /// Every choice, under the names of the part taken and of the part left.
    choices: FxHashMap<&'a str, Vec<Choice<'a>>>,
}

/// That a part was chosen, as a rule over another.
#[derive(Clone, Copy)]
struct Choice<'a> {
    event: usize,
    taken: &'a Word,
    left: Option<&'a Word>,
}

impl<'a> Traffic<'a> {
    fn new(case: &Case<'a>) -> Traffic<'a> {
        let mut traffic = Traffic::default();
        for (at, event) in case.job.events.iter().enumerate() {
            match &event.kind {
                EventKind::Ordered(part) => traffic.ordered.entry(&part.name.key).or_default().push((at, part)),
                EventKind::Got(part) => traffic.came.entry(&part.name.key).or_default().push((at, part)),
                EventKind::Chose(taken, left) => {
                    let left = left.as_ref();
                    let choice = Choice { event: at, taken, left };
                    for part in [Some(taken), left].into_iter().flatten() {
                        traffic.choices.entry(&part.key).or_default().push(choice);
                    }
                }
                EventKind::Did(done) => {
                    for said in &done.said {
                        if let SaidKind::From(part) = &said.kind {
                            traffic.fitted.entry(part).or_insert(at);
                        }
                    }
                }
                _ => {}
            }
        }
        traffic
    }

    fn arrivals(&self, key: &str) -> &[(usize, &'a Part)] {
        self.came.get(key).map_or(&[], Vec::as_slice)
    }
}

/// A difference is accepted where its reason is written.
fn has_reason(part: &Part) -> bool {
    part.said.iter().any(|said| matches!(said.kind, SaidKind::Because))
}

fn received(case: &Case<'_>, traffic: &Traffic<'_>, at: usize, got: &Part, out: &mut Vec<Finding>) {
    if has_reason(got) {
        return;
    }
    let key = got.name.key.as_str();
    let order = traffic
        .ordered
        .get(key)
        .and_then(|list| list.iter().rev().find(|(event, _)| *event < at));
    let name = words::fold(got.name.span.text(case.text()));
    let as_said = got.said.iter().find(|said| matches!(said.kind, SaidKind::OrderedAs(_)));
    let ordered = as_said.or_else(|| order.and_then(|(_, part)| part.number()));
    // A later delivery that was put right replaces a wrong one.
    let later = traffic
        .arrivals(key)
        .last()
        .is_some_and(|(event, part)| *event > at && part.number().is_some());
    if let (Some(wanted), Some(came)) = (ordered, got.number())
        && wanted.as_number() != came.as_number()
        && !later
    {
        out.push(wrong_number(case, traffic, got, &name, [wanted, came]));
    }
    quantity(traffic, at, got, &name, out);
}

fn wrong_number(case: &Case<'_>, traffic: &Traffic<'_>, got: &Part, name: &str, said: [&Said; 2]) -> Finding {
    let [wanted_said, came_said] = said;
    let (wanted, came) = (wanted_said.as_number(), came_said.as_number());
    let text = |said: &Said| {
        let whole = words::fold(said.span.text(case.text()));
        let folded = whole.to_lowercase();
        ["ordered as ", "part number ", "number ", "no. "]
            .iter()
            .find_map(|lead| {
                folded
                    .starts_with(lead)
                    .then(|| whole.get(lead.len()..).unwrap_or("").to_owned())
            })
            .unwrap_or(whole)
    };
    let missing: Vec<&str> = wanted
        .split(' ')
        .filter(|word| !came.split(' ').any(|other| other == *word))
        .collect();
    let kept = wanted.split(' ').any(|word| came.split(' ').any(|other| other == word));
    let why = if kept && !missing.is_empty() {
        format!(": `{}` is missing", missing.join(" ").to_uppercase())
    } else {
        String::new()
    };
    let message = format!("{name}: ordered {}, got {}{why}", text(wanted_said), text(came_said));
    let mut finding = Finding::new("part.mismatch", Severity::Fault, came_said.span, message)
        .label("not what was ordered")
        .see(wanted_said.span, "ordered here")
        .help("do not fit it until the difference is cleared; if it is accepted, write why: `…, because the maker replaced the number`");
    if let Some(event) = traffic.fitted.get(got.name.key.as_str()) {
        finding.message.push_str(", and it was fitted");
        finding = finding.see(case.event_span(*event), "fitted here");
    }
    finding
}

/// How many came of what was ordered, said once, at the last delivery.
fn quantity(traffic: &Traffic<'_>, at: usize, got: &Part, name: &str, out: &mut Vec<Finding>) {
    let key = got.name.key.as_str();
    // Summed once a part, not once a delivery.
    let is_last = traffic.arrivals(key).last().is_some_and(|(event, _)| *event == at);
    if !is_last {
        return;
    }
    let orders = traffic.ordered.get(key).map_or(&[][..], Vec::as_slice);
    let total = |list: &[(usize, &Part)]| -> Option<rust_decimal::Decimal> {
        let amounts: Option<Vec<_>> = list.iter().map(|(_, part)| part.quantity()).collect();
        amounts?
            .iter()
            .try_fold(rust_decimal::Decimal::ZERO, |sum, a| sum.checked_add(a.written))
    };
    let (Some(wanted), Some(came)) = (total(orders), total(traffic.arrivals(key))) else {
        return;
    };
    let (Some(order), Some(last)) = (orders.last().and_then(|(_, p)| p.quantity()), got.quantity()) else {
        return;
    };
    if wanted == came {
        return;
    }
    let message = format!(
        "{name}: ordered {}, got {}",
        number::show(wanted, 2),
        number::show(came, 2)
    );
    out.push(
        Finding::new("part.mismatch", Severity::Fault, last.span, message)
            .label("the count differs")
            .see(order.span, "ordered here")
            .help("write the rest on a `got` line of its own when it comes; if the count is right as it is, write why behind `because`"),
    );
}

/// A part that was fitted before it came.
fn not_here_yet(case: &Case<'_>, traffic: &Traffic<'_>, at: usize, done: &Done, out: &mut Vec<Finding>) {
    for said in &done.said {
        let SaidKind::From(part) = &said.kind else { continue };
        let came_before = traffic.arrivals(part).first().is_some_and(|(event, _)| *event < at);
        let came_later = traffic.arrivals(part).first().filter(|(event, _)| *event > at);
        let Some((later, _)) = came_later.filter(|_| !came_before) else {
            continue;
        };
        let message = format!("{part} was fitted before it came, on line {}", case.line_of(*later));
        out.push(
            Finding::new("part.not-here", Severity::Fault, said.span, message)
                .label("not here yet")
                .see(case.event_span(*later), "it came here")
                .help("one of the two lines has the wrong date or stands in the wrong place"),
        );
    }
}

/// A part that was fitted after another was chosen over it. A line further down that chooses it after all makes that good.
fn passed_over(case: &Case<'_>, traffic: &Traffic<'_>, at: usize, done: &Done, out: &mut Vec<Finding>) {
    for said in &done.said {
        let SaidKind::From(part) = &said.kind else { continue };
        if !case.left.contains(part) {
            continue;
        }
        let choices = traffic.choices.get(part.as_str()).map_or(&[][..], Vec::as_slice);
        let above = choices.partition_point(|choice| choice.event < at);
        let Some(choice) = choices.get(..above).and_then(<[_]>::last) else {
            continue;
        };
        let Some(left) = choice.left.filter(|left| left.key == *part) else {
            continue;
        };
        let [taken, left] = [choice.taken, left].map(|word| words::fold(word.span.text(case.text())));
        let message = format!("{left} was fitted, but {taken} was chosen over it");
        out.push(
            Finding::new("part.not-chosen", Severity::Fault, said.span, message)
                .label("not the one that was chosen")
                .see(case.event_span(choice.event), "chosen here")
                .help(format!(
                    "look which of the two is in; if it is {left}, write `chose {left} over {taken}, because …`, and its readings count again"
                )),
        );
    }
}

fn awaited(case: &Case<'_>, traffic: &Traffic<'_>, at: usize, part: &Word, out: &mut Vec<Finding>) {
    let came = traffic.arrivals(&part.key).last().is_some_and(|(event, _)| *event > at);
    if came || case.left.contains(&part.key) {
        return;
    }
    let name = words::fold(part.span.text(case.text()));
    let message = format!("{name} was ordered and has not come");
    out.push(
        Finding::new("part.waiting", case.owed(), part.span, message)
            .label("still awaited")
            .help(format!(
                "write `got {name}: number …` when it comes; if it is no longer wanted, write `chose … over {name}`"
            )),
    );
}

/// The words of parts that something is heard of: an order, an arrival, a step that fits it, a reading of the new one.
#[derive(Default)]
struct Heard<'a> {
    /// The latest event at which a word was heard; the greatest number where it does not matter when.
    words: FxHashMap<&'a str, usize>,
    /// Whether a kit was ordered or came, which may hold anything.
    has_kit: bool,
}

impl<'a> Heard<'a> {
    fn new(case: &Case<'a>) -> Heard<'a> {
        let mut heard = Heard::default();
        for (at, event) in case.job.events.iter().enumerate() {
            match &event.kind {
                EventKind::Ordered(part) | EventKind::Got(part) => heard.anyhow(&part.name.key),
                EventKind::Waiting(name, _) | EventKind::Chose(name, _) => heard.anyhow(&name.key),
                EventKind::Did(done) => {
                    let is_fitted = |said: &Said| matches!(said.kind, SaidKind::From(_)) || says(&said.key, "new");
                    if done.said.iter().any(is_fitted) {
                        heard.hear(&done.name.key, at);
                        done.said.iter().for_each(|said| heard.hear(&said.key, at));
                    }
                }
                // What is measured on it afterwards is the new one.
                EventKind::Readings(range) => {
                    for reading in range.clone().filter_map(|index| case.job.readings.get(index)) {
                        if let Some(instance) = case.instance(reading) {
                            heard.hear(&instance.name.key, at);
                            instance.part.iter().for_each(|part| heard.hear(&part.key, at));
                        }
                    }
                }
                // A later look at it may decide otherwise.
                EventKind::Found(found, said) if !said.iter().any(|said| says(&said.key, "replace")) => {
                    heard.hear(&found.key, at);
                }
                _ => {}
            }
        }
        heard
    }

    fn anyhow(&mut self, name: &'a str) {
        self.has_kit |= ["kit", "set", "assembly"].iter().any(|word| says(name, word));
        self.hear(name, usize::MAX);
    }

    fn hear(&mut self, name: &'a str, at: usize) {
        for word in weighty(name) {
            let latest = self.words.entry(word).or_insert(at);
            *latest = at.max(*latest);
        }
    }

    /// Whether anything was heard of a part after an event.
    fn of(&self, name: &str, at: usize) -> bool {
        self.has_kit || weighty(name).any(|word| self.words.get(word).is_some_and(|latest| *latest > at))
    }
}

/// A part that was found to be replaced, and of which nothing more is heard: no order, no arrival, no choice, no step that fits it.
fn not_ordered(case: &Case<'_>, heard: &Heard<'_>, at: usize, part: &Word, said: &[Said]) -> Option<Finding> {
    if !said.iter().any(|said| said.is_tick() && says(&said.key, "replace")) || case.is_closed() {
        return None;
    }
    if heard.of(&part.key, at) {
        return None;
    }
    let name = words::fold(part.span.text(case.text()));
    let message = format!("{name} is to be replaced, and nothing says that a new one was ordered or came");
    Some(
        Finding::new("part.not-ordered", Severity::Open, part.span, message)
            .label("still to be ordered")
            .help(format!(
                "write `ordered {name}: number …`, or `got {name}: number …` when it is there"
            )),
    )
}

/// What these findings mean.
pub const RULES: &[Rule] = &[
    Rule {
        code: "part.mismatch",
        severity: "fault",
        says: "What came is not what was ordered: another number, a missing suffix, another count.",
        why: "A bearing without its C3 runs out of clearance in a shrunk-on case; a superseded number can have another width. \"It came in the right bag\" is no check.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered main bearings: number 6305 C3\ngot main bearings: number 6305\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered main bearings: number 6305 C3\ngot main bearings: number 6305 C3\n",
        },
    },
    Rule {
        code: "part.not-here",
        severity: "fault",
        says: "A part was fitted before it came.",
        why: "One of the two lines has the wrong date or stands in the wrong place, and what was really fitted cannot be told.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 build\ndid assemble the rods, from rod shells\n2026-03-15\ngot rod shells: number 12\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-13\ngot rod shells: number 12\n2026-03-14 build\ndid assemble the rods, from rod shells\n",
        },
    },
    Rule {
        code: "part.not-chosen",
        severity: "fault",
        says: "A part was fitted after another was chosen over it.",
        why: "What is left for another is not judged, neither its readings nor what is worked out from them: if it is in after all, nothing says that it fits.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nchose rod kit A over rod kit B, because the pin keeps the web width\n2026-03-15 build\ndid assemble the rods, from rod kit B\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nchose rod kit A over rod kit B, because the pin keeps the web width\n2026-03-15 build\ndid assemble the rods, from rod kit A\n",
        },
    },
    Rule {
        code: "part.not-ordered",
        severity: "open",
        says: "A part was found to be replaced, and nothing more is heard of it: no order, no arrival, no step that fits it.",
        why: "It is found out on the day it is to be fitted, and then the job stands still.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\nfound crankpin: blue, replace\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 as found\nfound crankpin: blue, replace\n2026-03-15 goods in\ngot crankpin: number 4471\n",
        },
    },
    Rule {
        code: "part.waiting",
        severity: "open; fault once the job is closed",
        says: "A part was ordered, or is waited for, and has not come.",
        why: "It is what the job stands still for.",
        source: "common practice, no source",
        fires: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered rod kit: number 4471\n",
        },
        clean: Example {
            manual: "",
            log: "job x\n2026-03-14 goods in\nordered rod kit: number 4471\ngot rod kit: number 4471\n",
        },
    },
];
