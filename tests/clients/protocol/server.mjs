// The server as a process: started on a folder of its own, spoken to in bytes, watched until it ends.

import { spawn } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

export const HERE = path.dirname(fileURLToPath(import.meta.url));
export const ROOT = path.resolve(HERE, "..", "..", "..");
/** The program under test. */
export const GUDGEON = path.resolve(process.env.GUDGEON ?? path.resolve(ROOT, process.env.CARGO_TARGET_DIR ?? "target", "debug", "gudgeon"));

/** `file:` URI of a path, as Node writes it. */
export const uriOf = (file) => pathToFileURL(file).href;
export const later = (ms) => new Promise((done) => setTimeout(done, ms));

/** Fails after so many milliseconds, saying what was waited for. */
export function within(ms, promise, what) {
  let timer;
  const late = new Promise((_, fail) => {
    timer = setTimeout(() => fail(new Error(`${typeof what === "function" ? what() : what}: not within ${ms} ms`)), ms);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}

/** A new folder, with a path that has no link in it, as editors name files. Removed when the test ends if `t` is given. */
export function folder(t, files = {}) {
  const made = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "bench-")));
  for (const [name, text] of Object.entries(files)) {
    fs.mkdirSync(path.dirname(path.join(made, name)), { recursive: true });
    fs.writeFileSync(path.join(made, name), text);
  }
  t?.after(() => fs.rmSync(made, { recursive: true, force: true }));
  return made;
}

/** A running `gudgeon serve`, or another program that stands in for it. */
export class Server {
  constructor({ cwd, program = GUDGEON, args = ["serve"], env = {} } = {}) {
    this.child = spawn(program, args, { cwd, env: { ...process.env, ...env }, stdio: ["pipe", "pipe", "pipe"] });
    this.stderr = "";
    this.child.stderr.setEncoding("utf8").on("data", (text) => (this.stderr += text));
    this.child.stdin.on("error", () => {}); // It may be gone already; how it ended is what tests look at.
    this.ended = new Promise((done) => {
      this.child.on("error", (error) => done({ code: null, signal: null, error }));
      this.child.on("exit", (code, signal) => done({ code, signal, at: performance.now() }));
    });
  }

  get pid() {
    return this.child.pid;
  }

  /** How it ended: `{ code, signal }`; fails if it is still there after so long, and then ends it. */
  async end(ms = 5000) {
    try {
      return await within(ms, this.ended, "the server's end");
    } finally {
      this.kill();
    }
  }

  kill() {
    if (this.child.exitCode === null && this.child.signalCode === null) this.child.kill("SIGKILL");
  }

  /** Bytes as they are. */
  write(bytes) {
    this.child.stdin.write(bytes);
  }

  /** A message in its frame. */
  send(message) {
    const body = Buffer.from(typeof message === "string" ? message : JSON.stringify(message));
    this.write(Buffer.concat([Buffer.from(`Content-Length: ${body.length}\r\n\r\n`), body]));
  }
}
