/** What a member can ask besides: a long journey, and plugging in at another time. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { ChoiceGroup } from "../../components/choice_group.js";
import { Field } from "../../components/field.js";
import { PLUG_IN_TIMES, recoveryWords } from "../../lib/lead_words.js";

/** @typedef {import("../../lib/lead_words.js").LeadAsked} LeadAsked */

const MILES = /** @type {const} */ ({ name: "long_miles", label: "Miles there and back", kind: "decimal", unit: "miles" });
const MOST_MILES = 1500;
const NUMBER = /^\d{1,4}(\.\d)?$/;

/** @type {import("../../lib/form_values.js").FieldSpec} */
const PLUG_IN = { name: "plug_in_at", label: "When the car is plugged in", kind: "select", options: PLUG_IN_TIMES };

/**
 * What is wrong with the miles that were typed, if anything.
 * @param {string} text
 * @returns {string}
 */
export function milesFault(text) {
  const isNumber = NUMBER.test(text.trim()) && Number(text) > 0 && Number(text) <= MOST_MILES;
  return isNumber ? "" : `Enter miles between 1 and ${MOST_MILES}, such as 140.`;
}

/** @param {{ journey: import("../../api/lead_types.d.ts").LeadLongJourney, asked: LeadAsked, onAsk: (more: LeadAsked) => void, isBusy: boolean }} props */
export function LeadLongJourneyCard({ journey, asked, onAsk, isBusy }) {
  const [text, setText] = useState(asked.longMiles ?? "");
  const [fault, setFault] = useState("");
  const ask = (/** @type {Event} */ event) => {
    event.preventDefault();
    const found = milesFault(text);
    setFault(found);
    if (!found) onAsk({ longMiles: text.trim() });
  };
  return html`<section class="card" aria-labelledby="long-title">
    <h2 id="long-title">A week with one long journey</h2>
    <p role="status"><strong>${Number(journey.miles)} miles:</strong> ${journey.words} ${recoveryWords(journey.nights_until_usual)}</p>
    <form class="form" onSubmit=${ask}>
      <div class="ask-row">
        <${Field} spec=${MILES} value=${text} onInput=${setText} fault=${fault} />
        <button class="button" disabled=${isBusy}>Ask for this journey</button>
      </div>
    </form>
  </section>`;
}

/** @param {{ asked: LeadAsked, onAsk: (more: LeadAsked) => void }} props */
export function PlugInForm({ asked, onAsk }) {
  return html`<section class="card" aria-labelledby="plug-in-title">
    <h2 id="plug-in-title">If you plug in later</h2>
    <${ChoiceGroup} spec=${PLUG_IN} value=${asked.plugInAt ?? ""} onInput=${(/** @type {string} */ value) => onAsk({ plugInAt: value })} />
    <p class="small">Nothing is kept of this, and your plan does not change.</p>
  </section>`;
}
