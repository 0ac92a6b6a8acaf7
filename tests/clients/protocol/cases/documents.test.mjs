// Texts: edits in every order and form, odd addresses, odd bytes, files that come and go.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { test } from "node:test";
import { but, EVERYTHING, session } from "../client.mjs";
import { FILES, LOG, MANUAL } from "../logs.mjs";
import { GUDGEON, later } from "../server.mjs";
import * as sense from "../sense.mjs";
import { ENCODINGS, Text } from "../text.mjs";

const said = (hover) => (hover ? (hover.contents.value ?? JSON.stringify(hover.contents)) : "");
const with8 = (encoding) => but(EVERYTHING, { general: { positionEncodings: [encoding] } });
/** A log whose only reading has this figure. */
const reading = (figure) => `job x\nmachine Tarn 250\nmanual tarn-250\n2026-03-14 build\nside play = ${figure} mm\n`;

test("a burst of 200 edits, each with a hover: every hover is of the newest text", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, reading("0.000"));
  const hovers = [];
  for (let i = 1; i <= 200; i++) {
    const figure = `0.${String(i).padStart(3, "0")}`;
    await client.change(uri, i + 1, [{ range: { start: { line: 4, character: 12 }, end: { line: 4, character: 17 } }, text: figure }]);
    hovers.push(client.at("hover", uri, { line: 4, character: 13 }).then(said, (e) => e.code).then((text) => [figure, text]));
  }
  let answered = 0;
  for (const [figure, text] of await Promise.all(hovers)) {
    // A server may say that a text was changed on the way; what it says of a text is of the one that was asked of.
    if (text === -32801 || text === -32800) continue;
    answered++;
    assert.ok(text.includes(figure), `asked at ${figure}: ${text}`);
  }
  assert.ok(answered > 0, "none of 200 answered");
  assert.ok(said(await client.at("hover", uri, { line: 4, character: 13 })).includes("0.200"));
  await client.diagnostics(uri, 201);
  await client.stop();
});

test("a burst of 200 edits and one hover behind them", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, reading("0.40"));
  for (let i = 1; i <= 200; i++) await client.change(uri, i + 1, [{ range: { start: { line: 4, character: 16 }, end: { line: 4, character: i === 1 ? 16 : 17 } }, text: String(i % 10) }]);
  assert.match(said(await client.at("hover", uri, { line: 4, character: 13 })), /0\.400/);
  assert.equal(await client.text(uri), reading("0.400"));
  await client.stop();
});

test("several changes in one notification, each meant for the text that the one before it left", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, "ab\ncd\n");
  const at = (line, a, b) => ({ start: { line, character: a }, end: { line, character: b } });
  await client.change(uri, 2, [{ range: at(0, 1, 1), text: "1\n2" }, { range: at(1, 0, 1), text: "" }, { range: at(2, 0, 0), text: "X" }, { range: { start: { line: 0, character: 2 }, end: { line: 1, character: 0 } }, text: "" }]);
  assert.equal(await client.text(uri), "a1b\nXcd\n");
  await client.stop();
});

test("the whole text as a change, alone and between others", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, reading("0.40"));
  await client.change(uri, 2, [{ text: reading("0.41") }]);
  assert.equal(await client.text(uri), reading("0.41"));
  const one = { start: { line: 4, character: 12 }, end: { line: 4, character: 16 } };
  await client.change(uri, 3, [{ range: one, text: "9" }, { text: reading("0.42") }, { range: one, text: "0.43" }]);
  assert.equal(await client.text(uri), reading("0.43"));
  assert.equal((await client.diagnostics(uri, 3)).version, 3);
  await client.stop();
});

test("no change at all, and the deprecated length of a range", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, reading("0.40"));
  await client.change(uri, 2, []);
  await client.change(uri, 3, [{ range: { start: { line: 4, character: 12 }, end: { line: 4, character: 16 } }, rangeLength: 4, text: "0.44" }]);
  assert.equal(await client.text(uri), reading("0.44"));
  assert.equal((await client.diagnostics(uri, 3)).version, 3);
  await client.stop();
});

