/** The week: prices and charging as a chart, the same as tables, and what stands in the way. */
import { html } from "htm/preact";
import { getHouseholdBriefly } from "../../api/home.js";
import { getPlan, getPlanWeek } from "../../api/planning.js";
import { WeekChart } from "../../charts/week_chart.js";
import { Later } from "../../components/later.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { formatInstant } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { ChargingTable } from "./charging_table.js";
import { PlanCautions } from "./plan_cautions.js";
import { PlanNotes } from "./plan_notes.js";
import { WeekTotals } from "./week_totals.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */
/** @typedef {import("../../api/types.d.ts").PlanWeek} PlanWeek */

const loadWorking = () => import("./plan_working.js").then((module) => module.PlanWorking);
const loadReasons = () => import("./plan_reasons.js").then((module) => module.PlanReasons);
const loadPriceTables = () => import("./price_tables.js").then((module) => module.PriceTables);
const loadNoPlanYet = () => import("./no_plan_yet.js").then((module) => module.NoPlanYet);

/**
 * The plan and its half-hours, read together so that the two agree.
 * @param {string} householdId
 * @param {{ signal: AbortSignal }} reading
 */
async function readWeek(householdId, reading) {
  const [plan, week] = await Promise.all([getPlan(householdId, reading), getPlanWeek(householdId, reading)]);
  return { ...plan, data: { plan: plan.data, week: week.data } };
}

/** @param {{ plan: Plan, week: PlanWeek, home: import("../../api/types.d.ts").Household | null }} props */
function WeekPlan({ plan, week, home }) {
  return html`
    ${plan.is_stopped && html`<div class="note note-stop"><p class="note-title">Charging is stopped</p>
      <p>Since ${formatInstant(plan.stopped_at, plan.zone)}. ${plan.is_current ? "" : "A new plan is being worked out. "}<a href="/outlets">Is it safe to use?</a></p></div>`}
    <section aria-labelledby="chart-title">
      <h2 id="chart-title">Prices and charging</h2>
      <${WeekChart} week=${week} label="Price per half-hour and charging times for seven days. The tables below say the same in words." />
    </section>
    <${PlanNotes} plan=${plan} home=${home} />
    <${ChargingTable} plan=${plan} />
    <${WeekTotals} plan=${plan} home=${home} />
    <${Later} load=${loadReasons} props=${{ plan }} />
    <${Later} load=${loadPriceTables} props=${{ week }} />
    <${PlanCautions} cautions=${plan.cautions} />
    <${Later} load=${loadWorking} />
  `;
}

/** The week. */
export function WeekPage() {
  const householdId = ownHouseholdId();
  const both = useResource((reading) => readWeek(householdId, reading), [householdId]);
  const home = useResource((reading) => getHouseholdBriefly(householdId, reading), [householdId]);
  const isMissing = both.data === null && both.problem?.status === 404;
  return html`<${Page} title="The week" class="page-member page-week" actions=${html`<a class="button" href="/what-if">What if</a>`}>
    ${isMissing
      ? html`<${Later} load=${loadNoPlanYet} props=${{ detail: both.problem?.detail ?? "", retry: both.reload }} />`
      : html`<${Loaded} of=${both} lines=${1} size="chart">${
          (/** @type {{ plan: Plan, week: PlanWeek }} */ data) => html`<${WeekPlan} plan=${data.plan} week=${data.week} home=${home.data} />`
        }</${Loaded}>`}
  </${Page}>`;
}
