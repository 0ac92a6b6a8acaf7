// Random edits, several in a notification, in each encoding: after every batch the server's text is compared with the client's own.
//
//     node fuzz.mjs [SEED] [SECONDS]
//
// Without a seed a new one is taken; it is printed, and with it a failure can be had again.

import assert from "node:assert/strict";
import path from "node:path";
import { but, Client, EVERYTHING } from "./client.mjs";
import { FILES, LOG, MANUAL } from "./logs.mjs";
import { folder, uriOf } from "./server.mjs";
import { ENCODINGS, Text, units } from "./text.mjs";

/** Numbers from a seed: mulberry32. */
export function random(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x = (x + Math.imul(x ^ (x >>> 7), x | 61)) ^ x;
    return ((x ^ (x >>> 14)) >>> 0) / 2 ** 32;
  };
  return { below: (n) => Math.floor(next() * n), of: (list) => list[Math.floor(next() * list.length)] };
}

const PIECES = ["a", "0.4", " ", "  ", "\t", "\n", "\r\n", "\r", "é", "汉", "𐐀", "👩‍🔧", "\uFEFF", "\0", "#", "=", "side play = 0.41 mm\n", "2026-03-20  build\n", "did press together\n", "  top 72.012\r\n", "", "", ""];

/** A place between two characters: an offset that a client could mean. Half of them next to the ends of lines, where it is hard. */
function place(text, dice, limit = text.length) {
  let at = dice.below(limit + 1);
  if (dice.below(2)) {
    const end = text.slice(at).search(/[\r\n]/);
    if (end >= 0) at += end + dice.below(3);
  }
  at = Math.min(at, limit);
  if (/[\uDC00-\uDFFF]/.test(text[at] ?? "") && /[\uD800-\uDBFF]/.test(text[at - 1] ?? "")) at--;
  // Nothing is between the two of a CRLF: no position says it.
  if (text[at] === "\n" && text[at - 1] === "\r") at--;
  return at;
}

/** One change, and the text after it, reckoned by offsets alone. */
function edit(text, encoding, dice) {
  const held = new Text(text, encoding);
  if (dice.below(60) === 0) {
    const other = dice.of([LOG, MANUAL, "", "\r", "x"]);
    return [{ text: other }, other];
  }
  let [start, end] = [place(text, dice), place(text, dice)].sort((a, b) => a - b);
  if (dice.below(3)) end = start; // Mostly insertions.
  else if (end - start > 200) end = place(text, dice, start + 50);
  if (end < start) end = start;
  let piece = "";
  for (let n = dice.below(4); n > 0; n--) piece += dice.of(PIECES);
  const range = held.range(start, end);
  // A position past the end of its line means that end.
  const last = range.end.line < held.lineCount && range.end.character === units(held.line(range.end.line), encoding);
  if (last && dice.below(8) === 0) range.end.character += 1 + dice.below(1000);
  return [{ range, text: piece }, text.slice(0, start) + piece + text.slice(end)];
}

/** Runs for so many milliseconds in one encoding; how many batches and edits were compared. */
export async function fuzz(encoding, seed, ms) {
  const dice = random(seed);
  const root = folder(undefined, FILES);
  const client = new Client({ cwd: root });
  const counts = { batches: 0, edits: 0 };
  let batch;
  try {
    await client.initialize({ root: uriOf(root), capabilities: but(EVERYTHING, { general: { positionEncodings: [encoding] } }) });
    assert.equal(client.encoding, encoding);
    const uri = uriOf(path.join(root, "logs/fuzz.rebuild"));
    let text = LOG;
    let version = 1;
    await client.open(uri, text);
    const until = performance.now() + ms;
    while (performance.now() < until) {
      const before = text;
      batch = { before, changes: [] };
      for (let n = 1 + dice.below(3); n > 0; n--) {
        const changes = [];
        for (let m = 1 + dice.below(5); m > 0; m--) {
          const [change, after] = edit(text, encoding, dice);
          changes.push(change);
          text = after;
        }
        batch.changes.push(changes);
        counts.edits += changes.length;
        await client.change(uri, ++version, changes);
      }
      // Some questions on the way, so that pages are judged from the tree before.
      if (dice.below(3) === 0) client.at("hover", uri, { line: dice.below(40), character: dice.below(30) }).catch(() => {});
      assert.equal(await client.text(uri), text);
      counts.batches++;
      if (text.length > 20_000) {
        text = LOG;
        await client.change(uri, ++version, [{ text }]);
      }
    }
    // What the tree that grew through all edits says is what a fresh one says.
    const grown = (await client.diagnostics(uri, version)).diagnostics;
    const other = uriOf(path.join(root, "logs/fresh.rebuild"));
    await client.open(other, text);
    const fresh = (await client.diagnostics(other, 1)).diagnostics;
    assert.deepEqual(JSON.parse(JSON.stringify(grown).replaceAll(uri, other)), fresh);
    await client.stop();
    return counts;
  } catch (error) {
    error.message = `${encoding}, seed ${seed}, batch ${counts.batches}: ${error.message}\n${JSON.stringify(batch)?.slice(0, 4000)}`;
    throw error;
  } finally {
    client.drop();
    (await import("node:fs")).rmSync(root, { recursive: true, force: true });
  }
}

if (process.argv[1]?.endsWith("fuzz.mjs")) {
  const seed = Number(process.argv[2] ?? Date.now() % 2 ** 32);
  const seconds = Number(process.argv[3] ?? 20);
  for (const encoding of ENCODINGS) {
    const { batches, edits } = await fuzz(encoding, seed, (seconds * 1000) / 3);
    console.log(`${encoding}: ${edits} edits in ${batches} batches, seed ${seed}`);
  }
}