test("versions with gaps, negative ones too", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, reading("0.40"), { version: -7 });
  await client.change(uri, 5, [{ text: reading("0.41") }]);
  await client.change(uri, 1000, [{ text: reading("0.42") }]);
  await client.change(uri, 2147483647, [{ text: reading("0.43") }]);
  assert.equal((await client.diagnostics(uri, 2147483647)).version, 2147483647);
  assert.equal(await client.text(uri), reading("0.43"));
  await client.stop();
});

test("a change, a request and a close for a text that is not open", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.change(uri, 2, [{ text: "x" }]);
  await client.close(uri);
  await client.notify("textDocument/didSave", { textDocument: { uri } });
  await client.at("hover", uri, { line: 0, character: 0 }).catch((e) => assert.equal(typeof e.code, "number"));
  await client.open(uri, reading("0.40"));
  await client.close(uri);
  await client.change(uri, 3, [{ text: "x" }]);
  await client.open(uri, reading("0.41"));
  await client.open(uri, reading("0.45"), { version: 9 }); // Opened twice: the newer one counts.
  assert.equal(await client.text(uri), reading("0.45"));
  await client.stop();
});

test("closed, a text is judged as it lies on disk; what is in no file, or is gone, has nothing said of it any more", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  const fixed = LOG.replace("force 6 t", "web supported, oiled, force 6 t");
  const of = (uri, fits) => (m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && fits(m.params);
  const dangerous = ({ diagnostics }) => diagnostics.some((d) => d.code === "danger.precaution");
  for (let i = 0; i < 10; i++) {
    let since = client.messages.length;
    await client.open(uri, LOG, { version: 1 });
    await client.change(uri, 2, [{ text: fixed }]);
    await client.heard(of(uri, (p) => p.version === 2 && !dangerous(p)), "diagnostics", { since });
    since = client.messages.length;
    await client.close(uri);
    await client.heard(of(uri, (p) => p.version === undefined && dangerous(p)), "the file as it lies there", { since });
  }
  for (const name of [client.uri("logs/never-saved.rebuild"), "file:///no/such/folder/a.rebuild", "untitled:Untitled-1"]) {
    const since = client.messages.length;
    await client.open(name, LOG);
    await client.heard(of(name, (p) => p.version === 1 && p.diagnostics.length > 0), `diagnostics of ${name}`, { since });
    await client.close(name);
    await client.heard(of(name, (p) => p.diagnostics.length === 0), `${name} cleared`, { since });
  }
  fs.rmSync(path.join(client.root, "logs/crank.rebuild"));
  const since = client.messages.length;
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri, type: 3 }] });
  await client.heard(of(uri, (p) => p.diagnostics.length === 0), "what is gone cleared", { since });
  await client.stop();
});

test("closed and opened in one breath, many times: the last word is of the open text", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  for (let i = 0; i < 20; i++) {
    await client.open(uri, LOG, { version: 1 });
    await client.change(uri, 2, [{ text: LOG }]);
    if (i % 3 === 0) await later(10);
    if (i < 19) await client.close(uri);
  }
  await client.at("hover", uri, { line: 0, character: 0 });
  await later(500);
  const last = client.sent("textDocument/publishDiagnostics").filter((m) => m.params.uri === uri).at(-1);
  assert.equal(last.params.version, 2);
  await client.stop();
});

