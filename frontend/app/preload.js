/** Ask the browser for all that a page needs at once, before the first of its modules has been read. */
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

/** @type {Promise<void> | null} */
let moreStyles = null;

/**
 * Fetch the style sheets that only some pages need; done when they apply, or will not come.
 * @returns {Promise<void>}
 */
export function loadMoreStyles() {
  moreStyles ??= new Promise((done) => {
    const link = document.createElement("link");
    link.rel = "stylesheet";
    link.href = "/styles/more.css";
    link.onload = link.onerror = () => done();
    document.head.append(link);
  });
  return moreStyles;
}
