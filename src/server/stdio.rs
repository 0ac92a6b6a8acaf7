//! Standard input, checked message by message before the protocol's library reads it. That library ends silently on what it cannot read; here the end has a reason.

use std::io::{BufRead, BufReader, Read};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use serde::Deserialize;
use serde::de::IgnoredAny;
use tokio::io::{AsyncWriteExt, DuplexStream, WriteHalf};
use tokio::runtime::Handle;
use tokio::sync::Notify;
use tokio::sync::mpsc::{UnboundedReceiver, UnboundedSender, unbounded_channel};

use crate::workspace::discover::MOST_BYTES;

/// The longest message that is taken, in bytes: 256 MiB, four times the longest file, which is written in JSON with more signs than it has.
const LONGEST: usize = 4 * MOST_BYTES as usize;

/// How many bytes may wait between the two.
const BUFFER: usize = 64 * 1024;

/// How many bytes of messages are read ahead of what has been taken up. A client that does not read what it is answered stops everything behind it; by reading on it
/// is still seen when it hangs up.
const AHEAD: usize = 64 * 1024 * 1024;

/// What a message counts for at least, since it is kept with what belongs to it.
const LEAST: usize = 256;

/// How long a client may go on sending without reading what it is answered, once all that room is taken.
const PATIENCE: Duration = Duration::from_secs(60);

/// How long what came before the end may take to be taken up.
const LAST: Duration = Duration::from_millis(500);

/// How serving ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// `shutdown`, then `exit`: as it should be.
    Properly,
    /// `exit` without `shutdown`.
    WithoutShutdown,
    /// The client went away without a word.
    Vanished,
    /// Something came that is no message: what, in words.
    Broken(String),
}

/// How serving ends, as the thread that reads finds out.
pub struct Ending {
    how: Arc<Mutex<Option<Ended>>>,
    ended: Arc<Notify>,
}

impl Ending {
    /// Waits for the end.
    pub async fn wait(&self) {
        self.ended.notified().await;
    }

    /// How it ended; without anything said, the client vanished.
    pub fn how(&self) -> Ended {
        let how = self.how.lock().unwrap_or_else(PoisonError::into_inner);
        how.clone().unwrap_or(Ended::Vanished)
    }
}

/// Starts to read the input, on a thread of its own, since reading standard input cannot be given up and must not keep the process alive.
pub fn listen(input: impl Read + Send + 'static, runtime: Handle) -> (DuplexStream, Ending) {
    let (ours, theirs) = tokio::io::duplex(BUFFER);
    let (_, writer) = tokio::io::split(ours);
    let how = Arc::new(Mutex::new(None));
    let ended = Arc::new(Notify::new());
    let ending = Ending {
        how: Arc::clone(&how),
        ended: Arc::clone(&ended),
    };
    std::thread::spawn(move || {
        // Said before the last message is passed on, so that it is known when serving ends by that message.
        let say = |how_it_ends: Ended| *how.lock().unwrap_or_else(PoisonError::into_inner) = Some(how_it_ends);
        let queue = Queue::new(writer, &runtime);
        let result = pass_on(BufReader::new(input), &queue, &say);
        say(result);
        queue.rest();
        ended.notify_one();
    });
    (theirs, ending)
}

/// Passes messages on until the end, and says how it ended.
fn pass_on(mut input: impl BufRead, queue: &Queue, say: &dyn Fn(Ended)) -> Ended {
    let mut is_shut_down = false;
    loop {
        let body = match message(&mut input) {
            Ok(Some(body)) => body,
            Ok(None) => return Ended::Vanished,
            Err(why) => return Ended::Broken(why),
        };
        let method = match method(&body) {
            Ok(method) => method,
            Err(why) => return Ended::Broken(why),
        };
        let last = match method.as_deref() {
            Some("exit") if is_shut_down => Some(Ended::Properly),
            Some("exit") => Some(Ended::WithoutShutdown),
            _ => None,
        };
        if let Some(last) = &last {
            say(last.clone());
        }
        is_shut_down |= method.as_deref() == Some("shutdown");
        let passed = queue.put(body);
        if let Some(last) = last {
            return last;
        }
        if let Err(ended) = passed {
            return ended;
        }
    }
}