for (const [what, name] of Object.entries({ "a blank": "my logs/the crank.rebuild", "letters outside ASCII": "Müller/汉 𐐀.rebuild", "signs": "a+b&c#1 100%25/50%.rebuild", "a bracket": "[old]/x(1).rebuild" })) {
  test(`an address with ${what}, as written and as other clients write it`, async (t) => {
    const client = await session(t, { files: { ...FILES, [name]: LOG, "manuals/tarn-250.manual": MANUAL } });
    const uri = client.uri("").replace(/\/$/, "") + "/" + name.split("/").map(encodeURIComponent).join("/");
    await client.open(uri, LOG);
    const { diagnostics } = await client.diagnostics(uri, 1);
    assert.ok(diagnostics.some((d) => d.code === "danger.precaution"), `nothing under ${uri}`);
    assert.ok(!diagnostics.some((d) => /manual/.test(d.code)), "its manual is found");
    const [definition] = [].concat(await client.at("definition", uri, new Text(LOG).find("side play", 2)));
    assert.equal(definition.uri ?? definition.targetUri, client.uri("manuals/tarn-250.manual"));
    const references = await client.at("references", uri, new Text(LOG).find("side play", 2), { context: { includeDeclaration: true } });
    const own = references.filter((r) => decodeURIComponent(r.uri) === decodeURIComponent(uri));
    assert.ok(own.length >= 2);
    for (const r of own) assert.equal(r.uri, uri, "what is open is named as the client named it");
    // What came from the index and the open text are one file, not two.
    assert.equal(new Set(references.map((r) => decodeURIComponent(r.uri))).size, new Set(references.map((r) => r.uri)).size);
    await client.stop();
  });
}

test("an address with %3A and other letters escaped that need not be, as VS Code writes them", async (t) => {
  const name = "a:b=c@d,e.rebuild";
  const client = await session(t, { files: { ...FILES, [name]: LOG } });
  const uri = `${client.uri("")}${encodeURIComponent(name)}`.replace(/([^/])a%3A/, "$1/a%3A");
  assert.match(uri, /\/a%3Ab%3Dc%40d%2Ce\.rebuild$/);
  await client.open(uri, LOG);
  const published = await client.diagnostics(uri, 1);
  assert.equal(published.uri, uri);
  assert.ok(published.diagnostics.some((d) => d.code === "danger.precaution"));
  assert.equal(await client.text(uri), LOG);
  const found = await client.at("references", uri, new Text(LOG).find("side play", 2), { context: { includeDeclaration: true } });
  assert.equal(found.filter((r) => decodeURIComponent(r.uri).endsWith(name)).length, 2, "each place once, not once for each spelling");
  await client.stop();
});

test("texts that are in no file: untitled, and other schemes", async (t) => {
  const client = await session(t, { files: FILES });
  for (const [uri, languageId] of [["untitled:Untitled-1", "rebuild"], ["untitled:/w/b.rebuild", "rebuild"], ["vscode-notebook-cell:/w/n.ipynb#W0", "rebuild"], ["git:/w/a.rebuild?ref=HEAD", "rebuild"], ["untitled:Untitled-2", "rebuild-manual"]]) {
    const text = languageId === "rebuild" ? LOG : MANUAL;
    await client.open(uri, text, { languageId });
    assert.equal((await client.diagnostics(uri, 1)).uri, uri);
    assert.equal(await client.text(uri), text);
    const hover = await client.at("hover", uri, new Text(text).find("side play", 2));
    assert.ok(hover, uri);
    await client.at("documentLink", uri);
    await client.at("rename", uri, new Text(text).find("side play", 2), { newName: "other play" }).catch((e) => assert.equal(typeof e.code, "number"));
    await client.close(uri);
  }
  await client.stop();
});

test("the same path under another scheme is another text: a file beside its committed version", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  const committed = uri.replace("file://", "git:") + "?%7B%22ref%22%3A%22HEAD%22%7D";
  const old = reading("0.99");
  await client.open(uri, LOG);
  await client.open(committed, old);
  assert.equal(await client.text(uri), LOG);
  assert.equal(await client.text(committed), old);
  assert.ok((await client.diagnostics(uri, 1)).diagnostics.some((d) => d.code === "danger.precaution"));
  assert.ok(!(await client.diagnostics(committed, 1)).diagnostics.some((d) => d.code === "danger.precaution"));
  // Closing the one is not closing the other, and what is in no file is cleared.
  const since = client.messages.length;
  await client.close(committed);
  await client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === committed && !m.params.diagnostics.length, "the committed version cleared", { since });
  await client.change(uri, 2, [{ text: `${LOG}\n` }]);
  await client.diagnostics(uri, 2);
  await later(200);
  const told = client.messages.slice(since).filter((m) => m.message.method === "textDocument/publishDiagnostics" && m.message.params.uri === uri);
  assert.ok(told.every((m) => m.message.params.version !== undefined), "the file is judged as if it had been closed");
  await client.stop();
});

