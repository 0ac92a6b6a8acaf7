//! Every rule on one page of Markdown: what it says, why, an example that gives it and one that does not.

use crate::judge::{Example, Rule};

/// The page of all rules, in the order they are given; written anew by `gudgeon why --page`.
pub fn page(rules: &[&Rule]) -> String {
    let mut out = String::from(
        "# Every finding\n\nMade by `gudgeon why --page`; `gudgeon why CODE` prints one of these. Each rule has a log that gives it and nothing else, and \
         the same put right, of which nothing is said: both run as tests. A log without a manual above it is judged by the built-in shelf.\n\n",
    );
    out.push_str("| code | severity | says |\n| --- | --- | --- |\n");
    for rule in rules {
        let link = rule.code.replace('.', "");
        out.push_str(&format!(
            "| [`{0}`](#{link}) | {1} | {2} |\n",
            rule.code, rule.severity, rule.says
        ));
    }
    for rule in rules {
        out.push_str(&format!(
            "\n## {}\n\n**{}.** {}\n\n{}\n\nSource: {}.\n",
            rule.code,
            capital(rule.severity),
            rule.says,
            rule.why,
            rule.source.trim_end_matches('.')
        ));
        out.push_str(&example("This gives it", &rule.fires, None));
        out.push_str(&example("This does not", &rule.clean, Some(&rule.fires)));
    }
    out
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// An example in fences; a manual that is the same as the one above is not printed again.
fn example(title: &str, example: &Example, above: Option<&Example>) -> String {
    let mut out = format!("\n{title}");
    let manual = example.manual.trim_matches(['\n', '\r']);
    let is_new = above.is_none_or(|above| above.manual != example.manual);
    if !manual.trim().is_empty() && is_new {
        out.push_str(&format!(", by this manual:\n\n```manual\n{manual}\n```\n"));
    } else {
        out.push_str(":\n");
    }
    let log = example.log.trim_matches(['\n', '\r']);
    if !log.trim().is_empty() {
        out.push_str(&format!("\n```rebuild\n{}\n```\n", visible(log)));
    }
    out
}

/// Signs that no page shows, by their numbers.
fn visible(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => c.to_string(),
            c if c.is_control() => format!("\\u{{{:x}}}", u32::from(c)),
            c => c.to_string(),
        })
        .collect()
}
