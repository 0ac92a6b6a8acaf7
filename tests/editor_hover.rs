//! What is told of what stands under the cursor.

mod support;

use gudgeon::editor::hover::hover;
use support::editor::{log_at, log_page, manual_page, marked};

const MANUAL: &str = include_str!("../samples/manuals/corvane-250.manual");

#[test]
fn look() {
    let log = std::fs::read_to_string("/tmp/look.rebuild").unwrap();
    let man = std::fs::read_to_string("/tmp/look.manual").unwrap();
    let (plain, at) = marked(&log);
    let page = log_page(&man.replace("¦",""), &plain);
    for f in page.findings() { println!("F {} {}", f.code, f.message); }
    for o in at {
        match hover(&page, o, &[]) {
            Some(h) => println!("=== {:?}\n{}\n", &plain[h.span.range()], h.markdown),
            None => println!("=== none at {o}"),
        }
    }
    let (plain, at) = marked(&man);
    let page = manual_page(&plain);
    for o in at {
        match hover(&page, o, &[]) {
            Some(h) => println!("=== M {:?}\n{}\n", &plain[h.span.range()], h.markdown),
            None => println!("=== M none at {o}"),
        }
    }
    let _ = (log_at, MANUAL);
}
