// A person's tasks with the odds of the invented flight.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const root = new URL("../../", import.meta.url);
const document = readFileSync(new URL("demo/flight.toml", root), "utf8");
const sky = readFileSync(new URL("demo/sky.grib2", root));
const address = () => `${app.address}f/lark/odds`;
/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;

before(async () => {
  app = await start(bookFolder(), "127.0.0.1:0", ["-demo"]);
  chromium = await browser();
  await fetch(`${app.address}api/v1/flights`, {
    method: "POST",
    body: JSON.stringify({ document: document.replace('name = "Meadow Lark 2"', 'name = "Lark"'), name: "Lark" }),
    headers: { "Content-Type": "application/json" },
  });
});
after(async () => {
  await chromium?.close();
  await app?.stop();
});

/** @param {import("playwright-core").BrowserContextOptions} [more] @param {string} [theme] */
async function open(more = {}, theme = "day", from = chromium) {
  const context = await from.newContext({
    viewport: { width: 1280, height: 800 },
    locale: "en-GB",
    reducedMotion: "reduce",
    ...more,
  });
  context.setDefaultTimeout(20_000);
  await context.addInitScript((name) => localStorage.setItem("pappus.theme", name), theme);
  const { page, faults } = await watchedPage(context, app.address);
  // Software rendering speaks of the pictures that these tests take.
  return { context, page, faults: () => faults.filter((f) => !/GPU stall|willReadFrequently/.test(f)) };
}

/** @param {import("playwright-core").Page} page */
const verdict = (page) =>
  page.locator(".verdict").getByText(/^Lands between \d\d:\d\d and \d\d:\d\d\. One chance in two within [\d.]+.km of/);
/** @param {import("playwright-core").Page} page */
const settled = (page) => page.locator(".verdict:not(.older)").waitFor();
/** @param {import("playwright-core").Page} page */
const launchButton = (page) => page.getByRole("button", { name: /^Launch, Harlan field/ });

/** How many pixels of the drawing over the map are of the indigo, and how many are ink. @param {import("playwright-core").Page} page */
const drawn = (page) =>
  page.locator("canvas.over").evaluate((c) => {
    const canvas = /** @type {HTMLCanvasElement} */ (c);
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    const { data } = pen.getImageData(0, 0, canvas.width, canvas.height);
    let chance = 0;
    let ink = 0;
    let sumX = 0;
    for (let i = 0; i < data.length; i += 4) {
      const [red = 0, green = 0, blue = 0, alpha = 0] = data.subarray(i, i + 4);
      if (alpha > 60 && blue - red > 40 && blue - green > 40) {
        chance += 1;
        sumX += (i / 4) % canvas.width;
      } else if (alpha > 200 && red + green + blue < 120) ink += 1;
    }
    return { chance, ink, middle: sumX / chance / (canvas.width / canvas.clientWidth) };
  });

test("the odds of the invented flight are drawn, in time and from nowhere else", async () => {
  const { context, page, faults } = await open();
  const begin = performance.now();
  await page.goto(address());
  await verdict(page).waitFor();
  await page.locator("[data-drawn]").waitFor({ state: "attached" });
  const map = performance.now() - begin;
  const paints = await page.evaluate(() =>
    performance.getEntriesByName("first-contentful-paint").map((e) => e.startTime),
  );
  console.log(`odds: first content after ${Math.round(paints[0] ?? -1)} ms, map drawn after ${Math.round(map)} ms`);
  assert.ok(paints[0] !== undefined && paints[0] < 8000, "the first content is slow");
  assert.ok(map < 8000, "the map is slow");
  const found = await drawn(page);
  assert.ok(found.chance > 5000 && found.ink > 500, `regions ${found.chance} pixels, way ${found.ink}`);
  for (const heading of ["Chances", "Not looked at", "Weather used", "Take it along"])
    await page.getByRole("heading", { name: heading }).waitFor();
  await page.getByText("2,000 flights drawn, seed 1").waitFor();
  await page.getByRole("figure", { name: /Lands between .* One chance in two/ }).waitFor();
  assert.deepEqual(faults(), []);
  await context.close();
});