test("a manual is a manual by its language, whatever it is called", async (t) => {
  const client = await session(t, { files: FILES });
  await client.open("untitled:Untitled-1", "feature side play\n  build 0.5 to 0.35 mm\n", { languageId: "rebuild-manual" });
  const { diagnostics } = await client.diagnostics("untitled:Untitled-1", 1);
  assert.ok(diagnostics.length > 0);
  assert.ok(diagnostics.every((d) => !d.code.startsWith("line.")), diagnostics.map((d) => d.code).join());
  await client.stop();
});

test("the file is deleted under an open text, its folder too", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  fs.rmSync(path.join(client.root, "logs"), { recursive: true });
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri, type: 3 }, { uri: client.uri("logs/earlier.rebuild"), type: 3 }] });
  await client.change(uri, 2, [{ text: LOG.replace("52.03", "52.04") }]);
  assert.equal((await client.diagnostics(uri, 2)).version, 2);
  assert.ok(await client.at("hover", uri, new Text(LOG).find("side play", 2)));
  for (let i = 0; ; i++) {
    const found = await client.at("references", uri, new Text(LOG).find("side play", 2), { context: { includeDeclaration: true } });
    if (!found.some((r) => r.uri.endsWith("earlier.rebuild"))) break;
    assert.ok(i < 100, "a place in a file that is gone");
    await later(50);
  }
  await client.close(uri);
  await client.stop();
});

test("the whole workspace is deleted, and comes back", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  fs.rmSync(client.root, { recursive: true });
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: client.uri("manuals/tarn-250.manual"), type: 3 }] });
  await client.request("workspace/symbol", { query: "s" });
  await client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && m.params.diagnostics.some((d) => /manual/.test(d.code)), "the manual is missed", { since: 0 });
  fs.mkdirSync(path.join(client.root, "manuals"), { recursive: true });
  fs.writeFileSync(path.join(client.root, "manuals/tarn-250.manual"), MANUAL);
  const since = client.messages.length;
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: client.uri("manuals/tarn-250.manual"), type: 1 }] });
  await client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && !m.params.diagnostics.some((d) => /manual/.test(d.code)), "the manual is back", { since });
  await client.stop();
});

test("a manual changed in the editor, unsaved, judges the logs that name it; closed, the one on disk does again", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/crank.rebuild");
  const manual = client.uri("manuals/tarn-250.manual");
  const out = (list) => list.some((d) => d.code === "limit.out" && /side play/.test(d.message.value ?? d.message));
  await client.open(uri, LOG);
  assert.ok(!out((await client.diagnostics(uri, 1)).diagnostics));
  await client.open(manual, MANUAL);
  let since = client.messages.length;
  await client.change(manual, 2, [{ text: MANUAL.replace("0.35 to 0.50", "0.10 to 0.20") }]);
  const published = (fits) => client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && fits(m.params.diagnostics), "the log judged again", { since });
  await published(out);
  since = client.messages.length;
  await client.close(manual);
  await published((list) => !out(list));
  // And from disk, as a watcher tells it.
  since = client.messages.length;
  fs.writeFileSync(path.join(client.root, "manuals/tarn-250.manual"), MANUAL.replace("0.35 to 0.50", "0.10 to 0.20"));
  await client.notify("workspace/didChangeWatchedFiles", { changes: [{ uri: manual, type: 2 }] });
  await published(out);
  await client.stop();
});

