//! A bar on standard error, for a run that takes longer than half a second and is watched.

use std::io::IsTerminal;
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// How long a run may take before the bar appears.
const PATIENCE: Duration = Duration::from_millis(500);

/// How far a run has come.
pub struct Progress {
    bar: ProgressBar,
    began: Instant,
    watched: bool,
}

impl Progress {
    /// A bar over a number of files; it stays hidden at first.
    pub fn new(files: usize) -> Self {
        let bar = ProgressBar::with_draw_target(Some(files as u64), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} files") {
            bar.set_style(style);
        }
        Self {
            bar,
            began: Instant::now(),
            watched: std::io::stderr().is_terminal(),
        }
    }

    /// One more file is done. May be called from any thread.
    pub fn step(&self) {
        self.bar.inc(1);
    }

    /// Shows the bar if the run has taken long enough, and lets `print` write without the bar in its way.
    pub fn around(&self, print: impl FnOnce()) {
        if self.watched && self.bar.is_hidden() && self.began.elapsed() > PATIENCE {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.suspend(print);
    }

    /// Takes the bar away.
    pub fn done(&self) {
        self.bar.finish_and_clear();
    }
}
