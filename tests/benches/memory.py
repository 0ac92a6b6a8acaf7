#!/usr/bin/env python3
"""Peak memory of what Gudgeon does: figures, not a test.

    cargo build --release && python3 tests/benches/memory.py [target/release/gudgeon]

The inputs are those of examples/repository.rs. Needs Linux: the peak of a child is what the kernel tells of it when it ends (`wait4`), that of the server is
`VmHWM` of the process that still serves.
"""

import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
GUDGEON = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "target/release/gudgeon").resolve()


def generate(folder: pathlib.Path, files: int, lines: int) -> pathlib.Path:
    command = ["cargo", "run", "--quiet", "--example", "repository", "--", folder, str(files), str(lines), "1"]
    subprocess.run(command, cwd=ROOT, check=True)
    return folder


def once(name: str, *args: object) -> None:
    """Runs a command to its end and prints its time and the most memory it had."""
    began = time.monotonic()
    child = subprocess.Popen([GUDGEON, *map(str, args)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, _, usage = os.wait4(child.pid, 0)
    tell(name, usage.ru_maxrss, time.monotonic() - began)


def tell(name: str, kibibytes: int, seconds: float) -> None:
    print(f"{name:<44} {kibibytes / 1024:8.1f} MiB {seconds:8.2f} s", flush=True)


def frame(message: dict[str, object]) -> bytes:
    body = json.dumps({"jsonrpc": "2.0", **message}).encode()
    return b"Content-Length: %d\r\n\r\n" % len(body) + body


def read(pipe) -> dict:
    length = 0
    while (line := pipe.readline()) != b"\r\n":
        if line.lower().startswith(b"content-length:"):
            length = int(line.split(b":")[1])
    return json.loads(pipe.read(length))


def serve(name: str, file: pathlib.Path, keys: int) -> None:
    """A server with one log open into which so many digits are typed, until all that was found is told."""
    began = time.monotonic()
    server = subprocess.Popen([GUDGEON, "serve"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    text, uri = file.read_text(encoding="utf-8"), file.as_uri()

    def send(method: str, params: object, **more: object) -> None:
        server.stdin.write(frame({"method": method, "params": params, **more}))
        server.stdin.flush()

    def told(version: int) -> None:
        while True:
            message = read(server.stdout)
            if message.get("method") == "textDocument/publishDiagnostics" and message["params"].get("version") == version:
                return

    send("initialize", {"processId": None, "rootUri": None, "capabilities": {}}, id=1)
    read(server.stdout)
    send("initialized", {})
    send("textDocument/didOpen", {"textDocument": {"uri": uri, "languageId": "rebuild-log", "version": 1, "text": text}})
    told(1)
    line = next(i for i, words in enumerate(text.split("\n")) if i > text.count("\n") // 2 and words.startswith("note "))
    for key in range(keys):
        place = {"line": line, "character": 5}
        edit = {"range": {"start": place, "end": place}, "text": "a"}
        send("textDocument/didChange", {"textDocument": {"uri": uri, "version": key + 2}, "contentChanges": [edit]})
        told(key + 2)
    # What was told at a glance is followed by the whole.
    time.sleep(2)
    status = pathlib.Path(f"/proc/{server.pid}/status").read_text()
    peak = next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM:"))
    send("shutdown", None, id=2)
    send("exit", None)
    server.wait(timeout=30)
    tell(name, peak, time.monotonic() - began)


def main() -> None:
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work)
        small = generate(folder / "small", 1, 485)
        once("one log of 485 lines", "inspect", "--as", "line", small)
        many = generate(folder / "many", 2000, 500)
        once("2,000 logs of 500 lines", "inspect", "--as", "line", many)
        for lines in (100_000, 1_000_000):
            long = generate(folder / str(lines), 1, lines)
            once(f"one log of {lines:,} lines", "inspect", "--as", "line", long)
        for lines in (500, 10_000, 100_000):
            log = next(generate(folder / f"open{lines}", 1, lines).glob("000/*.rebuild"))
            serve(f"server, a log of {lines:,} lines open, 20 keys", log, 20)


if __name__ == "__main__":
    main()
