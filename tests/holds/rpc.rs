//! Whatever bytes come in, the server ends by itself, with a reason where they are no messages; and whatever is asked of it in good form is answered once.
//!
//! An input of one part goes in as it is. One of three is a log, a manual and a script: each line `log METHOD LINE CHARACTER LINE CHARACTER TEXT`, or
//! `manual …`, is a message about one of the two documents with everything in it that any message has.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};
use std::pin::Pin;
use std::sync::mpsc::channel;
use std::sync::{Arc, Condvar, Mutex};
use std::task::{Context, Poll};
use std::time::Duration;

use gudgeon::server::{Ended, serve_on};
use serde_json::{Value, json};
use tokio::io::AsyncWrite;

use super::input;

/// How long an answer may take, also on a busy machine.
const PATIENCE: Duration = Duration::from_secs(8);

/// How many messages a script may have.
const MOST: usize = 64;

pub fn holds(bytes: &[u8]) {
    let text = input::text(bytes);
    if names_this_machine(&text) {
        return;
    }
    match input::parts(&text).as_slice() {
        [log, manual, script, ..] => converse(log, manual, script),
        _ => broken(bytes),
    }
}

/// Whether an input has an address of this machine in it, of which the server would read the folders: only one that is not there may be named.
fn names_this_machine(text: &str) -> bool {
    let text = text.to_lowercase();
    let mut names = text.match_indices("file:").map(|(at, _)| &text[at..]);
    names.any(|name| !name.starts_with("file:///nowhere/")) || text.contains("file\\") || text.contains("\\u00")
}

/// Bytes as they come.
fn broken(bytes: &[u8]) {
    let heard = Heard::default();
    let ended = served(Cursor::new(bytes.to_vec()), &heard);
    if let Ended::Broken(why) = &ended {
        assert!(!why.is_empty() && !why.contains('\n'), "{why:?}");
    }
    heard.messages();
}

/// A whole life of a server.
fn converse(log: &str, manual: &str, script: &str) {
    let mut said = Said::default();
    said.message(
        "initialize",
        json!({ "processId": null, "rootUri": null, "capabilities": {
            "textDocument": { "publishDiagnostics": { "relatedInformation": true }, "completion": { "completionItem": { "snippetSupport": true } } }
        } }),
    );
    said.message("initialized", json!({}));
    for (uri, language, text) in [(MANUAL, "rebuild-manual", manual), (LOG, "rebuild", log)] {
        let document = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
        said.message("textDocument/didOpen", json!({ "textDocument": document }));
    }
    for line in script.lines().take(MOST) {
        said.line(line);
    }
    let heard = Heard::default();
    let client = Client {
        said: Cursor::new(std::mem::take(&mut said.bytes)),
        until: said.asked,
        stage: Stage::Asking,
        heard: heard.clone(),
    };
    let ended = served(client, &heard);
    assert_eq!(ended, Ended::Properly, "{script}");
    let mut answers: BTreeMap<u64, usize> = BTreeMap::new();
    for message in heard.messages() {
        if let (None, Some(id)) = (message.get("method"), message["id"].as_u64()) {
            *answers.entry(id).or_default() += 1;
        }
    }
    for id in 1..=said.asked + 1 {
        assert_eq!(answers.get(&id), Some(&1), "answers to question {id} of\n{script}");
    }
}

/// The two documents.
const LOG: &str = "file:///nowhere/x.rebuild";
const MANUAL: &str = "file:///nowhere/m.manual";

/// What a client says.
#[derive(Default)]
struct Said {
    bytes: Vec<u8>,
    /// How many questions it asked; their numbers count from 1.
    asked: u64,
    version: i64,
}

impl Said {
    fn message(&mut self, method: &str, params: Value) {
        let is_told = method.starts_with("textDocument/did")
            || method.starts_with("workspace/did")
            || matches!(
                method,
                "initialized" | "$/cancelRequest" | "$/setTrace" | "window/workDoneProgress/cancel"
            );
        let mut message = json!({ "jsonrpc": "2.0", "method": method, "params": params });
        if !is_told {
            self.asked += 1;
            message["id"] = json!(self.asked);
        }
        self.bytes.extend(framed(&message));
    }

