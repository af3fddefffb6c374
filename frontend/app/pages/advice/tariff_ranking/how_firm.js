/** How firm the first place is, and what was left out and why. */
import { html } from "htm/preact";
import { flipWords } from "../../../lib/tariff_ranking_words.js";

/** @typedef {import("../../../api/tariff_ranking_types.d.ts").TariffComparison} TariffComparison */

/** @param {{ comparison: TariffComparison }} props */
export function HowFirm({ comparison }) {
  const { firmness } = comparison;
  if (firmness.flips.length === 0) return null;
  return html`<section class="card" aria-labelledby="firm">
    <h2 id="firm">${firmness.verdict === "firm" ? "How firm this is: firm" : "How firm this is: close"}</h2>
    <ul class="plain-list">${firmness.flips.map((flip) => html`<li key=${flip.what + flip.of}>${flipWords(flip, firmness.between)}
      ${flip.is_near && html` <strong>That could well happen.</strong>`}</li>`)}
      ${firmness.reasons.map((each) => html`<li key=${each}>${each}</li>`)}</ul>
    <p class="small">Rule: ${firmness.rule}.</p>
  </section>`;
}

/** @param {{ comparison: TariffComparison }} props */
export function LeftOutList({ comparison }) {
  if (comparison.left_out.length === 0) return null;
  return html`<section class="card" aria-labelledby="left-out">
    <h2 id="left-out">Left out, and why</h2>
    <ul class="plain-list">${comparison.left_out.map((each) => html`<li key=${each.tariff_id}><strong>${each.name}</strong>
      <ul>${each.reasons.map((reason) => html`<li key=${reason}>${reason}</li>`)}</ul></li>`)}</ul>
  </section>`;
}
