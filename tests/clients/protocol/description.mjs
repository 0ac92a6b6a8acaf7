// The protocol's own description, as JSON Schema: every message by its method, with its direction.
//
// The protocol's metaModel.json is written by a tool from the type declarations of `vscode-languageserver-protocol`, but the package does not ship it, only its schema
// (metaModel.schema.json). So it is made here from the same declarations, by the generator that the package's own build uses for that schema. What is known of a message is read from the
// declarations of its request or notification: `const type: ProtocolRequestType<PARAMS, RESULT, PARTIAL, ERROR, OPTIONS>`.

import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";

const require = createRequire(import.meta.url);
const HERE = path.dirname(fileURLToPath(import.meta.url));
const PACKAGE = path.join(HERE, "node_modules", "vscode-languageserver-protocol");
const VERSION = JSON.parse(fs.readFileSync(path.join(PACKAGE, "package.json"), "utf8")).version;
/** Where the description is kept between runs; it depends on the package's version and on this file alone. */
const KEPT = path.join(HERE, "node_modules", ".cache", `protocol-${VERSION}.json`);

/** Messages that every JSON-RPC connection of the protocol may carry, and that no namespace of the package declares. */
const BASE = [
  { name: "Cancel", method: "$/cancelRequest", direction: "both", kind: "notification", params: "{ id: integer | string }" },
  { name: "Progress", method: "$/progress", direction: "both", kind: "notification", params: "{ token: ProgressToken; value: LSPAny }" },
  { name: "SetTrace", method: "$/setTrace", direction: "clientToServer", kind: "notification", params: "{ value: 'off' | 'messages' | 'verbose' }" },
  { name: "LogTrace", method: "$/logTrace", direction: "serverToClient", kind: "notification", params: "{ message: string; verbose?: string }" },
];

/** Every request and notification of the declarations: its method, direction, and the text of its types. */
function messages(ts) {
  const folder = path.join(PACKAGE, "lib", "common");
  const api = require("vscode-languageserver-protocol");
  const found = [];
  // Where a type is declared: some are not exported by the package as a whole.
  const homes = new Map();
  for (const file of fs.readdirSync(folder).filter((f) => f.startsWith("protocol") && f.endsWith(".d.ts"))) {
    const tree = ts.createSourceFile(file, fs.readFileSync(path.join(folder, file), "utf8"), ts.ScriptTarget.Latest, true);
    tree.forEachChild((node) => {
      if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) homes.set(node.name.text, path.join(folder, file.replace(/\.d\.ts$/, ".js")));
      if (!ts.isModuleDeclaration(node) || !node.body || !ts.isModuleBlock(node.body)) return;
      const constants = new Map();
      node.body.forEachChild((statement) => {
        if (!ts.isVariableStatement(statement)) return;
        for (const d of statement.declarationList.declarations) constants.set(d.name.getText(tree), d.type);
      });
      const type = constants.get("type");
      const kind = /^Protocol(Request|Notification)Type(0?)$/.exec(type?.typeName?.getText(tree) ?? "");
      const name = node.name.getText(tree);
      if (!kind || !api[name]) return;
      const given = type.typeArguments.map((t) => t.getText(tree));
      const params = kind[2] ? null : given.shift();
      const common = { name, method: api[name].method ?? api[name].type.method, direction: api[name].messageDirection, params };
      if (kind[1] === "Request") found.push({ ...common, kind: "request", result: given[0], partial: given[1], options: given.at(-1) });
      else found.push({ ...common, kind: "notification", options: given.at(-1) });
    });
  }
  return { found, homes };
}

/** The declarations' TypeScript turned into JSON Schema. */
async function generate() {
  const ts = require("typescript");
  const { createGenerator } = await import("ts-json-schema-generator");
  const { found, homes } = messages(ts);
  const all = [...found, ...BASE];
  const lines = [];
  const methods = [];
  const isSaid = (type) => type && type !== "void" && type !== "never";
  for (const m of all) {
    const entry = { method: m.method, direction: m.direction, kind: m.kind };
    for (const part of ["params", "result", "partial", "options"]) {
      if (!isSaid(m[part])) continue;
      // `any` is no type to be described: whatever stands there is right.
      entry[part] = m[part] === "any" ? true : `${m.name}_${part}`;
      if (m[part] !== "any") lines.push(`export type ${m.name}_${part} = ${m[part]};`);
    }
    methods.push(entry);
  }
  lines.push("export type Progress_begin = WorkDoneProgressBegin;", "export type Progress_report = WorkDoneProgressReport;", "export type Progress_end = WorkDoneProgressEnd;");
  const words = new Set(lines.flatMap((l) => l.slice(l.indexOf("=")).match(/\b[A-Z_]\w+\b/g) ?? []));
  words.add("integer");
  const imports = [...words].map((w) => `import type { ${w} } from ${JSON.stringify(homes.get(w) ?? "vscode-languageserver-protocol")};`);
  // The generator wants a file and reads the package from beside it.
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "protocol-"));
  try {
    fs.symlinkSync(path.join(HERE, "node_modules"), path.join(folder, "node_modules"));
    const entry = path.join(folder, "messages.ts");
    fs.writeFileSync(entry, `${imports.join("\n")}\n${lines.join("\n")}\n`);
    const tsconfig = path.join(folder, "tsconfig.json");
    const options = { module: "node16", moduleResolution: "node16", strict: true, noEmit: true, skipLibCheck: true, types: [], target: "es2022", lib: ["es2022"] };
    fs.writeFileSync(tsconfig, JSON.stringify({ compilerOptions: options, files: [entry] }));
    // `additionalProperties: false` is the generator's way; an index signature in the declarations opens a structure again.
    const generator = createGenerator({ path: entry, tsconfig, type: "*", expose: "all", topRef: true, jsDoc: "none", skipTypeCheck: false, additionalProperties: false });
    const schema = generator.createSchema("*");
    return { version: VERSION, methods, definitions: schema.definitions };
  } finally {
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

/** The description: `{ version, methods: [{ method, direction, kind, params?, result?, partial?, options? }], definitions }`, names of definitions for the types. */
export async function description() {
  const stamp = fs.statSync(fileURLToPath(import.meta.url)).mtimeMs;
  try {
    const kept = JSON.parse(fs.readFileSync(KEPT, "utf8"));
    if (kept.stamp === stamp) return kept;
  } catch {
    // Not made yet.
  }
  const made = { stamp, ...(await generate()) };
  fs.mkdirSync(path.dirname(KEPT), { recursive: true });
  const own = `${KEPT}.${process.pid}`;
  fs.writeFileSync(own, JSON.stringify(made));
  fs.renameSync(own, KEPT);
  return made;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { version, methods, definitions } = await description();
  console.log(`protocol ${version}: ${methods.length} messages, ${Object.keys(definitions).length} types described`);
}
