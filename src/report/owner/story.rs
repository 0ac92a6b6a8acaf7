//! The job day by day, in the log's own words, with what is to be said of each line.

use maud::{Markup, html};

use super::Given;
use crate::judge::account::{Day, Told, ToldKind};
use crate::quantity::Verdict;
use crate::report::page::{own, remark};
use crate::workspace::photos::Photo;

pub(super) fn story(given: &Given<'_>) -> Markup {
    html! { @for day in &given.account.days { (one(given, day)) } }
}

fn one(given: &Given<'_>, day: &Day) -> Markup {
    if day.told.is_empty() {
        return html! {};
    }
    html! {
        div class="day" {
            h3 {
                @if day.written.is_empty() { "Before the first day" } @else { (own(&day.written)) }
                @if !day.stage.is_empty() { ", " (own(&day.stage)) }
            }
            ol class="told" { @for told in &day.told { (entry(given, told)) } }
        }
    }
}

/// What a kind of line is called in a report.
pub(in crate::report) fn kind(kind: ToldKind) -> &'static str {
    match kind {
        ToldKind::Read => "measured",
        ToldKind::Did => "did",
        ToldKind::Undid => "undid",
        ToldKind::Found => "found",
        ToldKind::Ordered => "ordered",
        ToldKind::Got => "came",
        ToldKind::Waiting => "waiting",
        ToldKind::Stock => "in stock",
        ToldKind::Option => "a way",
        ToldKind::Cost => "paid",
        ToldKind::Chose => "chosen",
        ToldKind::Fix => "mended",
        ToldKind::Held => "held",
        ToldKind::Checked => "checked",
        ToldKind::Note => "note",
        ToldKind::Photo => "photo",
        ToldKind::Meter => "meter",
        ToldKind::Closed => "closed",
        ToldKind::Unread => "not read",
    }
}

fn entry(given: &Given<'_>, told: &Told) -> Markup {
    html! {
        li class=[told.is_mended.then_some("mended")] {
            span class="line" { (told.line) }
            span class="kind" { (kind(told.kind)) }
            div class="text" {
                span class=[(told.kind == ToldKind::Note).then_some("note")] { (own(&told.text)) }
                @if let Some(clock) = &told.clock { " " span class="small" { "at " (own(clock)) } }
                @if told.kind == ToldKind::Read { (result(told)) }
                @if told.kind == ToldKind::Photo { (photo(given, told)) }
                @for number in &told.findings {
                    @if let Some(finding) = given.analysis.findings.get(*number) {
                        span class={ "remark " (finding.severity.word()) } {
                            span class="word" { (finding.severity.word()) } (remark(&finding.message))
                        }
                    }
                }
            }
        }
    }
}

/// The verdict in a word, where it is not plainly in.
fn result(told: &Told) -> Markup {
    html! {
        @match told.verdict {
            Some(Verdict::In) => { " " span class="small v-in" { "in" } },
            Some(Verdict::Out) => { " " span class="small v-out" { "out" } },
            Some(Verdict::NotProven) => { " " span class="small v-np" { "not proven" } },
            None => {},
        }
        @if told.is_stale { " " span class="small is-stale" { "overtaken later" } }
    }
}

fn photo(given: &Given<'_>, told: &Told) -> Markup {
    let photo = given.photos.iter().find(|(line, _)| *line == told.line);
    match photo.map(|(_, photo)| photo) {
        Some(Photo::Picture { data, size }) => html! {
            figure {
                img src=(data) width=(size.0) height=(size.1) alt={ "Photo named " (crate::report::page::plain(&told.text)) " in the log" };
            }
        },
        Some(Photo::Link { address, why }) => html! {
            " " a href=(address) { "show it" }
            @if !why.is_empty() { " " span class="small" { "(it does not stand here: " (own(why)) ")" } }
        },
        Some(Photo::Name { why }) if !why.is_empty() => {
            html! { " " span class="small" { "(not shown: " (own(why)) ")" } }
        }
        _ => html! {},
    }
}
