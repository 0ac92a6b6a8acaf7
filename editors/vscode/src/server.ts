// Where the server's program lies.
import { accessSync, constants, statSync } from "node:fs";
import { homedir } from "node:os";
import { delimiter, extname, isAbsolute, join, resolve } from "node:path";

/** Finds the program that a setting names: a name is looked for on the path, anything with a folder in it where it says. */
export function locate(setting: string, workspace: string | undefined): string | undefined {
  const named = setting.trim() || "gudgeon";
  if (!/[/\\]/.test(named)) {
    const folders = (process.env["PATH"] ?? "").split(delimiter).filter((folder) => isAbsolute(folder));
    return firstProgram(folders.map((folder) => join(folder, named)));
  }
  const path = named.startsWith("~/") ? join(homedir(), named.slice(2)) : resolve(workspace ?? homedir(), named);
  return firstProgram([path]);
}

/** The first of these that can be run. On Windows the ending of programs may be left out. */
function firstProgram(paths: string[]): string | undefined {
  const endings = process.platform === "win32" ? (process.env["PATHEXT"] ?? ".EXE").split(";") : [];
  const spelt = paths.flatMap((path) => (extname(path) ? [path] : [path, ...endings.map((ending) => path + ending)]));
  return spelt.find((path) => {
    try {
      accessSync(path, constants.X_OK);
      return statSync(path).isFile();
    } catch {
      return false;
    }
  });
}
