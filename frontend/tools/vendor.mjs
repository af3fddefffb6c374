/**
 * Copy the ES modules named in index.html's import map, and their licence texts, from node_modules to vendor/.
 *
 * Each address in the import map carries its package's version (?v=); a version that is not the installed one stops
 * the copy, so an upgrade can never be served under an old, cached address. Links to missing source maps are dropped.
 */
import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..");

/** Bare name -> where its ES module lies in node_modules, what it is called in vendor/, and whose licence covers it. */
export const VENDORED = [
  { name: "preact", source: "preact/dist/preact.mjs", file: "preact.js", owner: "preact" },
  { name: "preact/hooks", source: "preact/hooks/dist/hooks.mjs", file: "preact_hooks.js", owner: "preact" },
  { name: "htm", source: "htm/dist/htm.mjs", file: "htm.js", owner: "htm" },
  { name: "htm/preact", source: "htm/preact/index.mjs", file: "htm_preact.js", owner: "htm" },
  { name: "@preact/signals-core", source: "@preact/signals-core/dist/signals-core.mjs", file: "signals_core.js", owner: "@preact/signals-core" },
  { name: "@preact/signals", source: "@preact/signals/dist/signals.mjs", file: "signals.js", owner: "@preact/signals" },
];

/**
 * Read the import map out of index.html.
 * @param {string} page the text of index.html
 * @returns {Record<string, string>} bare name -> address
 */
export function importMapOf(page) {
  const found = /<script type="importmap">([\s\S]*?)<\/script>/.exec(page);
  if (!found) throw new Error("index.html has no import map");
  return JSON.parse(found[1]).imports;
}

/**
 * The version of an installed package.
 * @param {string} owner
 * @returns {string}
 */
export function installedVersion(owner) {
  return JSON.parse(readFileSync(join(ROOT, "node_modules", owner, "package.json"), "utf8")).version;
}

/**
 * The address each vendored module must have in the import map.
 * @returns {Record<string, string>}
 */
export function expectedImports() {
  return Object.fromEntries(
    VENDORED.map(({ name, file, owner }) => [name, `/vendor/${file}?v=${installedVersion(owner)}`]),
  );
}

/** Copy everything, after checking that the import map asks for exactly these versions. */
function vendor() {
  const expected = JSON.stringify(expectedImports(), null, 2);
  const mapped = JSON.stringify(importMapOf(readFileSync(join(ROOT, "index.html"), "utf8")), null, 2);
  if (mapped !== expected) {
    throw new Error(`The import map in index.html must name the installed versions:\n${expected}\nbut names:\n${mapped}`);
  }
  const target = join(ROOT, "vendor");
  rmSync(target, { recursive: true, force: true });
  mkdirSync(join(target, "licences"), { recursive: true });
  for (const { source, file, owner } of VENDORED) {
    const text = readFileSync(join(ROOT, "node_modules", source), "utf8");
    writeFileSync(join(target, file), text.replace(/\n?\/\/# sourceMappingURL=.*\s*$/, "\n"));
    copyFileSync(join(ROOT, "node_modules", owner, "LICENSE"), join(target, "licences", `${owner.replaceAll("/", "_").replace("@", "")}.txt`));
  }
  console.log(`vendor/: ${VENDORED.length} modules`);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) vendor();