test("the mark moves along the flight, by key and by pointer", async () => {
  const { context, page, faults } = await open();
  await page.goto(address());
  await settled(page);
  const slider = page.getByRole("slider", { name: "Moment of the central flight" });
  await slider.focus();
  const before = await slider.getAttribute("aria-valuetext");
  await page.keyboard.press("End");
  const at = (await slider.getAttribute("aria-valuetext")) ?? "";
  assert.notEqual(at, before);
  assert.match(at, /on the way down/);
  const plot = (await page.locator(".profile .u-over").boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
  await page.mouse.move(plot.x + plot.width * 0.1, plot.y + plot.height / 2);
  assert.match((await slider.getAttribute("aria-valuetext")) ?? "", /on the way up/);
  assert.deepEqual(faults(), []);
  await context.close();
});

test("single flights are shown on demand", async () => {
  const { context, page, faults } = await open();
  await page.goto(address());
  await settled(page);
  const before = await drawn(page);
  await page.getByLabel("Show 60 single flights").check();
  await page.waitForResponse(/\/ways/);
  await page.waitForTimeout(200);
  const now = await drawn(page);
  assert.ok(now.chance > before.chance * 1.02, `${before.chance} pixels before, ${now.chance} with single flights`);
  assert.deepEqual(faults(), []);
  await context.close();
});

test("the launch is dragged, follows, settles, and is saved only on demand", async () => {
  const { context, page, faults } = await open();
  await page.goto(address());
  await settled(page);
  await page.locator("[data-drawn]").waitFor({ state: "attached" });
  const before = await drawn(page);
  const said = await page.locator(".verdict .said").textContent();
  const box = (await launchButton(page).boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  let quick = 0;
  page.on("response", (r) => {
    if (r.url().endsWith("/odds/quick")) quick += 1;
  });
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let step = 1; step <= 8; step++) await page.mouse.move(x + 10 * step, y - 4 * step, { steps: 2 });
  await page.waitForFunction(() => document.querySelector(".verdict.older"), null, { polling: 50 });
  await page.waitForTimeout(600);
  const during = await drawn(page);
  assert.ok(quick > 0, "nothing followed the launch");
  assert.ok(during.middle > before.middle + 20, `the region stayed at ${during.middle}, from ${before.middle}`);
  await page.mouse.up();
  await settled(page);
  assert.notEqual(await page.locator(".verdict .said").textContent(), said);
  await page.getByText(/Trying a launch [\d.]+.km (north-)?east of Harlan field/).waitFor();
  await page.getByText("revision 1", { exact: true }).waitFor();
  await page.getByRole("button", { name: "Put it back" }).click();
  await page
    .locator(".verdict")
    .getByText(said ?? "")
    .waitFor();
  // By keys, and then saved.
  await launchButton(page).focus();
  await page.keyboard.press("Shift+ArrowRight");
  await page.getByText(/Trying a launch/).waitFor();
  await page.getByLabel("Name of the place").fill("Plum meadow");
  await settled(page);
  await page.getByRole("button", { name: "Save this launch" }).click();
  await page.getByText("revision 2", { exact: true }).waitFor();
  await page
    .getByText(/Plum meadow/)
    .first()
    .waitFor();
  assert.deepEqual(faults(), []);
  await fetch(`${app.address}api/v1/flights/lark/undo`, {
    method: "POST",
    body: JSON.stringify({ from: 2 }),
    headers: { "Content-Type": "application/json" },
  });
  await context.close();
});

test("the launch is typed, and a wrong place is said beside the field", async () => {
  const { context, page } = await open();
  await page.goto(address());
  await settled(page);
  await page.getByText("Move the launch").click();
  await page.getByLabel("Latitude").fill("140");
  await page.getByRole("button", { name: "Try this place" }).click();
  await page.getByText(/Latitude goes from/).waitFor();
  await page.getByLabel("Latitude").fill("60");
  await page.getByRole("button", { name: "Try this place" }).click();
  await page.getByText(/lies outside the forecast/).waitFor();
  await page.getByRole("button", { name: "Put it back" }).click();
  await settled(page);
  await context.close();
});

test("reload in the middle, and the network cut", async () => {
  const { context, page } = await open();
  await page.goto(address());
  await page.getByRole("slider").or(page.locator(".worked")).first().waitFor();
  await page.reload();
  await settled(page);
  const said = await page.locator(".verdict .said").textContent();
  await context.setOffline(true);
  await page.getByText("Move the launch").click();
  await page.getByLabel("Longitude").fill("-99.1");
  await page.getByRole("button", { name: "Try this place" }).click();
  await page.getByText(/There are no new odds/).waitFor();
  assert.equal(await page.locator(".verdict .said").textContent(), said);
  await context.setOffline(false);
  await page.getByRole("button", { name: "Try again" }).click();
  await settled(page);
  await context.close();
});

test("odds are taken along as files", async () => {
  const { context, page, faults } = await open({ acceptDownloads: true });
  await page.goto(address());
  await settled(page);
  for (const [name, begins] of /** @type {[string, RegExp][]} */ ([
    ["KML", /^<\?xml/],
    ["GPX", /^<\?xml/],
    ["GeoJSON", /^\{"type":"FeatureCollection"/],
    ["CSV", /^[a-z_,]+/],
  ])) {
    const waiting = page.waitForEvent("download");
    await page.getByRole("link", { name, exact: true }).click();
    const download = await waiting;
    assert.equal(download.suggestedFilename(), `lark.${name.toLowerCase()}`);
    assert.match(readFileSync(await download.path(), "utf8"), begins);
  }
  assert.deepEqual(faults(), []);
  await context.close();
});

test("forecast files and areas are dropped in; broken ones are refused in a line", async () => {
  const { context, page } = await open();
  await page.goto(address());
  await settled(page);
  await page.getByText("Forecasts", { exact: false }).first().click();
  const files = page.getByLabel("Forecast files");
  await files.setInputFiles({
    name: "broken.grib2",
    mimeType: "application/octet-stream",
    buffer: sky.subarray(0, 9000),
  });
  await page.getByText(/broken\.grib2: /).waitFor();
  await files.setInputFiles({ name: "field.grib2", mimeType: "application/octet-stream", buffer: sky });
  await page.getByRole("checkbox", { name: /field\.grib2/ }).waitFor();
  assert.equal(await page.getByRole("checkbox", { name: /field\.grib2/ }).isChecked(), true);
  assert.equal(await page.getByRole("checkbox", { name: /broken\.grib2/ }).count(), 0);
  await settled(page);
  await page.getByText("Your own areas").click();
  const area = {
    type: "Polygon",
    coordinates: [
      [
        [-98.6, 39.9],
        [-97.6, 39.9],
        [-97.6, 40.6],
        [-98.6, 40.6],
        [-98.6, 39.9],
      ],
    ],
  };
  const feature = { type: "Feature", properties: { kind: "keep out", name: "range" }, geometry: area };
  await page
    .getByLabel("Areas as GeoJSON")
    .setInputFiles({ name: "a.geojson", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(feature)) });
  await page.getByRole("rowheader", { name: "lands where you have drawn keep out" }).waitFor();
  await page.getByRole("button", { name: "Forget them" }).click();
  await page.getByRole("rowheader", { name: "lands where you have drawn keep out" }).waitFor({ state: "detached" });
  await page.getByRole("button", { name: /^Remove field/ }).click();
  await page.getByRole("button", { name: "Undo" }).last().waitFor();
  await context.close();
});

test("without WebGL the plain map bears the same odds", async () => {
  const plain = await browser(["--disable-software-rasterizer"], ["--enable-unsafe-swiftshader"]);
  const { page, faults } = await open({}, "day", plain);
  await page.goto(address());
  await settled(page);
  await page.getByText("a plain one stands here").waitFor();
  await page.getByRole("img", { name: /Lands between/ }).waitFor();
  await page.locator("[data-drawn]").waitFor({ state: "attached" });
  await page.waitForTimeout(500);
  const found = await drawn(page);
  assert.ok(found.chance > 5000 && found.ink > 500, `regions ${found.chance} pixels, way ${found.ink}`);
  await page.getByRole("button", { name: "Nearer" }).click();
  await page.waitForTimeout(500);
  assert.ok((await drawn(page)).chance > found.chance * 1.3, "the plain map does not come nearer");
  assert.deepEqual(
    faults().filter((f) => !/WebGL/i.test(f)),
    [],
  );
  await plain.close();
});

test("at every size and light: nothing too wide, no fault of access, big enough to touch", async () => {
  for (const theme of ["day", "night", "sunlight"]) {
    for (const [width, height] of /** @type {[number, number][]} */ ([
      [360, 740],
      [390, 844],
      [1280, 800],
      [1920, 1080],
    ])) {
      const { context, page } = await open({ viewport: { width, height } }, theme);
      await page.goto(address());
      await settled(page);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(over <= 0, `${over} wider than ${width}`);
      const closed = page.locator(".odds-sheet details:not([open]) > summary");
      while ((await closed.count()) > 0) await closed.first().click();
      await page.evaluate(axe);
      const found = await page.evaluate(async () => {
        // @ts-expect-error: axe is added to the page before
        const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
        return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`);
      });
      assert.deepEqual(found, [], `${theme} at ${width}`);
      if (width < 500) {
        const small = await page
          .locator(".odds button:visible, .odds a.button:visible, .odds summary:visible")
          .evaluateAll((all) =>
            all.filter((e) => e.getBoundingClientRect().height < 44).map((e) => e.textContent ?? e.className),
          );
        assert.deepEqual(small, [], `too small to touch at ${width}`);
      }
      await context.close();
    }
  }
});
