// Every line of the samples, the clean logs, the shelf and the language reference: no word is left without a scope where the language
// has one for it. Only prose is left as it is.
import { readFileSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { load } from "./load.mjs";

const root = fileURLToPath(new URL("../../../../", import.meta.url));

/** The first words of lines, from the parser's own list. */
function keywords(list) {
  const source = readFileSync(`${root}src/syntax/keywords.rs`, "utf8");
  const body = source.match(new RegExp(`const ${list}: &\\[&str\\] = &\\[([^\\]]*)\\]`))?.[1];
  if (!body) throw new Error(`src/syntax/keywords.rs has no list ${list}`);
  return new Set([...body.matchAll(/"([a-z]+)"/g)].map(([, word]) => word));
}

const found = [];
let lines = 0;

function check(place, { text, tokens }, kind, words) {
  const said = text.replace(/(?<!\S)#.*$/, "").trim();
  if (!said) return;
  lines += 1;
  const bare = tokens.filter(({ startIndex, endIndex, scopes }) => scopes.length === 1 && text.slice(startIndex, endIndex).trim());
  const first = said.replace(/^\d{1,2}:\d{2}\s+/, "").match(/^[^\s:,;=]+/)?.[0].toLowerCase() ?? "";
  const stated = kind === "rebuild-manual" || words.has(first) || said.includes("=") || /^\d{4}-/.test(said);
  for (const { startIndex, endIndex } of bare) {
    const word = text.slice(startIndex, endIndex);
    // Prose: a line that says nothing of what the language knows. Its figures would be reported by the server.
    if (stated || /\d/.test(word)) found.push(`${place}: \`${word}\` has no scope in \`${said}\``);
  }
  const at = text.toLowerCase().indexOf(first);
  const of = (index) => tokens.find(({ startIndex, endIndex }) => startIndex <= index && index < endIndex)?.scopes.join(" ") ?? "";
  const reading = said.includes("=") && kind === "rebuild" && /variable\.other|keyword\.control\.fix/.test(of(at));
  const listed = /string\.unquoted\.note|keyword\.other|keyword\.operator\.comparison/.test(of(at));
  if (words.has(first) && !reading && !listed && !of(at).includes("keyword.control")) {
    found.push(`${place}: \`${first}\` is no keyword in \`${said}\`, but ${of(at)}`);
  }
}

const words = { rebuild: keywords("LOG"), "rebuild-manual": keywords("MANUAL") };
const grammars = { rebuild: await load("rebuild"), "rebuild-manual": await load("rebuild-manual") };
function page(place, source, kind, from = 1) {
  grammars[kind].lines(source).forEach((line, number) => check(`${place}:${number + from}`, line, kind, words[kind]));
}

const files = ["samples", "tests/clean", "src/shelf"].flatMap((folder) => readdirSync(root + folder, { recursive: true }).map((file) => `${folder}/${file}`));
const pages = files.filter((file) => /\.(rebuild|manual)$/.test(file)).sort();
for (const file of pages) page(file, readFileSync(root + file, "utf8"), file.endsWith(".manual") ? "rebuild-manual" : "rebuild");

const reference = readFileSync(`${root}grammar/README.md`, "utf8");
let blocks = 0;
for (const { index, 1: kind, 2: body } of reference.matchAll(/^```(rebuild|manual)\b[^\n]*\n(.*?)^```/gms)) {
  blocks += 1;
  page("grammar/README.md", body, kind === "manual" ? "rebuild-manual" : kind, reference.slice(0, index).split("\n").length + 1);
}

if (pages.length < 40 || blocks < 15 || lines < 3000) found.push(`only ${pages.length} pages, ${blocks} blocks, ${lines} lines were found`);
for (const problem of found) console.error(problem);
console.log(`${lines} lines of ${pages.length} pages and ${blocks} blocks of the reference, ${found.length} words without their scope`);
process.exit(found.length ? 1 : 0);
