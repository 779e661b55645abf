// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The page as a user meets it, in a real browser against the real program.
import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { statSync } from "node:fs";
import { join } from "node:path";
import { findings, open, reasonToSkip, sheet } from "./browser.mjs";

const skip = reasonToSkip();
if (skip) {
  console.log(`page tests skipped: ${skip}`);
}

const sentence = (page, line) => page.textContent(`.line-${line} .sentence`);
const settled = (page, line, old) =>
  page.waitForFunction(([l, o]) => document.querySelector(`.line-${l} .sentence`)?.textContent !== o, [line, old]);
const field = (page, path) => page.locator(`[data-path="${path}"] input`);

describe("the page", { skip }, () => {
  let world;
  before(async () => {
    world = await open();
  });
  after(async () => {
    await world?.close();
  });

  for (const [name, width, height] of [
    ["desk", 1440, 900],
    ["tablet", 1024, 768],
    ["phone", 390, 844],
  ]) {
    test(`answers on a ${name} without overflowing sideways`, async () => {
      const { page, faults, close } = await sheet(world, { viewport: { width, height }, hasTouch: width < 1200 });
      assert.equal(await page.locator(".answer .line").count(), 5);
      assert.match(await sentence(page, "water"), /°C in \w+ of year \d+/);
      assert.ok((await page.evaluate(() => document.documentElement.scrollWidth)) <= width);
      const shot = join(world.shots, `sheet-${width}.png`);
      await page.screenshot({ path: shot });
      assert.ok(statSync(shot).size > 10000);
      assert.deepEqual(faults, []);
      await close();
    });
  }

  for (const scheme of ["light", "dark"]) {
    test(`has no serious fault of accessibility in ${scheme}`, async () => {
      const { page, close } = await sheet(world, { colorScheme: scheme });
      assert.deepEqual(await findings(world, page), []);
      for (const picture of ["Loops", "Water", "House loss", "Cost", "Checks"]) {
        await page.click(`.picture-tabs button:has-text("${picture}")`);
        assert.deepEqual(await findings(world, page), [], picture);
      }
      for (const stage of ["Site", "House", "Heat pump", "Loops", "Cost"]) {
        await page.click(`.stage:has-text("${stage}")`);
        assert.deepEqual(await findings(world, page), [], stage);
      }
      await page.click(".line-settle button");
      assert.deepEqual(await findings(world, page), [], "why");
      await page.click(".jobs-button");
      await page.waitForSelector("dialog.jobs[open]");
      assert.deepEqual(await findings(world, page), [], "jobs");
      await page.click('.begin button:has-text("First visit")');
      await page.waitForSelector(".spread-row");
      assert.deepEqual(await findings(world, page), [], "first visit");
      await page.click('button:has-text("Back to the sheet")');
      await page.click('button:has-text("Present")');
      await page.waitForSelector(".slide");
      assert.deepEqual(await findings(world, page), [], "presentation");
      await close();
    });
  }

  test("has no serious fault of accessibility on a phone, with inputs open and one of them wrong", async () => {
    const { page, close } = await sheet(world, { viewport: { width: 390, height: 844 }, hasTouch: true });
    assert.deepEqual(await findings(world, page), []);
    await page.click('.stage:has-text("House")');
    await field(page, "house.floor_area_m2").fill("-3");
    await page.waitForSelector(".stale-note", { state: "attached" });
    assert.deepEqual(await findings(world, page), []);
    await close();
  });

  test("on a tablet everything to be touched is at least 44 points high", async () => {
    const { page, close } = await sheet(world, { viewport: { width: 1024, height: 768 }, hasTouch: true });
    await page.click('.stage:has-text("House")');
    const small = await page.evaluate(() =>
      [...document.querySelectorAll("button:not(.link), input:not(.unseen), select, summary")]
        .filter((e) => e.getClientRects().length > 0 && e.closest(".estimate") === null)
        .map((e) => [e.textContent.trim() || e.getAttribute("aria-label") || e.id, Math.round(e.getBoundingClientRect().height)])
        .filter(([, high]) => high < 44),
    );
    assert.deepEqual(small, []);
    await close();
  });

  test("an edit changes the answer, undo brings it back, redo repeats it", async () => {
    const { page, faults, close } = await sheet(world);
    const first = await sentence(page, "loop");
    await page.click('.stage:has-text("Limits")');
    await field(page, "limits.min_entering_degc").fill("-1");
    await settled(page, "loop", first);
    const second = await sentence(page, "loop");
    assert.notEqual(second, first);
    await page.keyboard.press("Control+z");
    await settled(page, "loop", second);
    assert.equal(await sentence(page, "loop"), first);
    await page.keyboard.press("Shift+Control+z");
    await settled(page, "loop", first);
    assert.equal(await sentence(page, "loop"), second);
    assert.deepEqual(faults, []);
    await close();
  });

  test("a quantity may be typed with its unit", async () => {
    const { page, close } = await sheet(world);
    await page.click('.stage:has-text("Site")');
    const input = field(page, "site.entry_distance_m");
    await input.fill("100 ft");
    await input.blur();
    await page.waitForFunction(() => document.querySelector('[data-path="site.entry_distance_m"] input')?.value === "30.48");
    await page.waitForFunction(() => document.querySelector(".plan")?.textContent.includes("30.5"));
    await close();
  });

  test("a bad input is said beside its field, the last good answer stays, and mending it clears both", async () => {
    const { page, close } = await sheet(world);
    const good = await sentence(page, "loop");
    await page.click('.stage:has-text("House")');
    const input = field(page, "house.floor_area_m2");
    const was = await input.inputValue();
    await input.fill("-3");
    const fault = page.locator('[data-path="house.floor_area_m2"] .fault');
    await fault.waitFor();
    assert.match(await fault.textContent(), /expected/);
    assert.equal(await input.getAttribute("aria-invalid"), "true");
    assert.match(await page.textContent('.stage:has-text("House") .stage-status'), /1 to settle/);
    assert.equal(await sentence(page, "loop"), good);
    await page.waitForSelector(".stale-note");
    await input.fill(was);
    await fault.waitFor({ state: "detached" });
    await page.waitForSelector(".stale-note", { state: "detached" });
    await close();
  });

  test("one toggle turns every printed number to feet, degrees Fahrenheit and back", async () => {
    const { page, close } = await sheet(world);
    const metric = await sentence(page, "water");
    await page.click('.switch button:has-text("feet")');
    const text = await page.evaluate(() =>
      [".answer", ".plan", ".section", ".strip"].map((s) => document.querySelector(s)?.textContent).join(" "),
    );
    assert.match(text, /°F/);
    assert.match(text, /\d ft/);
    assert.doesNotMatch(text, /\d\s?m\b/);
    assert.doesNotMatch(await sentence(page, "water"), /°C/);
    await page.click('.switch button:has-text("metric")');
    assert.equal(await sentence(page, "water"), metric);
    await close();
  });

  test("the curve is a slider for the keyboard, and moves the lot", async () => {
    const { page, close } = await sheet(world);
    const slider = page.locator("[role=slider]");
    await slider.focus();
    await page.keyboard.press("Home");
    assert.match(await slider.getAttribute("aria-valuetext"), /of year 1:/);
    const note = await page.textContent(".plan-note");
    await page.keyboard.press("PageUp");
    assert.match(await slider.getAttribute("aria-valuetext"), /of year 2:/);
    await page.keyboard.press("ArrowRight");
    assert.notEqual(await page.textContent(".plan-note"), note);
    await close();
  });

  test("a keyboard alone reaches the stages, an input and the answers", async () => {
    const { page, close } = await sheet(world);
    const seen = new Set();
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press("Tab");
      seen.add(
        await page.evaluate(
          () =>
            document.activeElement?.closest(".topbar, .stages, .drawing, .answer, .strip")?.className.split(" ")[0] ?? "outside",
        ),
      );
    }
    for (const part of ["topbar", "stages", "drawing", "answer", "strip"]) {
      assert.ok(seen.has(part), part);
    }
    await page.focus('.stage:has-text("Limits")');
    await page.keyboard.press("Enter");
    await page.waitForSelector(".inputs:focus"); // the panel takes the focus once it is drawn
    assert.equal(await page.evaluate(() => document.activeElement?.className), "inputs");
    await page.keyboard.press("Tab");
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement?.tagName), "INPUT");
    await page.keyboard.press("Escape");
    await page.waitForSelector(".inputs", { state: "detached" });
    assert.equal(await page.locator(".inputs").count(), 0);
    await close();
  });

  test("parts can be added and removed, and a loop joins the comparison", async () => {
    const { page, close } = await sheet(world);
    await page.click('.stage:has-text("House")');
    const parts = page.locator(".inputs .item");
    const before = await parts.count();
    await page.click('button:has-text("Add a part")');
    assert.equal(await parts.count(), before + 1);
    await page.keyboard.press("Control+z");
    await page.waitForFunction((n) => document.querySelectorAll(".inputs .item").length === n, before);
    await page.click('.stage:has-text("Loops")');
    await page.click('button:has-text("Add a loop")');
    await page.waitForFunction(() => document.querySelectorAll(".compare thead .choose").length === 3);
    await close();
  });

  test("a job is saved, changed, restored, copied, hidden, and opened again after a reload", async () => {
    const { page, faults, close } = await sheet(world);
    await page.fill(".job-title", "Test house");
    await page.click('button:has-text("Save")');
    await page.waitForFunction(() => document.querySelector(".job-state")?.textContent === "revision 1");
    await page.fill(".job-title", "Test house, changed");
    assert.match(await page.textContent(".job-state"), /changed since revision 1/);
    await page.keyboard.press("Control+s");
    await page.waitForFunction(() => document.querySelector(".job-state")?.textContent === "revision 2");
    await page.reload();
    await page.waitForSelector(".answer .sentence");
    assert.equal(await page.inputValue(".job-title"), "Test house, changed");
    await page.click(".jobs-button");
    await page.fill('input[type="search"]', "test HOUSE");
    const row = page.locator(".job-row", { hasText: "Test house, changed" }).first();
    await row.locator('button:has-text("Revisions")').click();
    await row.locator('button:has-text("Restore")').click();
    await page.waitForFunction(() => document.querySelector(".job-title")?.value === "Test house");
    await page.click(".jobs-button");
    await page.locator(".job-row", { hasText: "Test house" }).first().locator('button:has-text("Copy")').click();
    await page.waitForFunction(() => document.querySelector(".job-title")?.value === "Test house (copy)");
    await page.click(".jobs-button");
    const copy = page.locator(".job-row", { hasText: "(copy)" });
    await copy.locator('button:has-text("Hide")').click();
    await copy.waitFor({ state: "detached" });
    assert.deepEqual(faults, []);
    await close();
  });

  test("a revision saved elsewhere is not overwritten unasked", async () => {
    const { page, close } = await sheet(world);
    await page.click(".jobs-button");
    await page.click('.begin button:has-text("New job")');
    await page.waitForFunction(() => document.querySelector(".job-title")?.value === "New job");
    await page.click('button:has-text("Save")');
    await page.waitForFunction(() => document.querySelector(".job-state")?.textContent === "revision 1");
    await page.evaluate(async () => {
      const { jobs } = await (await fetch("/api/jobs?search=New+job")).json();
      const { job } = await (await fetch(`/api/jobs/${jobs[0].id}`)).json();
      await fetch(`/api/jobs/${jobs[0].id}`, {
        method: "PUT",
        headers: { "Content-Type": "application/json", "If-Match": "*" },
        body: JSON.stringify({ ...job, notes: "from elsewhere" }),
      });
    });
    await page.fill(".job-title", "New job, mine");
    await page.click('.tools button:has-text("Save")');
    await page.waitForSelector(".conflict");
    await page.click('.conflict button:has-text("Save mine on top")');
    await page.waitForFunction(() => document.querySelector(".job-state")?.textContent === "revision 3");
    await close();
  });

  test("a first visit gives an estimate with a spread that known answers narrow", async () => {
    const { page, close } = await sheet(world);
    await page.click(".jobs-button");
    await page.click('.begin button:has-text("First visit")');
    await page.waitForSelector(".spread-row");
    const spread = () => page.evaluate(() => parseFloat(document.querySelector(".spread-row .span").style.width));
    const wide = await spread();
    await page.click('.option:has-text("1976 to 1990")');
    await page.waitForFunction((w) => parseFloat(document.querySelector(".spread-row .span").style.width) < w, wide);
    await page.click('button:has-text("Open it on the sheet")');
    await page.waitForSelector(".answer .sentence");
    assert.equal(await page.inputValue(".job-title"), "First visit");
    await close();
  });

  test("the presentation steps by arrow keys and has no inputs", async () => {
    const { page, close } = await sheet(world);
    await page.click('button:has-text("Present")');
    const titles = [];
    for (let i = 0; i < 5; i++) {
      await page.waitForSelector(`.dots li:nth-child(${i + 1}) [aria-current]`, { state: "attached" });
      titles.push(await page.textContent(".slide h1"));
      await page.keyboard.press("ArrowRight");
    }
    assert.equal(new Set(titles).size, 5);
    assert.equal(await page.locator(".present input, .present select").count(), 0);
    await page.keyboard.press("Escape");
    await page.waitForSelector(".sheet");
    await close();
  });

  test("charts hand out their data", async () => {
    const { page, close } = await sheet(world);
    const [download] = await Promise.all([page.waitForEvent("download"), page.click('.strip button:has-text("CSV")')]);
    assert.match(download.suggestedFilename(), /-water\.csv$/);
    const stream = await download.createReadStream();
    let text = "";
    for await (const chunk of stream) text += chunk;
    const lines = text.trim().split("\r\n");
    assert.equal(lines[0], "year of operation,month,mean °C,least °C,greatest °C");
    assert.equal((lines.length - 1) % 12, 0);
    await close();
  });
});
