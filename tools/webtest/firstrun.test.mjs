// doc/first-run.md as a person follows it who has never seen the program: two
// seconds to read and find each thing, and four keys a second.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

/** @type {Awaited<ReturnType<typeof start>>} */
let app;
/** @type {import("playwright-core").Browser} */
let chromium;

before(async () => {
  app = await start(bookFolder());
  chromium = await browser();
});
after(async () => {
  await chromium?.close();
  await app?.stop();
});

const reads = 2000; // ms to read a step and to find its place on the screen
const types = 250; // ms a key: someone who looks at the keyboard

test("from nothing to a first own answer in under two minutes", async () => {
  const context = await chromium.newContext({ viewport: { width: 1280, height: 800 }, locale: "en-US" });
  const { page, faults } = await watchedPage(context, app.address);
  const script = readFileSync(new URL("../../doc/first-run.md", import.meta.url), "utf8");
  /** Steps name what they press in bold: the script and this test stay together. @param {string} name */
  const inScript = (name) => assert.ok(script.includes(`**${name}**`), `doc/first-run.md does not speak of ${name}`);
  const look = () => page.waitForTimeout(reads);
  /** @param {string} text */
  const type = (text) => page.keyboard.type(text, { delay: types });
  /** @param {string} part @param {string} label @param {string} text */
  const change = async (part, label, text) => {
    inScript(part);
    assert.ok(script.includes(`\`${text}\``), `doc/first-run.md does not say ${text}`);
    await look();
    await page.getByRole("button", { name: new RegExp(`^${part}`) }).click();
    await look();
    await page.getByLabel(label, { exact: true }).click({ clickCount: 3 });
    await type(text);
    await page.keyboard.press("Enter");
  };

  const begin = performance.now();
  await page.goto(app.address);
  await page.getByRole("heading", { name: "Your first flight" }).waitFor();
  await look();
  assert.equal(await page.getByRole("radio").count(), 3, "the empty book offers three flights");
  await page.getByLabel("Name").click();
  await type("First try");
  inScript("Begin");
  await look();
  await page.getByRole("button", { name: "Begin" }).click();
  await page.waitForURL("**/f/first-try/plan");
  await page
    .getByText(/8 in 10/)
    .first()
    .waitFor();
  const burst = page.locator(".answer").filter({ hasText: "Burst height" }).locator(".number");
  const invented = await burst.textContent();
  await change("Camera box", "Mass, all in it", "850 g");
  await change("Envelope", "Mass", "800 g");
  await change("Gas and fill", "Free lift", "1100 g");
  await page.getByText("revision 4", { exact: true }).waitFor();
  await page.locator(".answers:not(.stale)").waitFor();
  await look();
  const own = await burst.textContent();
  assert.notEqual(own, invented, "the answer is still that of the invented flight");
  inScript("why");
  await page.locator(".answer > summary").filter({ hasText: "Burst height" }).click();
  await page.locator(".answer[open] .reason").getByText("rated burst diameter").waitFor();
  const took = (performance.now() - begin) / 1000;
  console.log(`first own answer (${own}) after ${took.toFixed(0)} s at a beginner's pace`);
  assert.ok(took < 120, `it took ${took} s`);
  const saved = await fetch(`${app.address}api/v1/flights/first-try`).then((r) => r.json());
  for (const text of ['mass = "850 g"', 'mass = "800 g"', 'free_lift = "1100 g"'])
    assert.ok(saved.revision.document.includes(text), text);
  assert.deepEqual(faults, []);
  await context.close();
});
