// What the protocol says of answers in words and no schema can: ranges that exist, edits that do not overlap, tokens in their order. Each function throws where it does not hold.

import assert from "node:assert/strict";
import { units } from "./text.mjs";

const before = (a, b) => a.line < b.line || (a.line === b.line && a.character <= b.character);
const show = (r) => JSON.stringify(r);

/** A position that is in the text, on a boundary of a character. */
export function position(p, text, what) {
  assert.ok(p.line < text.lineCount, `${what}: line ${p.line} of ${text.lineCount}`);
  const line = text.line(p.line);
  assert.ok(p.character <= units(line, text.encoding), `${what}: column ${p.character} on a line of ${units(line, text.encoding)}: ${line}`);
  assert.deepEqual(text.at(text.offset(p)), p, `${what}: inside a character of: ${line}`);
}

/** A range in the text that does not run backwards. */
export function range(r, text, what) {
  position(r.start, text, what);
  position(r.end, text, what);
  assert.ok(before(r.start, r.end), `${what}: backwards ${show(r)}`);
}

export const within = (inner, outer) => before(outer.start, inner.start) && before(inner.end, outer.end);

/** Edits that may be carried out together. */
export function edits(list, text, what) {
  for (const e of list) range(e.range, text, what);
  const sorted = [...list].sort((a, b) => (before(a.range.start, b.range.start) ? -1 : 1));
  for (let i = 1; i < sorted.length; i++) {
    assert.ok(before(sorted[i - 1].range.end, sorted[i].range.start), `${what}: ${show(sorted[i - 1])} and ${show(sorted[i])} overlap`);
  }
}

/** The edits of a workspace edit by URI, in whichever form; the form has to be one that the client can take. */
export function workspaceEdit(edit, capabilities, what) {
  const byUri = new Map(Object.entries(edit.changes ?? {}));
  if (edit.documentChanges) {
    assert.ok(capabilities.workspace?.workspaceEdit?.documentChanges, `${what}: documentChanges to a client that does not know them`);
    for (const change of edit.documentChanges) {
      assert.ok(change.edits, `${what}: ${show(change)}`);
      byUri.set(change.textDocument.uri, change.edits);
    }
  }
  return byUri;
}

/** Diagnostics of a document. */
export function diagnostics(list, text) {
  for (const d of list) {
    range(d.range, text, `diagnostic ${d.message}`);
    assert.equal(d.source, "gudgeon");
    assert.ok([1, 2, 3].includes(d.severity), `severity ${d.severity}`);
    assert.match(String(d.code), /^[a-z-]+(\.[a-z-]+)+$/);
    assert.ok(d.message.trim().length > 3);
  }
}

/** An outline: names inside their ranges, children inside their parents, in order. */
export function symbols(list, text, parent) {
  for (const s of list) {
    range(s.range, text, s.name);
    assert.ok(s.name.trim(), "a name");
    assert.ok(within(s.selectionRange, s.range), `${s.name}: ${show(s)}`);
    if (parent) assert.ok(within(s.range, parent.range), `${s.name} not within ${parent.name}`);
    symbols(s.children ?? [], text, s);
  }
  for (let i = 1; i < list.length; i++) assert.ok(before(list[i - 1].range.start, list[i].range.start), `${list[i].name}: out of order`);
}

/** Semantic tokens, as `[{ line, start, length, type, modifiers, text }]`. */
export function tokens({ data }, legend, text) {
  assert.equal(data.length % 5, 0);
  let line = 0;
  let start = 0;
  let end = 0;
  const found = [];
  for (let i = 0; i < data.length; i += 5) {
    const [down, right, length, type, modifiers] = data.slice(i, i + 5);
    if (down) {
      line += down;
      start = right;
      end = 0;
    } else start += right;
    assert.ok(length > 0, "an empty token");
    assert.ok(start >= end, `tokens overlap on line ${line}`);
    assert.ok(type < legend.tokenTypes.length, `type ${type} is not in the legend`);
    assert.ok(modifiers < 2 ** legend.tokenModifiers.length, `modifiers ${modifiers} are not in the legend`);
    end = start + length;
    const of = { start: { line, character: start }, end: { line, character: end } };
    range(of, text, "a token");
    found.push({ line, start, length, type: legend.tokenTypes[type], text: text.slice(of) });
  }
  return found;
}

/** What a delta makes of earlier tokens. */
export function tokensAfter(data, { edits: list }) {
  const made = [...data];
  for (const e of [...list].sort((a, b) => b.start - a.start)) {
    assert.ok(e.start + e.deleteCount <= data.length, `an edit past the end: ${show(e)}`);
    made.splice(e.start, e.deleteCount, ...(e.data ?? []));
  }
  return made;
}

export function folds(list, text) {
  for (const f of list) assert.ok(f.startLine < f.endLine && f.endLine < text.lineCount, show(f));
}

/** Each selection within the next one. */
export function selection(s, at, text) {
  let inner = { start: at, end: at };
  for (let outer = s; outer; outer = outer.parent) {
    range(outer.range, text, "a selection");
    assert.ok(within(inner, outer.range), `${show(inner)} not within ${show(outer.range)}`);
    inner = outer.range;
  }
}
