// Takes pictures of every screen at three sizes and in three themes, for a person
// to look at: node look.mjs FOLDER
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { bookFolder, browser, start, watchedPage } from "./desk.mjs";

const folder = process.argv[2];
if (!folder) {
  console.error("usage: node look.mjs FOLDER");
  process.exit(2);
}
mkdirSync(folder, { recursive: true });
const app = await start(bookFolder());
const chromium = await browser();

/** @param {string} method @param {string} path @param {object} [body] */
const ask = (method, path, body) =>
  fetch(`${app.address}api/v1${path}`, {
    method,
    ...(body ? { body: JSON.stringify(body), headers: { "Content-Type": "application/json" } } : {}),
  }).then((r) => r.json());

/** @type {[string, string][]} */
const screens = [["empty", "/"]];
async function pictures() {
  for (const theme of ["day", "night", "sunlight"]) {
    for (const width of [360, 1280, 1920]) {
      const context = await chromium.newContext({
        viewport: { width, height: width < 500 ? 740 : 900 },
        locale: "en-US",
        reducedMotion: "reduce",
      });
      await context.addInitScript((name) => localStorage.setItem("pappus.theme", name), theme);
      for (const [name, path] of screens) {
        const { page, faults } = await watchedPage(context, app.address);
        await page.goto(new URL(path, app.address).href);
        await page.waitForSelector("h1");
        await page.waitForTimeout(path === "/about" ? 3000 : 250);
        await page.screenshot({ path: join(folder, `${name}-${theme}-${width}.png`), fullPage: true });
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        if (over > 0) faults.push(`wider than the window by ${over}`);
        for (const fault of faults) console.error(`${name} ${theme} ${width}: ${fault}`);
        await page.close();
      }
      await context.close();
    }
  }
}

await pictures();
const first = await ask("POST", "/flights", { start: "first" });
const document = (await ask("GET", `/flights/${first.id}`)).revision.document;
await ask("POST", `/flights/${first.id}/revisions`, {
  from: 1,
  what: "changed envelope mass",
  document: document.replace('mass = "600 g"', 'mass = "800 g"'),
});
await ask("POST", `/flights/${first.id}/revisions`, {
  from: 2,
  what: "changed rules",
  document: document.replace('rules = "US"', 'rules = "ICAO"'),
});
await ask("POST", `/flights/${first.id}/undo`, { from: 3 });
await ask("POST", "/flights", { copy: first.id, name: "Little Wren 1, copy with a heavier box" });
const heavy = await ask("POST", "/flights", { start: "heavy" });
const broken = await ask("POST", "/flights", {
  document: document.replace('kind = "helium"', 'kind = "methane"').replace("[launch]", "[launch]\nplase = 3"),
  name: "Marsh Wren 4",
});
const old = await ask("POST", "/flights", { start: "school" });
await ask("POST", `/flights/${old.id}/archive`);
screens.splice(
  0,
  1,
  ["book", "/"],
  ["text", `/f/${first.id}/text`],
  ["broken", `/f/${broken.id}/text`],
  ["history", `/f/${first.id}/history`],
  ["compare", `/compare?a=${first.id}&b=${heavy.id}`],
  ["about", "/about"],
  ["nowhere", `/f/none/text`],
);
await pictures();
await chromium.close();
await app.stop();