test("without a watcher, a save tells that files may have changed", async (t) => {
  const client = await session(t, { files: FILES, capabilities: but(EVERYTHING, { workspace: { didChangeWatchedFiles: undefined } }) });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  const since = client.messages.length;
  await later(20);
  fs.writeFileSync(path.join(client.root, "manuals/tarn-250.manual"), MANUAL.replace("0.35 to 0.50", "0.10 to 0.20 "));
  await client.notify("textDocument/didSave", { textDocument: { uri } });
  await client.heard((m) => m.method === "textDocument/publishDiagnostics" && m.params.uri === uri && m.params.diagnostics.some((d) => d.code === "limit.out"), "judged by the manual as it stands", { since });
  await client.stop();
});

/** Texts with odd bytes, each asked for everything. */
const ODD = {
  "nothing": "",
  "a line end": "\n",
  "no line end at the end": LOG.trimEnd(),
  "CRLF": LOG.replaceAll("\n", "\r\n"),
  "lone carriage returns": LOG.replaceAll("\n", "\r"),
  "line ends of every kind": LOG.split("\n").map((l, i) => l + ["\n", "\r\n", "\r"][i % 3]).join(""),
  "a byte order mark": `\uFEFF${LOG}`,
  "two byte order marks": `\uFEFF\uFEFF${LOG}`,
  "NUL bytes": LOG.replaceAll("  ", "\0 ").replace("bottom", "bot\0tom"),
  "other control characters": LOG.replaceAll("  ", "\u001b[31m\u0007\u0085\u2028\u2029\u000b\u000c"),
  "letters of four bytes everywhere": LOG.replaceAll("a", "𐐀"),
  "joined emoji and marks": LOG.replaceAll("note", "note 👩‍🔧👍🏽é́́ \u202Eabc"),
  "one line of 100,000 letters": `job x\nnote ${"汉".repeat(100_000)}\nside play = 0.40 mm\n`,
  "brackets without end": `job x\nplay = ${"(".repeat(5000)}\ncalc x = ${"(".repeat(5000)}1\n`,
  "twenty thousand empty lines": "\n".repeat(20_000),
};
for (const [what, odd] of Object.entries(ODD)) {
  test(`a text of ${what} is kept as it is and asked for everything, in all encodings`, { timeout: 60_000 }, async (t) => {
    for (const encoding of ENCODINGS) {
      const client = await session(t, { files: FILES, capabilities: with8(encoding) });
      for (const [uri, languageId] of [[client.uri("logs/odd.rebuild"), "rebuild"], [client.uri("manuals/odd.manual"), "rebuild-manual"]]) {
        let text = new Text(odd, encoding);
        await client.open(uri, odd, { languageId });
        sense.diagnostics((await client.diagnostics(uri, 1)).diagnostics, text);
        assert.equal(await client.text(uri), odd);
        const lines = [0, Math.floor(text.lineCount / 2), text.lineCount - 1, text.lineCount + 5];
        for (const line of lines) {
          for (const character of [0, 1, 7, 2 ** 31 - 1]) {
            const hover = await client.at("hover", uri, { line, character });
            if (hover?.range) sense.range(hover.range, text, "hover");
            await client.at("completion", uri, { line, character });
          }
        }
        sense.tokens(await client.at("semanticTokens/full", uri), client.welcome.capabilities.semanticTokensProvider.legend, text);
        sense.symbols((await client.at("documentSymbol", uri)) ?? [], text);
        sense.folds((await client.at("foldingRange", uri)) ?? [], text);
        const laid = (await client.at("formatting", uri, undefined, { options: { tabSize: 4, insertSpaces: true } })) ?? [];
        sense.edits(laid, text, "formatting");
        for (const h of (await client.at("inlayHint", uri, undefined, { range: { start: { line: 0, character: 0 }, end: { line: 2 ** 31 - 1, character: 0 } } })) ?? []) sense.position(h.position, text, "hint");
        sense.selection((await client.at("selectionRange", uri, undefined, { positions: [{ line: 0, character: 0 }] }))[0], { line: 0, character: 0 }, text);
        // And an edit in its middle.
        const middle = text.range(text.offset({ line: lines[1], character: 0 }), text.offset({ line: lines[1], character: 0 }));
        text = text.changed({ range: middle, text: "é𐐀\n" });
        await client.change(uri, 2, [{ range: middle, text: "é𐐀\n" }]);
        assert.equal(await client.text(uri), text.text);
      }
      await client.stop();
    }
  });
}

