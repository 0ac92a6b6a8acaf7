//! The output of the server, which may have nobody behind it any more. The protocol's library goes on then for nobody; here it is seen.

use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};

use tokio::io::AsyncWrite;

use super::session::Session;

/// An output; the session is told once nothing can be written to it.
pub struct Output<W> {
    out: Pin<Box<W>>,
    session: Arc<Session>,
}

impl<W: AsyncWrite> Output<W> {
    /// Watches an output for a session.
    pub fn new(out: W, session: Arc<Session>) -> Output<W> {
        Output {
            out: Box::pin(out),
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

impl<W: AsyncWrite> AsyncWrite for Output<W> {
    fn poll_write(mut self: Pin<&mut Self>, context: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        let done = self.out.as_mut().poll_write(context, bytes);
        self.seen(done)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = self.out.as_mut().poll_flush(context);
        self.seen(done)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        let done = self.out.as_mut().poll_shutdown(context);
        self.seen(done)
    }
}
