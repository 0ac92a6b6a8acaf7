//! Machines over several jobs: which readings are of one life, how fast they wear, what is left, what stands out.

#![allow(clippy::unwrap_used)] // A test that cannot set itself up has failed.

mod support;

#[path = "trend/cli.rs"]
mod cli;
#[path = "trend/lives.rs"]
mod lives;
#[path = "trend/numbers.rs"]
mod numbers;
#[path = "trend/properties.rs"]
mod properties;

use std::path::Path;

use gudgeon::history::{History, Life, Track, Wanted};
use gudgeon::judge::logged;
use gudgeon::judge::traces::Logged;
use gudgeon::workspace::{Library, analyse};
use support::NOWHERE;

/// A single of our own.
const MANUAL: &str = "manual   bench\nsource   invented for this test\nunits    mm\n
feature bore of cylinder 1, cylinder 2
  unit     mm
feature side play
  build    0.35 to 0.55 mm
  service  up to 0.70 mm
feature pin size
  unit     mm
feature eye size
  unit     mm
calc pin clearance = eye size - pin size
  service  up to 0.10 mm
procedure crank
  step clean webs      optional
  step hone bore       disturbs bore; optional
  step press together  disturbs side play; optional
";

/// What a log adds. `text` stands behind the head; `job-1` is its name.
fn job(name: &str, hours: &str, text: &str) -> Logged {
    let library = Library::new();
    library.give("bench.manual", MANUAL);
    let log = format!("job {name}\nmachine Sedge 250, frame SG-1\nhours {hours}\nmanual bench\n{text}");
    let analysis = analyse(name, Path::new(NOWHERE), log.into_bytes(), &library);
    assert!(
        analysis.findings.iter().all(|f| !f.code.starts_with("line.")),
        "{:?}",
        analysis.findings
    );
    logged(&analysis)
}

fn history(jobs: &[Logged]) -> History {
    History::of(jobs.to_vec(), &Wanted::default())
}

/// The one track of a name.
fn track(history: &History, name: &str) -> Track {
    let mut tracks = history.machines.iter().flat_map(|machine| &machine.tracks);
    tracks
        .find(|track| track.name() == name)
        .unwrap_or_else(|| panic!("no {name}"))
        .clone()
}

/// The figures of each life, in mm.
fn figures(track: &Track) -> Vec<Vec<String>> {
    let of = |life: &Life| life.spots.iter().map(|spot| spot.point.best.to_string()).collect();
    track.lives.iter().map(of).collect()
}

fn near(got: f64, wanted: f64, within: f64) {
    assert!((got - wanted).abs() <= within, "{got} is not {wanted}");
}
