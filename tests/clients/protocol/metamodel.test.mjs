// The validator itself: messages that are right, and the same with one thing wrong, which it has to name.

import assert from "node:assert/strict";
import { test } from "node:test";
import { MetaModel } from "./metamodel.mjs";

const model = await MetaModel.load();
const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 3 } };
const call = (method, params, id = 1) => ({ jsonrpc: "2.0", id, method, params });
const tell = (method, params) => ({ jsonrpc: "2.0", method, params });
const answer = (result, id = 1) => ({ jsonrpc: "2.0", id, result });
const said = (found) => found.map((f) => `${f.path} ${f.reason}`).join("; ");

const document = { uri: "file:///w/a.rebuild" };
const diagnostics = (one, more = {}) => tell("textDocument/publishDiagnostics", { ...document, version: 1, diagnostics: [{ range, message: "out", ...one }], ...more });

/** Sender, message, the request it answers. */
const GOOD = {
  "hover with markup": ["server", answer({ contents: { kind: "markdown", value: "x" }, range }), call("textDocument/hover")],
  "no hover": ["server", answer(null), call("textDocument/hover")],
  "shutdown's null": ["server", answer(null), call("shutdown")],
  "an error": ["server", { jsonrpc: "2.0", id: 1, error: { code: -32601, message: "no such method" } }, call("what/ever")],
  "diagnostics": ["server", diagnostics({ severity: 1, code: "limit.out", source: "gudgeon", tags: [1], data: { any: [1] } })],
  "diagnostics of an untitled text": ["server", tell("textDocument/publishDiagnostics", { uri: "untitled:Untitled-1", diagnostics: [] })],
  "a tuple of offsets in a label": ["server", answer({ signatures: [{ label: "f(a)", parameters: [{ label: [2, 3] }] }] }), call("textDocument/signatureHelp")],
  "a folding kind of one's own": ["server", answer([{ startLine: 1, endLine: 2, kind: "day" }]), call("textDocument/foldingRange")],
  "changes keyed by URI": ["server", answer({ changes: { "file:///w/a%20b.rebuild": [{ range, newText: "" }] } }), call("textDocument/rename")],
  "versioned document changes": ["server", answer({ documentChanges: [{ textDocument: { ...document, version: null }, edits: [{ range, newText: "x" }] }] }), call("textDocument/rename")],
  "initialize": ["server", answer({ capabilities: { hoverProvider: true, positionEncoding: "utf-8", experimental: { anything: 1 } }, serverInfo: { name: "gudgeon" } }), call("initialize")],
  "a registration": ["server", call("client/registerCapability", { registrations: [{ id: "w", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers: [{ globPattern: "**/*.rebuild", kind: 7 }] } }] })],
  "progress": ["server", tell("$/progress", { token: "index", value: { kind: "begin", title: "reading logs", percentage: 0 } })],
  "configuration": ["server", call("workspace/configuration", { items: [{ section: "gudgeon" }] })],
  "a pulled report": ["server", answer({ kind: "full", resultId: "1", items: [], relatedDocuments: { "file:///w/m.manual": { kind: "unchanged", resultId: "2" } } }), call("textDocument/diagnostic")],
  "a refresh without params": ["server", { jsonrpc: "2.0", id: 4, method: "workspace/inlayHint/refresh" }],
  "a change with a range": ["client", tell("textDocument/didChange", { textDocument: { ...document, version: 2 }, contentChanges: [{ range, text: "a" }] })],
  "a client's own words": ["client", tell("textDocument/didChange", { textDocument: { ...document, version: 2, own: 1 }, contentChanges: [{ text: "a" }] })],
};

