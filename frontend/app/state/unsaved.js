/** Forms with unsaved entries register here; leaving the page asks first. */
import { useEffect } from "preact/hooks";
import { askConfirm } from "./confirm.js";

/** @type {Set<object>} */
const dirtyForms = new Set();

/**
 * May the page be left? Asks when something is unsaved.
 * @returns {Promise<boolean>}
 */
export async function mayLeave() {
  if (dirtyForms.size === 0) return true;
  const isLeaving = await askConfirm({
    title: "Leave without saving?",
    text: "What you entered on this page has not been saved.",
    action: "Leave without saving",
    stay: "Stay here",
  });
  if (isLeaving) dirtyForms.clear();
  return isLeaving;
}

/** Is there nothing unsaved? */
mayLeave.isFree = () => dirtyForms.size === 0;

/**
 * Guard a form while it differs from what is stored.
 * @param {boolean} isDirty
 */
export function useUnsavedGuard(isDirty) {
  useEffect(() => {
    if (!isDirty) return undefined;
    const form = {};
    const warn = (/** @type {BeforeUnloadEvent} */ event) => event.preventDefault();
    dirtyForms.add(form);
    addEventListener("beforeunload", warn);
    return () => {
      dirtyForms.delete(form);
      removeEventListener("beforeunload", warn);
    };
  }, [isDirty]);
}
