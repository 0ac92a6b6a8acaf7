// Prints how a file is scoped, for whoever changes a grammar: node scopes.mjs FILE
import { readFileSync } from "node:fs";
import { load } from "./grammar/load.mjs";

const file = process.argv[2];
const grammar = await load(file.endsWith(".manual") ? "rebuild-manual" : "rebuild");
for (const { text, tokens } of grammar.lines(readFileSync(file, "utf8"))) {
  console.log(`> ${text}`);
  for (const { startIndex, endIndex, scopes } of tokens) {
    const word = text.slice(startIndex, endIndex);
    if (word.trim()) console.log(`    ${JSON.stringify(word)}  ${scopes.slice(1).join(" ") || "-"}`);
  }
}