test("a name changed before all files are read is changed in all of them, or not at all with that reason", async (t) => {
  const files = { ...FILES };
  for (let i = 0; i < 400; i++) files[`more/${i}.rebuild`] = LOG;
  const client = await session(t, { files });
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  const where = new Text(LOG).find("flywheel gap", 2);
  const early = await client.at("rename", uri, where, { newName: "rotor gap" }).then((edit) => sense.workspaceEdit(edit, client.capabilities, "rename"), (error) => error);
  if (early instanceof Error) assert.match(early.message, /still|yet|being read/, "it is said that the files are not read yet");
  else assert.equal(early.size, 403);
  for (let i = 0; ; i++, await later(100)) {
    const edit = await client.at("rename", uri, where, { newName: "rotor gap" }).catch(() => undefined);
    if (edit && sense.workspaceEdit(edit, client.capabilities, "rename").size === 403) break;
    assert.ok(i < 100, "not in all 403 files after ten seconds");
  }
  await client.stop();
});

test("layout in the editor is what the command makes of the text, whatever ends its lines", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/odd.rebuild");
  const wild = LOG.replaceAll("=", "   =").replace("units", " units");
  const texts = [wild, wild.replaceAll("\n", "\r\n"), wild.trimEnd(), `\uFEFF${wild}`, "job a\nmachine b\r\nhours 3\r\n", "job a\r\nmachine b\nhours 3\n", "job      a\nmachine  b\r\nhours    3\rowner    x\n"];
  for (const text of texts) {
    const laid = spawnSync(GUDGEON, ["tidy", "-"], { input: text, encoding: "utf8" }).stdout;
    assert.ok(laid, "the command");
    await client.open(uri, text);
    const edits = (await client.at("formatting", uri, undefined, { options: { tabSize: 4, insertSpaces: true } })) ?? [];
    assert.equal(new Text(text).edited(edits), laid, `of ${JSON.stringify(text).slice(0, 60)} by ${JSON.stringify(edits).slice(0, 300)}`);
    sense.edits(edits, new Text(text), "formatting");
    await client.close(uri);
  }
  await client.stop();
});

test("layout leaves the ends of lines as they are", async (t) => {
  const client = await session(t, { files: FILES });
  const uri = client.uri("logs/odd.rebuild");
  for (const end of ["\r\n", "\n"]) {
    const odd = LOG.replaceAll("\n", end);
    await client.open(uri, odd);
    const text = new Text(odd);
    const laid = text.edited(await client.at("formatting", uri, undefined, { options: { tabSize: 4, insertSpaces: true } }));
    assert.deepEqual([...new Set(laid.match(/\r\n|\n|\r/g))], [end]);
    await client.close(uri);
  }
  await client.stop();
});

for (const encoding of ENCODINGS) {
  test(`positions past ends, backwards and inside characters are taken to the nearest place before, in ${encoding}`, async (t) => {
    const client = await session(t, { files: FILES, capabilities: with8(encoding) });
    assert.equal(client.encoding, encoding);
    const uri = client.uri("logs/odd.rebuild");
    const start = "é汉𐐀x\r\nab\n";
    const within = { "utf-8": 6, "utf-16": 3, "utf-32": 2 }[encoding]; // Inside 𐐀, or before it where nothing is inside.
    let version = 1;
    const changed = async (range, expected, what) => {
      await client.open(uri, start, { version });
      await client.change(uri, ++version, [{ range, text: "|" }]);
      assert.equal(await client.text(uri), expected, what);
      await client.close(uri);
    };
    const at = (line, character) => ({ line, character });
    const point = (line, character) => ({ start: at(line, character), end: at(line, character) });
    await changed(point(0, 1000), "é汉𐐀x|\r\nab\n", "past the end of a line: before its end");
    await changed(point(1, 2 ** 31 - 1), "é汉𐐀x\r\nab|\n", "far past the end of a line");
    await changed(point(2, 0), "é汉𐐀x\r\nab\n|", "the line behind the last line end");
    await changed(point(2, 7), "é汉𐐀x\r\nab\n|", "past its end");
    await changed(point(99, 3), "é汉𐐀x\r\nab\n|", "past the last line");
    await changed(point(0, within), "é汉|𐐀x\r\nab\n", "inside a character");
    await changed({ start: at(0, 0), end: at(99, 99) }, "|", "all of it and more");
    // As many units as there are in each way of counting.
    const behind = { "utf-8": 9, "utf-16": 4, "utf-32": 3 }[encoding];
    await changed(point(0, behind), "é汉𐐀|x\r\nab\n", "behind letters outside the basic plane");
    await client.stop();
  });
}

