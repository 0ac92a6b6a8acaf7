//! `gudgeon serve`.

use super::Exit;
use super::console::Console;
use crate::server::{self, Ended};

/// Serves one editor until it is done. Standard output belongs to the protocol; what went wrong is told on standard error.
pub fn run(console: &mut Console) -> Exit {
    match server::serve(leave) {
        Ok(()) => Exit::Failed,
        Err(why) => {
            console.tell(&why);
            Exit::Failed
        }
    }
}

/// Ends the process, at once, with what is to be said of how serving ended.
fn leave(ended: Ended) {
    let mut console = Console::new();
    let exit = match ended {
        Ended::Properly => Exit::Clean,
        Ended::WithoutShutdown => {
            console.tell("serve: the editor said `exit` without `shutdown`");
            Exit::Found
        }
        Ended::Vanished => {
            console.tell("serve: the editor went away without `exit`");
            Exit::Found
        }
        Ended::Broken(why) => {
            console.tell(&format!("serve: {why}"));
            Exit::Failed
        }
    };
    std::process::exit(exit as i32);
}
