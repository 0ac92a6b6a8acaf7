// `vscode-languageclient` itself, run outside VS Code over the stand-in for its module `vscode`.

import { createRequire } from "node:module";
import Module from "node:module";
import path from "node:path";
import { HERE } from "./server.mjs";

const require = createRequire(import.meta.url);
const found = Module._resolveFilename;
Module._resolveFilename = function (request, ...more) {
  return request === "vscode" ? path.join(HERE, "vscode.cjs") : found.call(this, request, ...more);
};

export const vscode = require("vscode");
export const bench = vscode.__bench;
export const languageclient = require("vscode-languageclient/node");
