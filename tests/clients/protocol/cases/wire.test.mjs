// What comes over the wire that should not, and what is on it besides the features.

import assert from "node:assert/strict";
import { test } from "node:test";
import rpc from "vscode-jsonrpc/node";
import { but, EVERYTHING, pullsFindings, session } from "../client.mjs";
import { FILES, LOG } from "../logs.mjs";
import { folder, later, Server, within } from "../server.mjs";

const begin = { jsonrpc: "2.0", id: 1, method: "initialize", params: { processId: null, rootUri: null, capabilities: {} } };
const hover = (id) => ({ jsonrpc: "2.0", id, method: "textDocument/hover", params: { textDocument: { uri: "file:///w/a.rebuild" }, position: { line: 0, character: 0 } } });

/** A bare server with its messages in a list. */
function bare(t) {
  const server = new Server({ cwd: folder(t) });
  t.after(() => server.kill());
  const messages = [];
  const waiting = [];
  new rpc.StreamMessageReader(server.child.stdout).listen((m) => {
    messages.push(m);
    waiting.splice(0).forEach((again) => again());
  });
  server.answer = (id) =>
    within(5000, (async () => {
      for (;;) {
        const found = messages.find((m) => m.id === id && !m.method);
        if (found) return found;
        await new Promise((again) => waiting.push(again));
      }
    })(), `the answer to ${id}; it said ${server.stderr}`);
  return server;
}

/** Input after which nothing can be understood any more: the end, said on stderr, with a code that is not 0. */
const BROKEN = {
  "a body that is not JSON": "Content-Length: 9\r\n\r\n{\"id\": 1,",
  "a body of prose": "Content-Length: 5\r\n\r\nhello",
  "a body that is no UTF-8": Buffer.concat([Buffer.from("Content-Length: 4\r\n\r\n"), Buffer.from([0x22, 0xff, 0xfe, 0x22])]),
  "a Content-Length that is no number": "Content-Length: many\r\n\r\n{}",
  "a Content-Length below nothing": "Content-Length: -5\r\n\r\n{}",
  "a Content-Length past all memory": "Content-Length: 99999999999999999999\r\n\r\n{}",
  "no Content-Length": "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\n\r\n{}",
  "no header at all": "{\"jsonrpc\":\"2.0\",\"id\":2,\"method\":\"shutdown\"}\n",
  "JSON that is no message": "Content-Length: 7\r\n\r\n{\"a\":1}",
  "JSON that is a number": "Content-Length: 2\r\n\r\n42",
  "JSON that is null": "Content-Length: 4\r\n\r\nnull",
};
for (const [what, bytes] of Object.entries(BROKEN)) {
  test(`${what} ends it with a word on stderr`, async (t) => {
    const server = bare(t);
    server.send(begin);
    await server.answer(1);
    server.write(bytes);
    const { code, signal } = await server.end(5000);
    assert.equal(signal, null);
    assert.ok(code > 0, `code ${code}; it said: ${server.stderr}`);
    assert.match(server.stderr, /\w{3,}/);
    assert.doesNotMatch(server.stderr, /panicked/);
  });
}

test("input that breaks off in the middle of a message", async (t) => {
  const server = bare(t);
  server.send(begin);
  await server.answer(1);
  server.write("Content-Length: 500\r\n\r\n{\"jsonrpc\":");
  server.child.stdin.end();
  const { signal } = await server.end();
  assert.equal(signal, null);
  assert.doesNotMatch(server.stderr, /panicked/);
});

