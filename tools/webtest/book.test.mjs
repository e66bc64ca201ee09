// A person's tasks with the book of flights.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const book = bookFolder();
/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;
/** @type {import("playwright-core").BrowserContext} */
let context;

before(async () => {
  app = await start(book);
  chromium = await browser();
  context = await chromium.newContext({
    viewport: { width: 1280, height: 900 },
    locale: "en-US",
    reducedMotion: "reduce",
  });
  context.setDefaultTimeout(10_000);
});
after(async () => {
  await chromium?.close();
  await app?.stop();
});

/** @param {string} path */
async function visit(path) {
  const watched = await watchedPage(context, app.address);
  await watched.page.goto(new URL(path, app.address).href);
  return watched;
}

/** @param {import("playwright-core").Page} page @param {string} from @param {string} to */
async function change(page, from, to) {
  const area = page.getByRole("textbox", { name: /The flight file of/ });
  const text = await area.inputValue();
  assert.ok(text.includes(from), `the file has no ${from}`);
  await area.fill(text.replace(from, to));
}

/** @param {import("playwright-core").Page} page @param {string} name */
const press = (page, name) => page.getByRole("button", { name, exact: true }).click();

/** @param {import("playwright-core").Page} page @param {number} number */
const revision = (page, number) => page.getByText(`revision ${number}`, { exact: true }).waitFor();

test("from an empty book to a flight of one's own, by keyboard alone", async () => {
  const { page, faults } = await visit("/");
  await page.getByRole("heading", { name: "Your first flight" }).waitFor();
  const paints = await page.evaluate(() =>
    performance.getEntriesByName("first-contentful-paint").map((e) => e.startTime),
  );
  console.log(`first content after ${Math.round(paints[0] ?? -1)} ms`);
  assert.ok(paints[0] !== undefined && paints[0] < 8000, "the first content is slow");
  await page.getByLabel("Name").focus();
  await page.keyboard.type("Field Vole 1");
  await page.keyboard.press("Enter");
  await page.waitForURL("**/f/field-vole-1/plan");
  await revision(page, 1);
  await page.getByText("T minus").or(page.getByText("T plus")).first().waitFor();
  // What a new flight lacks is counted and listed, and the next step is in words.
  await page.getByText(/^Next: Ground test: .* is not done$/).waitFor();
  await page.getByRole("button", { name: /things missing/ }).click();
  assert.ok((await page.getByRole("dialog").getByRole("link").count()) > 3);
  await page.keyboard.press("Escape");
  await page.goBack();
  await page.getByRole("heading", { name: "Flights" }).waitFor();
  await page.getByRole("link", { name: "Field Vole 1" }).waitFor();
  assert.deepEqual(faults, []);
  await page.close();
});

test("save, undo and redo", async () => {
  const { page, faults } = await visit("/f/field-vole-1/text");
  await change(page, 'mass = "600 g"', 'mass = "800 g"');
  await page.keyboard.press("Control+s");
  await revision(page, 2);
  await press(page, "Undo");
  await revision(page, 1);
  assert.match(await page.getByRole("textbox").inputValue(), /mass = "600 g"/);
  await press(page, "Redo");
  await revision(page, 2);
  await page.getByRole("link", { name: "History" }).click();
  await page.getByText("changed envelope mass").waitFor();
  assert.deepEqual(faults, []);
  await page.close();
});

test("a fault in the file is named, and leads to its line", async () => {
  const { page, faults } = await visit("/f/field-vole-1/text");
  await change(page, 'kind = "helium"', 'kind = "methane"');
  await press(page, "Save");
  await page.getByRole("button", { name: /1.thing missing/ }).click();
  await page
    .getByRole("dialog")
    .getByRole("link", { name: /gas\.kind/ })
    .click();
  const marked = await page.getByRole("textbox").evaluate((a) => {
    const area = /** @type {HTMLTextAreaElement} */ (a);
    return area.value.slice(area.selectionStart, area.selectionEnd);
  });
  assert.match(marked, /kind = "methane"/);
  await page.getByText(/^Next: Mend line \d+, gas\.kind$/).waitFor();
  await press(page, "Undo");
  await page.getByText(/^Next: Ground test: /).waitFor();
  assert.deepEqual(faults, []);
  await page.close();
});

