// VS Code's own library against the server. What runs here and what does not:
//
// - `createProtocolConnection` of `vscode-languageserver-protocol/node` runs as it is: the typed requests of the protocol.
// - `LanguageClient` of `vscode-languageclient` runs over vscode.cjs, a stand-in for the module `vscode`: its start, capabilities, document synchronisation, pull of diagnostics, registrations,
//   file watchers, and its converters both ways are the library's. What VS Code itself does with the answers does not run here.

import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import { test } from "node:test";
import { createProtocolConnection, DiagnosticSeverity, DidOpenTextDocumentNotification, DocumentDiagnosticRequest, ExitNotification, FoldingRangeRequest, HoverRequest, InitializedNotification, InitializeRequest, PublishDiagnosticsNotification, SemanticTokensRequest, ShutdownRequest, StreamMessageReader, StreamMessageWriter } from "vscode-languageserver-protocol/node";
import { EVERYTHING } from "./client.mjs";
import { FILES, LOG } from "./logs.mjs";
import { folder, GUDGEON, HERE, later, Server, uriOf, within } from "./server.mjs";
import { bench, languageclient, vscode } from "./vscode.mjs";

test("a connection of the protocol's own library", { timeout: 30_000 }, async (t) => {
  const root = folder(t, FILES);
  const server = new Server({ cwd: root });
  t.after(() => server.kill());
  const connection = createProtocolConnection(new StreamMessageReader(server.child.stdout), new StreamMessageWriter(server.child.stdin));
  t.after(() => connection.dispose());
  connection.onRequest(() => null);
  const pushed = new Promise((done) => connection.onNotification(PublishDiagnosticsNotification.type, (p) => p.diagnostics.length && done(p)));
  connection.listen();
  const uri = uriOf(path.join(root, "logs/crank.rebuild"));
  const welcome = await connection.sendRequest(InitializeRequest.type, { processId: process.pid, rootUri: uriOf(root), workspaceFolders: [{ uri: uriOf(root), name: "bench" }], capabilities: EVERYTHING });
  assert.equal(welcome.serverInfo.name, "gudgeon");
  await connection.sendNotification(InitializedNotification.type, {});
  await connection.sendNotification(DidOpenTextDocumentNotification.type, { textDocument: { uri, languageId: "rebuild", version: 7, text: LOG } });
  const { version, diagnostics } = await within(10_000, pushed, "diagnostics");
  assert.equal(version, 7);
  assert.ok(diagnostics.some((d) => d.severity === DiagnosticSeverity.Error));
  const line = LOG.split("\n").findIndex((l) => l.startsWith("side play"));
  assert.ok(await connection.sendRequest(HoverRequest.type, { textDocument: { uri }, position: { line, character: 2 } }));
  assert.ok((await connection.sendRequest(FoldingRangeRequest.type, { textDocument: { uri } })).length);
  assert.ok((await connection.sendRequest(SemanticTokensRequest.type, { textDocument: { uri } })).data.length);
  await assert.rejects(connection.sendRequest(DocumentDiagnosticRequest.type, { textDocument: { uri } }), undefined, "nothing to be pulled where it is pushed");
  await connection.sendRequest(ShutdownRequest.type);
  await connection.sendNotification(ExitNotification.type);
  assert.equal((await server.end()).code, 0);
});

