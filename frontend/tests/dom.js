/** A document for component tests: happy-dom's, made global before preact is loaded. */
import { Window } from "happy-dom";

const window = new Window({ url: "http://localhost/today" });
const NAMES = [
  "window", "document", "Element", "HTMLElement", "SVGElement", "Node", "Text", "Event", "MouseEvent", "CustomEvent",
  "location", "history", "localStorage", "ResizeObserver", "requestAnimationFrame", "cancelAnimationFrame",
];

for (const name of NAMES) {
  const value = name === "window" ? window : Reflect.get(window, name);
  Object.defineProperty(globalThis, name, { value, configurable: true, writable: true });
}
Object.assign(globalThis, {
  addEventListener: window.addEventListener.bind(window),
  removeEventListener: window.removeEventListener.bind(window),
  scrollTo: () => {},
});

// A notice's long timer must not keep the test run waiting.
const LONG_MS = 5_000;
const realTimeout = globalThis.setTimeout;
globalThis.setTimeout = /** @type {any} */ ((/** @type {() => void} */ run, /** @type {number} */ delayMs = 0) => {
  const timer = realTimeout(run, delayMs);
  if (delayMs >= LONG_MS) timer.unref();
  return timer;
});

const { render } = await import("preact");

/** @type {Set<HTMLElement>} */
const drawn = new Set();

/**
 * Draw a component into a fresh part of the document.
 * @param {import("preact").ComponentChild} node
 * @returns {HTMLElement}
 */
export function draw(node) {
  const place = document.createElement("div");
  document.body.append(place);
  render(node, place);
  drawn.add(place);
  return place;
}

/** Take everything drawn out again, so that its timers and listeners end. */
export function clear() {
  for (const place of drawn) {
    render(null, place);
    place.remove();
  }
  drawn.clear();
}

/**
 * Find the one element that a selector names.
 * @template {Element} [E=HTMLElement]
 * @param {ParentNode} inside
 * @param {string} selector
 * @returns {E}
 */
export function one(inside, selector) {
  const found = inside.querySelectorAll(selector);
  if (found.length !== 1) throw new Error(`${selector} matches ${found.length} elements, not one`);
  return /** @type {E} */ (found[0]);
}

/** Let effects and promises settle. */
export async function settle() {
  for (let turn = 0; turn < 5; turn += 1) await new Promise((resolve) => setTimeout(resolve, 5));
}
