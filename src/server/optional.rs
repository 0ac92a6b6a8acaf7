//! Requests whose method begins with `$/` are optional to know, but each wants an answer; the protocol's library gives none.

use std::future::{Future, Ready, ready};
use std::pin::Pin;
use std::task::{Context, Poll};

use tower_lsp::jsonrpc::{Error, Request, Response};
use tower_service::Service;

/// A service that answers for another what that one would not.
#[derive(Debug)]
pub struct Optional<S>(pub S);

/// An answer that is there already, or that of the service within.
pub enum Answer<F, E> {
    /// There already.
    Now(Ready<Result<Option<Response>, E>>),
    /// To be waited for.
    Later(Pin<Box<F>>),
}

impl<F, E> Future for Answer<F, E>
where
    F: Future<Output = Result<Option<Response>, E>>,
    E: Unpin,
{
    type Output = F::Output;

    fn poll(self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<F::Output> {
        match self.get_mut() {
            Answer::Now(answer) => Pin::new(answer).poll(context),
            Answer::Later(answer) => answer.as_mut().poll(context),
        }
    }
}

impl<S> Service<Request> for Optional<S>
where
    S: Service<Request, Response = Option<Response>>,
    S::Error: Unpin,
{
    type Response = Option<Response>;
    type Error = S::Error;
    type Future = Answer<S::Future, S::Error>;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        self.0.poll_ready(context)
    }

    fn call(&mut self, request: Request) -> Self::Future {
        match request.id().cloned().filter(|_| request.method().starts_with("$/")) {
            Some(id) => Answer::Now(ready(Ok(Some(Response::from_error(id, Error::method_not_found()))))),
            None => Answer::Later(Box::pin(self.0.call(request))),
        }
    }
}
