// Hard times: the program killed and started again, the network cut, no WebGL;
// and what every screen owes to everyone.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const book = bookFolder();
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;

before(async () => {
  app = await start(book);
  chromium = await browser();
  for (const name of ["Reed One", "Reed Two"]) {
    await fetch(`${app.address}api/v1/flights`, {
      method: "POST",
      body: JSON.stringify({ start: "first", name }),
      headers: { "Content-Type": "application/json" },
    });
  }
});
after(async () => {
  await chromium?.close();
  await app?.stop();
});

const lost = "You see what was known before";

test("the program is killed and started again under an open page", async () => {
  const context = await chromium.newContext();
  const { page } = await watchedPage(context, app.address);
  await page.goto(`${app.address}f/reed-one/text`);
  const area = page.getByRole("textbox");
  await area.fill((await area.inputValue()).replace('mass = "600 g"', 'mass = "700 g"'));
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByText("revision 2", { exact: true }).waitFor();
  await area.fill((await area.inputValue()).replace('mass = "700 g"', 'mass = "750 g"'));
  const listen = new URL(app.address).host;
  await app.stop("SIGKILL");
  await page.getByText(lost).waitFor();
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByText(/What you typed is kept here/).waitFor();
  app = await start(book, listen);
  await page.getByText(lost).waitFor({ state: "detached" });
  await page.getByText("revision 2", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Save", exact: true }).click();
  await page.getByText("revision 3", { exact: true }).waitFor();
  assert.match(await area.inputValue(), /mass = "750 g"/);
  await context.close();
});

test("the network is cut and comes back", async () => {
  const context = await chromium.newContext();
  const { page } = await watchedPage(context, app.address);
  await page.goto(`${app.address}`);
  await page.getByRole("link", { name: "Reed Two" }).waitFor();
  await context.setOffline(true);
  await page.getByRole("button", { name: "Archive" }).first().click();
  await page
    .getByText(/does not answer/)
    .first()
    .waitFor();
  await context.setOffline(false);
  await page.getByRole("button", { name: "Archive" }).first().click();
  await page.getByText(/is archived/).waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await context.close();
});

test("the built-in map is drawn, and nothing is asked of another host", async () => {
  const context = await chromium.newContext({ reducedMotion: "reduce" });
  const { page, faults } = await watchedPage(context, app.address);
  const begin = performance.now();
  await page.goto(`${app.address}about`);
  await page.getByText("GeoNames (CC BY 4.0)").waitFor();
  await page.waitForFunction(() => document.querySelector(".map canvas"), null, { polling: 50 });
  await page.getByRole("region", { name: /The world/ }).waitFor();
  const colours = await manyColours(page, ".map");
  console.log(`map drawn after ${Math.round(performance.now() - begin)} ms`);
  assert.ok(performance.now() - begin < 8000, "the map is slow");
  assert.ok(colours > 3, `the map has only ${colours} colours`);
  assert.deepEqual(
    faults.filter((f) => !/GPU stall/.test(f)),
    [],
  ); // software rendering says so of our picture
  await context.close();
});

/** Waits until a picture of the element has several colours, and counts them. */
async function manyColours(/** @type {import("playwright-core").Page} */ page, /** @type {string} */ selector) {
  for (let n = 1; ; n++) {
    const png = (await page.locator(selector).screenshot()).toString("base64");
    const colours = await page.evaluate(async (data) => {
      const image = new Image();
      image.src = `data:image/png;base64,${data}`;
      await image.decode();
      const canvas = new OffscreenCanvas(image.width, image.height);
      const pen = /** @type {OffscreenCanvasRenderingContext2D} */ (canvas.getContext("2d"));
      pen.drawImage(image, 0, 0);
      const pixels = new Uint32Array(pen.getImageData(0, 0, image.width, image.height).data.buffer);
      const counts = new Map();
      for (const p of pixels) counts.set(p, (counts.get(p) ?? 0) + 1);
      return [...counts.values()].filter((c) => c > 100).length;
    }, png);
    if (colours > 3 || n > 40) return colours;
    await page.waitForTimeout(100);
  }
}

test("without WebGL a plain map is drawn and says so", async () => {
  const plain = await browser(["--disable-software-rasterizer"], ["--enable-unsafe-swiftshader"]);
  const context = await plain.newContext();
  const { page, faults } = await watchedPage(context, app.address);
  await page.goto(`${app.address}about`);
  await page.getByText("a plain one stands here").waitFor();
  await page.getByRole("img", { name: /The world/ }).waitFor();
  const colours = await manyColours(page, ".map");
  assert.ok(colours > 3, `the plain map has only ${colours} colours`);
  assert.deepEqual(
    faults.filter((f) => !/WebGL/i.test(f)),
    [],
  );
  await plain.close();
});

test("no screen is too wide, and none has a fault of access", async () => {
  const screens = [
    "/",
    "/about",
    "/f/reed-one/text",
    "/f/reed-one/history",
    "/compare?a=reed-one&b=reed-two",
    "/f/none/text",
  ];
  for (const theme of ["day", "night", "sunlight"]) {
    const context = await chromium.newContext({ reducedMotion: "reduce" });
    await context.addInitScript((name) => localStorage.setItem("pappus.theme", name), theme);
    const page = await context.newPage();
    for (const screen of screens) {
      await page.goto(new URL(screen, app.address).href);
      await page.locator("h1").waitFor();
      await page.evaluate(axe);
      for (const width of [1920, 1280, 360]) {
        await page.setViewportSize({ width, height: 800 });
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(over <= 0, `${screen} is ${over} wider than ${width}`);
        if (width !== 1920) assert.deepEqual(await violations(page), [], `${screen} in ${theme} at ${width}`);
      }
    }
    await context.close();
  }
});

/** @param {import("playwright-core").Page} page */
const violations = (page) =>
  page.evaluate(async () => {
    // @ts-expect-error: axe is added to the page before
    const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`);
  });
