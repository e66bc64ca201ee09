// The lanes of the boxes in the Plan place.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const plain = readFileSync(new URL("../../demo/flight.toml", import.meta.url), "utf8");
const packed = plain.replace(
  'size = ["20 cm", "20 cm", "25 cm"]',
  `size = ["20 cm", "20 cm", "25 cm"]
wall = "25 mm"
foam = "XPS"

[[train.item]]
name = "camera"
kind = "camera"
mass = "120 g"
power = "2.5 W"
supply = "cells"
bit_rate = "30 Mbit/s"

[[train.item]]
name = "cells"
kind = "cell"
mass = "15 g"
count = 4
capacity = "3000 mAh"
voltage = "1.5 V"
chemistry = "lithium iron disulfide"

[[train.item]]
name = "card"
kind = "card"
mass = "1 g"
storage = "128 GB"
`,
);
/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;

before(async () => {
  app = await start(bookFolder());
  chromium = await browser();
  for (const [name, document] of [
    ["Bare", plain],
    ["Packed", packed],
  ]) {
    const made = await fetch(`${app.address}api/v1/flights`, {
      method: "POST",
      body: JSON.stringify({ document, name }),
      headers: { "Content-Type": "application/json" },
    });
    assert.equal(made.status, 201, await made.text());
  }
});
after(async () => {
  await chromium?.close();
  await app?.stop();
});

test("warmth, energy and card have lanes once typing rests; a box of which nothing is known has none", async () => {
  for (const theme of ["day", "night", "sunlight"]) {
    const context = await chromium.newContext({
      viewport: { width: 1280, height: 800 },
      reducedMotion: "reduce",
      locale: "en-GB",
    });
    context.setDefaultTimeout(20_000);
    await context.addInitScript((name) => localStorage.setItem("pappus.theme", name), theme);
    const { page, faults } = await watchedPage(context, app.address);
    const lanes = page.locator(".lanes .box");
    if (theme === "day") {
      const answered = page.waitForResponse((r) => /"box":true/.test(r.request().postData() ?? ""));
      await page.goto(`${app.address}f/bare/plan`);
      await answered;
      await page.locator(".lanes .light").waitFor();
      assert.equal(await lanes.count(), 0);
    }
    await page.goto(`${app.address}f/packed/plan`);
    await lanes.getByText("In the box", { exact: true }).waitFor();
    await lanes.getByText(/^−?\d+.°C$/).waitFor();
    await lanes.getByText("Energy", { exact: true }).waitFor();
    await lanes.getByText(/^room .*, needs /).waitFor();
    const warm = await lanes.locator(".warmth title").textContent();
    assert.match(warm ?? "", /coldest .* 8 in 10 between .* outside down to/);
    for (const [width, height] of [
      [1920, 1080],
      [390, 844],
      [1280, 800],
    ]) {
      await page.setViewportSize({ width: width ?? 0, height: height ?? 0 });
      // The drawing is measured anew a frame after the window is.
      await page.waitForFunction(() => document.documentElement.scrollWidth <= innerWidth, null, { polling: 50 });
      if (process.env.PAPPUS_SHOTS) {
        await page.locator(".axis").screenshot({ path: `${process.env.PAPPUS_SHOTS}/axis-${theme}-${width}.png` });
      }
    }
    await page.evaluate(axe);
    const bad = await page.evaluate(async () => {
      // @ts-expect-error: axe is added to the page before
      const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
      return result.violations.map((/** @type {{ id: string }} */ v) => v.id);
    });
    assert.deepEqual(bad, []);
    // A change is followed: a tenth of the card is too little.
    if (theme === "day") {
      const { revision } = await (await fetch(`${app.address}api/v1/flights/packed`)).json();
      await fetch(`${app.address}api/v1/flights/packed/revisions`, {
        method: "POST",
        body: JSON.stringify({
          from: revision.number,
          what: "a small card",
          document: revision.document.replace("128 GB", "8 GB"),
        }),
        headers: { "Content-Type": "application/json" },
      });
      await lanes.getByText(/^too small: room .*, needs /).waitFor();
      await page.getByRole("button", { name: "Undo" }).click();
      await lanes.getByText(/^room .*, needs /).waitFor();
    }
    assert.deepEqual(faults, []);
    await context.close();
  }
});

test("on a phone an open part leaves lift, burst and landing in sight", async () => {
  const context = await chromium.newContext({ viewport: { width: 390, height: 844 }, reducedMotion: "reduce" });
  context.setDefaultTimeout(20_000);
  const { page, faults } = await watchedPage(context, app.address);
  await page.goto(`${app.address}f/bare/plan`);
  await page.getByRole("button", { name: /^Gas and fill/ }).click();
  const short = page.locator(".short");
  await short.waitFor();
  const before = await short.textContent();
  const lift = page.getByLabel("Free lift", { exact: true });
  await lift.scrollIntoViewIfNeeded();
  await page.evaluate(() => scrollBy(0, 500));
  assert.ok(((await short.boundingBox())?.y ?? -1) >= 0, "the line is scrolled away");
  await lift.fill("1500 g");
  await page.waitForFunction((was) => document.querySelector(".short")?.textContent !== was, before, { polling: 50 });
  if (process.env.PAPPUS_SHOTS) await page.screenshot({ path: `${process.env.PAPPUS_SHOTS}/short.png` });
  assert.deepEqual(faults, []);
  await context.close();
});
