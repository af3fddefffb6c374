/** Short messages that say what has just happened, read out politely; some offer an undo. */
import { signal } from "@preact/signals";

/**
 * @typedef {object} Notice
 * @property {number} id
 * @property {string} text
 * @property {{ label: string, run: () => void } | null} action
 */

/** @type {import("@preact/signals").Signal<Notice[]>} */
export const notices = signal([]);

const SHOWN_MS = 8_000;
const WITH_ACTION_MS = 20_000;
let lastId = 0;

/** @param {number} id */
export function dropNotice(id) {
  notices.value = notices.value.filter((notice) => notice.id !== id);
}

/**
 * Say something.
 * @param {string} text
 * @param {Notice["action"]} [action] runs at most once; the notice goes with it
 */
export function say(text, action = null) {
  const id = ++lastId;
  notices.value = [...notices.value.slice(-2), { id, text, action }];
  setTimeout(() => dropNotice(id), action ? WITH_ACTION_MS : SHOWN_MS);
}
