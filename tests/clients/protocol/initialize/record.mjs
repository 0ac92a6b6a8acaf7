// Writes down the `initialize` that real editors send here: Neovim and Emacs with eglot are started on a folder with a log, and a script that keeps what it hears stands in for the server.
//
//     node initialize/record.mjs FOLDER-OF-EGLOT
//
// VS Code cannot be run here; what it sends is made by its library `vscode-languageclient`, which runs over the stand-in of vscode.cjs.
// Only for renewing the stored files; no test runs it. Needs `nvim`, `emacs` and eglot 1.9.

import { execFileSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { languageclient, vscode } from "../vscode.mjs";

const HERE = path.dirname(fileURLToPath(import.meta.url));
const work = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "record-")));
const bench = path.join(work, "bench");
const log = path.join(bench, "a.rebuild");
const heard = path.join(work, "heard");
fs.mkdirSync(path.join(bench, ".git"), { recursive: true });
fs.writeFileSync(log, "job      bottom end\n");
const ear = path.join(work, "ear.sh");
fs.writeFileSync(ear, `tee '${heard}' > /dev/null\n`);

const version = (name) => JSON.parse(fs.readFileSync(path.join(HERE, "..", "node_modules", name, "package.json"), "utf8")).version;

/** The first message heard, with what belongs to this machine replaced. */
function first() {
  const bytes = fs.readFileSync(heard);
  const body = bytes.indexOf("\r\n\r\n") + 4;
  const length = Number(/Content-Length: (\d+)/i.exec(bytes.subarray(0, body))[1]);
  const { params } = JSON.parse(bytes.subarray(body, body + length));
  params.processId = "{PID}";
  const text = JSON.stringify(params, null, 2).replaceAll(pathToFileURL(bench).href, "{FOLDER_URI}").replaceAll(bench, "{FOLDER}").replace('"{PID}"', "null");
  return JSON.parse(text);
}

async function keep(name, client, how, run) {
  try {
    await run();
  } catch {
    // The editor is not content with a server that says nothing.
  }
  const file = path.join(HERE, `${name}.json`);
  fs.writeFileSync(file, `${JSON.stringify({ client, how, params: first() }, null, 1)}\n`);
  console.log(`${file} written`);
}

await keep("neovim-0.7", "Neovim 0.7.2", "recorded: vim.lsp.start_client with no capabilities of one's own", () => {
  const start = `lua vim.lsp.start_client({ name = "gudgeon", cmd = { "sh", "${ear}" }, root_dir = "${bench}" }); vim.defer_fn(function() vim.cmd("qa!") end, 1500)`;
  execFileSync("nvim", ["--headless", "--clean", log, "-c", start], { timeout: 10_000, stdio: "ignore" });
});
await keep("eglot-1.9", "Emacs 28.2 with eglot 1.9", "recorded: eglot in a mode of its own, no yasnippet, no markdown-mode", () => {
  const start = `(progn (require 'eglot) (define-derived-mode rebuild-mode prog-mode "Rebuild")
    (add-to-list 'eglot-server-programs '(rebuild-mode . ("sh" "${ear}"))) (find-file "${log}") (rebuild-mode)
    (setq eglot-connect-timeout 2) (ignore-errors (apply #'eglot (eglot--guess-contact))))`;
  execFileSync("emacs", ["-Q", "--batch", "-L", process.argv[2], "--eval", start], { timeout: 20_000, stdio: "ignore" });
});
await keep("vscode", `VS Code, vscode-languageclient ${version("vscode-languageclient")}`, "made by the library's own code over a stand-in for VS Code's API; not recorded in VS Code", async () => {
  vscode.workspace.workspaceFolders = [{ uri: vscode.Uri.file(bench), name: "bench", index: 0 }];
  const client = new languageclient.LanguageClient("gudgeon", "Gudgeon", { command: "sh", args: [ear] }, { documentSelector: [{ language: "rebuild" }, { language: "rebuild-manual" }] });
  client.start().catch(() => {});
  await new Promise((done) => setTimeout(done, 1000));
});
fs.rmSync(work, { recursive: true, force: true });
process.exit(0); // The library's client still waits for its server.
