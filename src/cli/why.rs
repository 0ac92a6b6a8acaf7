//! `gudgeon why`: what a code says, why it matters, and where the rule comes from.

use super::Exit;
use super::args::WhyArgs;
use super::console::{Console, width};
use super::nearest::{nearest, offer};
use crate::judge::{Example, Rule, rules};
use crate::report::visible::wrap;

/// Runs the command.
pub fn run(args: &WhyArgs, console: &mut Console) -> Exit {
    let Some(wanted) = &args.code else {
        list(rules().iter().copied(), console);
        return Exit::Clean;
    };
    let code = wanted.trim().to_lowercase();
    if let Some(rule) = rules().iter().find(|rule| rule.code == code) {
        explain(rule, console);
        return Exit::Clean;
    }
    let family: Vec<&Rule> = rules()
        .iter()
        .copied()
        .filter(|rule| rule.code.split('.').next() == Some(code.as_str()))
        .collect();
    if !family.is_empty() {
        list(family.into_iter(), console);
        return Exit::Clean;
    }
    let near = nearest(&code, rules().iter().map(|rule| rule.code));
    console.tell(&format!(
        "there is no code {wanted}.{} gudgeon why lists them all.",
        offer(&near)
    ));
    Exit::Failed
}

/// Codes with their sentence.
fn list<'a>(rules: impl Iterator<Item = &'a Rule>, console: &mut Console) {
    for rule in rules {
        console.print(&format!(
            "{}  ({})\n{}\n",
            rule.code,
            rule.severity,
            wrap(rule.says, width(), "    ")
        ));
    }
}

/// All there is to say about one code.
fn explain(rule: &Rule, console: &mut Console) {
    let width = width();
    console.print(&format!(
        "{}  ({})\n\n{}\n\n{}\n\n{}\n",
        rule.code,
        rule.severity,
        wrap(rule.says, width, ""),
        wrap(rule.why, width, ""),
        wrap(&format!("Source: {}", rule.source), width, "")
    ));
    example("This gives it:", &rule.fires, console);
    example("This does not:", &rule.clean, console);
}

/// A log, with its manual if it has one of its own.
fn example(title: &str, example: &Example, console: &mut Console) {
    console.print(&format!("\n{title}\n"));
    if !example.manual.trim().is_empty() {
        console.print("\n  in the manual\n");
        console.print(&indented(example.manual));
        console.print("\n  in the log\n");
    } else {
        console.print("\n");
    }
    console.print(&indented(example.log));
}

fn indented(text: &str) -> String {
    let mut out = String::new();
    for line in text.trim_matches(['\n', '\r']).lines() {
        if !line.trim().is_empty() {
            out.push_str("    ");
            out.push_str(line);
        }
        out.push('\n');
    }
    out
}
