//! The report of a job as Markdown: the same as the page for the owner, without its pictures, for whoever keeps notes in plain text.

use crate::judge::account::{Account, Cell, Fit, Look, Table, Unsourced};
use crate::judge::{Analysis, Severity};
use crate::report::owner::{GENERAL, Wishes, kind};
use crate::report::page::plain;
use crate::report::style::Style;
use crate::workspace::photos::Photo;

/// What every such report begins with: it tells an earlier report, which may be written over, from another text.
pub const MARK: &str = "<!-- gudgeon report -->";

/// The report. `photos` are those the log names, each with the number of its line.
pub fn markdown(analysis: &Analysis, account: &Account, photos: &[(usize, Photo)], wishes: &Wishes) -> String {
    let style = &wishes.style;
    let mut text = format!("{MARK}\n");
    head(&mut text, account, wishes);
    glance(&mut text, analysis);
    decided(&mut text, account, style);
    measured(&mut text, account, style);
    gaps(&mut text, account, style);
    money(&mut text, account, style);
    story(&mut text, analysis, account, photos);
    care(&mut text, analysis, account);
    text
}

/// Text from a file as literal text: what may mean something to a reader of Markdown has a backslash before it, and nothing else, so that it can be read as it is.
fn own(text: &str) -> String {
    let text = plain(text);
    let mut out = String::new();
    let mut behind_number = false;
    for (at, c) in text.char_indices() {
        let next = text.get(at + c.len_utf8()..).unwrap_or_default();
        let begins = at == 0 && matches!(c, '#' | '>' | '+' | '-' | '=');
        // A number with a mark behind it would begin a list, an address a link.
        let lists = behind_number && matches!(c, '.' | ')') && (next.is_empty() || next.starts_with(' '));
        let links = (c == ':' && next.starts_with("//")) || (c == '.' && out.ends_with("www"));
        if begins || lists || links || matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '&' | '|' | '~') {
            out.push('\\');
        }
        behind_number = c.is_ascii_digit() && (at == 0 || behind_number);
        out.push(c);
    }
    out
}

fn heading(text: &mut String, name: &str) {
    text.push_str(&format!("\n## {name}\n\n"));
}

fn list(text: &mut String, name: &str, items: impl IntoIterator<Item = String>) {
    let items: Vec<String> = items.into_iter().collect();
    if items.is_empty() {
        return;
    }
    text.push_str(&format!("{name}:\n\n"));
    for item in items {
        text.push_str(&format!("- {item}\n"));
    }
    text.push('\n');
}

fn table(text: &mut String, heads: &[&str], rows: impl IntoIterator<Item = Vec<String>>) {
    let mut rows = rows.into_iter().peekable();
    if rows.peek().is_none() {
        return;
    }
    text.push_str(&format!(
        "| {} |\n|{}\n",
        heads.join(" | "),
        " --- |".repeat(heads.len())
    ));
    for row in rows {
        text.push_str(&format!("| {} |\n", row.join(" | ")));
    }
    text.push('\n');
}

fn head(text: &mut String, account: &Account, wishes: &Wishes) {
    let head = &account.head;
    if !wishes.shop.is_empty() {
        text.push_str(&format!("{}\n\n", own(&wishes.shop)));
    }
    let title = if head.machine.is_empty() {
        "Rebuild report".to_owned()
    } else {
        own(&head.machine)
    };
    text.push_str(&format!("# {title}\n\n"));
    for (name, said) in [("Job", &head.job), ("Owner", &head.owner), ("Work by", &head.by)] {
        if !said.is_empty() {
            text.push_str(&format!("- {name}: {}\n", own(said)));
        }
    }
    let meter: Vec<String> = head
        .meter
        .iter()
        .map(|shown| wishes.style.figure(shown.base, Some(shown.unit)))
        .collect();
    if !meter.is_empty() {
        text.push_str(&format!("- Meter: {}\n", meter.join(", then ")));
    }
    let state = if head.is_closed { "closed" } else { "not closed yet" };
    match head.dates {
        Some((first, last)) => text.push_str(&format!("- Days: {first} to {last}, {state}\n")),
        None => text.push_str(&format!("- {state}\n")),
    }
    let named = head.manuals.iter().filter(|manual| manual.is_named);
    let named: Vec<String> = named.map(|manual| own(&manual.name)).collect();
    if !named.is_empty() {
        text.push_str(&format!("- Judged by: {}\n", named.join("; ")));
    }
}