test("the answers of all three encodings are of the same places", async (t) => {
  const places = [];
  for (const encoding of ENCODINGS) {
    const client = await session(t, { files: FILES, capabilities: with8(encoding) });
    const uri = client.uri("logs/crank.rebuild");
    const odd = LOG.replaceAll("side play", "𐐀é play").replaceAll("note", "note 汉𐐀");
    const text = new Text(odd, encoding);
    await client.open(uri, odd);
    const { diagnostics } = await client.diagnostics(uri, 1);
    const of = (r) => [text.offset(r.start), text.offset(r.end)];
    places.push({
      diagnostics: diagnostics.map((d) => [d.code, ...of(d.range)]),
      highlights: (await client.at("documentHighlight", uri, text.find("𐐀é play", 3))).map((h) => of(h.range)),
      tokens: sense.tokens(await client.at("semanticTokens/full", uri), client.welcome.capabilities.semanticTokensProvider.legend, text).map((k) => [k.type, k.text, text.offset({ line: k.line, character: k.start })]),
      hover: of((await client.at("hover", uri, text.find("𐐀é play", 3))).range),
      edits: (await client.at("formatting", uri, undefined, { options: { tabSize: 4, insertSpaces: true } })).map((e) => [...of(e.range), e.newText]),
      symbols: (await client.at("documentSymbol", uri)).map((s) => [s.name, ...of(s.range)]),
    });
    await client.stop();
  }
  assert.ok(places[0].highlights.length >= 2);
  assert.deepEqual(places[0], places[1]);
  assert.deepEqual(places[1], places[2]);
});

test("a log of 16 MB: what is said of it, or said to be too much, and edits go on", { timeout: 120_000 }, async (t) => {
  const client = await session(t, { files: FILES });
  client.timeout = 110_000;
  const uri = client.uri("logs/big.rebuild");
  const line = "note the sound changed when the pin came flush, and it was left to cool\n";
  const big = LOG + line.repeat(Math.ceil((16 * 2 ** 20 - LOG.length) / line.length));
  assert.ok(big.length >= 16 * 2 ** 20);
  await client.open(uri, big);
  const text = new Text(big);
  const small = client.uri("logs/crank.rebuild");
  await client.open(small, LOG);
  // The small one beside it is served meanwhile.
  assert.ok(await client.at("hover", small, text.find("side play", 2)));
  for (let i = 0; i < 20; i++) await client.change(uri, i + 2, [{ range: { start: { line: 30, character: 5 }, end: { line: 30, character: 5 } }, text: "x" }]);
  await client.diagnostics(uri, 21, 110_000);
  assert.equal((await client.text(uri)).length, big.length + 20);
  await client.stop();
});

test("a thousand documents opened and closed", { timeout: 60_000 }, async (t) => {
  const client = await session(t, { files: FILES });
  for (let i = 0; i < 1000; i++) {
    await client.open(client.uri(`logs/n${i}.rebuild`), reading("0.40"));
    await client.close(client.uri(`logs/n${i}.rebuild`));
  }
  const uri = client.uri("logs/crank.rebuild");
  await client.open(uri, LOG);
  await client.diagnostics(uri, 1);
  await client.stop();
});
