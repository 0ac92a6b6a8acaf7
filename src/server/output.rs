//! Standard output, which may have nobody behind it any more. The protocol's library goes on then for nobody; here it is seen.

use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};

use tokio::io::{AsyncWrite, Stdout};

use super::session::Session;

/// Standard output; the session is told once nothing can be written to it.
pub struct Output {
    out: Stdout,
    session: Arc<Session>,
}

impl Output {
    /// That of this process.
    pub fn new(session: Arc<Session>) -> Output {
        Output {
            out: tokio::io::stdout(),
            session,
        }
    }

    fn seen<T>(&self, done: Poll<io::Result<T>>) -> Poll<io::Result<T>> {
        if matches!(done, Poll::Ready(Err(_))) {
            self.session.orphan();
        }
        done
    }
}

impl AsyncWrite for Output {
    fn poll_write(mut self: Pin<&mut Self>, context: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut self.out).poll_write(context, bytes);
        self.seen(done)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut self.out).poll_flush(context);
        self.seen(done)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = Pin::new(&mut self.out).poll_shutdown(context);
        self.seen(done)
    }
}
