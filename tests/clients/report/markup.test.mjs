// The reports as markup: valid by html-validate's recommended rules, and with nothing in them that runs or is fetched. No browser.
import assert from "node:assert/strict";
import { test } from "node:test";
import { HtmlValidate, StaticConfigLoader } from "html-validate";
import { reports } from "./logs.mjs";

// A machine and its job together are longer than a search engine shows of a title; nobody searches the web for a report.
const rules = { "long-title": "off" };
const validate = new HtmlValidate(new StaticConfigLoader({ root: true, extends: ["html-validate:recommended", "html-validate:document"], rules }));

for (const { name, page } of reports()) {
  test(`${name}: valid markup`, async () => {
    const { results } = await validate.validateString(page, `${name}.html`);
    const said = results.flatMap(({ messages }) => messages.map((m) => `${name}.html:${m.line}:${m.column}: ${m.ruleId}: ${m.message}`));
    assert.equal(said.length, 0, said.slice(0, 20).join("\n"));
  });

  test(`${name}: nothing runs, nothing is fetched`, () => {
    const policy = /<meta http-equiv="Content-Security-Policy" content="([^"]*)">/.exec(page)?.[1];
    assert.ok(policy, `${name}: no policy`);
    const rules = new Map(policy.replaceAll("&#39;", "'").split(";").map((rule) => rule.trim().split(/ +/)).map(([rule, ...words]) => [rule, words.join(" ")]));
    assert.equal(rules.get("default-src"), "'none'", policy);
    assert.ok(!/unsafe|https?:|\*/.test(policy), `${name}: the policy is loose: ${policy}`);
    assert.ok(page.indexOf("Content-Security-Policy") < page.indexOf("<style"), `${name}: the policy stands behind what it is for`);
    // What stands in quotes is the text of an attribute; text of a log is escaped there and elsewhere, so that these can only be the page's own.
    const bare = page.replace(/="[^"]*"/g, '=""');
    for (const found of bare.matchAll(/<(script|iframe|object|embed|link|base|form)\b|<[a-z][^<>]*\s(style|on[a-z]+)\s*=/gi)) {
      assert.fail(`${name}: \`${bare.slice(found.index, found.index + 100)}\``);
    }
    for (const [, url] of page.matchAll(/<[a-z][^<>]*\s(?:src|href|data|action|xlink:href)="([^"]*)"/gi)) {
      assert.match(url, /^(#|data:image\/)/, `${name}: it points elsewhere`);
    }
  });
}