/// A message with the room it takes while it waits.
type Waiting = (Vec<u8>, Taken);

/// Messages that were read and wait to be taken up, in their order.
struct Queue {
    sender: UnboundedSender<Waiting>,
    room: Arc<Room>,
}

impl Queue {
    fn new(writer: WriteHalf<DuplexStream>, runtime: &Handle) -> Queue {
        let (sender, waiting) = unbounded_channel();
        runtime.spawn(forward(waiting, writer));
        Queue {
            sender,
            room: Arc::new(Room {
                free: Mutex::new(AHEAD),
                freed: Condvar::new(),
            }),
        }
    }

    /// Puts a message in, as soon as there is room; or says how serving has ended.
    fn put(&self, body: Vec<u8>) -> Result<(), Ended> {
        match Room::take(&self.room, body.len().clamp(LEAST, AHEAD)) {
            Some(room) => self.sender.send((body, room)).map_err(|_| Ended::Vanished),
            None => Err(Ended::Broken(format!(
                "the editor has read no answer for {} s, and goes on sending",
                PATIENCE.as_secs()
            ))),
        }
    }

    /// Waits for what was put in to be taken up; not for ever, since nobody may be there to read the answers.
    fn rest(&self) {
        drop(self.room.wait(AHEAD, LAST));
    }
}

/// Room for what waits, in bytes. Waited for without the runtime, whose clock stops when serving ends.
struct Room {
    free: Mutex<usize>,
    freed: Condvar,
}

impl Room {
    /// Waits until so much is free; `None` if that takes longer than `patience`.
    fn wait(&self, bytes: usize, patience: Duration) -> Option<MutexGuard<'_, usize>> {
        let free = self.free.lock().unwrap_or_else(PoisonError::into_inner);
        let waited = self.freed.wait_timeout_while(free, patience, |free| *free < bytes);
        let (free, waited) = waited.unwrap_or_else(PoisonError::into_inner);
        (!waited.timed_out()).then_some(free)
    }

    /// Takes so much of it, as soon as it is free; `None` if nothing came free for too long.
    fn take(room: &Arc<Room>, bytes: usize) -> Option<Taken> {
        *room.wait(bytes, PATIENCE)? -= bytes;
        Some(Taken {
            room: Arc::clone(room),
            bytes,
        })
    }
}

/// Room that is taken until this is dropped.
struct Taken {
    room: Arc<Room>,
    bytes: usize,
}

impl Drop for Taken {
    fn drop(&mut self) {
        *self.room.free.lock().unwrap_or_else(PoisonError::into_inner) += self.bytes;
        self.room.freed.notify_all();
    }
}

/// Passes messages on, as fast as they are taken up.
async fn forward(mut waiting: UnboundedReceiver<Waiting>, mut writer: WriteHalf<DuplexStream>) {
    while let Some((body, room)) = waiting.recv().await {
        let head = format!("Content-Length: {}\r\n\r\n", body.len());
        let passed = async {
            writer.write_all(head.as_bytes()).await?;
            writer.write_all(&body).await
        };
        if passed.await.is_err() {
            return;
        }
        drop(room);
    }
}

/// The body of the next message; `None` at the end of the input.
fn message(input: &mut impl BufRead) -> Result<Option<Vec<u8>>, String> {
    let mut length = None;
    let mut is_first = true;
    loop {
        // What is no header may have no line end to wait for.
        let begins = input.fill_buf().ok().and_then(|bytes| bytes.first().copied());
        if let Some(byte) = begins.filter(|byte| !byte.is_ascii_alphabetic() && !matches!(byte, b'\r' | b'\n')) {
            return Err(format!(
                "a message begins with `{}`, not with a header",
                byte.escape_ascii()
            ));
        }
        let mut line = Vec::new();
        let read = input.by_ref().take(8 * 1024).read_until(b'\n', &mut line);
        match read {
            Ok(0) if is_first => return Ok(None),
            Ok(_) => {}
            Err(error) => return Err(format!("standard input cannot be read: {error}")),
        }
        is_first = false;
        let line = String::from_utf8_lossy(&line).into_owned();
        let Some(line) = line.strip_suffix('\n') else {
            return Err(format!("a header ends in the middle: `{}`", shown(&line)));
        };
        let line = line.strip_suffix('\r').unwrap_or(line);
        if line.is_empty() {
            break;
        }
        let Some((name, value)) = line.split_once(':') else {
            return Err(format!("`{}` is no header of a message", shown(line)));
        };
        if name.trim().eq_ignore_ascii_case("content-length") {
            let value = value.trim();
            match value.parse::<usize>() {
                Ok(bytes) if bytes <= LONGEST => length = Some(bytes),
                Ok(bytes) => {
                    return Err(format!(
                        "a message of {bytes} bytes is longer than is taken ({LONGEST})"
                    ));
                }
                Err(_) => return Err(format!("`{}` is no length", shown(value))),
            }
        }
    }
    let Some(length) = length else {
        return Err("a message has no `Content-Length`".to_owned());
    };
    let mut body = Vec::new();
    match input.by_ref().take(length as u64).read_to_end(&mut body) {
        Ok(read) if read == length => Ok(Some(body)),
        Ok(read) => Err(format!("a message of {length} bytes ends after {read}")),
        Err(error) => Err(format!("standard input cannot be read: {error}")),
    }
}

