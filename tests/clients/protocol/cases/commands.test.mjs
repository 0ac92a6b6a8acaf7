// The server's own commands.

import assert from "node:assert/strict";
import { test } from "node:test";
import { but, EVERYTHING, session } from "../client.mjs";
import { FILES, LOG, MANUAL } from "../logs.mjs";
import * as sense from "../sense.mjs";
import { within } from "../server.mjs";
import { Text } from "../text.mjs";

const run = (client, command, ...given) => client.request("workspace/executeCommand", { command, arguments: given });

test("gudgeon.next tells what comes next, of the text as it stands in the editor", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  assert.match(await run(client, "gudgeon.next", uri), /does not say `web supported`/);
  await client.change(uri, 2, [{ text: LOG.replace("force 6 t", "web supported, oiled, force 6 t") }]);
  assert.doesNotMatch(await run(client, "gudgeon.next", uri), /does not say `web supported`/);
  await client.open(client.uri("manuals/tarn-250.manual"), MANUAL);
  await assert.rejects(run(client, "gudgeon.next", client.uri("manuals/tarn-250.manual")), (e) => typeof e.code === "number" && /manual/.test(e.message));
  await client.stop();
});

test("gudgeon.start writes a new log into an empty text, by the client's hand", async (t) => {
  let asked;
  const came = new Promise((done) => (asked = done));
  const client = await session(t, { files: FILES, answers: { "workspace/applyEdit": (params) => (asked(params), { applied: true }) } });
  const uri = client.uri("logs/new.rebuild");
  await client.open(uri, "");
  await run(client, "gudgeon.start", uri, "tarn-250");
  const { edit } = await within(5000, came, "workspace/applyEdit");
  const edits = sense.workspaceEdit(edit, client.capabilities, "start").get(uri);
  const log = new Text("").edited(edits);
  assert.match(log, /\bjob\b/);
  assert.match(log, /side play/);
  assert.match(log, /\nmanual\s+tarn-250/);
  await client.change(uri, 2, [{ text: log }]);
  await client.diagnostics(uri, 2);
  await assert.rejects(run(client, "gudgeon.start", uri, "tarn-250"), (e) => /empty/.test(e.message), "over what is written");
  await client.stop();
});

test("gudgeon.start with a client that takes no edits says so", async (t) => {
  const client = await session(t, { files: FILES, capabilities: but(EVERYTHING, { workspace: { applyEdit: undefined } }) });
  const uri = client.uri("logs/new.rebuild");
  await client.open(uri, "");
  await assert.rejects(run(client, "gudgeon.start", uri, "tarn-250"), (e) => typeof e.code === "number" && e.message.length > 10);
  await client.stop();
});

test("a command of a client that answers nothing is answered all the same", async (t) => {
  const client = await session(t, { files: FILES, answers: "silent" });
  const uri = client.uri("logs/new.rebuild");
  await client.open(uri, "");
  for (let i = 0; i < 30; i++) await run(client, "gudgeon.start", uri, "tarn-250");
  assert.equal(await client.text(uri), "");
  await client.stop();
});
