// How a session begins and ends.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { once } from "node:events";
import { test } from "node:test";
import { Client, EVERYTHING, session } from "../client.mjs";
import { FILES, LOG } from "../logs.mjs";
import { folder, later, Server, uriOf, within } from "../server.mjs";

const begin = { jsonrpc: "2.0", id: 1, method: "initialize", params: { processId: null, rootUri: null, capabilities: {} } };

/** A bare server after `initialize`. */
async function bare(t, params = {}) {
  const server = new Server({ cwd: folder(t) });
  t.after(() => server.kill());
  const heard = once(server.child.stdout, "data");
  server.send({ ...begin, params: { ...begin.params, ...params } });
  await within(5000, heard, "the answer to initialize");
  server.send({ jsonrpc: "2.0", method: "initialized", params: {} });
  return server;
}

test("what it says of itself", async (t) => {
  const client = await session(t);
  assert.equal(client.welcome.serverInfo.name, "gudgeon");
  assert.match(client.welcome.serverInfo.version, /^\d+\.\d+\.\d+/);
  const can = client.welcome.capabilities;
  assert.deepEqual([...can.executeCommandProvider.commands].sort().filter((c) => ["gudgeon.next", "gudgeon.start"].includes(c)), ["gudgeon.next", "gudgeon.start"]);
  assert.ok(can.renameProvider.prepareProvider);
  assert.ok(can.semanticTokensProvider.full.delta && can.semanticTokensProvider.range);
  await client.stop();
});

for (const left of ["open", "closed"]) {
  test(`exit after shutdown ends with 0, stdin ${left}`, async (t) => {
    const client = await session(t);
    assert.equal(await client.request("shutdown"), null);
    const sent = performance.now();
    await client.notify("exit");
    if (left === "closed") client.server.child.stdin.end();
    const { code, at } = await client.server.end();
    assert.equal(code, 0, client.server.stderr);
    // The program itself takes a few; half a second tells a server that waits for its input from one that ends.
    assert.ok(at - sent < 500, `${at - sent} ms`);
    client.verify();
  });

  test(`exit without shutdown ends with 1, stdin ${left}`, async (t) => {
    const client = await session(t);
    const sent = performance.now();
    await client.notify("exit");
    if (left === "closed") client.server.child.stdin.end();
    const { code, at } = await client.server.end();
    assert.equal(code, 1, client.server.stderr);
    assert.ok(at - sent < 500, `${at - sent} ms`);
    client.verify();
  });
}

test("exit is quick while it works: within 50 ms in the middle of nine", async (t) => {
  const times = [];
  for (let i = 0; i < 9; i++) {
    const client = await session(t, { files: FILES });
    const uri = client.uri("logs/crank.rebuild");
    await client.open(uri, LOG);
    await client.diagnostics(uri, 1);
    await client.request("shutdown");
    const sent = performance.now();
    await client.notify("exit");
    const { code, at } = await client.server.end();
    assert.equal(code, 0, client.server.stderr);
    times.push(at - sent);
  }
  times.sort((a, b) => a - b);
  t.diagnostic(`exit: ${times.map((ms) => ms.toFixed(1)).join(" ")} ms`);
  assert.ok(times[4] < 50, `${times}`);
});

test("exit before initialize ends with 1", async (t) => {
  const server = new Server({ cwd: folder(t) });
  server.send({ jsonrpc: "2.0", method: "exit" });
  assert.equal((await server.end()).code, 1);
});

test("a client that is gone: end of input ends it", async (t) => {
  const server = await bare(t);
  server.child.stdin.end();
  const { signal } = await server.end();
  assert.equal(signal, null);
});

test("a client that is gone with a request on its way", async (t) => {
  const client = await session(t, { files: FILES });
  await client.open(client.uri("logs/crank.rebuild"), LOG);
  client.at("hover", client.uri("logs/crank.rebuild"), { line: 0, character: 0 }).catch(() => {});
  await later(0);
  client.server.child.stdin.end();
  const { signal } = await client.server.end();
  assert.equal(signal, null);
});

test("the process of the client is gone, its end of the pipe is not", async (t) => {
  const other = spawn("sleep", ["60"]);
  const server = await bare(t, { processId: other.pid });
  other.kill("SIGKILL");
  await once(other, "exit");
  await server.end(15_000);
});

