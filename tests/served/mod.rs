//! A client of a few lines, over the standard streams of the real program.
#![allow(dead_code)]

use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

/// How long an answer may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// A server and its one client.
pub struct Client {
    process: Child,
    input: Option<ChildStdin>,
    messages: Receiver<Value>,
    next: u64,
    waiting: std::collections::VecDeque<u64>,
    kept: Vec<Value>,
}

/// The address of a log that is in no file.
pub fn log_uri(name: &str) -> String {
    format!("untitled:{name}.rebuild")
}

/// The address of a file.
pub fn file_uri(path: &Path) -> String {
    format!("file://{}", path.to_str().expect("a plain path"))
}

/// A range.
pub fn range(line: u32, character: u32, end_line: u32, end_character: u32) -> Value {
    json!({
        "start": { "line": line, "character": character },
        "end": { "line": end_line, "character": end_character }
    })
}

impl Client {
    /// Starts a server for a client that can do so much.
    pub fn start(capabilities: Value) -> Client {
        Client::start_at(Value::Null, capabilities)
    }

    /// The same in the workspace of a folder.
    pub fn start_in(folder: &Path, capabilities: Value) -> Client {
        Client::start_at(json!(file_uri(folder)), capabilities)
    }

    fn start_at(root: Value, capabilities: Value) -> Client {
        let mut client = Client::bare();
        client.ask(
            "initialize",
            json!({ "processId": null, "rootUri": root, "capabilities": capabilities }),
        );
        client.tell("initialized", json!({}));
        client
    }

    /// Starts a server and says nothing yet.
    pub fn bare() -> Client {
        let mut process = Command::new(env!("CARGO_BIN_EXE_gudgeon"))
            .arg("serve")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let output = process.stdout.take().expect("it is piped");
        let (sender, messages) = channel();
        std::thread::spawn(move || {
            let mut output = BufReader::new(output);
            while let Some(message) = read(&mut output) {
                if sender.send(message).is_err() {
                    return;
                }
            }
        });
        Client {
            input: process.stdin.take(),
            process,
            messages,
            next: 0,
            waiting: std::collections::VecDeque::new(),
            kept: Vec::new(),
        }
    }

    pub fn send_raw(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().expect("it is open");
        // A server that has ended already is seen by whoever waits for its end.
        let _ = input.write_all(bytes).and_then(|()| input.flush());
    }

    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        self.send_raw(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        let mut message = json!({ "jsonrpc": "2.0", "method": method });
        if !params.is_null() {
            message["params"] = params;
        }
        self.send(&message);
    }

    /// Asks, and leaves the answer for later.
    pub fn ask_later(&mut self, method: &str, params: Value) {
        self.next += 1;
        let mut message = json!({ "jsonrpc": "2.0", "id": self.next, "method": method });
        if !params.is_null() {
            message["params"] = params;
        }
        self.waiting.push_back(self.next);
        self.send(&message);
    }

    /// The answer to the first question that is still open.
    pub fn answer(&mut self) -> Value {
        let id = self.waiting.pop_front().expect("something was asked");
        let message =
            self.until(|message| (message["id"] == id && message.get("method").is_none()).then(|| message.clone()));
        assert!(message.get("error").is_none(), "{message}");
        message["result"].clone()
    }

    /// Asks, and waits for the whole answer.
    pub fn ask_raw(&mut self, method: &str, params: Value) -> Value {
        self.ask_later(method, params);
        let id = self.waiting.pop_back().expect("it was asked just now");
        self.until(|message| (message["id"] == id && message.get("method").is_none()).then(|| message.clone()))
    }

    /// Asks, and waits for the result.
    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        let message = self.ask_raw(method, params);
        assert!(message.get("error").is_none(), "{method}: {message}");
        message["result"].clone()
    }

    pub fn open(&mut self, uri: &str, text: &str) {
        self.open_as(uri, "rebuild", text);
    }

    pub fn open_as(&mut self, uri: &str, language: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": language, "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub fn change(&mut self, uri: &str, version: u32, changes: Value) {
        let document = json!({ "uri": uri, "version": version });
        self.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": changes }),
        );
    }

    /// What is found of a version of a document.
    pub fn findings(&mut self, uri: &str, version: u32) -> Vec<Value> {
        self.until(|message| {
            let params = &message["params"];
            let is_wanted = message["method"] == "textDocument/publishDiagnostics"
                && params["uri"] == json!(uri)
                && params["version"] == json!(version);
            is_wanted.then(|| params["diagnostics"].as_array().cloned().unwrap_or_default())
        })
    }

    /// The first message, of those that came and that are still to come, of which something can be said.
    pub fn until<T>(&mut self, mut wanted: impl FnMut(&Value) -> Option<T>) -> T {
        if let Some(at) = self.kept.iter().position(|message| wanted(message).is_some()) {
            let message = self.kept.remove(at);
            return wanted(&message).expect("it was wanted just now");
        }
        let end = Instant::now() + PATIENCE;
        loop {
            let message = match self
                .messages
                .recv_timeout(end.saturating_duration_since(Instant::now()))
            {
                Ok(message) => message,
                Err(RecvTimeoutError::Timeout) => panic!("nothing came; before it {:#?}", self.kept),
                Err(RecvTimeoutError::Disconnected) => panic!("it ended: {}", self.errors()),
            };
            if let Some(found) = wanted(&message) {
                return found;
            }
            self.kept.push(message);
        }
    }

    /// The number of its process.
    pub fn process_id(&self) -> u32 {
        self.process.id()
    }

    pub fn hang_up(&mut self) {
        self.input = None;
    }

    /// The code it ended with; `None` if it has not ended by then.
    pub fn ended(&mut self, within: Duration) -> Option<i32> {
        let end = Instant::now() + within;
        while Instant::now() < end {
            if let Some(status) = self.process.try_wait().expect("it can be waited for") {
                return status.code();
            }
            std::thread::sleep(Duration::from_millis(1));
        }
        None
    }

    /// What it wrote on standard error; only once it has ended.
    pub fn errors(&mut self) -> String {
        let mut text = String::new();
        if let Some(errors) = &mut self.process.stderr {
            errors.read_to_string(&mut text).expect("it is text");
        }
        text
    }

    /// Ends it as it should be ended.
    pub fn quit(mut self) {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        assert_eq!(self.ended(Duration::from_secs(10)), Some(0));
        assert_eq!(self.errors(), "");
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

fn read(output: &mut impl BufRead) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if output.read_line(&mut line).ok()? == 0 {
            return None;
        }
        let line = line.trim_end();
        if line.is_empty() {
            break;
        }
        if let Some(value) = line.strip_prefix("Content-Length: ") {
            length = value.parse().expect("a length");
        }
    }
    let mut body = vec![0; length];
    output.read_exact(&mut body).ok()?;
    Some(serde_json::from_slice(&body).expect("standard output is protocol and nothing else"))
}
