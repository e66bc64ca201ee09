// A person's tasks in the Weather place, with the invented flight.
import assert from "node:assert/strict";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const root = new URL("../../", import.meta.url);
const document = readFileSync(new URL("demo/flight.toml", root), "utf8");
const sky = readFileSync(new URL("demo/sky.grib2", root));
const sites = `\n[[site]]\nname = "East meadow"\nlatitude = 40.6\nlongitude = -98.2\nelevation = "560 m"\ndrive = "1 h"\n`;
/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;
/** @type {import("node:http").Server} */
let archive;
/** @type {string[]} what was asked of the archive */
const asked = [];
const folder = mkdtempSync(join(tmpdir(), "pappus-archive-"));

before(async () => {
  // An archive on the loopback that holds nothing yet.
  archive = createServer((request, answer) => {
    asked.push(request.url ?? "");
    answer.writeHead(404).end("none");
  });
  await new Promise((resolve) => archive.listen(0, "127.0.0.1", () => resolve(undefined)));
  const where = archive.address();
  const port = where && typeof where === "object" ? where.port : 0;
  const settings = join(folder, "settings.toml");
  writeFileSync(settings, `format = 1\ntries = 1\n[source.gfs025]\nroot = "http://127.0.0.1:${port}"\n`);
  app = await start(bookFolder(), "127.0.0.1:0", ["-demo", "-archive", settings]);
  chromium = await browser();
  for (const [name, text] of [
    ["Lark", document],
    ["Wren", document + sites],
    ["Finch", document],
    ["Soon", document.replace(/^time = .*$/m, `time = ${new Date(Date.now() + 86400e3).toISOString().slice(0, 19)}Z`)],
  ])
    await fetch(`${app.address}api/v1/flights`, {
      method: "POST",
      body: JSON.stringify({ document: text, name }),
      headers: { "Content-Type": "application/json" },
    });
});
after(async () => {
  await chromium?.close();
  await app?.stop();
  archive?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** @param {string} flight @param {import("playwright-core").BrowserContextOptions} [more] @param {string} [theme] */
async function open(flight, more = {}, theme = "day", from = chromium) {
  const context = await from.newContext({
    viewport: { width: 1280, height: 800 },
    locale: "en-GB",
    reducedMotion: "reduce",
    ...more,
  });
  context.setDefaultTimeout(20_000);
  await context.addInitScript((name) => localStorage.setItem("pappus.theme", name), theme);
  const { page, faults } = await watchedPage(context, app.address);
  await page.goto(`${app.address}f/${flight}/weather`);
  // Software rendering speaks of the pictures that these tests take.
  return { context, page, faults: () => faults.filter((f) => !/GPU stall|willReadFrequently/.test(f)) };
}

/** @typedef {import("playwright-core").Page} Page */

/** @param {Page} page */
const settled = async (page) => {
  await page.getByRole("heading", { name: /^Best is Sat 17 Apr, \d\d:00/ }).waitFor();
  await page.locator("svg.plane").waitFor();
  await page.locator('.weather > .worked[data-state="ready"]').waitFor({ state: "attached" });
};
/** @param {Page} page @param {string} clock */
const hourButton = (page, clock) => page.locator(".hours thead").getByRole("button", { name: `Sat 17 Apr, ${clock}` });
/** Where the middle of the indigo on the map is, in shares of its width. @param {Page} page */
const indigo = (page) =>
  page.locator(".hour canvas.over").evaluate((c) => {
    const canvas = /** @type {HTMLCanvasElement} */ (c);
    const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    const { data, width } = pen.getImageData(0, 0, canvas.width, canvas.height);
    let count = 0;
    let print = 0;
    for (let i = 0; i < data.length; i += 4) {
      if ((data[i + 3] ?? 0) < 40 || (data[i + 2] ?? 0) < (data[i] ?? 0) + 20) continue;
      count += 1;
      print = (print * 31 + ((i / 4) % width)) % 1e9;
    }
    return { count, print, hour: canvas.dataset.hour };
  });
/** @param {Page} page */
const violations = async (page) => {
  await page.evaluate(axe);
  return page.evaluate(async () => {
    // @ts-expect-error: axe is added to the page before
    const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`);
  });
};

test("the hours of the invented flight fill the place, and the region follows the chosen one", async () => {
  const { context, page, faults } = await open("lark");
  await settled(page);
  // Steps from 09 to 24 UTC are 04:00 to 19:00 at the launch.
  assert.equal(await page.locator(".hours thead button").count(), 16);
  await hourButton(page, "04:00").waitFor();
  await hourButton(page, "19:00").waitFor();
  for (const what of [
    "Wind at launch",
    "In water",
    "In a town",
    "On an airfield",
    "In the dark",
    "Age of the forecast",
  ])
    await page.getByRole("rowheader", { name: what, exact: true }).waitFor();
  assert.equal(await page.locator("svg.arrows").count(), 1);
  assert.equal(await page.locator("svg.plane path.region").count(), 1);
  await page.waitForFunction(
    () => /** @type {HTMLElement | null} */ (globalThis.document.querySelector(".hour canvas.over"))?.dataset.hour,
    null,
    { polling: 100 },
  );
  await page.locator(".hour .base[data-drawn]").waitFor();
  const before = await indigo(page);
  assert.ok(before.count > 500 && before.hour === "2027-04-17T13:00:00Z", JSON.stringify(before));
  // By keyboard: from the chosen hour to the next ones, and the region goes along.
  await hourButton(page, "08:00").focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowRight");
  await page.locator('.hour canvas.over[data-hour="2027-04-17T17:00:00Z"]').waitFor({ state: "attached" });
  await page.getByRole("heading", { name: "Sat 17 Apr, 12:00", exact: true }).waitFor();
  assert.equal(await hourButton(page, "12:00").getAttribute("aria-pressed"), "true");
  await page.getByText(/^Sat 17 Apr, 12:00\. Fastest at/).waitFor();
  await page.waitForTimeout(400); // for the map to come to rest
  const later = await indigo(page);
  assert.ok(later.count > 500 && later.print !== before.print, "the region stayed where it was");
  // A reload loses nothing.
  await page.reload();
  await page.getByRole("heading", { name: "Sat 17 Apr, 12:00", exact: true }).waitFor();
  assert.deepEqual(faults(), []);
  assert.deepEqual(asked, [], "something was fetched that nobody asked for");
  await context.close();
});

test("an hour and a site become the flight's own, as a revision", async () => {
  const { context, page, faults } = await open("wren");
  await settled(page);
  await page.getByLabel("East meadow, 1 h to get there").check();
  await hourButton(page, "09:00").click();
  await page.getByRole("heading", { name: "Sat 17 Apr, 09:00 from East meadow" }).waitFor();
  await page.getByRole("button", { name: "Use this hour" }).click();
  await page.getByText("revision 2", { exact: true }).waitFor();
  const now = await (await fetch(`${app.address}api/v1/flights/wren`)).json();
  assert.equal(now.summary.place, "East meadow");
  assert.equal(now.summary.lat_deg, 40.6);
  assert.equal(Date.parse(now.summary.launch), Date.parse("2027-04-17T14:00:00Z"));
  assert.match(now.revision.document, /name = "Harlan field"\s+latitude = 40\.0961/);
  await page.getByText("This is the flight's own launch.").waitFor();
  assert.deepEqual(faults(), []);
  await context.close();
});

test("a limit typed in place is saved, and the hours are judged by it", async () => {
  const { context, page } = await open("finch");
  await settled(page);
  await page.getByText("Your limits").click();
  const age = page.getByLabel("Age of the forecast, at most");
  await age.fill("twelve");
  await page.getByText(/Not yet:/).waitFor();
  await age.fill("20 h");
  await age.press("Enter");
  await page.getByText("revision 2", { exact: true }).waitFor();
  await page.getByText("1 of your own; the usual ones stand in for the others").waitFor();
  await hourButton(page, "08:00").click();
  await page.locator(".hour .said").getByText(/^Go/).waitFor();
  await context.close();
});

test("a broken file gives one clear line and changes nothing; a whole one is chosen", async () => {
  const { context, page } = await open("lark");
  await settled(page);
  const input = page.getByLabel("Forecast files");
  await input.setInputFiles([
    { name: "cut.grib2", mimeType: "application/octet-stream", buffer: sky.subarray(0, sky.length - 100) },
  ]);
  const line = page.getByText(/^cut\.grib2: /);
  await line.waitFor();
  assert.equal((await line.textContent())?.includes("\n"), false);
  await page.getByText("1 of 1 forecast chosen").waitFor();
  await input.setInputFiles([{ name: "whole.grib2", mimeType: "application/octet-stream", buffer: sky }]);
  await page.getByText("1 of 2 forecasts chosen").waitFor();
  await settled(page);
  await page.getByRole("button", { name: "Remove whole.grib2" }).click();
  await page.getByText("whole.grib2 is removed.").waitFor();
  await page.getByRole("button", { name: "Undo", exact: true }).click();
  await page.getByText("2 forecasts chosen").waitFor();
  await page.getByRole("button", { name: "Remove whole.grib2" }).click();
  await context.close();
});

/** The invented file with another reference time: a derived cycle. @param {number} day of April 2027 @param {number} hour */
function derived(day, hour) {
  const copy = Buffer.from(sky);
  // [GRIB2] section 0 is 16 octets, the message's length in its last 8; in
  // section 1 the day is octet 16 and the hour octet 17.
  for (let at = 0; at < copy.length; at += Number(copy.readBigUInt64BE(at + 8))) {
    copy[at + 16 + 15] = day;
    copy[at + 16 + 16] = hour;
  }
  return {
    name: `derived-${day}-${hour}.grib2`,
    mimeType: "application/octet-stream",
    buffer: copy,
  };
}

test("derived cycles draw a trail, and derived past days a season", async () => {
  const { context, page, faults } = await open("lark");
  await settled(page);
  const input = page.getByLabel("Forecast files");
  await input.setInputFiles([derived(16, 18), derived(17, 0), derived(17, 3)]);
  await page.getByText("3 of 4 forecasts chosen").waitFor();
  await page.waitForFunction(() => globalThis.document.querySelectorAll("svg.plane path.region").length === 3, null, {
    polling: 100,
  });
  await page.getByText(/^Through 3 cycles the median landing lay at most/).waitFor();
  assert.equal(await page.locator(".days > li").count(), 2);
  await page.getByText("19 h old at launch", { exact: false }).waitFor();
  await page.locator("svg.plane").getByText("10 h old").waitFor();
  assert.equal(await page.locator(".hour canvas.over").count(), 1);
  await input.setInputFiles([derived(3, 3)]);
  await page.getByText("1 forecast of other days than the launch's is kept.").waitFor();
  await page.getByRole("button", { name: "Fly the past days" }).click();
  await page.getByText(/^A season, not a forecast:/).waitFor();
  assert.equal(await page.locator(".rose tbody tr").count(), 8);
  if (process.env.PAPPUS_LOOK) await page.screenshot({ path: process.env.PAPPUS_LOOK, fullPage: true });
  for (const name of ["16-18", "17-0", "17-3", "3-3"])
    await page.getByRole("button", { name: `Remove derived-${name}.grib2` }).click();
  await page.getByText("1 forecast chosen", { exact: false }).waitFor();
  assert.deepEqual(faults(), []);
  await context.close();
});

test("a fetch goes out only when pressed, and says plainly that nothing is there", async () => {
  const { context, page, faults } = await open("soon");
  // The invented sky is of another day.
  await page.getByRole("heading", { name: "No chosen forecast covers the launch" }).waitFor();
  assert.deepEqual(asked, []);
  await page.getByRole("button", { name: "Fetch what this flight needs" }).click();
  await page
    .getByRole("alert")
    .getByText(/The archive holds no cycle yet/)
    .waitFor();
  assert.ok(asked.length > 0);
  archive.close();
  archive.closeAllConnections();
  await page.getByRole("button", { name: "Fetch what this flight needs" }).click();
  await page
    .getByRole("alert")
    .getByText(/^No network, or the archive is away: 127\.0\.0\.1/)
    .waitFor();
  assert.deepEqual(faults(), [], "the page itself asked another host, or failed");
  await context.close();
});

test("the network is cut and comes back", async () => {
  const { context, page } = await open("lark");
  await settled(page);
  await context.setOffline(true);
  await hourButton(page, "10:00").click();
  await page.getByRole("heading", { name: "Sat 17 Apr, 10:00", exact: true }).waitFor();
  await page
    .getByText(/does not answer/)
    .first()
    .waitFor();
  await page.getByRole("heading", { name: /^Best is Sat 17 Apr/ }).waitFor(); // what was known stays
  await context.setOffline(false);
  await hourButton(page, "11:00").click();
  await page.locator('.hour canvas.over[data-hour="2027-04-17T16:00:00Z"]').waitFor({ state: "attached" });
  await context.close();
});

test("without WebGL the region is drawn on a plain map", async () => {
  const plain = await browser(["--disable-software-rasterizer"], ["--enable-unsafe-swiftshader"]);
  const { page } = await open("lark", {}, "day", plain);
  await settled(page);
  await page.getByText("a plain one stands here").waitFor();
  await page.locator('.hour canvas.over[data-hour="2027-04-17T13:00:00Z"]').waitFor({ state: "attached" });
  await page.waitForTimeout(500);
  assert.ok((await indigo(page)).count > 200);
  await plain.close();
});

test("no width is too narrow, and no theme has a fault of access", async () => {
  for (const theme of ["day", "night", "sunlight"]) {
    const { context, page, faults } = await open("lark", {}, theme);
    await settled(page);
    await page.locator(".weather details").evaluateAll((all) => {
      for (const folded of all) /** @type {HTMLDetailsElement} */ (folded).open = true;
    });
    for (const width of [1920, 1280, 390, 360]) {
      await page.setViewportSize({ width, height: 844 });
      const over = await page.evaluate(() => globalThis.document.documentElement.scrollWidth - innerWidth);
      assert.ok(over <= 0, `${over} wider than ${width} in ${theme}`);
      if (width === 1280 || width === 390) assert.deepEqual(await violations(page), [], `${theme} at ${width}`);
    }
    assert.deepEqual(faults(), []);
    await context.close();
  }
});
