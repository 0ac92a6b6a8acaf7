//! The foreman at the elbow: a whole log of a pressed crank, from an empty file, by taking proposals and typing figures.

mod support;

use support::bench::Writing;
use support::{judge, told};

#[test]
fn a_log_is_written_from_nothing_by_taking_what_is_proposed() {
    let mut log = Writing::default();
    log.take_early("job", &["bottom end, side play at the limit"]).enter();
    for one in log.offered().iter().take(60) { println!("{:4} {:?} {} | {} | {:?}", one.rank, one.kind, one.label, one.detail, one.snippet.as_ref().unwrap_or(&one.text)); }
    log.take_early("machine", &[""]).take("Tarn 250 trials single, frame TN-0417", &[]).enter();
    log.take_early("hours", &["312"]).enter();
    log.take_early("manual", &[""]).take("pressed crank", &[]).enter();
    log.take_early("procedure crank rebuild", &[]).enter();
    log.take_early("tool press", &["20"]).enter();
    log.take_early("2026-11-26  as found", &[]).enter();
    for one in log.offered().iter().take(60) { println!("{:4} {:?} {} | {} | {:?}", one.rank, one.kind, one.label, one.detail, one.snippet.as_ref().unwrap_or(&one.text)); }
}
