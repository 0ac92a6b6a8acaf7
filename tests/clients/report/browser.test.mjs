// The reports in a real browser: what it shows, asks for and prints, and what a log full of markup makes of it.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { HOSTILE_NAMES, HOSTILE_TEXTS, head, reports, work } from "./logs.mjs";
import { LOOKS, browser, shown } from "./page.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];

/** The cautions that every report ends with; they must be on paper too. */
const CAUTIONS = [/can maim/, /workshop manual, .*local codes and licensed practice come first/];

/** The most pixels of one picture, and the most pages that are drawn of one print. */
const TALL = 15_000;
const PAGES = 8;

rmSync(`${work}pictures`, { recursive: true, force: true });
mkdirSync(`${work}pictures`, { recursive: true });
const all = reports();
const most = Math.max(...all.map(({ size }) => size));
/** The names of the elements of each report. */
const names = new Map();
let chromium;
before(async () => (chromium = await browser()));
after(() => chromium?.close());

/** Text as it is compared: blanks folded, and signs that turn the direction or combine left out, which a report may show by others. */
const plain = (text) => text.replace(/[\s\u202a-\u202e\u2066-\u2069\ufffd]+/g, " ").trim();

for (const report of all) {
  const { name } = report;
  const checked = (what, act) => test(`${name}: ${what}`, { timeout: 120_000 }, act);

  for (const [look, settings] of Object.entries(LOOKS)) {
    checked(`${look}: asks for nothing, complains of nothing, keeps its width, is for everybody`, () =>
      shown(chromium, report, settings, async (page, trouble) => {
        const [wanted, width, height] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth, document.documentElement.scrollHeight]);
        await page.screenshot({ path: `${work}pictures/${name}-${look}.png`, fullPage: height < TALL });
        trouble.push(...(await page.evaluate(() => window.__refused)).map((refused) => `the policy refused ${refused}`));
        if (wanted > width) trouble.push(`${wanted} pixels wide in ${width}: ${await wide(page)}`);
        // Of the largest, the rules take minutes; its markup is that of the others.
        if (report.size < most || all.length === 1) trouble.push(...(await barriers(page)));
        assert.deepEqual(trouble, [], `${name} in ${look}`);
      }));
  }

  checked("the same without scripts", async () => {
    const read = (page) => page.evaluate(() => [document.body.innerText, document.documentElement.scrollHeight]);
    const withScripts = await shown(chromium, report, LOOKS.screen, read);
    const without = await shown(chromium, report, LOOKS.screen, read, { javaScriptEnabled: false });
    assert.ok(withScripts[0].length > 100, `${name}: hardly any text`);
    assert.deepEqual(without, withScripts, name);
  });

  // What is long takes half a minute for each paper.
  for (const format of report.size === most ? ["A4"] : ["A4", "Letter"]) {
    checked(`printed on ${format}`, async () => {
      const file = `${work}pages/${name}-${format}`;
      writeFileSync(`${file}.pdf`, await shown(chromium, report, LOOKS.screen, (page) => page.pdf({ format, printBackground: true })));
      const told = execFileSync("pdfinfo", [`${file}.pdf`], { encoding: "utf8" });
      const pages = Number(/^Pages: +(\d+)/m.exec(told)?.[1]);
      assert.ok(pages > 0, `${name}: no page: ${told}`);
      const [width, height] = /^Page size: +([\d.]+) x ([\d.]+)/m.exec(told).slice(1).map(Number);
      const paper = { A4: [595, 842], Letter: [612, 792] }[format];
      assert.ok(Math.abs(width - paper[0]) < 2 && Math.abs(height - paper[1]) < 2, `${name}: ${width} x ${height} is not ${format}`);
      execFileSync("pdftoppm", ["-r", "60", "-png", "-l", String(PAGES), `${file}.pdf`, `${work}pictures/${name}-${format}`]);
      // A line that is broken on paper is one text.
      const text = plain(execFileSync("pdftotext", [`${file}.pdf`, "-"], { encoding: "utf8", maxBuffer: 1 << 28 }));
      const machine = plain(head(report.log, "machine"));
      assert.ok(text.replaceAll(" ", "").includes(machine.replaceAll(" ", "")), `${name} on ${format} does not name the machine ${machine}: ${text.slice(0, 300)}`);
      for (const caution of CAUTIONS) assert.match(text, caution, `${name} on ${format} lacks a caution`);
      console.log(`# ${name} on ${format}: ${pages} pages; the report has ${Math.round(report.size / 1024)} KiB`);
    });
  }

  checked("text of the log is text, and keeps its direction to itself", () =>
    shown(chromium, report, LOOKS.screen, async (page) => {
      names.set(report, await page.evaluate(() => [...document.querySelectorAll("*")].map((element) => element.localName)));
      const found = await page.evaluate(live, HOSTILE_NAMES);
      assert.deepEqual(found, { hit: undefined, live: [], turning: [] }, name);
    }));
}

