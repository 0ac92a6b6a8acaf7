// A morning at the bench in the real editor: a log with mistakes is opened, one more is written and seen, one is mended by its fix.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, mkdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { Editor, until } from "./editor.mjs";

const root = fileURLToPath(new URL("../../../../", import.meta.url));
const gudgeon = process.env.GUDGEON;
const LOG = "haldrow-hx3-axle.rebuild";

let folder;
let editor;

before(async () => {
  assert.ok(gudgeon, "GUDGEON must name the program");
  folder = mkdtempSync(join(tmpdir(), "bench-"));
  mkdirSync(join(folder, "manuals"));
  cpSync(`${root}samples/as-written/${LOG}`, join(folder, LOG));
  cpSync(`${root}samples/manuals/haldrow-hx3.manual`, join(folder, "manuals/haldrow-hx3.manual"));
  editor = await Editor.start(folder, `${root}editors/vscode/gudgeon.vsix`, { "gudgeon.server.path": gudgeon });
}, { timeout: 120_000 });

after(async () => {
  await editor?.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** One thing that is done and seen. What the screen shows is kept, most of all when it is not what it should be. */
let number = 0;
let begun = false;
function seen(name, act) {
  test(name, { timeout: 90_000 }, async () => {
    number += 1;
    assert.ok(begun || number === 1, "not tried, since the log could not be opened as it should");
    const picture = `${number}-${name.replace(/[^a-z]+/gi, "-").slice(0, 50)}`;
    try {
      await act();
      begun = true;
    } finally {
      await editor?.picture(picture);
    }
  });
}

/** The line of the log, counted from 1, that begins so; the last of them. */
function lineOf(start) {
  return readFileSync(join(folder, LOG), "utf8").split("\n").findLastIndex((line) => line.startsWith(start)) + 1;
}

seen("the findings of a log are those that the command prints", async () => {
  await editor.open(LOG);
  await editor.showProblems();
  const printed = spawnSync(gudgeon, ["inspect", "--as", "line", folder], { encoding: "utf8" }).stdout.trim().split("\n");
  assert.ok(printed.length >= 4, printed.join("\n"));
  let count = 0;
  await until(async () => (count = await editor.problemCount()) === printed.length, () => `${count} findings instead of ${printed.length}`);
  for (const line of printed) {
    const message = line.replace(/^.*?\]: ?|^.*?\] /, "").slice(0, 40);
    await editor.findProblem(message);
  }
});

seen("words have colours", async () => {
  const colours = await editor.page.locator(".view-line span[class^='mtk']").evaluateAll(
    (words) => [...new Set(words.map((word) => getComputedStyle(word).color))],
  );
  assert.ok(colours.length >= 4, `only ${colours.join(" ")}`);
});

seen("a bad reading is found as it is typed", async () => {
  await editor.focusText();
  await editor.goTo(lineOf("did seat bearings"), 1000);
  await editor.press("Enter");
  await editor.type("backlash at nose = 0.85 mm by dial");
  await editor.press("Escape");
  const row = await editor.findProblem("backlash at nose is 0.85 mm");
  assert.match(row, /0\.65 mm over.*limit\.out/);
});

seen("the bubble over a reading shows its limit", async () => {
  await editor.goTo(lineOf("did seat bearings") + 1, 3);
  await editor.press("Control+k", "Control+i");
  const bubble = (await editor.texts(".monaco-hover:not(.hidden) .hover-contents, .monaco-hover:not(.hidden) .rendered-markdown")).join(" ");
  assert.match(bubble, /0\.13.*0\.20/);
  // It fades in.
  await new Promise((resolve) => setTimeout(resolve, 500));
  await editor.picture(`${number}-the-bubble`);
  await editor.press("Escape");
});

