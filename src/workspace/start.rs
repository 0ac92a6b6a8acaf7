//! A new log from a manual: the head, the steps, and the readings to fill in.

use std::path::Path;

use super::Library;
use crate::calc::Rulebook;
use crate::judge::owed::expected;
use crate::judge::steps_open::goes_with;
use crate::model::manual::{Feature, NeverWhen, Step, Target};
use crate::model::names::named;

/// The text of a new log to be judged by a manual; or, if there is no such manual, a message that names the nearest.
pub fn start(manual: &str, folder: &Path, library: &Library) -> Result<String, String> {
    let resolved = library.resolve(folder, std::slice::from_ref(&manual.to_owned()));
    if let Some((name, near)) = resolved.missing.first() {
        return Err(match near {
            Some(near) => format!("no manual is called `{name}`; `{near}` is near"),
            None => format!("no manual is called `{name}`; `gudgeon shelf` lists the built-in ones"),
        });
    }
    let rules = &resolved.rules;
    let text = format!(
        "# Take the `#` away line by line as the work is done, and fill in what stands as `…`.\n\n\
         # job      … in a few words\n# machine  … with its number\n# owner    …\n# hours    …\nmanual   {}\n\n\
         # tool NAME: KIND, reads to …, good to …\n# tool press: press, rated …\n",
        manual.trim().trim_end_matches(".manual")
    );
    let mut sheet = Sheet {
        rules,
        text,
        read: Vec::new(),
    };
    sheet.text.push_str("\n# 2026-01-31  as found\n");
    for feature in rules
        .book
        .features
        .iter()
        .filter(|f| f.required.iter().any(|stage| stage == "as found"))
    {
        sheet.readings(feature, None);
    }
    // What is measured before anything is taken apart stands with what was found.
    let (first, then): (Vec<&Step>, Vec<&Step>) = rules
        .book
        .procedures
        .iter()
        .flat_map(|p| {
            let own = p
                .steps
                .iter()
                .filter(|s| is_own(rules, s.manual) && !is_forbidden(rules, s));
            in_order(own.collect(), rules)
        })
        .partition(|step| !step.reads.is_empty() && step.after.is_empty());
    for step in first {
        sheet.step(step);
    }
    sheet.text.push_str("\n# 2026-01-31  build\n");
    for procedure in &rules.book.procedures {
        let steps: Vec<&&Step> = then
            .iter()
            .filter(|step| procedure.steps.iter().any(|s| std::ptr::eq(s, **step)))
            .collect();
        if steps.is_empty() {
            continue;
        }
        sheet.text.push_str(&format!("\n# -- {} --\n", procedure.name.name));
        for step in steps {
            sheet.step(step);
        }
    }
    sheet.rest();
    sheet.later_stages();
    sheet.text.push_str("\n# closed 2026-01-31\n");
    Ok(sheet.text)
}

/// Whether a step must never be done at all: it is known to the manual only to be warned of.
fn is_forbidden(rules: &Rulebook, step: &Step) -> bool {
    let mut nevers = rules.book.procedures.iter().flat_map(|p| &p.nevers);
    nevers.any(|never| {
        let is_ever = matches!(never.when, NeverWhen::Ever) && never.ticks.is_empty();
        is_ever && never.step.key == step.name.key
    })
}

/// Whether something was said by the manual that was asked for, or by one it extends and not only by the shelf behind another.
fn is_own(rules: &Rulebook, manual: usize) -> bool {
    rules.book.manuals.get(manual).is_some_and(|m| m.root == 0)
}

/// Steps so that each stands behind those it comes after; otherwise as the manual has them. Those of a circle come last.
fn in_order<'s>(mut steps: Vec<&'s Step>, rules: &Rulebook) -> Vec<&'s Step> {
    let is = |name: &str, step: &Step| {
        let wanted = rules.book.step_id(name).and_then(|id| rules.book.step(id));
        wanted.is_some_and(|wanted| wanted.name.key == step.name.key)
    };
    let mut ordered = Vec::with_capacity(steps.len());
    while !steps.is_empty() {
        let free = steps.iter().position(|step| {
            !step
                .after
                .iter()
                .any(|before| steps.iter().any(|other| is(&before.key, other)))
        });
        ordered.push(steps.remove(free.unwrap_or(0)));
    }
    ordered
}

