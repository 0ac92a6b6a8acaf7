//! A sum comes to a figure or is refused in words, asked by itself and as a `calc` of a manual.

use gudgeon::calc::reckon::reckon;
use gudgeon::report;

use super::{input, judge, judged, plain};

/// Readings that a sum may call on.
const LOG: &str = "job x\nmanual m\ntool mic: micrometer, reads to 0.01 mm\n2026-03-14 build\na = 52.03 mm by mic\nb = 0.40 to 0.45 mm\n\
                   c at left = 12 C\nc at right = -18 C\nd = 0\ne = go 0.40, no-go 0.45 mm\n";

/// Their features.
const FEATURES: &str = "manual m\nfeature a\n  unit mm\nfeature b\n  unit mm\nfeature c at left, right\n  unit C\nfeature d\nfeature e\n  unit mm\n";

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    let mut manual = FEATURES.to_owned();
    for (number, sum) in text.lines().take(16).enumerate() {
        match reckon(sum) {
            Ok(reckoned) => {
                plain::assert_no_nan("a sum", &reckoned);
                plain::assert_figures("a sum", &report::reckon::result(&reckoned), sum);
            }
            Err(why) => {
                assert!(!why.is_empty(), "refused without a word");
                plain::assert_figures("a refusal", &why, sum);
            }
        }
        let told = [(sum.to_owned(), reckon(sum))];
        plain::assert_promised("reckon", &report::reckon::json(&told), &report::reckon::schema());
        manual.push_str(&format!("calc s{number} = {sum}\n  build up to 1\n"));
    }
    let library = judged::library_of(&manual);
    judge::assert_judged(&judged::manual(&manual, &library), &text);
    judge::assert_log(LOG, &library, &text);
}
