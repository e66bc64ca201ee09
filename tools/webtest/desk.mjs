// What every browser test needs: the app on a book of its own, and a browser.
import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";

const root = new URL("../../", import.meta.url).pathname;

/** Builds the server once; gives the program's path. PAPPUS_WEBTEST_SERVER names one that is built already. */
function server() {
  const built = process.env.PAPPUS_WEBTEST_SERVER;
  return built ? [built] : ["go", "run", "./tools/webtest/server"];
}

/** @param {string} book @param {string} listen */
export async function start(book, listen = "127.0.0.1:0") {
  const [program, ...args] = server();
  const child = spawn(program, [...args, "-book", book, "-listen", listen], { cwd: root, stdio: ["ignore", "pipe", "inherit"] });
  const address = await new Promise((resolve, reject) => {
    createInterface(child.stdout).once("line", resolve);
    child.once("exit", (code) => reject(new Error(`the server ended with ${code} before it said its address`)));
  });
  return {
    address,
    /** @param {NodeJS.Signals} [signal] */
    stop: (signal = "SIGINT") =>
      new Promise((resolve) => {
        child.once("exit", resolve);
        child.kill(signal);
      }),
  };
}

/** A folder for a book, gone at the end of the program. */
export function bookFolder() {
  const folder = mkdtempSync(join(tmpdir(), "pappus-webtest-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return join(folder, "book.sqlite");
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
    if (url.protocol.startsWith("http") && url.origin !== new URL(address).origin) faults.push(`another host: ${url.href}`);
  });
  return { page, faults };
}
