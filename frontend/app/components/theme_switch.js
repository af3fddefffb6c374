/** Choose light, dark, or what the device says. */
import { html } from "htm/preact";
import { chooseTheme, theme } from "../state/theme.js";

const CHOICES = [
  { value: "auto", label: "As the device" },
  { value: "light", label: "Light" },
  { value: "dark", label: "Dark" },
];

/** A small select in the footer. */
export function ThemeSwitch() {
  const choose = (/** @type {{ currentTarget: HTMLSelectElement }} */ event) =>
    chooseTheme(/** @type {import("../state/theme.js").Theme} */ (event.currentTarget.value));
  return html`<label class="theme-switch">Colours
    <select value=${theme.value} onChange=${choose}>
      ${CHOICES.map(({ value, label }) => html`<option key=${value} value=${value} selected=${value === theme.value}>${label}</option>`)}
    </select>
  </label>`;
}
