//! Whether a page of HTML is whole: its tags nest, and none came out of a log.

/// Elements that have no end tag (HTML, 13.1.2).
const VOID: &[&str] = &[
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr",
];

/// Fails where a tag is left open, closed twice or no tag at all. A `<` of a log that was not escaped is one of these, or brings in what a report never has.
#[track_caller]
pub fn assert_whole(html: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        let here = || rest.chars().take(80).collect::<String>();
        let Some(end) = end_of_tag(rest) else {
            panic!("a tag does not end: <{}", here())
        };
        let tag = &rest[..end];
        let name = |tag: &'_ str| tag.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(tag.len());
        if let Some(closed) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closed), "closed where another is open: <{}", here());
        } else if tag != "!DOCTYPE html" {
            let name = &tag[..name(tag)];
            assert!(
                name.starts_with(|c: char| c.is_ascii_lowercase()),
                "no tag: <{}",
                here()
            );
            assert!(
                !matches!(name, "script" | "iframe" | "object" | "embed"),
                "never in a report: <{}",
                here()
            );
            if !VOID.contains(&name) {
                open.push(name);
            }
        }
        rest = &rest[end + 1..];
        // What stands in a style sheet is no markup.
        if open.last() == Some(&"style") {
            rest = rest.find("</style").map_or("", |at| &rest[at..]);
        }
    }
    assert!(open.is_empty(), "left open: {open:?}");
}

/// Where the `>` of a tag stands; one between quotes is part of an attribute, which holds no `<`.
fn end_of_tag(rest: &str) -> Option<usize> {
    let mut quoted = false;
    for (at, c) in rest.char_indices() {
        match c {
            '"' => quoted = !quoted,
            '>' if !quoted => return Some(at),
            '<' => return None,
            _ => {}
        }
    }
    None
}
