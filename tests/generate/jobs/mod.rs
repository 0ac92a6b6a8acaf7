//! What is done on a machine, round by round: each file one kind of job.

mod axle;
mod gearbox;
mod pressed_crank;
mod pump;
mod top_end;
mod twin;
mod valves;

use super::model::Kind;
use super::pad::Pad;

/// One round of work on the machine, from what was found to the test; a long log has many.
pub fn round(pad: &mut Pad<'_>, number: u64) {
    match pad.model.kind {
        Kind::Single if number.is_multiple_of(2) => pressed_crank::round(pad),
        Kind::Single => top_end::round(pad),
        Kind::Twin => twin::round(pad),
        Kind::Valves => valves::round(pad),
        Kind::Axle => axle::round(pad),
        Kind::Pump => pump::round(pad),
        Kind::Gearbox => gearbox::round(pad),
    }
}

/// A day on which it only ran: the meter, and what was noticed.
pub fn run_in(pad: &mut Pad<'_>, meter: i64) {
    if pad.room() < 7 {
        while pad.room() > 1 {
            let note = pad.sentence();
            pad.put(&format!("note {note}"));
        }
        return;
    }
    let days = pad.dice.between(2, 12);
    pad.day(days, "run in");
    pad.put(&format!("hours {meter}"));
    pad.aside();
    pad.maybe_aside(60);
    pad.maybe_aside(40);
}

/// The tools of a kind of job: what stands behind `tool` in the head.
pub fn tools(kind: Kind) -> &'static [(&'static str, &'static str)] {
    const MIC: &str = "micrometer, reads to 0.001 mm, good to 0.002 mm";
    match kind {
        Kind::Single => &[
            ("mic 0-25", MIC),
            ("mic 25-50", MIC),
            ("mic 50-75", "micrometer, reads to 0.001 mm, good to 0.003 mm"),
            ("bore gauge", "bore gauge, reads to 0.001 mm, good to 0.002 mm"),
            ("dial", "dial indicator, reads to 0.001 mm, good to 0.003 mm"),
            ("feelers", "feeler gauge"),
            ("press", "press, rated 10 t frame, rated 12 t jack"),
        ],
        Kind::Twin => &[
            ("mic 25-50", MIC),
            ("mic 0-25", MIC),
            ("bore gauge", "bore gauge, reads to 0.001 mm, good to 0.002 mm"),
            ("feelers", "feeler gauge"),
            ("dial", "dial indicator, good to 0.003 mm"),
        ],
        Kind::Valves => &[
            ("thin feelers", "feeler gauge, reads to 0.01 mm"),
            ("mic 0-25", "micrometer, reads to 0.001 mm, good to 0.001 mm"),
            ("mic 50-75", MIC),
            ("mic 75-100", MIC),
            ("bore gauge", "bore gauge, reads to 0.001 mm, good to 0.002 mm"),
        ],
        Kind::Axle => &[
            ("dial", "dial indicator, reads to 0.01 mm, good to 0.006 mm"),
            ("mic 0-25", MIC),
            ("depth gauge", "depth micrometer, reads to 0.01 mm, good to 0.01 mm"),
        ],
        Kind::Pump => &[
            ("depth mic", "depth micrometer, reads to 0.001 mm, good to 0.005 mm"),
            ("mic 0-25", MIC),
            ("mic 25-50", MIC),
            ("bore gauge", "bore gauge, reads to 0.001 mm, good to 0.002 mm"),
            ("dial", "dial indicator, reads to 0.001 mm, good to 0.003 mm"),
        ],
        Kind::Gearbox => &[
            ("dial", "dial indicator, reads to 0.01 mm, good to 0.006 mm"),
            ("mic 0-25", MIC),
            ("calliper", "calliper, reads to 0.01 mm, good to 0.02 mm"),
        ],
    }
}
