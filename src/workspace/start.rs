//! A new log from a manual: the head, the steps, and the readings to fill in.

use std::path::Path;

use super::Library;
use crate::calc::Rulebook;
use crate::model::manual::{Feature, Step, Target};

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
    let mut text = format!(
        "# Take the `#` away line by line as the work is done, and fill in what stands as `…`.\n\n\
         # job      … in a few words\n# machine  … with its number\n# owner    …\n# hours    …\nmanual   {}\n\n\
         # tool NAME: KIND, reads to …, good to …\n# tool press: press, rated …\n",
        manual.trim().trim_end_matches(".manual")
    );
    text.push_str("\n# 2026-01-31  as found\n");
    let required = rules.book.features.iter().filter(|f| !f.required.is_empty());
    let as_found: Vec<&Feature> = required
        .clone()
        .filter(|f| f.required.iter().any(|stage| stage == "as found"))
        .collect();
    for feature in &as_found {
        blank_readings(feature, None, &mut text);
    }
    text.push_str("\n# 2026-01-31  build\n");
    let first_manual = |manual: usize| rules.book.manuals.get(manual).is_some_and(|m| m.root == 0);
    for procedure in &rules.book.procedures {
        let steps: Vec<&Step> = procedure
            .steps
            .iter()
            .filter(|s| !s.optional && first_manual(s.manual))
            .collect();
        if steps.is_empty() {
            continue;
        }
        text.push_str(&format!("\n# {}\n", procedure.name.name));
        for step in in_order(steps, rules) {
            step_lines(step, rules, &mut text);
        }
    }
    let last: Vec<&Feature> = required
        .filter(|f| f.required.iter().any(|stage| stage != "as found"))
        .collect();
    if !last.is_empty() {
        text.push_str("\n# owed before the job is closed\n");
    }
    for feature in last {
        blank_readings(feature, None, &mut text);
    }
    text.push_str("\n# closed 2026-01-31\n");
    Ok(text)
}

/// Steps so that each stands behind those it comes after; otherwise as the manual has them. Those of a circle come last.
fn in_order<'s>(mut steps: Vec<&'s Step>, rules: &Rulebook) -> Vec<&'s Step> {
    let is = |name: &str, step: &Step| {
        let wanted = rules.book.step_id(name).and_then(|id| rules.book.step(id));
        wanted.is_some_and(|wanted| wanted.name.key == step.name.key)
    };
    let mut ordered = Vec::with_capacity(steps.len());
    while !steps.is_empty() {
        let free = steps
            .iter()
            .position(|step| !step.after.iter().any(|before| steps.iter().any(|other| is(&before.key, other))));
        ordered.push(steps.remove(free.unwrap_or(0)));
    }
    ordered
}

fn step_lines(step: &Step, rules: &Rulebook, text: &mut String) {
    if step.reads.is_empty() {
        text.push_str(&format!("# did {}", step.name.name));
        for need in &step.needs {
            text.push_str(&format!(", {}", need.name));
        }
        for bound in &step.bounds {
            text.push_str(&format!(", {} …", bound.name));
        }
        text.push('\n');
        return;
    }
    text.push_str(&format!("# {}:\n", step.name.name));
    for target in &step.reads {
        let feature = rules
            .book
            .feature(&target.feature)
            .and_then(|id| rules.book.features.get(id));
        if let Some(feature) = feature {
            blank_readings(feature, Some(target), text);
        }
    }
}

/// A line to fill in for each part and place, with its limit behind it.
fn blank_readings(feature: &Feature, target: Option<&Target>, text: &mut String) {
    let unit = feature.unit.map_or("", |u| u.symbol);
    let limits: Vec<String> = feature
        .limits
        .iter()
        .map(|limit| format!("{} {}", limit.stage, limit.words()))
        .collect();
    let note = if limits.is_empty() { String::new() } else { format!("   # {}", limits.join("; ")) };
    for (part, place) in crate::judge::rules::evidence::expected(feature, target) {
        let mut name = feature.name.name.clone();
        for (word, said) in [(" of ", part), (" at ", place)] {
            if let Some(said) = said {
                name.push_str(word);
                name.push_str(said);
            }
        }
        text.push_str(&format!("# {name} = … {unit}{note}\n"));
    }
}
