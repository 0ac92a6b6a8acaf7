// What the server takes: figures, not a test. Through real stdio, from the write of `didChange` to the diagnostics of that version.
//
//     GUDGEON=target/release/gudgeon node bench.mjs [LINES …]
//
// The logs are those of examples/repository.rs; the same arguments always give the same bytes.

import { execFileSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { Client, EVERYTHING } from "./client.mjs";
import { folder, GUDGEON, ROOT, uriOf } from "./server.mjs";

const SIZES = process.argv.length > 2 ? process.argv.slice(2).map(Number) : [500, 10_000, 100_000];
const WARM = 10;
const EDITS = 100;

const ms = (value) => `${value < 10 ? value.toFixed(2) : value.toFixed(value < 100 ? 1 : 0)} ms`;
function quantiles(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  return `p50 ${ms(at(0.5))}, p95 ${ms(at(0.95))}, worst ${ms(sorted.at(-1))}`;
}

/** The most memory that a process had, in MiB. */
function peak(pid) {
  return `${(Number(/VmHWM:\s+(\d+)/.exec(fs.readFileSync(`/proc/${pid}/status`, "utf8"))[1]) / 1024).toFixed(0)} MiB at most`;
}

function generate(files, lines) {
  const made = folder();
  execFileSync("cargo", ["run", "--quiet", "--example", "repository", "--", made, String(files), String(lines), "1"], { cwd: ROOT, stdio: "inherit" });
  return made;
}

/** The log of a number in a folder that was made. */
function log(root, number) {
  const folder = path.join(root, String(Math.floor(number / 100)).padStart(3, "0"));
  return path.join(folder, fs.readdirSync(folder).find((name) => name.startsWith(String(number).padStart(5, "0"))));
}

/** A digit of a figure in the middle of a log: its line and column. */
function middle(text) {
  const lines = text.split("\n");
  for (let i = Math.floor(lines.length / 2); ; i++) {
    const reading = /^[a-z][a-z0-9 -]* += [0-9]+[.,][0-9]+/.exec(lines[i]);
    if (reading) return { line: i, character: reading[0].length };
  }
}

/** Starts a server on a folder; the time from the start of the process to its answer to `initialize`. */
async function start(root) {
  const began = performance.now();
  const client = new Client({ cwd: root });
  client.timeout = 120_000;
  await client.initialize({ root: uriOf(root), capabilities: EVERYTHING, initialized: false });
  client.took = performance.now() - began;
  const indexed = client.heard((m) => m.method === "$/progress" && m.params.value.kind === "end", "the index", { since: 0 }).then(() => performance.now());
  const asked = performance.now();
  await client.notify("initialized", {});
  client.indexed = indexed.then((at) => at - asked, () => undefined);
  return client;
}

/** From the write of a notification to the diagnostics of its version. */
async function timed(client, uri, version, tell) {
  const came = client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && m.params.version === version, `diagnostics of version ${version}`);
  const wrote = performance.now();
  await tell();
  await came;
  return performance.now() - wrote;
}

/** Inserts and deletes one digit by turns; the time of each, until there are enough or `until` says so. */
async function keystrokes(client, uri, place, { from = 2, until = () => false } = {}) {
  const times = [];
  let version = from;
  for (let i = 0; i < WARM + EDITS && !until(); i++, version++) {
    const behind = { ...place, character: place.character + 1 };
    const change = i % 2 === 0 ? { range: { start: place, end: place }, text: "3" } : { range: { start: place, end: behind }, text: "" };
    const time = await timed(client, uri, version, () => client.change(uri, version, [change]));
    times.push(time);
  }
  return times;
}

async function end(client) {
  const top = peak(client.server.pid);
  await client.request("shutdown");
  const told = performance.now();
  await client.notify("exit");
  const { at } = await client.server.end();
  client.drop();
  return `${top}, exit ${ms(at - told)}`;
}

console.log(`${GUDGEON}, ${fs.readFileSync("/proc/cpuinfo", "utf8").match(/^processor/gm).length} processors, load ${fs.readFileSync("/proc/loadavg", "utf8").split(" ")[0]}`);
for (const lines of SIZES) {
  const root = generate(1, lines);
  const file = log(root, 0);
  const text = fs.readFileSync(file, "utf8");
  const client = await start(root);
  await client.indexed;
  const uri = uriOf(file);
  const opened = await timed(client, uri, 1, () => client.open(uri, text));
  const times = (await keystrokes(client, uri, middle(text))).slice(WARM);
  console.log(`${lines} lines (${(text.length / 1024).toFixed(0)} KiB): initialize ${ms(client.took)}, open ${ms(opened)}, keystroke ${quantiles(times)}, ${await end(client)}`);
  fs.rmSync(root, { recursive: true });
}
{
  const root = generate(2000, 500);
  const file = log(root, 1000);
  const text = fs.readFileSync(file, "utf8");
  const client = await start(root);
  const uri = uriOf(file);
  let ready;
  client.indexed.then((took) => (ready = took ?? -1));
  const opened = await timed(client, uri, 1, () => client.open(uri, text));
  const during = [];
  let version = 2;
  while (ready === undefined) {
    const times = await keystrokes(client, uri, middle(text), { from: version, until: () => ready !== undefined });
    version += times.length;
    // An odd number of edits leaves a digit too many; the next round goes on from there all the same.
    during.push(...times);
  }
  const after = (await keystrokes(client, uri, middle(text), { from: version })).slice(WARM);
  const index = ready < 0 ? "no progress was told" : ms(ready);
  console.log(`2000 logs of 500 lines: initialize ${ms(client.took)}, index ready ${index}, open meanwhile ${ms(opened)}`);
  console.log(`  keystroke while indexing (${during.length}) ${during.length ? quantiles(during) : "none fitted in"}; after ${quantiles(after)}, ${await end(client)}`);
  fs.rmSync(root, { recursive: true });
}