/// The log being written, and which features have their lines already.
struct Sheet<'s> {
    rules: &'s Rulebook,
    text: String,
    read: Vec<&'s str>,
}

impl<'s> Sheet<'s> {
    /// A step to be done, or the readings of a measuring step. What it needs stands in a remark: whoever did it says so, not this sheet.
    fn step(&mut self, step: &'s Step) {
        if step.reads.is_empty() {
            let amounts: String = step.bounds.iter().map(|bound| format!(", {} …", bound.name)).collect();
            let mut remarks = Vec::new();
            if step.optional {
                remarks.push("if it is done".to_owned());
            }
            let words: Vec<&str> = step
                .owed_if
                .iter()
                .chain(&step.only_if)
                .map(|c| c.words.as_str())
                .collect();
            if !words.is_empty() {
                remarks.push(format!("if {}", words.join(" and ")));
            }
            let goes_with = goes_with(step);
            if !goes_with.is_empty() {
                remarks.push(goes_with);
            }
            let remark = if remarks.is_empty() {
                String::new()
            } else {
                format!("   # {}", remarks.join("; "))
            };
            self.text
                .push_str(&format!("# did {}{amounts}{remark}\n", step.name.name));
            return;
        }
        self.text.push_str(&format!("# {}:\n", step.name.name));
        for target in &step.reads {
            let found = self.rules.book.feature(&target.feature);
            if let Some(feature) = found.and_then(|id| self.rules.book.features.get(id)) {
                self.readings(feature, Some(target));
            }
        }
    }

    /// A line to fill in for each part and place, with its limits behind it.
    fn readings(&mut self, feature: &'s Feature, target: Option<&Target>) {
        self.read.push(&feature.name.key);
        let unit = feature.unit.map_or("", |u| u.label());
        let limits: Vec<String> = feature
            .limits
            .iter()
            .map(|limit| format!("{} {}", limit.stage, limit.words()))
            .collect();
        let mut limits = limits;
        if let Some(nominal) = &feature.nominal {
            limits.push(format!("made to {}", nominal.words()));
        }
        if !feature.say.is_empty() {
            limits.push(format!("say {}", feature.say.join(" or ")));
        }
        let note = if limits.is_empty() {
            String::new()
        } else {
            format!("   # {}", limits.join("; "))
        };
        for (part, place) in expected(feature, target) {
            let name = named(&feature.name.name, part, place);
            let line = format!("# {name} = … {unit}");
            self.text.push_str(&format!("{}{note}\n", line.trim_end()));
        }
    }

    /// Everything else the manual itself has a limit for, and is not worked out.
    fn rest(&mut self) {
        let rules = self.rules;
        let own_first = |f: &&Feature| {
            let has_limit = f.limits.iter().chain(&f.nominal).any(|limit| limit.manual == 0);
            let is_later = f.required.iter().any(|stage| stage != "as found" && !stage.is_empty());
            has_limit && f.calc.is_none() && !is_later
        };
        let left: Vec<&Feature> = rules
            .book
            .features
            .iter()
            .filter(own_first)
            .filter(|f| !self.read.contains(&f.name.key.as_str()))
            .collect();
        if left.is_empty() {
            return;
        }
        self.text.push_str("\n# -- other readings that have a limit --\n");
        for feature in left {
            self.readings(feature, None);
        }
    }

    /// Days for readings that are owed at a stage of their own, such as run in.
    fn later_stages(&mut self) {
        let rules = self.rules;
        let mut stages: Vec<&str> = Vec::new();
        for stage in rules.book.features.iter().flat_map(|f| &f.required) {
            if !matches!(stage.as_str(), "" | "as found" | "build") && !stages.contains(&stage.as_str()) {
                stages.push(stage);
            }
        }
        for stage in stages {
            self.text.push_str(&format!("\n# 2026-01-31  {stage}\n"));
            for feature in rules
                .book
                .features
                .iter()
                .filter(|f| f.required.iter().any(|s| s == stage))
            {
                self.readings(feature, None);
            }
        }
    }
}