// The protocol says that a server should end when its parent is not alive. A process that was never seen may as well be one in another container, where the server is wanted; so what counts
// from the start is the input alone.
test("a process that cannot be seen from here tells nothing: served as long as there is input", async (t) => {
  const other = spawn("true");
  await once(other, "exit");
  const server = await bare(t, { processId: other.pid });
  await later(5000);
  assert.equal(server.child.exitCode, null, "still there");
  server.child.stdin.end();
  await server.end();
});

test("a request before initialize is answered with -32002, and initialize still works", async (t) => {
  const client = new Client({ cwd: folder(t) });
  t.after(() => client.drop());
  await assert.rejects(client.at("hover", "file:///x.rebuild", { line: 0, character: 0 }), { code: -32002 });
  await assert.rejects(client.request("shutdown"), { code: -32002 });
  await client.open("file:///x.rebuild", "job x\n"); // A notification then is dropped.
  await client.initialize({});
  await client.stop();
});

test("a request between initialize and initialized is answered", async (t) => {
  const client = await session(t, { files: FILES, initialized: false });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.notify("initialized", {});
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.stop();
});

test("nothing is asked of the client before initialized", async (t) => {
  const client = await session(t, { files: FILES, initialized: false });
  await client.open(client.uri("logs/crank.rebuild"), LOG);
  await later(300);
  assert.deepEqual(client.messages.filter((m) => m.sender === "server" && m.message.method && m.message.id !== undefined).map((m) => m.message.method), []);
  await client.notify("initialized", {});
  await client.stop();
});

test("a second initialize is an error", async (t) => {
  const client = await session(t);
  await assert.rejects(client.request("initialize", { processId: null, rootUri: null, capabilities: EVERYTHING }), { code: -32600 });
  await client.stop();
});

test("two shutdowns: the second is an error, exit then ends with 0", async (t) => {
  const client = await session(t);
  assert.equal(await client.request("shutdown"), null);
  await assert.rejects(client.request("shutdown"), { code: -32600 });
  await assert.rejects(client.request("workspace/symbol", { query: "" }), { code: -32600 });
  await client.notify("exit");
  assert.equal((await client.server.end()).code, 0);
  client.verify();
});

test("shutdown with params null, as some clients send it", async (t) => {
  const server = await bare(t);
  const answer = new Promise((done) => {
    let text = "";
    server.child.stdout.on("data", (bytes) => (text += bytes) && /"id":9/.test(text) && done(text));
  });
  server.send({ jsonrpc: "2.0", id: 9, method: "shutdown", params: null });
  assert.match(await within(5000, answer, "an answer"), /"result":null/);
  server.send({ jsonrpc: "2.0", method: "exit", params: null });
  assert.equal((await server.end()).code, 0);
});

test("several folders, then one more, then none", async (t) => {
  const roots = [folder(t, FILES), folder(t, FILES), folder(t, FILES)];
  const client = new Client({ cwd: roots[0] });
  t.after(() => client.drop());
  await client.initialize({ folders: roots.slice(0, 2).map(uriOf) });
  const paths = async () => {
    for (let i = 0; ; i++) {
      const found = await client.request("workspace/symbol", { query: "side play" });
      const seen = roots.filter((r) => (found ?? []).some((s) => s.location.uri.startsWith(uriOf(r))));
      if (i === 100) return seen;
      if (seen.length === wanted) return seen;
      await later(50);
    }
  };
  let wanted = 2;
  assert.deepEqual(await paths(), roots.slice(0, 2));
  await client.notify("workspace/didChangeWorkspaceFolders", { event: { added: [{ uri: uriOf(roots[2]), name: "c" }], removed: [{ uri: uriOf(roots[0]), name: "a" }] } });
  wanted = 2;
  for (let i = 0; i < 100 && !(await paths()).includes(roots[2]); i++) await later(50);
  assert.deepEqual(await paths(), roots.slice(1));
  await client.stop();
});

test("no folder at all", async (t) => {
  const client = await session(t, { workspace: false });
  const uri = client.uri("alone.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  assert.ok(Array.isArray((await client.request("workspace/symbol", { query: "side" })) ?? []));
  await client.stop();
});
