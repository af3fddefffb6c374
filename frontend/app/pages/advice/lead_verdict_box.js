/** The verdict in one line, what comes before it, and what to do where it is not known. */
import { html } from "htm/preact";
import { Empty } from "../../components/empty.js";
import { counted } from "../../lib/quantity.js";
import { datesInWords } from "../../lib/record_dates.js";

/** @typedef {import("../../api/lead_types.d.ts").LeadVerdict} LeadVerdict */

/** @param {{ verdict: LeadVerdict }} props */
export function LeadVerdictBox({ verdict }) {
  return html`<section class=${`verdict verdict-${verdict.verdict}`} aria-label="Verdict">
    <p class="verdict-main">${verdict.headline}</p>
    ${verdict.next_step && html`<p>${datesInWords(verdict.next_step)} <a href="/outlets">What is recorded of your outlets</a></p>`}
    ${verdict.answer && html`<p class="small">This is ${verdict.answer.sure.level}, from ${counted(verdict.days_kept, "day")} of diary.</p>`}
  </section>`;
}

/** How to get to a verdict. @param {{ verdict: LeadVerdict }} props */
export function LeadNotKnown({ verdict }) {
  const car = `/cars/${verdict.vehicle_id}`;
  if (verdict.not_known_because === "diary") {
    const kept = verdict.days_kept === 0 ? "Nothing is kept yet" : `${counted(verdict.days_kept, "day")} of 7 kept`;
    return html`<${Empty} title=${kept}>
      <p>Type how far the car went on each of seven days. It takes less than a minute, and rough figures will do: they can be changed at any time.</p>
      <p class="form-actions"><a class="button button-main" href=${`${car}/diary`}>Start the diary</a></p>
    </${Empty}>`;
  }
  if (verdict.not_known_because === "routine") {
    return html`<${Empty} title="No routine is entered">
      <p>How long the car is plugged in follows from when it leaves and comes back.</p>
      <p class="form-actions"><a class="button button-main" href=${car}>Enter the week's routine</a></p>
    </${Empty}>`;
  }
  return html`<${Empty} title="Where this car charges is not known">
    <p>An outlet, and a lead where it needs one, have to be recorded for the car. Ask your scheme's administrator, or choose them yourself.</p>
    <p class="form-actions"><a class="button" href=${car}>Choose outlet and lead</a></p>
  </${Empty}>`;
}
