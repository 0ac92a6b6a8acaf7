// A short day's work in an editor: open, edit, ask for everything, mend, rename, lay out, close. Every answer is held against the protocol by the client, and against sense here.

import { pullsFindings } from "./client.mjs";
import assert from "node:assert/strict";
import fs from "node:fs";
import * as sense from "./sense.mjs";
import { LOG } from "./logs.mjs";
import { later } from "./server.mjs";
import { Text } from "./text.mjs";

const markup = (contents) => (typeof contents === "string" ? contents : Array.isArray(contents) ? contents.map(markup).join("\n") : contents.value);
/** A wish for the newest, since the server may answer that its text has changed on the way. */
async function insist(ask) {
  for (let i = 0; ; i++) {
    try {
      return await ask();
    } catch (error) {
      if (error.code !== -32801 || i === 5) throw error;
    }
  }
}

/** Diagnostics as this client gets them: pushed, or pulled. */
async function findings(client, uri, version) {
  if (!pullsFindings(client.capabilities)) return (await client.diagnostics(uri, version)).diagnostics;
  const report = await insist(() => client.at("diagnostic", uri));
  assert.equal(report.kind, "full");
  return report.items;
}

/** The whole session; `client` is initialised on a folder that holds FILES. */
export async function smoke(client) {
  const can = client.welcome.capabilities;
  const declared = client.capabilities.textDocument ?? {};
  const uri = client.uri("logs/crank.rebuild");
  let text = new Text(LOG, client.encoding);
  await client.open(uri, LOG);

  // What is said of it.
  let found = await findings(client, uri, 1);
  sense.diagnostics(found, text);
  const danger = found.find((d) => d.code === "danger.precaution");
  assert.ok(danger, `no danger among ${found.map((d) => d.code)}`);
  assert.equal(danger.severity, 1);
  assert.equal(text.slice(danger.range), "press together");
  assert.ok(found.some((d) => d.code === "step.need" && d.severity === 1));
  assert.ok(found.some((d) => d.code.startsWith("reading.") && d.severity === 3));

  // An edit: the press step says what is asked for, and the danger is gone.
  const at = text.find("force 6 t");
  const change = { range: { start: at, end: at }, text: "web supported, oiled, " };
  text = text.changed(change);
  await client.change(uri, 2, [change]);
  found = await findings(client, uri, 2);
  sense.diagnostics(found, text);
  assert.ok(!found.some((d) => ["danger.precaution", "step.need"].includes(d.code)), `still ${found.map((d) => d.code)}`);

  // Hover, on a line behind letters outside the basic plane too.
  const hover = await client.at("hover", uri, text.find("web   width", 1));
  assert.ok(hover, "no hover on a reading");
  assert.match(markup(hover.contents), /web width/i);
  assert.match(markup(hover.contents), /52\.05/, "the limit of the workshop's own manual");
  if (hover.range) sense.range(hover.range, text, "hover");
  if (declared.hover?.contentFormat && !declared.hover.contentFormat.includes("markdown")) assert.notEqual(hover.contents.kind, "markdown");
  assert.doesNotMatch(markup(hover.contents), /\bsafe\b/i);

  // Completion: a first word, and a feature being typed.
  const end = text.text.length;
  const typed = { range: text.range(end, end), text: "side p" };
  text = text.changed(typed);
  await client.change(uri, 3, [typed]);
  const offered = await insist(() => client.at("completion", uri, text.at(text.text.length), { context: { triggerKind: 1 } }));
  const items = Array.isArray(offered) ? offered : offered.items;
  const item = items.find((i) => i.label === "side play");
  assert.ok(item, `side play is not offered, but ${items.slice(0, 10).map((i) => i.label)}`);
  if (item.textEdit) {
    sense.range(item.textEdit.range ?? item.textEdit.insert, text, "completion");
    assert.equal(text.slice(item.textEdit.range ?? item.textEdit.replace), "side p");
  }
  const snippets = declared.completion?.completionItem?.snippetSupport;
  for (const i of items) if (!snippets) assert.notEqual(i.insertTextFormat, 2, `a snippet to a client without: ${i.label}`);
  if (can.completionProvider.resolveProvider) {
    const resolved = await client.request("completionItem/resolve", item);
    assert.equal(resolved.label, item.label);
  }
  const undone = { range: text.range(end, text.text.length), text: "" };
  text = text.changed(undone);
  await client.change(uri, 4, [undone]);
  found = await findings(client, uri, 4);

  // Actions with their edits: worked out when chosen, where the client can wait.
  const all = { start: { line: 0, character: 0 }, end: text.at(text.text.length) };
  const actions = await insist(() => client.at("codeAction", uri, undefined, { range: all, context: { diagnostics: found, triggerKind: 1 } }));
  const waits = declared.codeAction?.resolveSupport?.properties.includes("edit") && declared.codeAction?.dataSupport;
  let mended = 0;
  for (const action of actions ?? []) {
    if (!declared.codeAction?.codeActionLiteralSupport) assert.equal(typeof action.command, "string", "a literal to a client that takes commands alone");
    if (action.disabled || typeof action.command === "string") continue;
    assert.ok(action.kind, action.title);
    if (!waits) assert.ok(action.edit ?? action.command, `nothing in ${action.title} for a client that cannot resolve`);
    if (!waits || (!can.codeActionProvider.resolveProvider && action.edit)) {
      mended++;
      continue;
    }
    if (action.edit || action.command) continue;
    const resolved = await insist(() => client.request("codeAction/resolve", action));
    assert.ok(resolved.edit ?? resolved.command, `nothing in ${action.title}`);
    if (resolved.edit) {
      const edit = sense.workspaceEdit(resolved.edit, client.capabilities, action.title).get(uri);
      assert.ok(edit?.length, action.title);
      sense.edits(edit, text, action.title);
      assert.notEqual(text.edited(edit), text.text, action.title);
    }
    mended++;
  }
  assert.ok(mended > 0, "no action at all");

  // What reaches over all files wants them read first; cases/documents.test.mjs has what is asked before.
  const known = async () => new Set(((await client.at("references", uri, text.find("flywheel gap", 2), { context: { includeDeclaration: true } })) ?? []).map((r) => r.uri)).size;
  for (let i = 0; (await known()) < 3; i++, await later(50)) assert.ok(i < 100, `flywheel gap is known in ${await known()} files`);

  // A name changed everywhere: in this log and in its manual, and in the other log of the machine.
  const own = text.find("flywheel gap", 2);
  const prepared = await insist(() => client.at("prepareRename", uri, own));
  assert.equal(text.slice(prepared.range ?? prepared), "flywheel gap");
  const renamed = sense.workspaceEdit(await insist(() => client.at("rename", uri, own, { newName: "rotor gap" })), client.capabilities, "rename");
  sense.edits(renamed.get(uri), text, "rename");
  assert.equal(text.edited(renamed.get(uri)), text.text.replaceAll("flywheel gap", "rotor gap"));
  for (const name of ["manuals/tarn-250.manual", "logs/earlier.rebuild"]) {
    const other = new Text(fs.readFileSync(new URL(client.uri(name)), "utf8"), client.encoding);
    assert.ok(renamed.has(client.uri(name)), `renamed in ${[...renamed.keys()]}`);
    assert.equal(other.edited(renamed.get(client.uri(name))), other.text.replaceAll("flywheel gap", "rotor gap"));
  }
  await assert.rejects(client.at("rename", uri, own, { newName: "a = b" }), (e) => e.code === -32803 || e.code === -32602, "a name that the grammar would read otherwise");
  // A name of the shelf cannot be changed from here, and it is said why.
  const where = text.find("side play", 2);
  await assert.rejects(client.at("prepareRename", uri, where), (e) => /shelf/.test(e.message));

  // Layout: what the program's own command makes of the text.
  const laid = (await insist(() => client.at("formatting", uri, undefined, { options: { tabSize: 4, insertSpaces: true } }))) ?? [];
  sense.edits(laid, text, "formatting");
  assert.match(text.edited(laid), /\nweb width = 52.03/);
  const line = text.find("web   width").line;
  const some = (await insist(() => client.at("rangeFormatting", uri, undefined, { range: { start: { line, character: 0 }, end: { line, character: 3 } }, options: { tabSize: 4, insertSpaces: true } }))) ?? [];
  sense.edits(some, text, "range formatting");
  assert.match(text.edited(some), /\nweb width = 52.03/);

  // Semantic tokens: all, what changed, some.
  const legend = can.semanticTokensProvider.legend;
  const full = await insist(() => client.at("semanticTokens/full", uri));
  const tokens = sense.tokens(full, legend, text);
  assert.ok(tokens.some((t) => t.text === "side play") && tokens.some((t) => t.text === "52.03"), tokens.map((t) => t.text).join("|"));
  const digit = text.find("52.03", 4);
  const other = { range: { start: digit, end: { ...digit, character: digit.character + 1 } }, text: "45" };
  text = text.changed(other);
  await client.change(uri, 5, [other]);
  if (can.semanticTokensProvider.full?.delta) {
    const delta = await insist(() => client.at("semanticTokens/full/delta", uri, undefined, { previousResultId: full.resultId }));
    const now = await insist(() => client.at("semanticTokens/full", uri));
    assert.deepEqual(delta.edits ? sense.tokensAfter(full.data, delta) : delta.data, now.data);
    sense.tokens(now, legend, text);
  }
  const day = text.find("2026-03-20").line;
  const part = { start: { line: day, character: 0 }, end: { line: day + 2, character: 0 } };
  const ranged = sense.tokens(await insist(() => client.at("semanticTokens/range", uri, undefined, { range: part })), legend, text);
  assert.ok(ranged.length > 0 && ranged.every((t) => t.line >= day && t.line <= day + 2));

  // What is shown besides.
  const hints = (await insist(() => client.at("inlayHint", uri, undefined, { range: { ...all, end: text.at(text.text.length) } }))) ?? [];
  assert.ok(hints.length > 0, "no hint");
  for (const hint of hints) sense.position(hint.position, text, "a hint");
  const lenses = (await insist(() => client.at("codeLens", uri))) ?? [];
  assert.ok(lenses.length > 0, "no lens");
  for (const lens of lenses) {
    sense.range(lens.range, text, "a lens");
    const whole = lens.command ? lens : await insist(() => client.request("codeLens/resolve", lens));
    assert.ok(whole.command.title);
  }
  const folds = (await insist(() => client.at("foldingRange", uri))) ?? [];
  assert.ok(folds.some((f) => f.startLine === day), `no fold of a day among ${JSON.stringify(folds)}`);
  sense.folds(folds, text);
  const outline = await insist(() => client.at("documentSymbol", uri));
  assert.ok(outline.length > 0);
  if (outline[0].range) {
    assert.ok(declared.documentSymbol?.hierarchicalDocumentSymbolSupport, "a tree to a client that wants a list");
    sense.symbols(outline, text);
  }
  const links = (await insist(() => client.at("documentLink", uri))) ?? [];
  for (const link of links) sense.range(link.range, text, "a link");
  const photo = links.find((l) => text.slice(l.range) === "pictures/pin.jpg");
  assert.equal(photo?.target, client.uri("logs/pictures/pin.jpg"));
  const selected = await insist(() => client.at("selectionRange", uri, undefined, { positions: [text.find("72.015", 2)] }));
  sense.selection(selected[0], text.find("72.015", 2), text);

  // Where things are.
  const defined = [].concat((await insist(() => client.at("definition", uri, where))) ?? []);
  assert.ok(defined.some((d) => (d.uri ?? d.targetUri) === client.uri("manuals/tarn-250.manual")), `defined in ${JSON.stringify(defined)}`);
  if (defined.some((d) => d.targetUri)) assert.ok(declared.definition?.linkSupport, "a link to a client without");
  const references = await insist(() => client.at("references", uri, where, { context: { includeDeclaration: true } }));
  assert.ok(new Set(references.map((r) => r.uri)).size >= 3, JSON.stringify(references));
  for (const r of references.filter((r) => r.uri === uri)) assert.equal(text.slice(r.range), "side play");
  for (const r of references.filter((r) => r.uri !== uri)) assert.equal(new Text(fs.readFileSync(new URL(r.uri), "utf8"), client.encoding).slice(r.range), "side play");
  const highlights = await insist(() => client.at("documentHighlight", uri, where));
  assert.ok(highlights.length >= 2);
  for (const h of highlights) assert.equal(text.slice(h.range), "side play");
  const wide = (await insist(() => client.request("workspace/symbol", { query: "sdpl" }))) ?? [];
  assert.ok(wide.some((s) => /side play/i.test(s.name)), JSON.stringify(wide).slice(0, 300));
  for (const s of wide) if (s.location.range) sense.range(s.location.range, new Text(s.location.uri === uri ? text.text : fs.readFileSync(new URL(s.location.uri), "utf8"), client.encoding), `workspace symbol ${s.name}`);

  await client.close(uri);
  if (!pullsFindings(client.capabilities)) {
    // What is closed is judged as it lies on disk, where nothing was saved: no version, and the danger is back.
    const stands = (m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && m.params.version === undefined && m.params.diagnostics.some((d) => d.code === "danger.precaution");
    await client.heard(stands, "the diagnostics of the file", { since: client.messages.length - 1 });
  }
}
