/**
 * Write what lets a browser fetch files side by side instead of finding them one level at a time: the preload links
 * of index.html (the style sheets that index.css imports, and every module of the program), and
 * app/page_modules.js (the further modules of the pages where visits begin, for app/preload.js).
 *
 * The test of the same name fails when a module has
 * been added or moved and the links were not written again.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join, posix } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { importMapOf } from "./vendor.mjs";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..");
const BLOCK = /( *<!-- preload:begin -->\n)[\s\S]*?( *<!-- preload:end -->)/;

/** Written here; imports nothing. */
const PAGE_MODULES = "/app/page_modules.js";

/** Where most visits begin, by typing or from an e-mail: what is written of them is part of each first load, so it stays short. */
const ENTRANCES = new Set(["/sign-in", "/inspect", "/today", "/week", "/check", "/households"]);

/** The program; its pages are fetched while the service is asked who is signed in. */
const FIRST = ["/app/main.js"];

/**
 * The modules a text imports at once, as written.
 * @param {string} text
 * @returns {string[]}
 */
function staticImports(text) {
  return [...text.matchAll(/^import\s+[\w*{},\s]+\s+from\s+"([^"]+)"/gm)].map((found) => found[1]);
}

/**
 * All modules that some modules need at once, themselves included, in the order in which they are found.
 * @param {string[]} first addresses
 * @returns {string[]}
 */
function reached(first) {
  const mapped = importMapOf(readFileSync(join(ROOT, "index.html"), "utf8"));
  /** @type {Set<string>} */
  const found = new Set(first);
  for (const address of found) {
    if (address.startsWith("/vendor/") || address === PAGE_MODULES) continue;
    for (const wanted of staticImports(readFileSync(join(ROOT, address), "utf8"))) {
      found.add(mapped[wanted] ?? posix.join(posix.dirname(address), wanted));
    }
  }
  return [...found];
}

/**
 * The addresses to preload with the page itself.
 * @returns {string[]}
 */
export function preloadAddresses() {
  const vendored = Object.values(importMapOf(readFileSync(join(ROOT, "index.html"), "utf8")));
  return [...new Set([...reached(FIRST), ...vendored])].filter((address) => address !== "/app/main.js");
}

/**
 * The text of app/page_modules.js.
 * @returns {string}
 */
export function pageModulesText() {
  const first = new Set([...preloadAddresses(), "/app/main.js"]);
  const routes = readFileSync(join(ROOT, "app", "routes.js"), "utf8");
  const lines = [...routes.matchAll(/path: "([^"]+)".*import\("\.\/([^"]+)"\)/g)].filter(([, path]) => ENTRANCES.has(path)).map(([, path, page]) => {
    const more = reached([`/app/${page}`]).filter((address) => !first.has(address)).map((address) => address.replace("/app/", ""));
    return `  "${path}": ${JSON.stringify(more).replaceAll(",", ", ")},\n`;
  });
  return `/** Written by tools/preload.mjs: the modules that a page where visits begin needs beyond those of the first load. */\n
/** @type {Record<string, string[]>} */\nexport const pageModules = {\n${lines.join("")}};\n`;
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
  writeFileSync(join(ROOT, PAGE_MODULES), pageModulesText());
  const path = join(ROOT, "index.html");
  writeFileSync(path, withPreloads(readFileSync(path, "utf8")));
}