fn glance(text: &mut String, analysis: &Analysis) {
    heading(text, "At a glance");
    let tally = &analysis.tally;
    text.push_str(&format!(
        "{} figures judged: {} in limit, {} out, {} not proven, {} too close to call; {} of those are history. {} stale at the end, {} without a limit, {} steps still to do.\n\n",
        tally.judged, tally.inside, tally.out, tally.not_proven, tally.close, tally.history, tally.stale, tally.unjudged, tally.steps_open
    ));
    for severity in [Severity::Danger, Severity::Fault, Severity::Doubt, Severity::Open] {
        let own_findings = analysis.findings.iter().filter(|finding| finding.severity == severity);
        let items = own_findings.map(|finding| {
            let line = analysis.source.lines.line_of(finding.span.start) + 1;
            format!("**{}** {} (line {line})", severity.word(), own(&finding.message))
        });
        for item in items {
            text.push_str(&format!("- {item}\n"));
        }
    }
}

fn decided(text: &mut String, account: &Account, style: &Style) {
    let is_empty = account.inspections.is_empty() && account.costs.options.is_empty() && account.corrections.is_empty();
    if is_empty {
        return;
    }
    heading(text, "Found and decided");
    let rows = account.inspections.iter().map(|one| {
        vec![
            own(&one.part),
            own(&one.condition),
            own(&one.decision),
            format!("line {}", one.line),
        ]
    });
    table(text, &["Part", "Found", "Decided", "Where"], rows);
    let rows = account.costs.options.iter().map(|way| {
        let sums: Vec<String> = way.total.iter().map(|(sum, unit)| style.money(*sum, unit)).collect();
        let taken = if way.is_taken { "taken" } else { "" };
        vec![own(&way.name), sums.join(" and "), taken.to_owned()]
    });
    table(text, &["Way to go", "Comes to", ""], rows);
    let rows = account.corrections.iter().map(|one| {
        let place = format!("line {}", one.line);
        vec![own(&one.what), own(&one.old), own(&one.new), own(&one.reason), place]
    });
    table(text, &["Mended", "Was", "Is", "Why", "Where"], rows);
}

/// The latest figure, or all of a ring.
fn now(style: &Style, fit: &Fit, look: &Look) -> String {
    match look.figures.as_slice() {
        [figure] => style.known(&figure.estimate, fit.unit),
        ring => {
            let figures = style.alike(ring.iter().map(|known| known.estimate.best), fit.unit);
            format!("{} {}", figures.join(" "), style.label(fit.unit))
                .trim_end()
                .to_owned()
        }
    }
}