test("what is typed outlives a reload", async () => {
  const { page, faults } = await visit("/f/field-vole-1/text");
  await change(page, 'name = "Field Vole 1"', 'name = "Field Vole 2"');
  await page.reload();
  await page.getByRole("button", { name: "Drop my changes" }).waitFor();
  assert.match(await page.getByRole("textbox").inputValue(), /Field Vole 2/);
  await press(page, "Drop my changes");
  assert.match(await page.getByRole("textbox").inputValue(), /Field Vole 1/);
  assert.deepEqual(faults, []);
  await page.close();
});

test("two windows on one flight lose nothing of each other's", async () => {
  const one = await visit("/f/field-vole-1/text");
  const two = await visit("/f/field-vole-1/text");
  await change(two.page, 'purity = "97 %"', 'purity = "96 %"');
  await change(one.page, 'mass = "800 g"', 'mass = "1000 g"');
  await press(one.page, "Save");
  await two.page.getByText(/was changed in another window while you typed/).waitFor();
  await press(two.page, "Save");
  await press(two.page, "Keep both");
  await two.page.getByText("Both are saved.").waitFor();
  const both = await two.page.getByRole("textbox").inputValue();
  assert.match(both, /purity = "96 %"/);
  assert.match(both, /mass = "1000 g"/);

  await revision(one.page, 5);
  await change(one.page, 'mass = "1000 g"', 'mass = "1100 g"');
  await change(two.page, 'mass = "1000 g"', 'mass = "1200 g"');
  await press(one.page, "Save");
  await revision(one.page, 6);
  await press(two.page, "Save");
  await press(two.page, "Let the other stand");
  await two.page.getByText(/yours stays in the history/).waitFor();
  assert.match(await two.page.getByRole("textbox").inputValue(), /mass = "1100 g"/);
  await two.page.getByRole("link", { name: "History" }).click();
  await two.page.getByText(/over revision/).waitFor();
  // A conflict is answered with 409, which the browser notes by itself.
  const expected = (/** @type {string} */ f) => /status of 409/.test(f);
  assert.deepEqual(
    [...one.faults, ...two.faults].filter((f) => !expected(f)),
    [],
  );
  await one.page.close();
  await two.page.close();
});

test("copy, compare, archive and delete with undo", async () => {
  const { page, faults } = await visit("/");
  await press(page, "Copy");
  await page.waitForURL("**/f/field-vole-1-copy/plan");
  await page.getByRole("link", { name: "All flights" }).click();
  const row = page.getByRole("listitem").filter({ hasText: "Field Vole 1, copy" });
  await row.getByRole("button", { name: "Archive" }).click();
  await page.getByText(/archived flight/).waitFor();
  await press(page, "Undo");
  await row.waitFor();
  await row.getByRole("button", { name: "Delete" }).click();
  await page.getByRole("dialog").getByRole("button", { name: "Delete" }).click();
  await page.getByText(/deleted flight$/).waitFor();
  await press(page, "Undo");
  await row.waitFor();
  for (const box of await page.getByRole("checkbox").all()) await box.check();
  await press(page, "Compare the two");
  await page.getByRole("region", { name: "What differs" }).waitFor();
  await page.getByText('name = "Field Vole 1, copy"').waitFor();
  // A copy has the same answers; a heavier one does not, and its changed answers are bold.
  const sides = page.getByRole("region", { name: "Answers side by side" });
  await sides.getByRole("rowheader", { name: "Free lift", exact: true }).waitFor();
  assert.equal(await sides.locator("td b").count(), 0);
  const copied = `${app.address}api/v1/flights/field-vole-1-copy`;
  const { revision: was } = await (await fetch(copied)).json();
  const saved = await fetch(`${copied}/revisions`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({
      from: was.number,
      what: "a smaller envelope",
      document: was.document.replace(/(\[envelope\][^[]*?mass = )"[^"]+"/, '$1"800 g"'),
    }),
  });
  assert.equal(saved.status, 201);
  await page.reload();
  await sides.locator("td b").first().waitFor();
  assert.deepEqual(faults, []);
  await page.close();
});

test("units and light are chosen once, for every window", async () => {
  const { page, faults } = await visit("/f/field-vole-1/text");
  await page.getByText(/2,001.ft up/).waitFor();
  await page.getByText("View", { exact: true }).click();
  await page.getByLabel("Metres, grams, °C").check();
  await page.getByText(/610.m up/).waitFor();
  await page.getByLabel("Night").check();
  await page.keyboard.press("Escape");
  await page.reload();
  assert.equal(await page.evaluate(() => document.documentElement.dataset.theme), "night");
  await page.getByText(/610.m up/).waitFor();
  await page.evaluate(() => localStorage.clear());
  assert.deepEqual(faults, []);
  await page.close();
});
