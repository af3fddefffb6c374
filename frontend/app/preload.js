/** Ask the browser for all modules of a page at once, before the first of them has been read. */
import { pageModules } from "./page_modules.js";

/** @type {Set<string>} */
const asked = new Set();

/**
 * @param {string} routePath as it stands in the table of pages
 */
export function preloadPage(routePath) {
  for (const name of pageModules[routePath] ?? []) {
    if (asked.has(name)) continue;
    asked.add(name);
    const link = document.createElement("link");
    link.rel = "modulepreload";
    link.href = `/app/${name}`;
    document.head.append(link);
  }
}
