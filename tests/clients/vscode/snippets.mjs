// Every snippet, filled in as it is proposed, is read by the program: nothing in it is a line that cannot be read.
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL("../../../editors/vscode/snippets/", import.meta.url));
const gudgeon = process.env.GUDGEON;
const day = { CURRENT_YEAR: "2026", CURRENT_MONTH: "03", CURRENT_DATE: "14" };

function filled(body) {
  return body
    .join("\n")
    .replace(/\$\{\d+:([^}]*)\}/g, "$1")
    .replace(/\$\{\d+\|([^,|]*)[^}]*\|\}/g, "$1")
    .replace(/\$(CURRENT_\w+)/g, (_, name) => day[name])
    .replace(/\$\d+|\$\{\d+\}/g, "");
}

let tried = 0;
const wrong = [];
for (const [file, name] of [["rebuild.json", "snippet.rebuild"], ["rebuild-manual.json", "snippet.manual"]]) {
  for (const [title, { body }] of Object.entries(JSON.parse(readFileSync(folder + file, "utf8")))) {
    tried += 1;
    const text = filled(body);
    const said = spawnSync(gudgeon, ["inspect", "--as", "line", "--name", name, "-"], { input: text, encoding: "utf8" });
    const unread = said.stdout.split("\n").filter((line) => /\[(?:syntax|line)\.[\w-]*\]/.test(line));
    if (said.status === 2 || said.error || unread.length) wrong.push(`${title}:\n${text}\n${unread.join("\n")}${said.stderr}`);
  }
}
for (const problem of wrong) console.error(problem);
console.log(`${tried} snippets, ${wrong.length} with a line that is not read`);
process.exit(wrong.length || tried < 10 ? 1 : 0);
