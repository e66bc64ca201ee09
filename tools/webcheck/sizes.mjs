// The app's own files stay small, only api.js talks to the program, and only
// quantity.js turns numbers into words.
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const root = fileURLToPath(new URL("../../faces/web/ui/", import.meta.url));
const most = 250;
const faults = [];
const files = readdirSync(root, { recursive: true }).filter((f) => /\.(js|css|html)$/.test(f) && !f.startsWith("vendor"));
const only = [
  { word: /\bfetch\(|new EventSource|XMLHttpRequest|sendBeacon/, file: "api.js" },
  { word: /toFixed|toPrecision|toLocale\w*String|Intl\./, file: "quantity.js" },
];
for (const file of files) {
  const text = readFileSync(root + file, "utf8");
  const lines = text.split("\n").length - 1;
  if (lines > most) faults.push(`${file} has ${lines} lines: at most ${most}, so divide it`);
  for (const { word, file: home } of only) {
    if (file !== home && file.endsWith(".js") && word.test(text)) faults.push(`${file} does what only ${home} may: ${text.match(word)?.[0]}`);
  }
}
console.log(`${files.length} files of the app looked at`);
for (const fault of faults) console.error(fault);
process.exit(faults.length > 0 || files.length === 0 ? 1 : 0);
