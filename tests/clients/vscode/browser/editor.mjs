// The real editor, served on this machine alone and driven in a browser by its keys.
import { execFileSync, spawn } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

const here = fileURLToPath(new URL("..", import.meta.url));
const program = `${here}node_modules/.bin/code-server`;
const work = `${here}.work/`;

/** How long anything may take to be seen, in milliseconds. */
const PATIENCE = 30_000;

function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

export class Editor {
  /** Starts the editor on a folder, with the packaged extension and these settings of the machine that it runs on. */
  static async start(folder, vsix, settings) {
    const editor = new Editor();
    for (const name of ["user", "extensions", "profile"]) rmSync(work + name, { recursive: true, force: true });
    mkdirSync(`${work}user/User`, { recursive: true });
    mkdirSync(`${work}pictures`, { recursive: true });
    const user = {
      "workbench.startupEditor": "none",
      "workbench.tips.enabled": false,
      "workbench.enableExperiments": false,
      "telemetry.telemetryLevel": "off",
      "git.enabled": false,
      "security.workspace.trust.enabled": false,
      "extensions.autoUpdate": false,
      "extensions.autoCheckUpdates": false,
      "extensions.ignoreRecommendations": true,
      "chat.commandCenter.enabled": false,
      "editor.minimap.enabled": false,
      "editor.accessibilitySupport": "off",
      "files.autoSave": "off",
      "window.restoreWindows": "none",
    };
    writeFileSync(`${work}user/User/settings.json`, JSON.stringify(user));
    // Where a program lies is a setting of the machine, and a browser is another machine than the one that serves.
    mkdirSync(`${work}user/Machine`);
    writeFileSync(`${work}user/Machine/settings.json`, JSON.stringify(settings));
    editor.settings = settings;
    writeFileSync(`${work}config.yaml`, "auth: none\ncert: false\n");
    const port = await freePort();
    const words = ["--config", `${work}config.yaml`, "--user-data-dir", `${work}user`, "--extensions-dir", `${work}extensions`];
    const environment = { ...process.env, HOME: `${work}user`, XDG_CACHE_HOME: `${work}user/cache`, XDG_CONFIG_HOME: `${work}user/config` };
    execFileSync(program, [...words, "--install-extension", vsix], { env: environment, stdio: "pipe", timeout: 60_000 });
    editor.server = spawn(program, [...words, "--bind-addr", `127.0.0.1:${port}`, "--disable-telemetry", "--disable-update-check",
      "--disable-workspace-trust", "--disable-getting-started-override"], { env: environment, stdio: ["ignore", "pipe", "pipe"], detached: true });
    // Whoever ends this process ends the editor with it.
    for (const signal of ["SIGTERM", "SIGINT"]) process.once(signal, () => editor.end(() => process.exit(1)));
    editor.said = "";
    for (const stream of [editor.server.stdout, editor.server.stderr]) stream.on("data", (data) => (editor.said += data));
    await until(() => editor.said.includes("HTTP server listening"), () => `the editor did not start: ${editor.said}`);
    editor.browser = await chromium.launchPersistentContext(`${work}profile`, {
      executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
      viewport: { width: 1500, height: 950 },
      locale: "en-GB",
      args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync"],
    });
    editor.page = editor.browser.pages()[0] ?? (await editor.browser.newPage());
    editor.page.setDefaultTimeout(PATIENCE);
    await editor.page.goto(`http://127.0.0.1:${port}/?folder=${encodeURIComponent(folder)}`);
    await editor.page.waitForSelector(".monaco-workbench .explorer-folders-view .monaco-list-row");
    return editor;
  }

  async stop() {
    await this.browser?.close();
    this.end();
  }

  /** Ends the editor and the processes that it started, which are of its group. */
  end(then = () => {}) {
    try {
      if (this.server?.pid) process.kill(-this.server.pid, "SIGTERM");
    } catch {
      // It is gone already.
    }
    then();
  }

  press(...keys) {
    return keys.reduce((before, key) => before.then(() => this.page.keyboard.press(key)), Promise.resolve());
  }

