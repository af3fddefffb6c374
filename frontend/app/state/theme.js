/** Light, dark, or as the device says; remembered on this device only. */
import { signal } from "@preact/signals";

/** @typedef {"auto" | "light" | "dark"} Theme */

const KEY = "plugward-theme";

/** @returns {Theme} */
function remembered() {
  try {
    const stored = localStorage.getItem(KEY);
    return stored === "light" || stored === "dark" ? stored : "auto";
  } catch {
    return "auto";
  }
}

/** @type {import("@preact/signals").Signal<Theme>} */
export const theme = signal("auto");

/** @param {Theme} chosen */
function apply(chosen) {
  if (chosen === "auto") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = chosen;
}

/** @param {Theme} chosen */
export function chooseTheme(chosen) {
  theme.value = chosen;
  apply(chosen);
  try {
    if (chosen === "auto") localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, chosen);
  } catch {
    // Private windows may refuse storage; the choice then lasts for this page.
  }
}

/** Apply the remembered choice; called once by main.js. */
export function startTheme() {
  theme.value = remembered();
  apply(theme.value);
}
