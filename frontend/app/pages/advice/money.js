/** Money: one card for each question, with its answer where that is quick to say, and the way to it. */
import { html } from "htm/preact";
import { listVehicles } from "../../api/households.js";
import { getLeadVerdict } from "../../api/lead.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";

/** @typedef {{ path: string, title: string, says: string }} Question */

/** @type {Question[]} */
export const QUESTIONS = [
  { path: "/money/tariffs", title: "Which tariff is cheapest here", says: "Every tariff of the scheme, with your own charging and house in it." },
  { path: "/money/appliances", title: "What else to move", says: "What moving the dishwasher, the washing or hot water to cheaper hours saves." },
  { path: "/money/upgrade", title: "Is a charging point worth it", says: "What it costs, what it saves, and whether it pays itself back." },
  { path: "/drive", title: "Where the outlet should go", says: "Draw the drive, and see which place reaches every car." },
  { path: "/money/charged", title: "What was charged", says: "What went into the cars, where, and what it cost." },
  { path: "/money/carbon", title: "Carbon", says: "What the driving comes to, beside a petrol car." },
  { path: "/miles", title: "Business miles", says: "Miles to claim from your employer, month by month." },
];

/**
 * The verdict on each car's lead; where there are several, each with the car's name before it.
 * @param {string} householdId
 * @param {{ signal: AbortSignal }} reading
 * @returns {Promise<import("../../api/types.d.ts").Answer<string[]>>}
 */
async function readLead(householdId, reading) {
  const cars = await listVehicles(householdId, reading);
  const lines = await Promise.all(cars.data.items.map(async ({ id, label }) => {
    const { headline } = (await getLeadVerdict(householdId, id, {}, reading)).data;
    return cars.data.items.length > 1 ? `${label}: ${headline}` : headline;
  }));
  return { ...cars, data: lines.length > 0 ? lines : ["No car has been entered for this home."] };
}

/** @param {{ question: Question, says: unknown }} props */
function Card({ question, says }) {
  const id = `money-${question.path.replaceAll("/", "-")}`;
  return html`<section class="card" aria-labelledby=${id}>
    <h2 id=${id}><a href=${question.path}>${question.title}</a></h2>
    <p>${says}</p>
  </section>`;
}

/** Money. */
export function MoneyPage() {
  const householdId = ownHouseholdId();
  const lead = useResource((reading) => readLead(householdId, reading), [householdId]);
  const leadSays = lead.data?.map((/** @type {string} */ line) => html`<span key=${line} class="money-line">${line}</span>`) ?? (lead.problem ? "Whether your lead carries what you drive." : html`<span class="is-loading">Working it out…</span>`);
  return html`<${Page} title="Money" class="page-member page-money" lead="Each answer shows how it came about. None of it is tax advice, and none of it says that an outlet is safe.">
    <div class="money-cards">
      <${Card} question=${{ path: "/money/lead", title: "Is the lead enough", says: "" }} says=${leadSays} />
      ${QUESTIONS.map((question) => html`<${Card} key=${question.path} question=${question} says=${question.says} />`)}
    </div>
  </${Page}>`;
}
