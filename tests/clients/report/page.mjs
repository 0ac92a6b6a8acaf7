// A report in the browser, with an eye on everything it asks for and complains about.
import { rmSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { work } from "./logs.mjs";

/** The ways a report is looked at. */
export const LOOKS = {
  screen: { viewport: { width: 1280, height: 900 }, colorScheme: "light" },
  dark: { viewport: { width: 1280, height: 900 }, colorScheme: "dark" },
  phone: { viewport: { width: 390, height: 844 }, colorScheme: "light" },
};

export function browser() {
  rmSync(`${work}profile`, { recursive: true, force: true });
  return chromium.launch({
    executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
    args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

/** Opens a report in a look, and hands it to `act` with what it asked for and what was said of it. */
export async function shown(browser, report, look, act, options = {}) {
  const context = await browser.newContext({ ...look, locale: "en-GB", ...options });
  try {
    const page = await context.newPage();
    const url = pathToFileURL(report.path).href;
    const trouble = [];
    page.on("request", (request) => {
      if (request.url() !== url && !request.url().startsWith("data:image/")) trouble.push(`it asked for ${request.url().slice(0, 200)}`);
    });
    // What a policy refuses is said on the console too.
    page.on("console", (message) => ["error", "warning"].includes(message.type()) && trouble.push(`the console: ${message.text()}`));
    page.on("pageerror", (error) => trouble.push(`an error: ${error.message}`));
    await page.addInitScript(() => {
      window.__refused = [];
      document.addEventListener("securitypolicyviolation", (event) => window.__refused.push(`${event.violatedDirective}: ${event.blockedURI || event.sample}`));
    });
    await page.goto(url);
    return await act(page, trouble);
  } finally {
    await context.close();
  }
}
