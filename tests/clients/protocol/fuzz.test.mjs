// The fuzzer, bounded: a fixed seed that is the same everywhere, and a new one each time.

import assert from "node:assert/strict";
import { test } from "node:test";
import { fuzz } from "./fuzz.mjs";
import { ENCODINGS } from "./text.mjs";

const fresh = Date.now() % 2 ** 32;
for (const [i, encoding] of ENCODINGS.entries()) {
  for (const seed of [1 + i, fresh + i]) {
    test(`random edits in ${encoding}, seed ${seed}`, { timeout: 60_000 }, async (t) => {
      const { batches, edits } = await fuzz(encoding, seed, 3000);
      t.diagnostic(`${edits} edits in ${batches} batches`);
      assert.ok(batches > 20, `only ${batches} batches`);
    });
  }
}
