/**
 * The address as shared state: what is shown, going elsewhere, and asking before unsaved entries are lost.
 *
 * Links of our own are caught at the document; Back is let through only when nothing unsaved is on the page.
 */
import { signal } from "@preact/signals";
import { mayLeave } from "./unsaved.js";

const here = () => location.pathname + location.search;

/** Path and query now shown. */
export const url = signal("/");

/** How many pages have been opened since the start; the first one does not move the focus. */
export const visits = signal(0);

/** @param {string} next */
function show(next) {
  const isOtherPage = next.split("?")[0] !== url.value.split("?")[0];
  url.value = next;
  if (isOtherPage) visits.value += 1;
  scrollTo(0, 0);
}

/**
 * Open an address of ours.
 * @param {string} next path and query
 * @param {{ replace?: boolean, isAsked?: boolean }} [options] isAsked: unsaved entries have been dealt with
 */
export async function go(next, { replace = false, isAsked = false } = {}) {
  if (!isAsked && !(await mayLeave())) return;
  history[replace ? "replaceState" : "pushState"](null, "", next);
  show(next);
}

/**
 * Change only the query, without a new entry in the history.
 * @param {string} next
 */
export function adjust(next) {
  history.replaceState(null, "", next);
  url.value = next;
}

/**
 * Is a link one of ours, to be opened in this page?
 * @param {HTMLAnchorElement} link
 * @returns {boolean}
 */
function isOwn(link) {
  return !link.target && !link.hasAttribute("download") && link.dataset.outside === undefined && link.origin === location.origin;
}

/** @param {MouseEvent} event */
function followLink(event) {
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  const isPlain = event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey && !event.altKey;
  if (!link || event.defaultPrevented || !isPlain || !isOwn(link)) return;
  if (link.hash && link.pathname === location.pathname) return;
  event.preventDefault();
  go(link.pathname + link.search);
}

async function goBack() {
  const [from, to] = [url.value, here()];
  if (from === to) return;
  history.pushState(null, "", from);
  if (await mayLeave()) {
    history.replaceState(null, "", to);
    show(to);
  }
}

/** Begin to listen; called once by main.js. */
export function startRouter() {
  url.value = here();
  document.addEventListener("click", followLink);
  addEventListener("popstate", () => {
    if (mayLeave.isFree()) show(here());
    else goBack();
  });
}
