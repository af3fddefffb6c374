/** The static shell: import map, preloads, what the content policy demands, and the weight of the first load. */
import assert from "node:assert/strict";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { pageModulesText, preloadAddresses, withPreloads } from "../tools/preload.mjs";
import { pageModules } from "../app/page_modules.js";
import { routes } from "../app/more_routes.js";
import { expectedImports, importMapOf } from "../tools/vendor.mjs";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const PAGE = readFileSync(join(ROOT, "index.html"), "utf8");
const FIRST_LOAD_BYTES = 60_000;

/**
 * All files below a folder with an ending.
 * @param {string} folder
 * @param {string} ending
 * @returns {string[]}
 */
function filesIn(folder, ending) {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(ending)).map((name) => join(ROOT, folder, name));
}

test("the import map names the installed versions", () => assert.deepEqual(importMapOf(PAGE), expectedImports()));

test("every mapped file has been vendored, without a link to a missing map", () => {
  for (const address of Object.values(importMapOf(PAGE))) {
    const path = join(ROOT, address.split("?")[0]);
    assert.ok(existsSync(path), `${address}: run npm run vendor`);
    assert.doesNotMatch(readFileSync(path, "utf8"), /sourceMappingURL/);
  }
});

test("vendored code keeps its licence texts", () => {
  assert.deepEqual(readdirSync(join(ROOT, "vendor", "licences")).sort(), ["htm.txt", "preact.txt", "preact_signals-core.txt", "preact_signals.txt"]);
});

test("the preload links are those that tools/preload.mjs writes", () => assert.equal(PAGE, withPreloads(PAGE)));

test("the list of each page's modules is the one that tools/preload.mjs writes", () => {
  assert.equal(readFileSync(join(ROOT, "app", "page_modules.js"), "utf8"), pageModulesText());
});

test("the first load stays below 60 kB, compressed, and so it does with the first pages", () => {
  const files = [...preloadAddresses().map((address) => address.split("?")[0]), "/app/main.js", "/index.html", "/favicon.svg"].map((path) => join(ROOT, path));
  const more = ["more.css", ...[...readFileSync(join(ROOT, "styles", "more.css"), "utf8").matchAll(/@import "([^"]+)"/g)].map((found) => found[1])];
  const styles = filesIn("styles", ".css").filter((path) => !more.some((name) => path.endsWith(`/${name}`)));
  const sizes = [...files, ...styles].map((path) => gzipSync(readFileSync(path)).length);
  const total = sizes.reduce((sum, size) => sum + size, 0);
  assert.ok(total < FIRST_LOAD_BYTES, `${total} bytes`);
  for (const path of ["/sign-in", "/today", "/week", "/households"]) {
    assert.equal(routes.find((route) => route.path === path)?.isBasic, true, `${path} does without more.css`);
    const own = pageModules[path].reduce((sum, name) => sum + gzipSync(readFileSync(join(ROOT, "app", name))).length, 0);
    assert.ok(total + own < FIRST_LOAD_BYTES, `${path}: ${total + own} bytes`);
  }
});

test("neither the shell nor a template holds inline styles, handlers or HTML from text", () => {
  const inlineScripts = PAGE.match(/<script(?![^>]*\bsrc=)[^>]*>/g) ?? [];
  assert.deepEqual(inlineScripts, ['<script type="importmap">']);
  assert.doesNotMatch(PAGE, /\sstyle=|\son\w+=|<style/);
  for (const path of filesIn("app", ".js")) {
    assert.doesNotMatch(readFileSync(path, "utf8"), /innerHTML|outerHTML|insertAdjacentHTML|\sstyle=|document\.write|\beval\(/, path);
  }
});

test("members never read 'slot'", () => {
  for (const path of [...filesIn("app/pages", ".js"), ...filesIn("app/components", ".js"), ...filesIn("app/lib", ".js")]) {
    assert.doesNotMatch(readFileSync(path, "utf8"), /\bslots?\b/i, path);
  }
});

test("the lock file holds no download address", () => {
  assert.doesNotMatch(readFileSync(join(ROOT, "package-lock.json"), "utf8"), /"resolved"|https?:\/\/[^"]*registry/);
});

test("no text is set below 11 px", () => {
  for (const path of filesIn("styles", ".css")) {
    for (const [, size, unit] of readFileSync(path, "utf8").matchAll(/font-size:\s*([\d.]+)(px|rem)/g)) {
      assert.ok(Number(size) * (unit === "rem" ? 16 : 1) >= 11, `${path}: ${size}${unit}`);
    }
  }
});