seen("a fix mends a sum by a line under it", async () => {
  await editor.goTo(lineOf("side shim at left = 2.05 - 0.19") , 38);
  await editor.press("Control+.");
  const actions = await editor.texts(".action-widget .monaco-list-row.action");
  const wanted = actions.findIndex((action) => action.includes("1.86"));
  assert.ok(wanted >= 0, `no fix writes 1.86: ${actions.join(" | ")}`);
  await editor.picture(`${number}-the-fixes`);
  await editor.press(...Array(wanted).fill("ArrowDown"), "Enter");
  await editor.findProblem("is 1.86, not 1.76", false);
  await editor.save();
  assert.match(readFileSync(join(folder, LOG), "utf8"), /^fix side shim at left 1\.76 -> 1\.86 mm, /m);
});

seen("what may follow is proposed", async () => {
  await editor.goTo(lineOf("did fill axle oil"), 1000);
  await editor.press("Enter");
  await editor.type("did ");
  await editor.press("Control+Space");
  const proposals = await editor.texts(".suggest-widget.visible .monaco-list-row");
  assert.ok(proposals.some((proposal) => /run axle|seat bearings|prime|fit /.test(proposal)), proposals.join(" | "));
  await editor.picture(`${number}-the-proposals`);
  await editor.press("Escape", "Control+z", "Control+z");
});

seen("verdicts stand beside the readings", async () => {
  await editor.goTo(lineOf("pinion drag"), 1);
  const written = new Set(readFileSync(join(folder, LOG), "utf8").split("\n"));
  // What is shown on a line but stands in none of the file's is a hint.
  const hints = async () => {
    const lines = (await editor.page.locator(".view-lines").first().innerText()).replaceAll("\u00a0", " ").split("\n");
    return lines.filter((line) => !written.has(line) && [...written].some((start) => start.includes(" = ") && line.startsWith(start)));
  };
  let found = [];
  await until(async () => (found = await hints()).length > 0, () => "no hint is shown");
});

seen("above the job stands what is owed, and a click tells more", async () => {
  await editor.goTo(1);
  const lens = editor.page.locator(".codelens-decoration a").first();
  const findings = await editor.problemCount();
  let said = "";
  await until(async () => (said = (await lens.innerText()).replaceAll("\u00a0", " ")).includes(`${findings} finding`), () => `${findings} findings, but above the job stands \`${said}\``);
  await lens.click();
  await editor.page.locator(".peekview-widget .monaco-list-row").first().waitFor();
  await editor.picture(`${number}-after-the-click`);
  await editor.press("Escape");
});

seen("what comes next stands beside the log", async () => {
  await editor.page.locator(".tab", { hasText: LOG }).first().click();
  await editor.focusText();
  await editor.command("Gudgeon: What comes next");
  await editor.page.locator(".tab", { hasText: `next: ${LOG}` }).waitFor();
  await until(async () => /side\spreload/.test(await editor.page.locator(".editor-group-container .view-lines").last().innerText()), () => "the page of what comes next is empty");
});

seen("a new log is written from a manual", async () => {
  await editor.command("Gudgeon: New log from a manual");
  const input = editor.page.locator(".quick-input-widget input.input");
  await editor.page.locator(".quick-input-list .monaco-list-row", { hasText: "haldrow-hx3" }).waitFor();
  await input.fill("haldrow-hx3");
  await editor.press("Enter");
  const text = () => editor.page.locator(".editor-group-container.active .view-lines").first().innerText();
  let written = "";
  await until(async () => /manual\s+haldrow-hx3/.test((written = (await text()).replace(/\u00a0/g, " "))), () => `the new log holds: ${written}`);
  assert.match(written, /job/);
});

seen("a program that is not there is named, with the way to put it right", async () => {
  await editor.writeSettings({ ...editor.settings, "gudgeon.server.path": "/nowhere/gudgeon" });
  const message = editor.page.locator(".notification-toast", { hasText: "/nowhere/gudgeon" }).first();
  await message.waitFor();
  assert.match(await message.innerText(), /nothing is judged/);
  await message.locator("a, .monaco-button", { hasText: "Open the setting" }).first().waitFor();
  await editor.picture(`${number}-the-message`);
  await editor.writeSettings(editor.settings);
  await until(async () => (await editor.problemCount()) > 3, () => "the findings do not come back with the program");
});
