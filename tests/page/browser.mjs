// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A program and a browser for the tests of the page.
//
//   GW_URL=http://127.0.0.1:8732/ node --test tests/page/      against a program that runs already
//   GW_BINARY=build/groundwright node --test tests/page/       starts one, with an empty store
//
// GW_CHROMIUM names another browser than /usr/bin/chromium; GW_SHOTS a folder that keeps the screenshots.
// Without a browser, a program or the packages of web/, the tests are skipped and say so.
import { spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";

const fromPage = createRequire(new URL("../../web/package.json", import.meta.url));
const CHROMIUM = process.env.GW_CHROMIUM ?? "/usr/bin/chromium";
const QUIET = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

function packages() {
  try {
    return { chromium: fromPage("playwright-core").chromium, axe: readFileSync(fromPage.resolve("axe-core/axe.min.js"), "utf8") };
  } catch {
    return null;
  }
}

/** Why these tests can't run here, or false. */
export function reasonToSkip() {
  if (packages() === null) return "the packages of web/ are not installed (npm ci in web/)";
  if (!existsSync(CHROMIUM)) return `no browser at ${CHROMIUM} (GW_CHROMIUM names another)`;
  if (process.env.GW_URL) return false;
  if (!process.env.GW_BINARY) return "neither GW_URL nor GW_BINARY is set";
  return existsSync(process.env.GW_BINARY) ? false : `no program at ${process.env.GW_BINARY}`;
}

function startProgram(folder) {
  const child = spawn(process.env.GW_BINARY, ["serve", "--port", "0", "--store", join(folder, "store.db")], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  return new Promise((resolve, reject) => {
    let said = "";
    const listen = (chunk) => {
      said += chunk;
      const found = /http:\/\/127\.0\.0\.1:\d+\//.exec(said);
      if (found !== null) resolve({ url: found[0], child });
    };
    child.stdout.on("data", listen);
    child.stderr.on("data", listen);
    child.on("exit", (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
    setTimeout(() => reject(new Error(`no address within 10 s: ${said}`)), 10000).unref();
  });
}

/** Program, browser and folder for one file of tests; `close` ends them. */
export async function open() {
  const { chromium, axe } = packages();
  const folder = mkdtempSync(join(tmpdir(), "gw-page-"));
  const shots = process.env.GW_SHOTS ?? folder;
  mkdirSync(shots, { recursive: true });
  const program = process.env.GW_URL ? { url: process.env.GW_URL, child: null } : await startProgram(folder);
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: QUIET });
  return {
    url: program.url,
    browser,
    axe,
    shots,
    async close() {
      await browser.close();
      if (program.child !== null) {
        program.child.removeAllListeners("exit");
        program.child.kill("SIGTERM");
        await new Promise((done) => program.child.once("exit", done));
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** A fresh page with the example job on it, answered; faults of scripts fail the test that asks `faults`. */
export async function sheet(world, options = {}) {
  const context = await world.browser.newContext({ viewport: { width: 1440, height: 900 }, locale: "en-CA", ...options });
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (e) => faults.push(e.message));
  page.on("console", (m) => {
    if (m.type() === "error") faults.push(m.text());
  });
  await page.goto(world.url);
  await page.waitForSelector(".answer .sentence");
  return { page, faults, close: () => context.close() };
}

/** Serious and critical findings of axe, one line each. */
export async function findings(world, page) {
  await page.evaluate(world.axe);
  const result = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  return result.violations
    .filter((v) => v.impact === "serious" || v.impact === "critical")
    .map(
      (v) =>
        `${v.id}: ${v.nodes
          .slice(0, 3)
          .map((n) => `${n.target.join(" ")} (${(n.any[0] ?? n.all[0] ?? n.none[0])?.message ?? ""})`)
          .join("; ")}`,
    );
}
