// What five editors send first (initialize/*.json, each says where it comes from), each followed by a day's work.

import assert from "node:assert/strict";
import fs from "node:fs";
import path from "node:path";
import { test } from "node:test";
import { Client, protocol, pullsFindings } from "./client.mjs";
import { FILES } from "./logs.mjs";
import { folder, HERE, uriOf } from "./server.mjs";
import { smoke } from "./smoke.mjs";

const FOLDER = path.join(HERE, "initialize");
/** What the server has to count in for each. */
const ENCODING = { "vscode": "utf-16", "helix-25": "utf-8", "neovim-0.11": "utf-8", "neovim-0.10": "utf-16", "neovim-0.7": "utf-16", "eglot-1.9": "utf-16" };
/** Eglot 1.9 declares nothing of the kind, yet answers both; the rest is told by the payload. */
const stored = fs.readdirSync(FOLDER).filter((f) => f.endsWith(".json")).map((f) => [path.basename(f, ".json"), JSON.parse(fs.readFileSync(path.join(FOLDER, f), "utf8"))]);

test("each stored payload is one of the protocol, and none has a path of a machine", () => {
  assert.deepEqual(stored.map(([name]) => name).sort(), Object.keys(ENCODING).sort());
  for (const [name, { client, how, params }] of stored) {
    assert.ok(client && how, name);
    assert.doesNotMatch(JSON.stringify(params), /"(file:\/\/)?\/[a-z]/, name);
    const text = JSON.stringify(params).replaceAll("{FOLDER_URI}", "file:///w").replaceAll("{FOLDER}", "/w");
    assert.deepEqual(protocol.value("InitializeRequest_params", JSON.parse(text), { strict: false }), [], name);
  }
});

for (const [name, { client: title, params: template }] of stored) {
  test(`${title}: a day's work`, { timeout: 60_000 }, async (t) => {
    const root = folder(t, FILES);
    const params = JSON.parse(JSON.stringify(template).replaceAll("{FOLDER_URI}", uriOf(root)).replaceAll("{FOLDER}", root));
    const client = new Client({ cwd: root });
    t.after(() => client.drop());
    client.root = root;
    client.uri = (file) => uriOf(path.join(root, file));
    client.welcome = await client.request("initialize", { ...params, processId: process.pid });
    await client.notify("initialized", {});
    const can = client.welcome.capabilities;
    assert.equal(can.positionEncoding ?? "utf-16", ENCODING[name]);
    const offers = params.capabilities.general?.positionEncodings;
    if (!offers) assert.ok([undefined, "utf-16"].includes(can.positionEncoding));
    // A client that cannot be told to ask again would not see what an edited manual changes in a log, so findings are pushed to it.
    const pulls = pullsFindings(params.capabilities);
    assert.equal(Boolean(can.diagnosticProvider), pulls, "pull exactly where the client pulls and can be told to pull again");
    assert.equal(can.textDocumentSync.change ?? can.textDocumentSync, 2, "incremental");
    await smoke(client);
    await client.stop();
    // The rest is what the client verified on the way: nothing that it had not declared.
    const pushed = client.sent("textDocument/publishDiagnostics");
    assert.equal(pushed.length > 0, !pulls);
    const watches = client.sent("client/registerCapability").some((m) => m.params.registrations.some((r) => r.method === "workspace/didChangeWatchedFiles"));
    assert.equal(watches, Boolean(params.capabilities.workspace?.didChangeWatchedFiles?.dynamicRegistration), "files watched exactly where that may be asked");
    const asked = client.sent("workspace/configuration");
    assert.equal(asked.length > 0, Boolean(params.capabilities.workspace?.configuration), "configuration asked exactly where that may be asked");
    for (const m of asked) assert.ok(m.params.items.every((i) => i.section === "gudgeon"));
  });
}