test("a message byte by byte, and three in one write", async (t) => {
  const server = bare(t);
  const body = JSON.stringify(begin);
  for (const byte of Buffer.from(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`)) {
    server.write(Buffer.from([byte]));
    if (byte % 16 === 0) await later(0);
  }
  await server.answer(1);
  const frame = (m) => `Content-Length: ${Buffer.byteLength(JSON.stringify(m))}\r\n\r\n${JSON.stringify(m)}`;
  server.write([2, 3, 4].map((id) => frame(hover(id))).join(""));
  for (const id of [2, 3, 4]) assert.ok("result" in (await server.answer(id)) || true);
});

test("headers in another order and case, with a Content-Type", async (t) => {
  const server = bare(t);
  const body = JSON.stringify(begin);
  server.write(`Content-Type: application/vscode-jsonrpc; charset=utf-8\r\ncontent-length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
  assert.ok((await server.answer(1)).result.capabilities);
});

test("ids that are strings come back as strings", async (t) => {
  const server = bare(t);
  server.send({ ...begin, id: "begin" });
  assert.equal((await server.answer("begin")).id, "begin");
});

test("an unknown request is answered with -32601, an unknown notification with nothing", async (t) => {
  const client = await session(t);
  await assert.rejects(client.request("gudgeon/noSuchThing", {}), { code: -32601 });
  await assert.rejects(client.request("$/noSuchThing", {}), { code: -32601 });
  const before = client.messages.length;
  await client.notify("gudgeon/noSuchNews", { a: 1 });
  await client.notify("$/noSuchNews", { a: 1 });
  await client.notify("$/setTrace", { value: "verbose" });
  await client.request("workspace/symbol", { query: "" });
  assert.deepEqual(client.messages.slice(before).filter((m) => m.sender === "server" && m.message.error), []);
  client.problems = client.problems.filter((p) => !p.includes("noSuch")); // Our own messages.
  await client.stop();
});

test("params that are wrong are answered with -32602, and the next request as ever", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  for (const params of [{}, { textDocument: { uri } }, { textDocument: { uri }, position: { line: -1, character: 0 } }, { textDocument: { uri }, position: { line: "1", character: 0 } }, [1, 2]]) {
    await assert.rejects(within(5000, client.connection.sendRequest("textDocument/hover", rpc.ParameterStructures.byName && Array.isArray(params) ? rpc.ParameterStructures.byPosition : rpc.ParameterStructures.auto, ...(Array.isArray(params) ? params : [params])), "an answer"), { code: -32602 }, JSON.stringify(params));
  }
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  client.problems = client.problems.filter((p) => !p.startsWith("client, textDocument/hover"));
  await client.stop();
});

test("a command that is none, and commands with wrong arguments, are errors", async (t) => {
  const client = await session(t, { files: FILES });
  for (const [command, given] of [["gudgeon.nothing", []], ["gudgeon.next", []], ["gudgeon.next", [5]], ["gudgeon.next", ["not a uri at all"]], ["gudgeon.start", [client.uri("x.rebuild")]], ["gudgeon.start", [client.uri("x.rebuild"), "no such manual"]]]) {
    await assert.rejects(client.request("workspace/executeCommand", { command, arguments: given }), (e) => typeof e.code === "number" && e.message.length > 3, command);
  }
  await client.stop();
});

test("cancelling a running request answers it once: cancelled or done", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG.repeat(40));
  const asked = [];
  for (let i = 0; i < 40; i++) {
    const source = new rpc.CancellationTokenSource();
    asked.push(client.at("semanticTokens/full", uri, undefined, {}).catch(() => {}));
    asked.push(client.request("textDocument/hover", { textDocument: { uri }, position: { line: 13, character: 2 } }, source.token).then(() => "done", (e) => e.code));
    source.cancel();
  }
  const ends = (await within(20_000, Promise.all(asked), "all answers")).filter((e) => e === "done" || typeof e === "number");
  for (const end of ends) assert.ok(end === "done" || end === -32800, `${end}`);
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.stop();
});

test("cancelling what is finished, and what never was, does nothing", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.at("hover", uri, { line: 13, character: 2 });
  const [id] = [...client.asked.keys()].slice(-1);
  for (const wrong of [id, 123456, "no-such-id"]) await client.notify("$/cancelRequest", { id: wrong });
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.stop();
});

test("a client that answers none of the server's requests gets all its own answered", async (t) => {
  const client = await session(t, { files: FILES, answers: "silent" });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  for (let i = 0; i < 120; i++) await client.notify("workspace/didChangeConfiguration", { settings: null });
  for (let i = 0; i < 20; i++) await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: client.uri("manuals/tarn-250.manual"), type: 2 }] });
  for (let i = 0; i < 20; i++) assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.diagnostics(uri, 1);
  await client.stop();
});

test("a client that answers the server's requests with errors is served", async (t) => {
  const no = () => new rpc.ResponseError(-32601, "no such thing here");
  const client = await session(t, { files: FILES, answers: { "workspace/configuration": no, "client/registerCapability": no, "window/workDoneProgress/create": no, "workspace/inlayHint/refresh": no, "workspace/semanticTokens/refresh": no, "workspace/codeLens/refresh": no } });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  assert.ok(await client.at("hover", uri, { line: 13, character: 2 }));
  await client.stop();
});

test("configuration that makes no sense is taken for none", async (t) => {
  for (const settings of [42, "x", [], { nothing: { of: "the kind" } }, null]) {
    const client = await session(t, { files: FILES, answers: { "workspace/configuration": (p) => p.items.map(() => settings) } });
    const uri = client.uri("logs/crank.rebuild");
    await client.open(uri, LOG);
    assert.ok((await client.diagnostics(uri, 1)).diagnostics.length);
    await client.stop();
  }
});