/// What every message of JSON-RPC has.
#[derive(Deserialize)]
struct Shape {
    jsonrpc: Option<String>,
    method: Option<String>,
    id: Option<IgnoredAny>,
    result: Option<IgnoredAny>,
    error: Option<IgnoredAny>,
}

/// The method of a message; `None` for an answer.
fn method(body: &[u8]) -> Result<Option<String>, String> {
    let shape: Shape = serde_json::from_slice(body).map_err(|error| {
        let what = if error.is_data() {
            "no message of JSON-RPC"
        } else {
            "no JSON"
        };
        let begin = String::from_utf8_lossy(body.get(..body.len().min(200)).unwrap_or_default());
        format!("the body of a message is {what} ({error}): `{}`", shown(&begin))
    })?;
    let is_answer = shape.id.is_some() || shape.result.is_some() || shape.error.is_some();
    match shape.jsonrpc.as_deref() {
        Some("2.0") if shape.method.is_some() || is_answer => Ok(shape.method),
        _ => {
            let begin = String::from_utf8_lossy(body.get(..body.len().min(200)).unwrap_or_default());
            Err(format!(
                "the body of a message is no message of JSON-RPC 2.0: `{}`",
                shown(&begin)
            ))
        }
    }
}

/// The beginning of a text on one line, for a message.
fn shown(text: &str) -> String {
    let visible = text.chars().map(|c| if c.is_control() { ' ' } else { c });
    visible.take(80).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<Option<Vec<u8>>, String> {
        message(&mut text.as_bytes())
    }

    #[test]
    fn a_message_is_read_whatever_other_headers_it_has() {
        let text = "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\ncontent-length: 2\r\n\r\n{}rest";
        assert_eq!(read(text), Ok(Some(b"{}".to_vec())));
        assert_eq!(read(""), Ok(None));
    }

    #[test]
    fn what_is_no_message_is_named() {
        let said = |text: &str| read(text).expect_err("it is broken");
        assert_eq!(said("hello\r\n"), "`hello` is no header of a message");
        assert_eq!(said("Content-Length: x\r\n\r\n"), "`x` is no length");
        assert_eq!(said("Content-Length: 9\r\n\r\n{}"), "a message of 9 bytes ends after 2");
        assert_eq!(said("A: b\r\n\r\n{}"), "a message has no `Content-Length`");
        assert_eq!(said("Content-Le"), "a header ends in the middle: `Content-Le`");
        assert_eq!(said("{\"jsonrpc\":"), "a message begins with `{`, not with a header");
        assert!(said("Content-Length: 99999999999\r\n\r\n").contains("longer than is taken"));
    }

    #[test]
    fn only_messages_of_json_rpc_pass() {
        assert_eq!(
            method(br#"{"jsonrpc":"2.0","method":"exit"}"#),
            Ok(Some("exit".to_owned()))
        );
        assert_eq!(method(br#"{"jsonrpc":"2.0","id":1,"result":null}"#), Ok(None));
        for wrong in ["{\"a\":1}", "[]", "3", "{\"jsonrpc\":\"1.0\",\"id\":1}", "{", ""] {
            assert!(method(wrong.as_bytes()).is_err(), "{wrong}");
        }
    }
}
