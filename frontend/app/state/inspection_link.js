/**
 * The electrician's link: its secret stands behind the # of the address, which no server sees, and is taken out of the
 * address bar at once. It is kept for this window only.
 */
import { signal } from "@preact/signals";
import { adjust } from "./router.js";

const KEY = "plugward-inspection-link";

/** The secret; "" when the page was opened without one. */
export const linkToken = signal("");

/** @returns {string} */
function remembered() {
  try {
    return sessionStorage.getItem(KEY) ?? "";
  } catch {
    return "";
  }
}

/** Take the secret from the address, or from this window's memory. */
export function takeLinkToken() {
  const fresh = location.hash.replace(/^#/, "");
  if (fresh) {
    adjust(location.pathname + location.search);
    try {
      sessionStorage.setItem(KEY, fresh);
    } catch {
      // Then a reload needs the link again.
    }
  }
  linkToken.value = fresh || linkToken.value || remembered();
}

/**
 * A name for what is kept under a link, from which the secret cannot be read.
 * @param {string} token
 * @returns {Promise<string>}
 */
export async function linkName(token) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(token)));
  return Array.from(bytes.slice(0, 8), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
