// Puts the extension and what it is built on into one file, and their licences beside it.
import { existsSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { build } from "esbuild";

const { metafile } = await build({
  entryPoints: ["src/extension.ts"],
  outfile: "dist/extension.js",
  bundle: true,
  platform: "node",
  format: "cjs",
  target: "node20",
  external: ["vscode"],
  minify: true,
  metafile: true,
  legalComments: "none",
  logLevel: "warning",
});

/** The folder of the package that a file belongs to; none for a file of our own. */
function packageOf(file) {
  if (!file.includes("node_modules/")) return undefined;
  let folder = dirname(file);
  // A package may hold folders with a package.json that only says how their files are loaded.
  while (!existsSync(join(folder, "package.json")) || !JSON.parse(readFileSync(join(folder, "package.json"), "utf8")).version) {
    folder = dirname(folder);
  }
  return folder;
}

const packages = [...new Set(Object.keys(metafile.inputs).map(packageOf).filter(Boolean))].sort();
const texts = packages.map((folder) => {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
  if (!file) throw new Error(`${name} has no licence file`);
  return `${name} ${version} (${license})\n\n${readFileSync(join(folder, file), "utf8").trim()}\n`;
});
writeFileSync("dist/LICENCES.txt", `dist/extension.js holds parts of these packages.\n\n${texts.join("\n----\n\n")}`);
