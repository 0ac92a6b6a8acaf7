//! What is asked of the client, as it goes out. A request that has no parameters is sent by the protocol's library with `null` for them, which JSON-RPC does not know.

use futures_util::stream::{Map, Stream, StreamExt};
use tower_lsp::Loopback;
use tower_lsp::jsonrpc::Request;

/// The way to the client, with such requests put right.
#[derive(Debug)]
pub struct Outgoing<L>(pub L);

impl<L: Loopback> Loopback for Outgoing<L> {
    type RequestStream = Map<L::RequestStream, fn(Request) -> Request>;
    type ResponseSink = L::ResponseSink;

    fn split(self) -> (Self::RequestStream, Self::ResponseSink) {
        let (requests, responses) = self.0.split();
        (mapped(requests), responses)
    }
}

fn mapped<S: Stream<Item = Request>>(requests: S) -> Map<S, fn(Request) -> Request> {
    requests.map(put_right)
}

fn put_right(request: Request) -> Request {
    if request.params().is_none_or(|params| !params.is_null()) {
        return request;
    }
    let plain = Request::build(request.method().to_owned());
    match request.id() {
        Some(id) => plain.id(id.clone()).finish(),
        None => plain.finish(),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;

    #[test]
    fn null_is_left_out_and_all_else_stays() {
        let sent = |request: Request| serde_json::to_value(put_right(request)).expect("it is JSON");
        let refresh = Request::build("workspace/codeLens/refresh")
            .id(3)
            .params(Value::Null)
            .finish();
        assert_eq!(
            sent(refresh),
            json!({ "jsonrpc": "2.0", "method": "workspace/codeLens/refresh", "id": 3 })
        );
        let told = Request::build("window/logMessage")
            .params(json!({ "type": 1 }))
            .finish();
        assert_eq!(sent(told.clone()), serde_json::to_value(told).expect("it is JSON"));
    }
}
