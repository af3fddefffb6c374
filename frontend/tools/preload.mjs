/**
 * Write the preload links of index.html: the style sheets that index.css imports, and every module that the first
 * screen imports without waiting.
 *
 * Without them a browser finds the files one level at a time. The test of the same name fails when a module has
 * been added or moved and the links were not written again.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join, posix } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { importMapOf } from "./vendor.mjs";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..");
const BLOCK = /( *<!-- preload:begin -->\n)[\s\S]*?( *<!-- preload:end -->)/;

/** The program and the page that a person who is not signed in meets first. */
const FIRST = ["/app/main.js", "/app/pages/accounts/sign_in.js"];

/**
 * The modules a text imports at once, as written.
 * @param {string} text
 * @returns {string[]}
 */
function staticImports(text) {
  return [...text.matchAll(/^(?:import|export)\b[^;]*?from\s*"([^"]+)"/gm)].map((found) => found[1]);
}

/**
 * The addresses to preload, in the order in which they are found.
 * @returns {string[]}
 */
export function preloadAddresses() {
  const mapped = importMapOf(readFileSync(join(ROOT, "index.html"), "utf8"));
  /** @type {Set<string>} */
  const found = new Set(FIRST);
  for (const address of found) {
    if (address.startsWith("/vendor/")) continue;
    for (const wanted of staticImports(readFileSync(join(ROOT, address), "utf8"))) {
      found.add(mapped[wanted] ?? posix.join(posix.dirname(address), wanted));
    }
  }
  for (const address of Object.values(mapped)) found.add(address);
  return [...found].filter((address) => address !== "/app/main.js");
}

/**
 * The style sheets that index.css imports, in its order.
 * @returns {string[]}
 */
export function styleAddresses() {
  const text = readFileSync(join(ROOT, "styles", "index.css"), "utf8");
  return [...text.matchAll(/@import "([^"]+)"/g)].map((found) => `/styles/${found[1]}`);
}

/**
 * The page with its links written.
 * @param {string} page
 * @returns {string}
 */
export function withPreloads(page) {
  const styles = styleAddresses().map((address) => `  <link rel="preload" as="style" href="${address}">\n`);
  const modules = preloadAddresses().map((address) => `  <link rel="modulepreload" href="${address}">\n`);
  return page.replace(BLOCK, (_, begin, end) => [begin, ...styles, ...modules, end].join(""));
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const path = join(ROOT, "index.html");
  writeFileSync(path, withPreloads(readFileSync(path, "utf8")));
}
