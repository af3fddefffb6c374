/** The member's first page: one answer, then each car's times, cost and charge, and what stands in the way. */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { getHouseholdBriefly } from "../../api/home.js";
import { getPlanBriefly } from "../../api/planning.js";
import { Later } from "../../components/later.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Skeleton } from "../../components/skeleton.js";
import { barsOf } from "../../lib/bars.js";
import { answerFor, nextTurn } from "../../lib/tonight.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarTonight } from "./car_tonight.js";
import { usePlanFollower } from "./plan_follower.js";
import { Headline } from "./headline.js";
import { PlanCautions } from "./plan_cautions.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */
/** @typedef {import("../../api/types.d.ts").Household} Household */

const CLOCK_MS = 30_000;
const loadNotes = () => import("./plan_notes.js").then((module) => module.PlanNotes);
const loadTurns = () => import("./turns_tonight.js").then((module) => module.TurnsTonight);
const loadWorking = () => import("./plan_working.js").then((module) => module.PlanWorking);
const loadTotals = () => import("./week_totals.js").then((module) => module.WeekTotals);
const loadNoPlanYet = () => import("./no_plan_yet.js").then((module) => module.NoPlanYet);

/** The time now, moving on with the clock so that the answer never goes stale on an open page. */
function useNow() {
  const [nowMs, setNow] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), CLOCK_MS);
    return () => clearInterval(timer);
  }, []);
  return nowMs;
}

/** Is there anything that stands in the way of the plan? @param {Plan} plan */
function hasNotes(plan) {
  return plan.missing_prices.length > 0 || plan.vehicles.some(({ shortfalls }) => shortfalls.length > 0);
}

/** @param {{ plan: Plan, home: Household | null, onPlan: (plan: Plan, etag: string | null) => void }} props */
function TodayPlan({ plan, home, onPlan }) {
  const nowMs = useNow();
  const follower = usePlanFollower(plan, onPlan);
  useEffect(() => {
    if (!plan.is_current) follower.start();
  }, [plan.id, plan.is_current]);
  const bars = barsOf(plan, home);
  const answer = answerFor(plan, nowMs, bars);
  return html`
    <${Headline} answer=${answer} plan=${plan} home=${home} nowMs=${nowMs} isWorking=${follower.isWorking} />
    ${!home && html`<div class="note"><p>How your outlets stand could not be read just now. <a href="/outlets">Look it up before you plug in</a>.</p></div>`}
    ${plan.turns.length > 0 && !plan.is_stopped && html`<${Later} load=${loadTurns} props=${{ plan, nowMs }} />`}
    ${hasNotes(plan) && html`<${Later} load=${loadNotes} props=${{ plan, home }} />`}
    <div class="cars-tonight">
      ${plan.vehicles.map((vehicle) => html`<${CarTonight} key=${vehicle.vehicle_id} turn=${nextTurn(vehicle, nowMs, plan.zone)}
        bar=${bars.find((bar) => bar.vehicle === vehicle) ?? null} plan=${plan} nowMs=${nowMs} isWorking=${follower.isWorking} onSaved=${follower.start} />`)}
    </div>
    <${Later} load=${loadTotals} props=${{ plan, home, hasWeekLink: true }} />
    <${PlanCautions} cautions=${plan.cautions} />
    <${Later} load=${loadWorking} />
  `;
}

/** Today. */
export function TodayPage() {
  const householdId = ownHouseholdId();
  const plan = useResource((reading) => getPlanBriefly(householdId, reading), [householdId]);
  const home = useResource((reading) => getHouseholdBriefly(householdId, reading), [householdId]);
  // No charging time is shown before the standing of the outlets is known, or has failed to come.
  const isReady = home.data !== null || home.problem !== null;
  const onPlan = (/** @type {Plan} */ data, /** @type {string | null} */ etag) => {
    plan.put(data, etag);
    home.reload();
  };
  const isMissing = plan.data === null && plan.problem?.status === 404;
  return html`
    <${Page} title="Today" class="page-member">
      ${isMissing
        ? html`<${Later} load=${loadNoPlanYet} props=${{ detail: plan.problem?.detail ?? "", retry: plan.reload }} />`
        : html`<${Loaded} of=${plan} lines=${2} size="card">${
            (/** @type {Plan} */ data) => isReady ? html`<${TodayPlan} plan=${data} home=${home.data} onPlan=${onPlan} />` : html`<${Skeleton} lines=${2} size="card" />`
          }</${Loaded}>`}
    </${Page}>
  `;
}
