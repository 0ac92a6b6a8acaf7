//! The foreman at the elbow: a whole log of a pressed crank, from an empty file, by taking proposals and typing figures.

mod support;

use support::bench::Writing;
use support::{judge, told};

fn show(log: &Writing) {
    for one in log.offered().iter().take(16) { println!("{:4} {:?} {} | {} | {:?}", one.rank, one.kind, one.label, one.detail, one.snippet.as_ref().unwrap_or(&one.text)); }
}
#[test]
fn a_log_is_written_from_nothing_by_taking_what_is_proposed() {
    let mut log = Writing::default();
    log.take_early("job", &["bottom end, side play at the limit"]).enter();
    log.take_early("machine", &[""]).take("Tarn 250 trials single, frame TN-0417", &[]).enter();
    log.take_early("hours", &["312"]).enter();
    log.take_early("manual", &[""]).take("pressed crank", &[]).enter();
    log.take_early("procedure crank rebuild", &[]).enter();
    log.take_early("tool press", &["20"]).enter();
    log.take_early("2026-11-26  as found", &[]).enter();
    show(&log);
    log.take_early("web width", &["52.03"]).enter();
    log.take_early("side play", &["0.60", "0.65"]).enter();
    log.take_early("held on centres", &[]).enter();
    log.take_early("run-out at drive side", &["0.022"]).enter();
    log.take_early("run-out at flywheel side", &["0.031"]).enter();
    log.take_early("did press out crankpin", &["28", "7"]).enter();
    log.take("found", &[""]).take_early("crankpin", &["blue, replace"]).enter();
    log.take_early("ordered crankpin", &["4471"]).enter();
    show(&log);
    log.take_early("2026-11-26  goods in", &[]).enter();
    log.take_early("got crankpin", &[]).enter();
    log.take_early("2026-11-26  build", &[]).enter();
    log.take_early("did press in crankpin", &["_", "5"]).type_in(", ").take("from", &[""]).take_early("crankpin", &[]).enter();
    show(&log);
    log.take_early("did press together", &["_", "6"]).enter();
    show(&log);
    log.take_early("did check rod turns", &[]).enter();
    log.take_early("web width", &["51.99"]).enter();
    log.take_early("side play", &["0.40", "0.45"]).enter();
    log.take_early("run-out at drive side", &["0.08"]).enter();
    log.take_early("run-out at flywheel side", &["0.07"]).enter();
    show(&log);
    println!("{}", log.text);
    println!("{}", told(&judge("", "", &log.text)));
    log.take_early("did true crank", &[]).enter();
    log.take_early("web width", &["51.99"]).enter();
    log.take_early("side play", &["0.40", "0.45"]).enter();
    log.take_early("run-out at drive side", &["0.012"]).enter();
    log.take_early("run-out at flywheel side", &["0.015"]).enter();
    log.take_early("closed 2026-11-26", &[]).enter();
    println!("{}", log.text);
    println!("{}", told(&judge("", "", &log.text)));
}
