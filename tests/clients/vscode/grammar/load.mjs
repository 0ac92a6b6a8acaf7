// Loads a grammar of the extension as the editor does, and gives the tokens of a text line by line.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import textmate from "vscode-textmate";
import oniguruma from "vscode-oniguruma";

const require = createRequire(import.meta.url);
const syntaxes = new URL("../../../../editors/vscode/syntaxes/", import.meta.url);

export async function load(name) {
  await oniguruma.loadWASM(readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm")).buffer);
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async (scope) => {
      const path = fileURLToPath(new URL(`${scope.replace("source.", "")}.tmLanguage.json`, syntaxes));
      return textmate.parseRawGrammar(readFileSync(path, "utf8"), path);
    },
  });
  const grammar = await registry.loadGrammar(`source.${name}`);
  return {
    lines(source) {
      let stack = textmate.INITIAL;
      return source.split(/\r\n|\n|\r/).map((text) => {
        const { tokens, ruleStack } = grammar.tokenizeLine(text, stack);
        stack = ruleStack;
        return { text, tokens };
      });
    },
  };
}
