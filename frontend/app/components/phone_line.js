/** A line of advice whose telephone numbers ring at a tap; one that nobody has confirmed says so. */
import { html } from "htm/preact";
import { phoneParts } from "../lib/phone_lines.js";

const FIRE_AND_AMBULANCE = "999";

/** @param {{ line: string, emergency: import("../api/check_types.d.ts").Emergency }} props */
export function PhoneLine({ line, emergency }) {
  const parts = phoneParts(line, [emergency.number, FIRE_AND_AMBULANCE]);
  const isNetwork = (/** @type {string} */ text) => text === emergency.number;
  return html`${parts.map(({ text, number }, place) => number === null
    ? text
    : html`<span key=${place}><a class="phone" href=${`tel:${number}`} data-outside>${text}</a>${
        isNetwork(text) && !emergency.is_confirmed && html` <span class="small">(number not confirmed)</span>`}</span>`)}`;
}
