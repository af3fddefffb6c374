/** Who was mailed to make the check, who was not and why, after the desk asked for it. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { counted } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";

/** @typedef {import("../../api/types.d.ts").AskedPerson} AskedPerson */

const ZONE = "Europe/London";
const SOON_MS = 60_000;

/** @type {Record<NonNullable<AskedPerson["why_not"]>, string>} */
export const WHY_NOT_WORDS = {
  mailed_today: "mailed about rechecks today already",
  nothing_due: "no check is missing or due within 14 days",
  stopped: "charging is stopped there: nobody is sent to touch it",
  nobody: "the home has no member with an e-mail address",
};

/** @param {AskedPerson} one @returns {string} */
const who = ({ reference, name }) => (name ? `${reference}, ${name}` : reference);

/** @param {{ people: AskedPerson[], onClose: () => void }} props */
export function DeskAsked({ people, onClose }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  const mailed = people.filter(({ why_not: why }) => why === null);
  const rest = people.filter(({ why_not: why }) => why !== null);
  const isLater = (/** @type {AskedPerson} */ { goes_out_at: at }) => at !== null && Date.parse(at) > Date.now() + SOON_MS;
  return html`<section class="card" aria-labelledby="asked-title"><h2 id="asked-title" tabindex="-1" ref=${heading}>${mailed.length === 0 ? "Nobody was mailed" : `${counted(mailed.length, "person", "people")} mailed`}</h2>
    ${mailed.length > 0 && html`<ul>${mailed.map((one) => html`<li key=${one.household_id + one.name}>${who(one)}${isLater(one) && html`: goes out ${formatInstant(one.goes_out_at ?? "", ZONE)}, in the home's sending hours`}</li>`)}</ul>`}
    ${rest.length > 0 && html`<h3>Not mailed</h3><ul>${rest.map((one) => html`<li key=${one.household_id + one.name}>${who(one)}: ${WHY_NOT_WORDS[one.why_not ?? "nobody"]}</li>`)}</ul>`}
    <p class="small">A person gets one such message a day. Reminders about safety cannot be turned off.</p>
    <div class="form-actions">${mailed.length > 0 && html`<a class="button" href="/mail?kind=check_asked">See whether it arrived</a>`}
      <button type="button" class="button" onClick=${onClose}>Close</button></div></section>`;
}