const hostile = all.find(({ name }) => name === "hostile");
const samples = all.filter(({ isSample }) => isSample);

if (hostile) {
  test("hostile: every text is shown as it was written", () =>
    shown(chromium, hostile, LOOKS.screen, async (page) => {
      const text = plain(await page.evaluate(() => document.body.textContent)).toLowerCase();
      const lost = Object.entries(HOSTILE_TEXTS).filter(([, words]) => !text.includes(plain(words).toLowerCase()));
      assert.deepEqual(lost, []);
    }));
}

const photographed = all.find(({ name }) => name === "nothing");

if (photographed) {
  test("nothing: its photo stands in the page", () =>
    shown(chromium, photographed, LOOKS.screen, async (page) => {
      const photos = await page.evaluate(() => [...document.images].map((image) => [image.src.slice(0, 11), image.naturalWidth, image.alt !== ""]));
      assert.deepEqual(photos, [["data:image/", 1, true]]);
    }));
}

if (hostile && samples.length > 0) {
  test("hostile: its elements are those of the samples' reports", () => {
    const known = new Set(samples.flatMap((sample) => names.get(sample)));
    assert.deepEqual(names.get(hostile).filter((name) => !known.has(name)), []);
  });
}

/** In the page: what came alive of a log, and text that may turn its neighbours, since the element it stands in is no isolate. A `text` of a drawing is one by itself. */
function live({ elements, attributes }) {
  const said = (element) => element.outerHTML.slice(0, 160);
  const isForeign = (element) =>
    elements.includes(element.localName) ||
    [...element.attributes].some(({ name, value }) => attributes.includes(name) || name === "style" || name.startsWith("on") || /^\s*javascript:/i.test(value));
  // Hebrew, Arabic and what is written like them; and the signs that set a direction.
  const turns = /[\u0590-\u08ff\u200f\u202a-\u202e\u2066-\u2069\ufb1d-\ufefc]/;
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const turning = [];
  while (texts.nextNode()) {
    const element = texts.currentNode.parentElement;
    const isAlone = element instanceof SVGTextElement && element.childNodes.length === 1;
    if (turns.test(texts.currentNode.data) && !isAlone && !/^(isolate|isolate-override|plaintext)$/.test(getComputedStyle(element).unicodeBidi)) turning.push(said(element));
  }
  return { hit: window.__hit, live: [...document.querySelectorAll("*")].filter(isForeign).map(said), turning };
}

/** What keeps somebody from reading the page, by axe. */
async function barriers(page) {
  await page.evaluate(axe);
  const { violations, passes } = await page.evaluate((values) => window.axe.run(document, { runOnly: { type: "tag", values }, resultTypes: ["violations"] }), RULES);
  assert.ok(passes.length > 10, `only ${passes.length} rules were tried`);
  return violations.flatMap(({ id, help, nodes }) => nodes.slice(0, 3).map((node) => `${id}: ${help}: ${node.html.slice(0, 160)} ${node.failureSummary}`));
}

/** The elements that stand out to the right. */
function wide(page) {
  return page.evaluate(() => {
    const edge = document.documentElement.clientWidth;
    const out = [...document.querySelectorAll("body *")].filter((element) => element.getBoundingClientRect().right > edge + 1);
    return out.slice(0, 5).map((element) => element.outerHTML.slice(0, 120)).join("\n");
  });
}