fn measured(text: &mut String, account: &Account, style: &Style) {
    heading(text, "Measured");
    let rows = account.fits.iter().filter_map(|fit| {
        let last = fit.last()?;
        let limit = last.figures.iter().find_map(|figure| figure.limit.as_ref());
        let stale = if last.stale_by.is_some() { ", stale" } else { "" };
        let close = if last.is_close() { ", close" } else { "" };
        Some(vec![
            own(&fit.name),
            now(style, fit, last),
            limit.map_or_else(String::new, |limit| style.limit(limit)),
            format!(
                "{}{close}{stale}",
                last.verdict().map_or("no limit known", |verdict| verdict.word())
            ),
            format!("line {}", last.line),
        ])
    });
    table(text, &["What", "Known to be", "Limit", "Verdict", "Where"], rows);
    for one in &account.tables {
        bore(text, one, style);
    }
    for outs in &account.run_outs {
        text.push_str(&format!("{}, turn by turn:\n\n", own(&outs.name)));
        let rows = outs.turns.iter().map(|turn| {
            let highs: Vec<String> = turn
                .highs
                .iter()
                .map(|high| {
                    let at = high.angle.normalize();
                    format!("{} {} at {at}°", own(&high.place), style.figure(high.swing, outs.unit))
                        .trim()
                        .to_owned()
                })
                .collect();
            let after: Vec<String> = turn.after.iter().map(|step| own(step)).collect();
            vec![format!("line {}", turn.line), highs.join("; "), after.join("; ")]
        });
        table(text, &["Turn", "Reads highest", "Done before"], rows);
    }
    let rows = account.pressings.iter().map(|one| {
        let force = format!(
            "{} to {}",
            style.figure(one.from, Some(one.unit)),
            style.figure(one.to, Some(one.unit))
        );
        let expected = one.expected.as_ref().map(|band| style.band(band, Some(one.unit)));
        let rating = one.rating.as_ref();
        let rating = rating.map(|(rating, tool)| format!("{} ({})", style.figure(*rating, Some(one.unit)), own(tool)));
        vec![
            own(&one.step),
            force,
            expected.unwrap_or_default(),
            rating.unwrap_or_default(),
            format!("line {}", one.line),
        ]
    });
    table(text, &["Pressed", "Force", "Expected", "Rated", "Where"], rows);
}

fn bore(text: &mut String, one: &Table, style: &Style) {
    let label = style.label(one.unit);
    let unit = if label.is_empty() {
        String::new()
    } else {
        format!(", {label}")
    };
    text.push_str(&format!("{}, line {}{unit}:\n\n", own(&one.name), one.line));
    let widest = one.rows.iter().map(|row| row.cells.len()).max().unwrap_or(0);
    let heads: Vec<String> = std::iter::once(String::new())
        .chain((0..widest).map(|column| one.columns.get(column).map_or_else(String::new, |name| own(name))))
        .collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows = one.rows.iter().map(|row| {
        let cells = (0..widest).map(|column| match row.cells.get(column) {
            Some(Cell::Figure(figure)) => style.bare(figure.estimate.best, one.unit),
            Some(Cell::Not) => "not read".to_owned(),
            None => String::new(),
        });
        std::iter::once(own(&row.label)).chain(cells).collect()
    });
    table(text, &heads, rows);
}

fn gaps(text: &mut String, account: &Account, style: &Style) {
    let gaps = &account.gaps;
    heading(text, "Not measured, not known");
    for (name, names) in gaps.not_measured() {
        list(text, name, names.iter().map(|name| own(name)));
    }
    for (name, limits) in gaps.not_its_own() {
        let told = |one: &Unsourced| {
            own(&format!(
                "{}: {} ({})",
                one.feature,
                style.limit(&one.limit),
                one.manual
            ))
        };
        list(text, name, limits.iter().map(told));
    }
}

fn money(text: &mut String, account: &Account, style: &Style) {
    let costs = &account.costs;
    if costs.parts.is_empty() && costs.lines.is_empty() && costs.on_order.is_empty() {
        return;
    }
    heading(text, "Parts and money");
    let rows = costs.parts.iter().map(|part| {
        let day = |date: Option<jiff::civil::Date>| date.map_or_else(String::new, |date| date.to_string());
        let number = own(part.number.as_deref().unwrap_or_default());
        let ordered = part
            .ordered
            .map_or_else(String::new, |ordered| format!(" of {}", ordered.normalize()));
        let many = format!("{}{ordered}", part.got.normalize());
        vec![own(&part.name), number, many, day(part.ordered_on), day(part.got_on)]
    });
    table(text, &["Part", "Number", "Came", "Ordered", "On"], rows);
    let awaited = costs.on_order.iter().map(|awaited| {
        let since = awaited
            .since
            .map_or_else(String::new, |since| format!(", since {since}"));
        format!("{}{since}", own(&awaited.name))
    });
    list(text, "Still awaited", awaited);
    let lines = costs.lines.iter().map(|line| {
        let what = if line.what.is_empty() {
            String::new()
        } else {
            format!(": {}", own(&line.what))
        };
        let state = if line.is_estimate { "not come yet" } else { "" };
        let kind = line.kind.word().to_owned();
        vec![
            format!("{}{what}", own(&line.of)),
            kind,
            style.money(line.amount, line.unit),
            state.to_owned(),
        ]
    });
    let sums = costs.totals.iter().map(|total| {
        let all = total.landed.saturating_add(total.to_come);
        vec![
            "**together**".to_owned(),
            total.unit.label().to_owned(),
            style.money(all, total.unit),
            String::new(),
        ]
    });
    table(text, &["For", "", "Comes to", ""], lines.chain(sums));
    list(
        text,
        "To be known of these sums",
        costs.notes().iter().map(|note| own(note)),
    );
}

