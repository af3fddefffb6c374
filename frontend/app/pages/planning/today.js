/** The member's first page: one answer, then each car's times, cost and charge, and what stands in the way. */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { getPlan } from "../../api/planning.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { answerFor, nextTurn } from "../../lib/tonight.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarTonight } from "./car_tonight.js";
import { usePlanFollower } from "./charge_entry.js";
import { Headline } from "./headline.js";
import { NoPlanYet } from "./no_plan_yet.js";
import { PlanCautions } from "./plan_cautions.js";
import { PlanNotes } from "./plan_notes.js";
import { PlanWorking } from "./plan_working.js";
import { WeekTotals } from "./week_totals.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

const CLOCK_MS = 30_000;

/** The time now, moving on with the clock so that the answer never goes stale on an open page. */
function useNow() {
  const [nowMs, setNow] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), CLOCK_MS);
    return () => clearInterval(timer);
  }, []);
  return nowMs;
}

/** @param {{ plan: Plan, onPlan: (plan: Plan, etag: string | null) => void }} props */
function TodayPlan({ plan, onPlan }) {
  const nowMs = useNow();
  const follower = usePlanFollower(plan, onPlan);
  useEffect(() => {
    if (!plan.is_current) follower.start();
  }, [plan.id, plan.is_current]);
  const answer = answerFor(plan, nowMs);
  return html`
    <${Headline} answer=${answer} plan=${plan} nowMs=${nowMs} isWorking=${follower.isWorking} />
    <${PlanNotes} plan=${plan} />
    <div class="cars-tonight">
      ${plan.vehicles.map((vehicle) => html`<${CarTonight} key=${vehicle.vehicle_id} turn=${nextTurn(vehicle, nowMs, plan.zone)}
        plan=${plan} nowMs=${nowMs} isWorking=${follower.isWorking} onSaved=${follower.start} />`)}
    </div>
    <${WeekTotals} plan=${plan} hasWeekLink />
    <${PlanCautions} cautions=${plan.cautions} />
    <${PlanWorking} />
  `;
}

/** Today. */
export function TodayPage() {
  const householdId = ownHouseholdId();
  const plan = useResource((reading) => getPlan(householdId, reading), [householdId]);
  const isMissing = plan.data === null && plan.problem?.status === 404;
  return html`
    <${Page} title="Today" class="page-member">
      ${isMissing
        ? html`<${NoPlanYet} detail=${plan.problem?.detail ?? ""} retry=${plan.reload} />`
        : html`<${Loaded} of=${plan} lines=${2} size="card">${
            (/** @type {Plan} */ data) => html`<${TodayPlan} plan=${data} onPlan=${plan.put} />`
          }</${Loaded}>`}
    </${Page}>
  `;
}
