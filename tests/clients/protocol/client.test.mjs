// The harness itself: a server that does one thing wrong, on purpose, has to be found out.

import assert from "node:assert/strict";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import rpc from "vscode-jsonrpc/node";
import { but, Client, EVERYTHING } from "./client.mjs";
import { folder } from "./server.mjs";
import { ENCODINGS, Text } from "./text.mjs";

/** A server of a few lines; `wrong` names what it does wrong. */
function pretend(wrong) {
  const reader = new rpc.StreamMessageReader(process.stdin);
  const writer = new rpc.StreamMessageWriter(process.stdout);
  const send = (message) => writer.write({ jsonrpc: "2.0", ...message });
  reader.listen(async (m) => {
    if (m.method === "initialize") {
      await send({ id: m.id, result: { capabilities: { hoverProvider: true, ...(wrong === "a capability" && { hoverProvidr: true }) } } });
    } else if (m.method === "initialized") {
      if (wrong === "a registration") await send({ id: 1, method: "client/registerCapability", params: { registrations: [{ id: "w", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers: [] } }] } });
      if (wrong === "a question") await send({ id: 1, method: "workspace/configuration", params: { items: [] } });
      if (wrong === "an id") for (const id of [1, 1]) await send({ id, method: "workspace/inlayHint/refresh" });
    } else if (m.method === "textDocument/didOpen") {
      for (const version of wrong === "a version" ? [2, 1] : [1, 2]) await send({ method: "textDocument/publishDiagnostics", params: { uri: m.params.textDocument.uri, version, diagnostics: [] } });
    } else if (m.method === "textDocument/hover") {
      if (wrong === "no answer") return;
      for (let i = wrong === "two answers" ? 2 : 1; i > 0; i--) await send({ id: m.id, result: wrong === "a shape" ? { content: "x" } : null });
    } else if (m.method === "shutdown") {
      await send({ id: m.id, result: null });
    } else if (m.method === "exit") {
      if (wrong === "a panic") process.stderr.write("thread 'main' panicked at src/x.rs\n");
      if (wrong === "staying") return;
      process.exit(wrong === "a code" ? 3 : 0);
    }
  });
  if (wrong === "staying") setInterval(() => {}, 1000);
}

const WRONG = {
  "nothing": null,
  "a capability": /hoverProvidr/,
  "a registration": /may not be registered/,
  "a question": /was not declared/,
  "an id": /used twice/,
  "a version": /went back from version 2/,
  "a shape": /additional properties: content/,
  "two answers": /answered 2 times/,
  "no answer": /was never answered/,
  "a code": /how it ended/,
  "a panic": /panicked/,
  "staying": /server's end: not within/,
};
if (process.argv[2] === "pretend") pretend(process.argv[3]);
else {
  const little = but(EVERYTHING, { workspace: { configuration: undefined, didChangeWatchedFiles: { dynamicRegistration: false } } });
  for (const [wrong, expected] of Object.entries(WRONG)) {
    test(`a server with ${wrong} wrong is ${expected ? "found out" : "let through"}`, async (t) => {
      const client = new Client({ cwd: folder(t), program: process.execPath, args: [fileURLToPath(import.meta.url), "pretend", wrong] });
      t.after(() => client.drop());
      await client.initialize({ capabilities: little });
      await client.open("file:///w/a.rebuild", "job x\n");
      client.timeout = 1000;
      await client.at("hover", "file:///w/a.rebuild", { line: 0, character: 0 }).catch(() => {});
      if (expected) await assert.rejects(client.stop(), (e) => expected.test(`${e.message} ${JSON.stringify(e.actual)}`) || assert.fail(`${e.message}`));
      else await client.stop();
    });
  }

  test("positions of the model text in each encoding", () => {
    const text = "é汉𐐀=1\r\nb\rc\n";
    const equals = text.indexOf("=");
    const expected = { "utf-8": 9, "utf-16": 4, "utf-32": 3 };
    for (const encoding of ENCODINGS) {
      const held = new Text(text, encoding);
      assert.equal(held.lineCount, 4);
      assert.deepEqual(held.at(equals), { line: 0, character: expected[encoding] });
      for (const offset of [0, 1, 2, 4, 5, 6, 8, 9, 10, 11, 12]) assert.equal(held.offset(held.at(offset)), offset);
      assert.equal(held.offset({ line: 1, character: 99 }), text.indexOf("b") + 1);
      assert.equal(held.edited([{ range: held.range(0, 1), newText: "e" }, { range: held.range(equals, equals), newText: " " }]), "e汉𐐀 =1\r\nb\rc\n");
    }
  });
}