/** Besides: where it has to be found wrong. */
const BAD = {
  "a line below nothing": ["server", answer({ contents: "x", range: { ...range, start: { line: -1, character: 0 } } }), call("textDocument/hover"), /^\/result\/range\/start\/line must be >= 0/],
  "half a column": ["server", answer({ contents: "x", range: { ...range, end: { line: 0, character: 0.5 } } }), call("textDocument/hover"), /character must be integer/],
  "a column past 2^31": ["server", answer([{ startLine: 0, endLine: 2 ** 31 }]), call("textDocument/foldingRange"), /endLine must be <= 2147483647/],
  "a range without its end": ["server", answer({ contents: "x", range: { start: range.start } }), call("textDocument/hover"), /end/],
  "an unknown property": ["server", diagnostics({ colour: "red" }), undefined, /^\/params\/diagnostics\/0 must NOT have additional properties: colour/],
  "an unknown property in initialize": ["server", answer({ capabilities: {}, offsetEncoding: "utf-8" }), call("initialize"), /additional properties: offsetEncoding/],
  "an unknown capability": ["server", answer({ capabilities: { hoverProvidr: true } }), call("initialize"), /hoverProvidr/],
  "a severity of 5": ["server", diagnostics({ severity: 5 }), undefined, /severity must be equal to one of the allowed values/],
  "a tag that is none": ["server", diagnostics({ tags: [3] }), undefined, /tags\/0/],
  "null for what may only be absent": ["server", diagnostics({ source: null }), undefined, /source must be string/],
  "a path for a URI": ["server", tell("textDocument/publishDiagnostics", { uri: "/w/a.rebuild", diagnostics: [] }), undefined, /\/params\/uri must match format/],
  "a URI with a blank": ["server", tell("textDocument/publishDiagnostics", { uri: "file:///w/a b.rebuild", diagnostics: [] }), undefined, /\/params\/uri must match format/],
  "a path as key": ["server", answer({ changes: { "/w/a.rebuild": [] } }), call("textDocument/rename"), /\/result\/changes/],
  "an edit without its text": ["server", answer([{ range }]), call("textDocument/formatting"), /newText/],
  "a markup of another kind": ["server", answer({ contents: { kind: "html", value: "x" } }), call("textDocument/hover"), /kind/],
  "a symbol kind of 27": ["server", answer([{ name: "a", kind: 27, range, selectionRange: range }]), call("textDocument/documentSymbol"), /kind/],
  "a tuple of three": ["server", answer({ signatures: [{ label: "f(a)", parameters: [{ label: [2, 3, 4] }] }] }), call("textDocument/signatureHelp"), /label/],
  "no result, no error": ["server", { jsonrpc: "2.0", id: 1 }, call("textDocument/hover"), /a result or an error/],
  "result and error": ["server", { jsonrpc: "2.0", id: 1, result: null, error: { code: 1, message: "" } }, call("textDocument/hover"), /one of them/],
  "an error without code": ["server", { jsonrpc: "2.0", id: 1, error: { message: "no" } }, call("textDocument/hover"), /\/error\/code/],
  "a shutdown that says something": ["server", answer(true), call("shutdown"), /answers null/],
  "an answer nobody asked for": ["server", answer(null), undefined, /answers no request/],
  "another JSON-RPC": ["server", { ...tell("window/logMessage", { type: 3, message: "x" }), jsonrpc: "1.0" }, undefined, /\/jsonrpc/],
  "a message type of 9": ["server", tell("window/logMessage", { type: 9, message: "x" }), undefined, /\/params\/type/],
  "a method of the other side": ["server", call("textDocument/hover", { textDocument: document, position: range.start }), undefined, /goes clientToServer/],
  "a method that is none": ["server", tell("textDocument/publishDiagnostic", {}), undefined, /no method of the protocol/],
  "a request told as a notification": ["server", tell("client/registerCapability", { registrations: [] }), undefined, /is a request/],
  "params where there are none": ["server", call("workspace/inlayHint/refresh", {}), undefined, /\/params has none/],
  "a watcher without its pattern": ["server", call("client/registerCapability", { registrations: [{ id: "w", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers: [{ kind: 7 }] } }] }), undefined, /registerOptions\/watchers\/0/],
  "progress without a title": ["server", tell("$/progress", { token: 1, value: { kind: "begin" } }), undefined, /\/params\/value.*title/],
  "a part of an envelope that is none": ["server", { ...tell("window/logMessage", { type: 3, message: "x" }), extra: 1 }, undefined, /\/extra no part/],
  "an unversioned document changed": ["client", tell("textDocument/didChange", { textDocument: document, contentChanges: [] }), undefined, /version/],
};

for (const [name, [sender, message, asked]] of Object.entries(GOOD)) {
  test(`accepts ${name}`, () => assert.equal(said(model.message(message, { sender, asked })), ""));
}
for (const [name, [sender, message, asked, expected]] of Object.entries(BAD)) {
  test(`names ${name}`, () => assert.match(said(model.message(message, { sender, asked })), expected));
}
test("the messages of the protocol are described, each with its direction", () => {
  const methods = ["initialize", "shutdown", "exit", "textDocument/hover", "textDocument/semanticTokens/full/delta", "workspace/diagnostic", "workspace/diagnostic/refresh", "client/registerCapability"];
  for (const method of methods) assert.ok(model.methods.has(method), method);
  assert.ok(model.methods.size >= 90, `${model.methods.size}`);
  for (const m of model.methods.values()) assert.ok(["both", "clientToServer", "serverToClient"].includes(m.direction), JSON.stringify(m));
});