test("the client of VS Code over a stand-in for its API", { timeout: 60_000 }, async (t) => {
  const root = folder(t, FILES);
  const { kept, event, documents, Document } = bench;
  vscode.workspace.workspaceFolders = [{ uri: vscode.Uri.file(root), name: "bench", index: 0 }];
  const stored = JSON.parse(fs.readFileSync(path.join(HERE, "initialize/vscode.json"), "utf8"));
  const uri = uriOf(path.join(root, "logs/crank.rebuild"));
  // Diagnostics are pulled for what stands in a tab.
  vscode.window.tabGroups.all = [{ tabs: [{ input: new vscode.TabInputText(vscode.Uri.parse(uri)) }] }];
  let sent;
  const client = new languageclient.LanguageClient("gudgeon", "Gudgeon", { command: GUDGEON, args: ["serve"], options: { cwd: root } }, {
    documentSelector: [{ language: "rebuild" }, { language: "rebuild-manual" }],
    diagnosticPullOptions: { onChange: true },
    errorHandler: { error: () => ({ action: 2 }), closed: () => ({ action: 1, handled: true }) },
  });
  const fill = client.fillInitializeParams.bind(client);
  client.fillInitializeParams = (params) => (fill(params), (sent = params));
  await within(20_000, client.start(), () => `start: ${kept.output.join("\n")}`);
  t.after(() => client.dispose().catch(() => {}));
  // The stored payload is what the library of today sends.
  assert.deepEqual(JSON.parse(JSON.stringify(sent.capabilities)), stored.params.capabilities);
  assert.equal(client.initializeResult.capabilities.positionEncoding ?? "utf-16", "utf-16");

  const document = new Document(uri, "rebuild", LOG);
  documents.push(document);
  vscode.window.activeTextEditor = { document };
  event("onDidOpenTextDocument").fire(document);
  const token = new vscode.CancellationTokenSource().token;
  const line = LOG.split("\n").findIndex((l) => l.startsWith("side play"));
  const at = new vscode.Position(line, 2);
  const provider = (name) => {
    const found = kept.providers[name]?.at(-1);
    assert.ok(found, `${name} was not called; registered are ${Object.keys(kept.providers)}`);
    return found[1];
  };

  const hover = await provider("registerHoverProvider").provideHover(document, at, token);
  assert.match([].concat(hover.contents).map((c) => c.value ?? c).join(), /side play/i);
  // It pulls: what it got stands in the editor's collection, made into VS Code's own diagnostics.
  await within(20_000, (async () => {
    while (!kept.diagnostics.get(uri)?.length) await later(20);
  })(), () => `diagnostics pulled; registered are ${Object.keys(kept.providers)}; it said ${kept.output.slice(-5).join("\n")}`);
  const danger = kept.diagnostics.get(uri).find((d) => (d.code?.value ?? d.code) === "danger.precaution");
  assert.equal(danger.severity, vscode.DiagnosticSeverity.Error);
  assert.equal(danger.source, "gudgeon");
  // Files are watched by the editor, as it was asked.
  assert.ok(kept.watchers.some((w) => JSON.stringify(w.pattern).includes("manual")), JSON.stringify(kept.watchers.map((w) => w.pattern)));
  // An edit, as the editor tells it.
  const place = LOG.indexOf("force 6 t");
  const from = document.inner.positionAt(place);
  const change = { range: new vscode.Range(from, from), rangeOffset: place, rangeLength: 0, text: "web supported, oiled, " };
  document.update([change]);
  event("onDidChangeTextDocument").fire({ document, contentChanges: [change] });
  await within(20_000, (async () => {
    while (kept.diagnostics.get(uri)?.some((d) => (d.code?.value ?? d.code) === "danger.precaution")) await later(20);
  })(), "the danger to go");
  const symbols = await provider("registerDocumentSymbolProvider").provideDocumentSymbols(document, token);
  assert.ok(symbols.length);
  const offered = await provider("registerCompletionItemProvider").provideCompletionItems(document, new vscode.Position(0, 0), token, { triggerKind: 0 });
  assert.ok((offered.items ?? offered).length || offered.given);
  const edits = await provider("registerDocumentFormattingEditProvider").provideDocumentFormattingEdits(document, { tabSize: 4, insertSpaces: true }, token);
  assert.ok(edits.length);
  const actions = await provider("registerCodeActionsProvider").provideCodeActions(document, new vscode.Range(0, 0, document.inner.lineCount - 1, 0), { diagnostics: [], triggerKind: 1 }, token);
  assert.ok(actions.length);
  for (const name of ["registerRenameProvider", "registerReferenceProvider", "registerDefinitionProvider", "registerDocumentHighlightProvider", "registerFoldingRangeProvider", "registerSelectionRangeProvider", "registerInlayHintsProvider", "registerCodeLensProvider", "registerDocumentLinkProvider", "registerDocumentSemanticTokensProvider", "registerDocumentRangeSemanticTokensProvider", "registerWorkspaceSymbolProvider", "registerDocumentRangeFormattingEditProvider", "registerOnTypeFormattingEditProvider"]) provider(name);
  for (const command of ["gudgeon.next", "gudgeon.start"]) assert.ok(kept.commands.has(command), `${command} among ${[...kept.commands.keys()]}`);

  await within(10_000, client.stop(), "stop");
  assert.deepEqual(kept.problems, [], "nothing that the editor would have shown as an error");
});
