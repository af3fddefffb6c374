/** Advice on each appliance: when to start it and what that adds, or why nothing is suggested; cautions always first. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Empty } from "../../../components/empty.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { moveSum } from "../../../lib/appliance_words.js";
import { formatPounds } from "../../../lib/money.js";

/** @typedef {import("../../../api/appliance_types.d.ts").ApplianceAdvice} ApplianceAdvice */
/** @typedef {import("../../../api/appliance_types.d.ts").ApplianceAdviceItem} ApplianceAdviceItem */

/** @type {Record<string, { path: string, words: string }>} where what is missing can be said */
const WHERE = {
  fuse_not_known: { path: "/survey", words: "Say the supply's fuse" },
  load_not_known: { path: "/habits", words: "Say what the house uses in a year" },
  circuit_not_known: { path: "/survey", words: "Say what is known of the car's circuit" },
};

/** @param {{ item: ApplianceAdviceItem }} props */
function Item({ item }) {
  const ways = item.move === "not_suggested" ? item.barriers.map((barrier) => WHERE[barrier]).filter(Boolean) : [];
  return html`<li class="card"><h3>${item.label}</h3>
    <p class="move-sum">${moveSum(item)}</p>
    <p>${item.headline}</p>
    ${item.yearly_cost_pence !== null && html`<p class="small">${item.runs_a_week} runs a week, at ${item.usual_start}: ${formatPounds(item.yearly_cost_pence)} a year.</p>`}
    ${ways.length > 0 && html`<p>${ways.map(({ path, words }) => html`<a key=${words} href=${path}>${words}</a> `)}</p>`}
    <${Details} summary=${html`How this comes about<span class="unseen">: ${item.label}</span>`}>${() => html`<${WorkingSteps} steps=${item.working} />`}</${Details}>
  </li>`;
}

/** @param {{ advice: ApplianceAdvice }} props */
export function AdviceList({ advice }) {
  const basis = advice.are_past_prices ? "Half-hour prices of the last six weeks stand for a year: nobody knows those to come." : "A year at the prices published now.";
  return html`<section class="stack" aria-labelledby="advice"><h2 id="advice">What to move</h2>
    <div class="note"><p class="note-title">Before you move anything</p><ul>${advice.cautions.map((caution) => html`<li key=${caution}>${caution}</li>`)}</ul></div>
    ${advice.items.length === 0
      ? html`<${Empty} title="No appliance is stated yet"><p>Add one above: it says what moving it would save, and whether it fits.</p></${Empty}>`
      : html`<p>${basis}${advice.is_awake_assumed ? " Somebody is taken to be awake from 06:30 to 23:00." : ""} Nothing is suggested while everybody sleeps, or where supply and
          circuit do not carry it beside the car.</p>
        <ul class="places">${advice.items.map((item, place) => html`<${Item} key=${place} item=${item} />`)}</ul>`}
  </section>`;
}