/** What a client declares, and what the server may then do; the client harness fails on anything not declared. */
const CLIENTS = {
  "nothing at all": {},
  "no dynamic registration": but(EVERYTHING, { workspace: { didChangeWatchedFiles: { dynamicRegistration: false }, didChangeConfiguration: { dynamicRegistration: false } } }),
  "no file watching": but(EVERYTHING, { workspace: { didChangeWatchedFiles: undefined } }),
  "no configuration": but(EVERYTHING, { workspace: { configuration: undefined } }),
  "no progress": but(EVERYTHING, { window: { workDoneProgress: undefined } }),
  "no refreshes": but(EVERYTHING, { workspace: { semanticTokens: undefined, inlayHint: undefined, codeLens: undefined } }),
  "pull, and no way to be told to pull again": but(EVERYTHING, { textDocument: { diagnostic: { dynamicRegistration: false } } }),
  "pull with refresh": but(EVERYTHING, { textDocument: { diagnostic: { dynamicRegistration: true } }, workspace: { diagnostics: { refreshSupport: true } } }),
};
for (const [what, capabilities] of Object.entries(CLIENTS)) {
  test(`a client with ${what} gets nothing that it did not declare`, async (t) => {
    const client = await session(t, { files: FILES, capabilities });
    const pulls = pullsFindings(capabilities);
    const uri = client.uri("logs/crank.rebuild");
    const manual = client.uri("manuals/tarn-250.manual");
    await client.open(uri, LOG);
    await client.open(manual, FILES["manuals/tarn-250.manual"]);
    const text = FILES["manuals/tarn-250.manual"].replace("0.35 to 0.50", "0.10 to 0.20");
    await client.change(manual, 2, [{ text }]);
    await client.notify("workspace/didChangeConfiguration", { settings: {} });
    await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: client.uri("logs/earlier.rebuild"), type: 2 }] });
    assert.equal(Boolean(client.welcome.capabilities.diagnosticProvider), pulls);
    if (pulls) {
      const report = await client.at("diagnostic", uri);
      assert.ok(report.items.some((d) => d.code === "danger.precaution"));
      if (report.resultId !== undefined) {
        const again = await client.at("diagnostic", uri, undefined, { previousResultId: report.resultId });
        assert.ok(again.kind === "unchanged" || again.items.length >= 0);
      }
      if (client.welcome.capabilities.diagnosticProvider.workspaceDiagnostics) {
        // The files may still be being read; a client asks again.
        let items = [];
        for (let i = 0; i < 50 && !items.some((m) => m.uri === client.uri("logs/earlier.rebuild")); i++, await later(100)) ({ items } = await client.request("workspace/diagnostic", { previousResultIds: [] }));
        assert.ok(items.some((m) => m.uri === client.uri("logs/earlier.rebuild") && m.kind === "full" && m.items.length > 0), `the other log is not among ${items.map((m) => m.uri)}`);
      }
      await later(300);
      assert.deepEqual(client.sent("textDocument/publishDiagnostics"), []);
    } else {
      const { diagnostics } = await client.diagnostics(uri, 1);
      assert.ok(diagnostics.some((d) => d.code === "danger.precaution"));
      await assert.rejects(client.at("diagnostic", uri), (e) => typeof e.code === "number", "pulled where it is pushed");
      await later(300);
    }
    await client.stop();
  });
}

test("a request without params is sent without: JSON-RPC knows no params that are null", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  const since = client.messages.length;
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: client.uri("manuals/tarn-250.manual"), type: 2 }] });
  await client.heard((m) => m.method?.endsWith("/refresh"), "a refresh", { since });
  await client.stop();
  assert.deepEqual(client.nulls, []);
});

test("the best encoding of those that are offered", async (t) => {
  for (const [offered, expected] of [[["utf-16", "utf-8"], "utf-8"], [["utf-16", "utf-32"], "utf-32"], [["utf-16"], "utf-16"], [["utf-32", "utf-8", "utf-16"], "utf-8"], [[], "utf-16"], [undefined, "utf-16"], [["utf-7"], "utf-16"]]) {
    const client = await session(t, { capabilities: { ...EVERYTHING, general: offered && { positionEncodings: offered } } });
    assert.equal(client.encoding, expected, `${offered}`);
    await client.stop();
  }
});

test("standard output carries nothing but the protocol, whatever is logged", async (t) => {
  const client = await session(t, { files: FILES, env: { RUST_LOG: "trace", RUST_BACKTRACE: "1" } });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  await client.stop(); // The library's reader fails on anything else.
});
