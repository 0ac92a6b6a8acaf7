//! The server with a client that asks too much, or is gone.

use std::io::Write as _;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::{Value, json};

use super::served::{Client, log_uri, range};
use super::{GUDGEON, skipped};

/// What a process takes of memory now, in MiB. `None` where the system does not tell.
fn memory(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<u64>().ok()? / 1024)
}

/// A log of some length, so that what is kept of it shows.
fn log(number: usize) -> String {
    let mut text = format!("job number {number}\n\n2026-03-14 build\n");
    for reading in 0..4 {
        text.push_str(&format!("feature {reading} = 52.{reading:02} mm\n"));
    }
    text
}

#[test]
fn thousands_of_open_documents_take_no_memory_without_end() {
    const MANY: usize = 3000;
    let mut client = Client::start(json!({}));
    let uri = |number: usize| log_uri(&format!("many-{number}"));
    for number in 0..MANY {
        client.open(&uri(number), &log(number));
    }
    for number in 0..MANY {
        let edit = json!([{ "range": range(0, 0, 0, 3), "text": "job again" }]);
        client.change(&uri(number), 2, edit);
    }
    // The first and the last are judged as they stand now, and answers still come.
    for number in [MANY - 1, MANY / 2, 0] {
        assert!(!client.findings(&uri(number), 2).is_empty());
        let text = client.ask(
            "textDocument/documentSymbol",
            json!({ "textDocument": { "uri": uri(number) } }),
        );
        assert!(text.to_string().contains("again"), "{text}");
    }
    let open = memory(client.process_id());
    for number in 0..MANY {
        client.tell(
            "textDocument/didClose",
            json!({ "textDocument": { "uri": uri(number) } }),
        );
    }
    assert_eq!(
        client.ask(
            "textDocument/documentSymbol",
            json!({ "textDocument": { "uri": uri(0) } })
        ),
        Value::Null
    );
    // What was let go is taken again: the system is not given it back at once, but as many others take no more than that.
    let others = |number: usize| log_uri(&format!("others-{number}"));
    for number in 0..MANY {
        client.open(&others(number), &log(number));
    }
    // What was opened first is judged last.
    assert!(!client.findings(&others(0), 1).is_empty());
    match (open, memory(client.process_id())) {
        (Some(open), Some(again)) => {
            let said =
                format!("{open} MiB with {MANY} open, {again} MiB once they were closed and as many others opened");
            let _ = writeln!(std::io::stderr(), "{said}");
            assert!(open < 400 && again < open + open / 4, "{said}");
        }
        _ => skipped("memory of a server with thousands of documents: this system does not tell"),
    }
    client.quit();
}

#[test]
fn a_document_without_end_is_not_kept() {
    let mut client = Client::start(json!({}));
    let uri = log_uri("endless");
    client.open(&uri, &"note x\n".repeat(2_000_001));
    let told = client.until(|message| {
        let is_it = message["method"] == "window/showMessage";
        is_it.then(|| message["params"]["message"].to_string())
    });
    assert!(
        told.contains("endless") && told.contains("no more than 2000000"),
        "{told}"
    );
    let hover = json!({ "textDocument": { "uri": uri }, "position": { "line": 0, "character": 0 } });
    assert_eq!(client.ask("textDocument/hover", hover), Value::Null);
    client.quit();
}

#[test]
fn it_ends_when_the_process_that_started_it_is_gone() {
    if !std::path::Path::new("/proc/self").exists() {
        return skipped("a client that is killed: this system does not show processes as files");
    }
    let mut parent = Command::new("sleep").arg("600").spawn().unwrap();
    let mut client = Client::bare();
    client.ask(
        "initialize",
        json!({ "processId": parent.id(), "rootUri": null, "capabilities": {} }),
    );
    client.tell("initialized", json!({}));
    parent.kill().unwrap();
    // Until somebody has waited for it, it can still be seen.
    parent.wait().unwrap();
    assert_eq!(
        client.ended(Duration::from_secs(20)),
        Some(1),
        "standard input is still open"
    );
    assert!(client.errors().contains("went away"));
}

/// A client that sends and never reads what it is answered: both pipes are full, and nobody can write any more. When it hangs up, that must still be seen.
#[test]
fn it_ends_when_a_client_that_reads_nothing_hangs_up() {
    let mut process = Command::new(GUDGEON)
        .arg("serve")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut input = process.stdin.take().unwrap();
    let unread = process.stdout.take().unwrap();
    let (sender, sent) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let mut send = |message: Value| {
            let body = message.to_string();
            let _ = input.write_all(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
        };
        let capabilities = json!({ "processId": null, "rootUri": null, "capabilities": {} });
        send(json!({ "jsonrpc": "2.0", "id": 0, "method": "initialize", "params": capabilities }));
        send(json!({ "jsonrpc": "2.0", "method": "initialized", "params": {} }));
        let document = json!({ "uri": "untitled:x.rebuild", "languageId": "rebuild", "version": 1, "text": log(1) });
        send(json!({ "jsonrpc": "2.0", "method": "textDocument/didOpen", "params": { "textDocument": document } }));
        for id in 1..20_000 {
            let params = json!({ "textDocument": { "uri": "untitled:x.rebuild" } });
            send(json!({ "jsonrpc": "2.0", "id": id, "method": "textDocument/documentSymbol", "params": params }));
        }
        let _ = sender.send(input);
    });
    // It takes all of it, or it has ended because nothing was read; then it hangs up.
    let input = sent.recv_timeout(Duration::from_secs(60));
    assert!(input.is_ok(), "it takes nothing any more");
    drop(input);
    let begun = Instant::now();
    while process.try_wait().unwrap().is_none() {
        if begun.elapsed() > Duration::from_secs(20) {
            let _ = process.kill();
            panic!("it does not see that nobody is there");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    drop(unread);
}

#[test]
fn it_ends_when_nobody_can_be_told_any_more() {
    let mut process = Command::new(GUDGEON)
        .arg("serve")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut input = process.stdin.take().unwrap();
    drop(process.stdout.take());
    let body = json!({ "jsonrpc": "2.0", "id": 0, "method": "initialize", "params": { "processId": null, "rootUri": null, "capabilities": {} } }).to_string();
    let message = format!("Content-Length: {}\r\n\r\n{body}", body.len());
    let begun = Instant::now();
    while process.try_wait().unwrap().is_none() {
        if begun.elapsed() > Duration::from_secs(20) {
            let _ = process.kill();
            panic!("it goes on for nobody");
        }
        let _ = input.write_all(message.as_bytes());
        std::thread::sleep(Duration::from_millis(20));
    }
}
