//! Manuals that extend each other, in rings, twice over, themselves, or what is not there, are read, and a log is judged by them.

use super::{input, judge, judged};

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let parts = input::parts(&text);
    let Some((log, manuals)) = parts.split_last() else {
        return;
    };
    // `a.manual`, `b.manual` and so on, by which they may call each other.
    let named: Vec<(String, &str)> = ('a'..='z')
        .zip(manuals)
        .map(|(name, text)| (format!("{name}.manual"), *text))
        .collect();
    let library = judged::library(&named);
    for (_, manual) in &named {
        judge::assert_judged(&judged::manual(manual, &library), &text);
    }
    judge::assert_log(log, &library, &text);
}
