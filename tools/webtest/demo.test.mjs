// What pappus demo opens on, with the program itself and nothing else.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { after, before, test } from "node:test";
import { browser, watchedPage } from "./desk.mjs";

const root = new URL("../../", import.meta.url).pathname;
const folder = mkdtempSync(join(tmpdir(), "pappus-demo-"));
/** @type {import("node:child_process").ChildProcess} */
let program;
/** @type {import("playwright-core").Browser} */
let chromium;
let address = "";

before(async () => {
  const built = join(folder, "pappus");
  execFileSync("go", ["build", "-o", built, "./cmd/pappus"], { cwd: root, stdio: "inherit" });
  const child = spawn(built, ["demo", "--listen", "127.0.0.1:0", "--json"], { stdio: ["ignore", "pipe", "inherit"] });
  program = child;
  let said = "";
  for await (const line of createInterface(child.stdout)) {
    said += line;
    if (line === "}" || line.endsWith("}")) break;
  }
  ({ address } = JSON.parse(said));
  chromium = await browser();
});
after(async () => {
  await chromium?.close();
  const ended = new Promise((resolve) => program?.once("exit", resolve));
  program?.kill("SIGINT");
  await ended;
  rmSync(folder, { recursive: true, force: true });
});

test("the invented flight opens with its invented forecast, in Odds and in Weather", async () => {
  const context = await chromium.newContext({ viewport: { width: 1280, height: 800 }, reducedMotion: "reduce" });
  context.setDefaultTimeout(30_000);
  const { page, faults } = await watchedPage(context, address);
  await page.goto(address);
  await page.getByRole("heading", { name: "Lift and gas" }).waitFor();
  await page.getByText("Next: Look where it lands").waitFor();
  const bar = page.getByRole("navigation", { name: "Places of this flight" });
  await bar.getByRole("link", { name: "Odds" }).click();
  await page
    .locator(".verdict")
    .getByText(/^Lands between \d\d:\d\d and \d\d:\d\d/)
    .waitFor();
  await page.getByText(/^Next: Ground test: /).waitFor();
  await bar.getByRole("link", { name: "Weather" }).click();
  await page
    .getByText(/This sky is invented, for the demo/)
    .first()
    .waitFor();
  await page.locator("h1").waitFor();
  assert.deepEqual(
    faults.filter((f) => !/GPU stall|willReadFrequently/.test(f)),
    [],
  );
  await context.close();
});