  /** Opens the line that asks for something by a key. A list or a peek that is just closing may take the key, or the focus back; then it is pressed again, as anybody would. */
  async asked(key) {
    const input = this.page.locator(".quick-input-widget input.input");
    for (let tries = 1; ; tries++) {
      await this.press(key);
      try {
        await input.waitFor({ timeout: 3000 });
        await this.page.waitForTimeout(100);
        if (await input.isVisible()) return input;
      } catch (error) {
        if (tries === 6) throw error;
      }
      await this.press("Escape");
      await this.focusText();
    }
  }

  /** Carries out a command by its name in the palette. */
  async command(name) {
    const input = await this.asked("F1");
    await input.fill(`>${name}`);
    await this.page.locator(".quick-input-list .monaco-list-row", { hasText: name }).first().waitFor();
    await this.press("Enter");
  }

  /** Opens a file of the folder's top. */
  async open(name) {
    await this.page.locator(".explorer-folders-view .monaco-list-row", { hasText: name }).first().dblclick();
    await this.page.locator(".tab.active", { hasText: name }).waitFor();
    await this.focusText();
  }

  /** Puts the keys into the first group of texts. */
  focusText() {
    return this.press("Control+1");
  }

  /** Puts the cursor on a line, counted from 1, and a column. */
  async goTo(line, column = 1) {
    const input = await this.asked("Control+g");
    await input.fill(`:${line}:${column}`);
    await this.press("Enter");
    await input.waitFor({ state: "hidden" });
  }

  type(text) {
    return this.page.keyboard.type(text, { delay: 15 });
  }

  async save() {
    await this.press("Control+s");
    await this.page.locator(".tab.active.dirty").waitFor({ state: "detached" });
  }

  async showProblems() {
    if (!(await this.page.locator(".markers-panel").isVisible())) await this.command("View: Focus Problems");
    await this.page.locator(".markers-panel").waitFor();
  }

  /** What the list of problems shows: one text for each finding, and those that lie below the edge left out. */
  async problems() {
    const rows = await this.page.locator(".markers-panel .monaco-list-row .marker-message-details-container").allInnerTexts();
    return rows.map((row) => row.replace(/\s+/g, " ").trim());
  }

  /** How many findings the list of problems counts. */
  async problemCount() {
    const badges = await this.page.locator(".markers-panel .monaco-list-row .monaco-count-badge").allInnerTexts();
    return badges.reduce((sum, badge) => sum + Number(badge), 0);
  }

  /** Shows only the problems with these words, and waits for there to be some, or none. */
  async findProblem(words, there = true) {
    const filter = this.page.locator(".pane-composite-part input[placeholder^='Filter']").first();
    await filter.fill(words);
    let seen = [];
    await until(
      async () => (seen = await this.problems()).some((row) => row.includes(words)) === there,
      () => `\`${words}\` ${there ? "is not" : "is still"} among the problems; they are:\n${seen.join("\n")}`,
    );
    await filter.fill("");
    await this.focusText();
    return seen.find((row) => row.includes(words));
  }

  /** The texts of what is drawn by this selector, once there is any. */
  async texts(selector) {
    await this.page.locator(selector).first().waitFor();
    return (await this.page.locator(selector).allInnerTexts()).map((text) => text.replace(/\s+/g, " ").trim());
  }

  /** Writes the machine's settings as a user does. */
  async writeSettings(settings) {
    await this.command("Preferences: Open Remote Settings (JSON)");
    await this.page.locator(".tab.active", { hasText: "settings.json" }).waitFor();
    const text = JSON.stringify(settings);
    // A tab is there a moment before its text takes keys.
    await until(
      async () => {
        await this.focusText();
        await this.press("Control+a");
        await this.page.keyboard.insertText(text);
        await new Promise((resolve) => setTimeout(resolve, 400));
        return (await this.page.locator(".tab.active.dirty").count()) > 0;
      },
      () => "the settings take no keys",
    );
    await this.save();
  }

  picture(name) {
    return this.page.screenshot({ path: `${work}pictures/${name}.png` });
  }
}

/** Waits until something holds, and fails with what is wrong if it does not. */
export async function until(holds, wrong, patience = PATIENCE) {
  const end = Date.now() + patience;
  for (;;) {
    if (await holds()) return;
    if (Date.now() > end) throw new Error(wrong());
    await new Promise((resolve) => setTimeout(resolve, 150));
  }
}
