/** The reader's unread safety notices: asked for when a person comes, now and then, and after each reading. */
import { signal } from "@preact/signals";
import { listNotices } from "../api/reminders.js";

/** @typedef {import("../api/types.d.ts").SafetyNotice} SafetyNotice */

/** @type {import("@preact/signals").Signal<SafetyNotice[]>} */
export const unread = signal([]);

/** Ask again; what cannot be read just now leaves the list as it is. */
export async function lookForNotices() {
  try {
    const { data } = await listNotices({ unread: true });
    unread.value = data.items;
  } catch {
    // The page itself says when the service does not answer.
  }
}
