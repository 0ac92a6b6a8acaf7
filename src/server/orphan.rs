//! The process that started the server: when it is gone, nobody will ever say `exit`.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use super::session::Session;

/// How often it is looked for.
const EVERY: Duration = Duration::from_secs(2);

/// Looks for a process from time to time. Only where the system shows processes as files; elsewhere the end of standard input has to do.
pub fn watch(session: &Arc<Session>, process: Option<u32>) {
    let Some(process) = process else { return };
    let place = PathBuf::from(format!("/proc/{process}"));
    // One that cannot be seen from here (in another container) tells nothing.
    if !place.exists() {
        return;
    }
    let session = Arc::clone(session);
    session.runtime.clone().spawn(async move {
        loop {
            tokio::time::sleep(EVERY).await;
            if !place.exists() {
                session.orphan();
                return;
            }
        }
    });
}