fn story(text: &mut String, analysis: &Analysis, account: &Account, photos: &[(usize, Photo)]) {
    heading(text, "Day by day");
    for day in account.days.iter().filter(|day| !day.told.is_empty()) {
        let stage = if day.stage.is_empty() {
            String::new()
        } else {
            format!(", {}", own(&day.stage))
        };
        let date = if day.written.is_empty() {
            "Before the first day".to_owned()
        } else {
            own(&day.written)
        };
        text.push_str(&format!("### {date}{stage}\n\n"));
        for told in &day.told {
            let mended = if told.is_mended { "~~" } else { "" };
            text.push_str(&format!(
                "- {}: {mended}{}{mended} (line {})",
                kind(told.kind),
                own(&told.text),
                told.line
            ));
            let photo = photos.iter().find(|(line, _)| *line == told.line);
            if let Some((_, Photo::Link { address, .. })) = photo {
                text.push_str(&format!(" [show it](<{address}>)"));
            }
            text.push('\n');
            for finding in told.findings.iter().filter_map(|number| analysis.findings.get(*number)) {
                text.push_str(&format!(
                    "  - **{}** {}\n",
                    finding.severity.word(),
                    own(&finding.message)
                ));
            }
        }
        text.push('\n');
    }
}

fn care(text: &mut String, analysis: &Analysis, account: &Account) {
    heading(text, "For care");
    let said = account.cautions.iter().map(|caution| {
        let because = if caution.because.is_empty() {
            String::new()
        } else {
            format!(": else {}", own(&caution.because))
        };
        format!("{}{because} ({})", own(&caution.name), own(&caution.steps.join("; ")))
    });
    list(
        text,
        "What keeps people from harm in the steps of this job, as its manuals say it",
        said,
    );
    for general in GENERAL {
        text.push_str(&format!("{general}\n\n"));
    }
    text.push_str(&format!(
        "Made by gudgeon {} from the log {}; line numbers are those of that file.\n",
        env!("CARGO_PKG_VERSION"),
        own(&analysis.source.name)
    ));
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use pulldown_cmark::{Event, Parser};

    use super::own;

    /// What a reader of Markdown makes of a text.
    fn read(text: &str) -> (String, bool) {
        let (mut shown, mut is_live) = (String::new(), false);
        for event in Parser::new(text) {
            match event {
                Event::Text(text) => shown.push_str(&text),
                Event::Start(pulldown_cmark::Tag::Paragraph) | Event::End(pulldown_cmark::TagEnd::Paragraph) => {}
                _ => is_live = true,
            }
        }
        (shown, is_live)
    }

    #[test]
    fn text_of_a_log_is_shown_as_it_stands() {
        for text in [
            "<script>alert(1)</script>",
            "1. web",
            "# no heading",
            "*a* _b_ `c`",
            "[x](y)",
            "a | b",
            "&lt;",
            "+ 0.02",
            "10:30 ok",
        ] {
            assert_eq!(read(&own(text)), (text.to_owned(), false), "{}", own(text));
        }
    }

    proptest! {
        #[test]
        fn nothing_of_a_log_is_live(text in "[ -~]{1,40}") {
            let folded = text.split_whitespace().collect::<Vec<_>>().join(" ");
            prop_assert_eq!(read(&own(&folded)), (folded.clone(), false));
        }
    }
}
