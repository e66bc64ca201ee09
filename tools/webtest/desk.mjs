// What every browser test needs: the app on a book of its own, and a browser.
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const root = new URL("../../", import.meta.url).pathname;

/** The server's program, built once unless PAPPUS_WEBTEST_SERVER names one. */
let program = process.env.PAPPUS_WEBTEST_SERVER ?? "";
function built() {
  if (!program) {
    program = join(temporaryFolder(), "server");
    execFileSync("go", ["build", "-o", program, "./tools/webtest/server"], { cwd: root, stdio: "inherit" });
  }
  return program;
}

/** A folder that is gone at the end of the program. */
function temporaryFolder() {
  const folder = mkdtempSync(join(tmpdir(), "pappus-webtest-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export const bookFolder = () => join(temporaryFolder(), "book.sqlite");

/** @param {string} book @param {string} listen */
export async function start(book, listen = "127.0.0.1:0", more = /** @type {string[]} */ ([])) {
  const child = spawn(built(), ["-book", book, "-listen", listen, ...more], {
    cwd: root,
    stdio: ["ignore", "pipe", "inherit"],
  });
  const address = await new Promise((resolve, reject) => {
    createInterface(child.stdout).once("line", resolve);
    child.once("exit", (code) => reject(new Error(`the server ended with ${code} before it said its address`)));
  });
  return {
    address,
    /** @param {NodeJS.Signals} [signal] */
    stop: (signal = "SIGINT") =>
      new Promise((resolve) => {
        if (child.exitCode !== null || child.signalCode !== null) return resolve(undefined);
        child.once("exit", resolve);
        child.kill(signal);
      }),
  };
}

/** @param {string[]} [more] flags */
export function browser(more = [], without = []) {
  return chromium.launch({
    executablePath: process.env.PAPPUS_CHROMIUM ?? "/usr/bin/chromium",
    ignoreDefaultArgs: without,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      ...(without.length > 0 ? [] : ["--enable-unsafe-swiftshader"]),
      ...more,
    ],
  });
}

/**
 * A page that notes every fault: errors of scripts, breaches of the content
 * policy, and requests to any other host.
 * @param {import("playwright-core").BrowserContext} context
 * @param {string} address
 */
export async function watchedPage(context, address) {
  const page = await context.newPage();
  /** @type {string[]} */
  const faults = [];
  page.on("pageerror", (error) => faults.push(`script: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") faults.push(`console: ${message.text()}`);
  });
  page.on("request", (request) => {
    const url = new URL(request.url());
    if (url.protocol.startsWith("http") && url.origin !== new URL(address).origin)
      faults.push(`another host: ${url.href}`);
  });
  return { page, faults };
}