    /// The message of a line of a script; a line without one says nothing.
    fn line(&mut self, line: &str) {
        let mut words = line.splitn(7, ' ');
        let mut word = || words.next().unwrap_or("");
        let (which, method) = (word(), word());
        if method.is_empty() || matches!(method, "exit" | "initialize" | "shutdown") {
            return;
        }
        let numbers: Vec<u32> = (0..4).map(|_| word().parse().unwrap_or(0)).collect();
        let text = word().replace("\\n", "\n").replace("\\r", "\r");
        let uri = if which == "manual" { MANUAL } else { LOG };
        let start = json!({ "line": numbers[0], "character": numbers[1] });
        let range = json!({ "start": start, "end": { "line": numbers[2], "character": numbers[3] } });
        self.version += 1;
        let params = json!({
            "textDocument": { "uri": uri, "version": self.version + 1, "languageId": "rebuild", "text": text },
            "position": start,
            "positions": [start, range["end"]],
            "range": range,
            "contentChanges": [{ "range": range, "text": text }],
            "context": { "includeDeclaration": true, "diagnostics": [], "triggerKind": 1 },
            "options": { "tabSize": 2, "insertSpaces": true },
            "ch": "\n",
            "newName": text,
            "query": text,
            "previousResultId": text,
            "label": text,
            "title": text,
            "data": { "uri": uri, "about": text, "does": text },
            "command": text,
            "arguments": [uri, text],
            "settings": { "gudgeon": { "findings": { "workspace": false } } },
            "changes": [{ "uri": uri, "type": 2 }],
            "id": numbers[0],
        });
        self.message(method, params);
    }
}

fn framed(message: &Value) -> Vec<u8> {
    let body = message.to_string();
    format!("Content-Length: {}\r\n\r\n{body}", body.len()).into_bytes()
}

/// What a client still has to say.
enum Stage {
    Asking,
    ShuttingDown,
    Done,
}

/// A client that says `shutdown` once all it asked was answered, and `exit` after that.
struct Client {
    said: Cursor<Vec<u8>>,
    until: u64,
    stage: Stage,
    heard: Heard,
}

impl Read for Client {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        loop {
            let read = self.said.read(buffer)?;
            if read > 0 || matches!(self.stage, Stage::Done) {
                return Ok(read);
            }
            // One that is not answered hangs up, and is found out by how serving ended.
            if !self.heard.wait_for(self.until) {
                self.stage = Stage::Done;
                return Ok(0);
            }
            self.until += 1;
            let (message, stage) = match self.stage {
                Stage::Asking => (
                    json!({ "jsonrpc": "2.0", "id": self.until, "method": "shutdown" }),
                    Stage::ShuttingDown,
                ),
                _ => (json!({ "jsonrpc": "2.0", "method": "exit" }), Stage::Done),
            };
            self.said = Cursor::new(framed(&message));
            self.stage = stage;
        }
    }
}

/// What the server said so far.
#[derive(Clone, Default)]
struct Heard(Arc<(Mutex<Vec<u8>>, Condvar)>);

impl Heard {
    /// Waits for this many answers; whether they came.
    fn wait_for(&self, answers: u64) -> bool {
        let (bytes, came) = &*self.0;
        let bytes = bytes.lock().expect("nobody panicked here");
        let wanted = |bytes: &mut Vec<u8>| (count(bytes) as u64) < answers;
        let waited = came
            .wait_timeout_while(bytes, PATIENCE, wanted)
            .expect("nobody panicked here");
        !waited.1.timed_out()
    }

    /// Every message, whole.
    fn messages(&self) -> Vec<Value> {
        let bytes = self.0.0.lock().expect("nobody panicked here");
        messages(&bytes)
    }
}

/// How many answers are there.
fn count(bytes: &[u8]) -> usize {
    let is_answer = |message: &Value| message.get("method").is_none() && message["id"].is_u64();
    messages(bytes).iter().filter(|message| is_answer(message)).count()
}

/// The whole messages of a stream: what is written is protocol and nothing else.
fn messages(mut bytes: &[u8]) -> Vec<Value> {
    let mut list = Vec::new();
    while let Some(at) = bytes.windows(4).position(|four| four == b"\r\n\r\n") {
        let head = std::str::from_utf8(&bytes[..at]).expect("a header is text");
        let length = head.lines().find_map(|line| line.strip_prefix("Content-Length: "));
        let length: usize = length
            .and_then(|length| length.parse().ok())
            .expect("a message has a length");
        let Some(body) = bytes.get(at + 4..at + 4 + length) else {
            break;
        };
        list.push(serde_json::from_slice(body).expect("a message is JSON"));
        bytes = &bytes[at + 4 + length..];
    }
    list
}

/// The server's way out.
struct Output(Heard);

impl AsyncWrite for Output {
    fn poll_write(self: Pin<&mut Self>, _: &mut Context<'_>, buffer: &[u8]) -> Poll<std::io::Result<usize>> {
        let (bytes, came) = &*self.0.0;
        bytes.lock().expect("nobody panicked here").extend_from_slice(buffer);
        came.notify_all();
        Poll::Ready(Ok(buffer.len()))
    }

    fn poll_flush(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<std::io::Result<()>> {
        Poll::Ready(Ok(()))
    }

    fn poll_shutdown(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<std::io::Result<()>> {
        Poll::Ready(Ok(()))
    }
}

/// Serves one client to the end, and says how it ended.
fn served(input: impl Read + Send + 'static, heard: &Heard) -> Ended {
    let (sender, receiver) = channel();
    let output = Output(heard.clone());
    let leave = move |ended| sender.send(ended).expect("it is waited for");
    serve_on(input, output, leave).expect("it starts");
    receiver.recv().expect("serving ends with a reason")
}
