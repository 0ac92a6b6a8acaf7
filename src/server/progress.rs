//! How far the reading of a workspace is.

use std::path::Path;
use std::time::Duration;

use tower_lsp::Client;
use tower_lsp::ls_types::notification::Progress as Notification;
use tower_lsp::ls_types::{
    ProgressParams, ProgressParamsValue, ProgressToken, WorkDoneProgress, WorkDoneProgressBegin, WorkDoneProgressEnd,
    WorkDoneProgressReport,
};

use super::session::Session;
use super::watching::wait;

/// How long a client may take to make a place for it.
const PATIENCE: Duration = Duration::from_secs(2);

/// Progress that the client shows, if it shows any.
pub struct Progress {
    token: Option<ProgressToken>,
}

impl Progress {
    /// Asks the client for a place to show it, and begins.
    pub fn begin(session: &Session, client: &Client, root: &Path) -> Progress {
        if !session.state().facts.shows_progress {
            return Progress { token: None };
        }
        let token = ProgressToken::String(format!("gudgeon/index/{}", root.to_string_lossy()));
        let (asking, asked) = (client.clone(), token.clone());
        let answer = wait(&session.runtime, async move {
            tokio::time::timeout(PATIENCE, asking.create_work_done_progress(asked)).await
        });
        let token = matches!(answer, Some(Ok(Ok(())))).then_some(token);
        let progress = Progress { token };
        progress.send(
            session,
            client,
            WorkDoneProgress::Begin(WorkDoneProgressBegin {
                title: "reading logs and manuals".to_owned(),
                cancellable: Some(false),
                message: None,
                percentage: Some(0),
            }),
        );
        progress
    }

    /// So many files of so many are read.
    pub fn report(&self, session: &Session, client: &Client, done: usize, count: usize) {
        let done = done.min(count);
        let percentage = u32::try_from(done * 100 / count.max(1)).unwrap_or(100);
        self.send(
            session,
            client,
            WorkDoneProgress::Report(WorkDoneProgressReport {
                cancellable: Some(false),
                message: Some(format!("{done} of {count}")),
                percentage: Some(percentage),
            }),
        );
    }

    /// All are.
    pub fn end(&self, session: &Session, client: &Client) {
        self.send(
            session,
            client,
            WorkDoneProgress::End(WorkDoneProgressEnd { message: None }),
        );
    }

    fn send(&self, session: &Session, client: &Client, value: WorkDoneProgress) {
        let Some(token) = &self.token else { return };
        let params = ProgressParams {
            token: token.clone(),
            value: ProgressParamsValue::WorkDone(value),
        };
        let client = client.clone();
        wait(&session.runtime, async move {
            client.send_notification::<Notification>(params).await;
        });
    }
}
